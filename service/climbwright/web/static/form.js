// The form: the request shown as fields. The request itself is the only state, so what no field shows is never lost.

import { field, kept } from "./controls.js";
import { idOf, make } from "./dom.js";
import { gist, inOrder, SCALAR } from "./gist.js";
import { changeOf, FIRST, FOLDED, itemOf, labelOf, PARTS, SECTIONS, WAYS } from "./layout.js";
import { asList, putOwn, Root } from "./place.js";
import { Ways } from "./ways.js";

/** Gives a key another name, in its place. */
function renameKey(holder, before, after) {
  const entries = Object.entries(holder).map(([name, value]) => [name === before ? after : name, value]);
  for (const name of Object.keys(holder)) delete holder[name];
  for (const [name, value] of entries) putOwn(holder, name, value);
}

export class Form {
  /**
   * @param schemas the schemas of the OpenAPI document, by name
   * @param boxes the elements to fill, by name of section
   * @param changed told after every edit, with a sentence where there is something to tell, and with "rebuilt" or
   *   "removed" where the fields are new
   */
  constructor(schemas, boxes, changed) {
    Object.assign(this, { schemas, boxes, changed, ways: new Ways(), named: new WeakMap() });
  }

  get document() {
    return this.root.value;
  }

  /** Shows another request. */
  show(document) {
    this.root = new Root(this.schemas, "ComparisonRequest", document);
    this.removed = undefined;
    for (const station of asList(document.baseline?.stations)) if (station?.name) this.named.set(station, station.name);
    this.#renderAll();
    this.changed();
  }

