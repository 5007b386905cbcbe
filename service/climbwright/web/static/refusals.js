// Shows why the service refused: a list of links, and each reason at the field that it speaks of.

import { goTo, idOf, make } from "./dom.js";
import { inSentence, itemOf, labelOf } from "./layout.js";

/** The control or frame that shows a place, or the nearest one around it. */
function nearest(pointer) {
  for (let at = pointer; at; at = at.slice(0, at.lastIndexOf("/"))) {
    const found = document.getElementById(idOf(at));
    if (found) return found;
  }
  return undefined;
}

const isControl = (element) => element.matches("input, select, textarea");

function describe(control, id) {
  const ids = (control.getAttribute("aria-describedby") ?? "").split(" ").filter((one) => one && one !== id);
  control.setAttribute("aria-describedby", [id, ...ids].join(" "));
}

/** Sets a reason beside a control, or at the head of what is inside a frame. */
function mark(element, text) {
  const id = `${element.id}:fault`;
  const fault = document.getElementById(id) ?? make("p", { id, class: "fault" });
  fault.append(...(fault.textContent ? [make("br")] : []), text);
  if (!isControl(element)) {
    const inside = element.tagName === "DETAILS" ? element.querySelector("fieldset") : element;
    const legend = inside.querySelector(":scope > legend");
    if (legend) legend.after(fault);
    else inside.prepend(fault);
    return;
  }
  element.setAttribute("aria-invalid", "true");
  describe(element, id);
  element.after(fault);
}

/** Where to go for a fault: a fold cannot take the focus, its heading can. */
const target = (element) => (element.tagName === "DETAILS" ? element.querySelector("summary") : element);

/** A JSON Pointer in words: /options/0/changes/2/weight is "option geared engine, change radiator, weight". */
function placeInWords(pointer, request) {
  const words = [];
  let here = request;
  for (const token of pointer.split("/").slice(1).map((one) => one.replaceAll("~1", "/").replaceAll("~0", "~"))) {
    const list = Array.isArray(here) ? words.pop() : undefined;
    here = here?.[token];
    const name = typeof here?.name === "string" && here.name ? here.name : Number(token) + 1;
    words.push(list === undefined ? token : `${itemOf(list)} ${name}`);
  }
  return words.map((word) => inSentence(labelOf(word))).join(", ") || "the whole request";
}

function line({ pointer, detail }, request) {
  const element = nearest(pointer);
  const place = placeInWords(pointer, request);
  if (!element) return make("li", {}, place, `: ${detail}`);
  const click = (event) => {
    event.preventDefault();
    goTo(target(element));
  };
  return make("li", {}, make("a", { href: `#${encodeURIComponent(element.id)}`, click }, place), `: ${detail}`);
}

/** Takes away all marks. */
export function clearFaults() {
  for (const fault of document.querySelectorAll("[id$=':fault']")) fault.remove();
  for (const control of document.querySelectorAll("[aria-invalid]")) control.removeAttribute("aria-invalid");
}

/** Marks the fields that the faults speak of, and opens what is folded around them. */
export function markFaults(faults) {
  clearFaults();
  for (const { pointer, detail } of faults) {
    const element = nearest(pointer);
    if (!element) continue;
    mark(element, detail);
    for (let around = element; around; around = around.parentElement) if (around.tagName === "DETAILS") around.open = true;
  }
}

/** The faults of a problem; one without a list speaks of the whole request. */
export const faultsOf = (problem) => (problem.errors?.length ? problem.errors : [{ pointer: "", detail: problem.detail }]);

/** The list of a problem's faults, to be put where the reader sees it. */
export function list(problem, request) {
  return [make("h3", {}, problem.title), make("ul", {}, ...faultsOf(problem).map((fault) => line(fault, request)))];
}

/** Goes to the first field with a fault; tells whether there is one. */
export function goToFirst(faults) {
  const element = faults.map(({ pointer }) => nearest(pointer)).find(Boolean);
  if (element) goTo(target(element));
  return element !== undefined;
}
