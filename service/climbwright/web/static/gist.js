// What a folded part tells of itself: the first few values that stand in it.

import { shown } from "./controls.js";
import { FIRST, inSentence, labelOf } from "./layout.js";

/** Kinds of fields that one control shows. */
export const SCALAR = new Set(["quantity", "choice", "text", "yes-no", "lines"]);

/** Values that speak for themselves in a list of values. */
const PLAIN = new Set(["name", "configuration", "weight", "arm", "cost", "kind"]);

/** Names of the fields of an object, what matters first. */
export const inOrder = (place) => [...new Set([...(FIRST[place.schemaName] ?? []), ...place.names])];

const listGist = (items) => {
  const names = items.map((item) => item?.name ?? item?.configuration).filter((name) => typeof name === "string" && name);
  return names.length ? names.join(", ") : `${items.length} lines`;
};

const amountsGist = (amounts) => Object.entries(amounts).map(([name, amount]) => `${name} ${shown("quantity", amount) ?? ""}`).join(", ");

/** The first few values that stand in a place, so that a folded part tells what is in it. */
export function gist(place, most = 4) {
  if (place.value === undefined) return "";
  if (SCALAR.has(place.kind)) return told(place);
  if (!place.fits) return "";
  if (place.kind === "list") return listGist(place.value);
  if (place.kind === "map") return amountsGist(place.value);
  const inner = inOrder(place).map((name) => place.child(name)).filter((child) => child.value !== undefined && child.key !== "kind");
  return inner.map((child) => (child.kind === "map" ? amountsGist(child.value ?? {}) : told(child))).filter(Boolean).slice(0, most).join(", ");
}

/** One value with its label, where it needs one. */
function told(place) {
  if (!["quantity", "choice", "text"].includes(place.kind)) return "";
  const text = shown(place.kind, place.value);
  return text && !PLAIN.has(place.key) ? `${inSentence(labelOf(place.key).replace(/ \(.*/, ""))} ${text}` : text;
}