  /** Changes the request in a way that changes the fields too, and goes to the place that this gives. */
  #rebuild(change, words, how = "rebuilt") {
    const place = this.#keepingOpen(() => {
      const to = change();
      this.#renderAll();
      return to;
    });
    if (place) this.#goTo(place);
    this.changed(words, how);
  }

  #keepingOpen(change) {
    const opened = new Set([...this.#folds()].filter((fold) => fold.open).map((fold) => fold.place()));
    const result = change();
    for (const fold of this.#folds()) if (opened.has(fold.place())) fold.open = true;
    return result;
  }

  *#folds() {
    for (const box of Object.values(this.boxes)) yield* box.querySelectorAll("details");
  }

  #goTo(place) {
    const around = document.getElementById(idOf(place.pointer));
    if (around?.tagName === "DETAILS") around.open = true;
    const inside = around?.matches("input, select, textarea, button") ? around : around?.querySelector("input, select, textarea");
    (inside ?? around)?.focus();
  }

  #render(section) {
    const places = SECTIONS[section].map((name) => this.root.child(name));
    const inside = section === "asked" ? this.#leading(this.root, this.#asked()) : places.flatMap((place) => this.#any(place, section));
    this.boxes[section].replaceChildren(...inside);
  }

  #renderAll() {
    for (const section of Object.keys(SECTIONS)) this.#render(section);
  }

  /** What no other section shows stands in the last. */
  #asked() {
    const elsewhere = new Set(Object.entries(SECTIONS).flatMap(([section, names]) => (section === "asked" ? [] : names)));
    return [...new Set([...SECTIONS.asked, ...this.root.names])].filter((name) => !elsewhere.has(name));
  }

  /** A field that the schema knows but no section names, or one that only the request knows. */
  #other(place, name) {
    return place.names.includes(name) ? this.#any(place.child(name)) : [this.#unknown(place, name)];
  }

  #unknown(place, name) {
    const pointer = `${place.pointer}/${name.replaceAll("~", "~0").replaceAll("/", "~1")}`;
    return kept({ key: name, pointer });
  }

  /** What shows a place: fields, in a frame of its own where it holds several. */
  #any(place, section) {
    if (!place.fits && !SCALAR.has(place.kind)) return [kept(place)];
    if (SCALAR.has(place.kind)) return this.#scalar(place);
    if (place.kind === "list") return this.#list(place, section === place.key);
    if (place.kind === "map") return [this.#frame(place, this.#amounts(place))];
    if (place.kind !== "object") return place.value === undefined ? [] : [kept(place)];
    if (PARTS[place.schemaName]) return this.#parts(place);
    return [FOLDED.has(place.key) ? this.#fold(place, labelOf(place.key), this.#fields(place)) : this.#frame(place, this.#fields(place))];
  }

  /** What can only be one thing needs no field. */
  #scalar(place) {
    const settled = place.kind === "choice" && place.schema.enum.length === 1 && place.value === place.schema.enum[0];
    return settled ? [] : [field(place, (edited) => this.#edited(edited))];
  }

  #edited(place) {
    const isStation = place.key === "name" && place.parent.schemaName === "Station";
    if (isStation) this.#followName(place.parent.value);
    for (const fold of this.#folds()) fold.tell?.();
    this.changed(undefined, isStation ? "rebuilt" : undefined);
  }

  /** A station that gets another name gets it in the loadings too, as soon as no other station has it there. */
  #followName(station) {
    const before = this.named.get(station);
    const after = station.name;
    const stations = asList(this.document.loadings).map((loading) => loading?.stations ?? {});
    const free = after && !stations.some((held) => Object.hasOwn(held, after));
    if (!free && before !== undefined) return;
    for (const held of stations.filter((one) => Object.hasOwn(one, before))) renameKey(held, before, after);
    this.named.set(station, after);
    this.#keepingOpen(() => this.#render("loadings"));
  }

  #parts(place) {
    const parts = PARTS[place.schemaName];
    const named = new Set([...parts.flatMap(([, names]) => names), ...FIRST[place.schemaName]]);
    const rest = [...place.names, ...place.unknown].filter((name) => !named.has(name));
    const first = FIRST[place.schemaName].flatMap((name) => this.#any(place.child(name)));
    const folds = parts.map(([title, names], at) => this.#part(place, title, at === parts.length - 1 ? [...names, ...rest] : names));
    return [make("div", { class: "fields", id: idOf(place.pointer), tabindex: -1 }, ...first), ...folds];
  }

  /** A part of an aeroplane. Of one field it is the fold itself; of several it holds them. */
  #part(place, title, names) {
    if (names.length === 1) {
      const child = place.child(names[0]);
      if (!child.fits) return kept(child);
      return this.#fold(child, title, child.kind === "list" ? this.#items(child) : this.#fields(child));
    }
    const chosen = names.filter((name) => this.#isWanted(place, name));
    const chooser = names.some((name) => this.ways.isOne(place, name)) ? [this.#chooser(place)] : [];
    const tell = () => chosen.filter((name) => place.names.includes(name)).map((name) => gist(place.child(name))).filter(Boolean).join("; ");
    return this.#details(`${place.pointer}#${title}`, title, tell, [...chooser, ...chosen.flatMap((name) => this.#other(place, name))]);
  }

  #isWanted(place, name) {
    return !this.ways.isOne(place, name) || this.ways.has(place, name) || place.child(name).value !== undefined;
  }

  #fold(place, title, inside) {
    return this.#details(place.pointer, title, () => gist(place), inside, place);
  }

  #details(pointer, title, tell, inside, place) {
    const told = make("span", { class: "gist" }, tell());
    const legend = make("legend", { class: "unseen" }, title);
    const summary = make("summary", {}, make("span", { class: "title" }, title), " ", told);
    const fold = make("details", { id: idOf(pointer), class: "fold" }, summary, make("fieldset", { class: "fields" }, legend, ...inside));
    fold.tell = () => told.replaceChildren(tell());
    // What is open stays open through a rebuild: known by the object that it shows, or by its pointer where there is none.
    fold.place = () => (typeof place?.value === "object" ? place.value : pointer);
    return fold;
  }

  #frame(place, inside) {
    const title = typeof place.key === "number" ? `${itemOf(place.parent.key)} ${place.key + 1}` : labelOf(place.key);
    const legend = make("legend", {}, title.charAt(0).toUpperCase() + title.slice(1));
    return make("fieldset", { id: idOf(place.pointer), class: place.kind === "list" ? "group fields" : "frame fields", tabindex: -1 }, legend, ...inside);
  }

  /** Fields of an object: those of the chosen way after the first, where there are ways. */
  #fields(place) {
    const ways = this.ways.names(place);
    const others = inOrder(place).filter((name) => !ways.all.has(name));
    if (!ways.all.size) return this.#leading(place, others);
    const spoken = [...ways.all].filter((name) => ways.chosen.includes(name) || place.child(name).value !== undefined);
    const [lead, ...later] = others;
    const inside = [lead, ...ways.chosen, ...spoken.filter((name) => !ways.chosen.includes(name))].map((name) => this.#any(place.child(name)));
    return [...inside[0], this.#chooser(place), ...inside.slice(1).flat(), ...this.#leading(place, later)];
  }

  /** Fields: those that matter or hold something, what the schema does not know, and, folded, what else can be said. */
  #leading(place, names) {
    const first = FIRST[place.schemaName] ?? place.schema.required ?? [];
    const leads = (name) => first.includes(name) || place.child(name).value !== undefined;
    return [
      ...names.filter(leads).flatMap((name) => this.#any(place.child(name))),
      ...place.unknown.map((name) => this.#unknown(place, name)),
      ...this.#more(place, names.filter((name) => !leads(name))),
    ];
  }

  #more(place, names) {
    const inside = names.flatMap((name) => this.#any(place.child(name)));
    if (!inside.length) return [];
    const summary = make("summary", {}, `What else can be said (${inside.length})`);
    const fold = make("details", { class: "more" }, summary, make("div", { class: "fields" }, ...inside));
    fold.place = () => `${place.pointer}#more`;
    return [fold];
  }

  #chooser(place) {
    const { label, ways } = WAYS[place.schemaName];
    const id = idOf(`${place.pointer}#way`);
    const chosen = this.ways.chosen(place);
    const options = ways.map(([words], at) => make("option", { value: at, selected: at === chosen }, words));
    const choose = (event) => {
      const kept = this.ways.choose(place, Number(event.target.value));
      this.#rebuild(() => undefined, kept);
      document.getElementById(id).focus();
    };
    return make("div", { class: "field wide" }, make("label", { for: id }, label), make("select", { id, change: choose }, ...options));
  }

  /** What each station holds: a field for each station of the aeroplane, and for what else is named. */
  #amounts(place) {
    const stations = [...asList(this.document.baseline?.stations), ...this.#newStations()];
    const names = new Set([...stations.map((station) => station?.name), ...Object.keys(place.value ?? {})]);
    return [...names].filter((name) => typeof name === "string" && name).flatMap((name) => this.#any(place.child(name)));
  }

  #newStations() {
    const changes = asList(this.document.options).flatMap((option) => asList(option?.changes));
    return changes.filter((change) => change?.kind === "station").map((change) => change.station);
  }

  /** A list in a section of its own has its heading already. */
  #list(place, isSection) {
    return isSection || FOLDED.has(place.key) ? [make("div", { class: "list", id: idOf(place.pointer), tabindex: -1 }, ...this.#items(place))] : [this.#frame(place, this.#items(place))];
  }

  #items(place) {
    const items = (place.value ?? []).map((_, at) => this.#item(place.item(at)));
    return [...items, this.#adder(place)];
  }

  #item(place) {
    if (place.kind !== "object" || !place.fits || !place.schema.properties) return kept({ key: `${itemOf(place.parent.key)} ${place.key + 1}`, pointer: place.pointer });
    const inside = [...this.#fields(place), this.#remover(place)];
    if (!FOLDED.has(place.parent.key)) return this.#frame(place, inside);
    return this.#fold(place, this.#title(place), inside);
  }

  #title(place) {
    return place.parent.key === "changes" ? changeOf(place.value.kind) : `${labelOf(itemOf(place.parent.key))} ${place.key + 1}`;
  }

  #remover(place) {
    const what = `${itemOf(place.parent.key)} ${place.value.name || place.key + 1}`;
    const remove = () => {
      const { parent, value } = place;
      const at = place.key;
      place.drop();
      this.removed = { parent, at, value };
      return parent.value?.length ? parent.item(Math.min(at, parent.value.length - 1)) : parent;
    };
    const click = () => this.#rebuild(remove, `Removed: ${what}.`, "removed");
    return make("button", { type: "button", class: "plain remove", click }, `Remove ${what}`);
  }

  /** Puts back what was removed last. */
  restore() {
    const { parent, at, value } = this.removed;
    this.removed = undefined;
    this.#rebuild(() => {
      parent.hold().splice(at, 0, value);
      return parent.item(at);
    }, "Put back.");
  }

  #adder(place) {
    const noun = itemOf(place.key);
    const id = idOf(`${place.pointer}#add`);
    const options = place.kinds.map((kind) => make("option", { value: kind }, changeOf(kind)));
    const kind = make("select", { id }, ...options);
    const click = () => this.#rebuild(() => place.add(kind.value), `Added: ${noun}.`);
    const full = (place.value?.length ?? 0) >= (place.schema.maxItems ?? Infinity);
    const button = make("button", { type: "button", class: "plain", click, disabled: full }, `Add ${/^[aeiou]/.test(noun) ? "an" : "a"} ${noun}`);
    const chooser = options.length ? [make("label", { for: id }, `Kind of ${noun}`), kind] : [];
    return make("div", { class: "adder" }, ...chooser, button);
  }
}
