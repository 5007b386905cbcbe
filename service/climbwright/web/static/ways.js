// Ways to say one thing: which is chosen, and what the others held before, so that choosing back brings it again.

import { labelOf, WAYS } from "./layout.js";

export class Ways {
  #chosen = new WeakMap();
  #aside = new WeakMap();

  /** The way chosen, or the one that fits best what stands there. */
  chosen(place) {
    if (this.#chosen.has(place.value ?? place)) return this.#chosen.get(place.value);
    const said = (names) => names.filter((name) => place.child(name).value !== undefined).length;
    const fit = WAYS[place.schemaName].ways.map(([, names]) => 2 * said(names) - names.length / 10);
    return fit.indexOf(Math.max(...fit));
  }

  /** Names of the fields of all ways, and of the chosen one. */
  names(place) {
    const ways = WAYS[place.schemaName]?.ways ?? [];
    return { all: new Set(ways.flatMap(([, names]) => names)), chosen: ways.length ? ways[this.chosen(place)][1] : [] };
  }

  isOne(place, name) {
    return this.names(place).all.has(name);
  }

  has(place, name) {
    return this.names(place).chosen.includes(name);
  }

  /** Chooses a way: sets aside what only the others hold, and says so. */
  choose(place, at) {
    const holder = place.hold();
    const aside = this.#aside.get(holder) ?? {};
    this.#chosen.set(holder, at);
    const { all, chosen } = this.names(place);
    const left = [...all].filter((name) => !chosen.includes(name) && Object.hasOwn(holder, name));
    for (const name of chosen) if (Object.hasOwn(aside, name) && !Object.hasOwn(holder, name)) holder[name] = aside[name];
    for (const name of left) {
      aside[name] = holder[name];
      delete holder[name];
    }
    this.#aside.set(holder, aside);
    return left.length ? `Set aside: ${left.map(labelOf).join(", ")}. Choose as before to have it again.` : undefined;
  }
}
