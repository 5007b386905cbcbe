// One field of the form: its label, its control bound to a place of the request, and what the document says of it.

import { idOf, make } from "./dom.js";
import { labelOf } from "./layout.js";
import { readQuantity, shownQuantity } from "./quantity.js";

/** The text that stands in a field for a value; undefined where the field cannot show it. */
export function shown(kind, value) {
  if (value === undefined) return "";
  if (kind === "quantity") return shownQuantity(value);
  if (kind === "yes-no") return typeof value === "boolean" ? String(value || "") : undefined;
  if (kind === "lines") return value?.every?.((line) => typeof line === "string" && !line.includes("\n")) ? value.join("\n") : undefined;
  return typeof value === "string" ? value : undefined;
}

/** What a field's text stands for. */
function read(kind, text) {
  if (kind === "quantity") return readQuantity(text);
  if (kind === "yes-no") return true;
  return kind === "lines" ? text.split("\n").map((line) => line.trim()).filter(Boolean) : text;
}

/** What a control says. No tick is nothing said: every such field means no when it is left out. */
const textIn = (control) => (control.type === "checkbox" ? (control.checked ? "true" : "") : control.value);

/** An empty field is left out of the request. A list that must be there stays, empty. */
function write(place, text) {
  if (text.trim() !== "") place.put(read(place.kind, text));
  else if (place.value !== undefined) place.drop();
}

/** A choice among words; the first stands for nothing said. A word that is not among them is kept, and shown. */
function select(place, attributes, text) {
  const words = place.schema.enum;
  const known = text === "" || words.includes(text) ? words : [...words, text];
  const options = known.map((word) => make("option", { value: word, selected: word === text }, word));
  return make("select", attributes, make("option", { value: "" }, "not said"), ...options);
}

function box(place, attributes, text) {
  if (place.kind === "choice") return select(place, attributes, text);
  if (place.kind === "yes-no") return make("input", { ...attributes, type: "checkbox", checked: text !== "" });
  if (place.kind === "lines") {
    const area = make("textarea", { ...attributes, rows: 2, class: "lines" });
    area.value = text;
    return area;
  }
  const example = typeof place.example === "string" ? `e.g. ${place.example}` : undefined;
  const input = make("input", { ...attributes, type: "text", placeholder: example });
  input.value = text;
  return input;
}

/** What stands at a place that no field can show: it is named, and kept as it is. */
export function kept(place) {
  const note = `${labelOf(place.key)}: more than a field can show. It is kept as it is; edit it as JSON.`;
  return make("p", { id: idOf(place.pointer), class: "kept hint", tabindex: -1 }, note);
}

/**
 * What the document says of a field, in a reader's words. Its bounds stay in the reference: whoever breaks one is told by
 * the service. What only repeats the label, or the fields beside it, says nothing.
 */
function hintOf(place) {
  const text = place.description.replace(/ \((?:above|at least|at most|below|no plus_minus)[^()]*\)$/, "").replace(/(?<=[a-z])_(?=[a-z])/g, " ");
  const repeats = place.key === "name" || place.parent.kind === "map" || text.replace(/\.$/, "").toLowerCase() === labelOf(place.key).toLowerCase();
  const lines = place.kind === "lines" ? " One a line." : "";
  return repeats ? lines.trim() : text + lines;
}

/** A station is called what its owner calls it. */
const labelFor = (place) => (place.parent.kind === "map" ? place.key : labelOf(place.key));

/** A labelled field for a place; `changed` is told after each edit. */
export function field(place, changed) {
  const text = shown(place.kind, place.value);
  if (text === undefined) return kept(place);
  const id = idOf(place.pointer);
  const hint = hintOf(place);
  const attributes = {
    id,
    "aria-required": place.required && "true",
    "aria-describedby": hint && `${id}:hint`,
    spellcheck: "false",
    input: (event) => {
      write(place, textIn(event.target));
      changed(place);
    },
  };
  const needed = place.required ? [make("span", { class: "needed", "aria-hidden": "true" }, " *")] : [];
  return make(
    "div",
    { class: place.key === "name" || place.key === "metar" ? "field long" : "field" },
    make("label", { for: id }, labelFor(place), ...needed),
    box(place, attributes, text),
    ...(hint ? [make("p", { id: `${id}:hint`, class: "hint" }, hint)] : []),
  );
}
