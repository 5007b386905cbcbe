// The page: puts the form, the request as text, the question and the answer together.

import { curlCommand } from "./curl.js";
import { make } from "./dom.js";
import { Form } from "./form.js";
import { readObject, writeObject } from "./json.js";
import { SECTIONS } from "./layout.js";
import { LONGEST, pack } from "./packed.js";
import { clearFaults, faultsOf, goToFirst, list, markFaults } from "./refusals.js";
import { compare } from "./request.js";

const ELEMENT = "climbwright-before-after";
const at = (id) => document.getElementById(id);
const given = (id) => JSON.parse(at(id).textContent);
const boxes = Object.fromEntries(Object.keys(SECTIONS).map((section) => [section, at(section)]));
const form = new Form(given("schemas"), boxes, changed);
let faults = [];
let asking; // the question that was sent last
let asked; // the one that the answer shown is for
let packing = 0;

/** Says something in the line that screen readers announce. */
function say(words, ...more) {
  at("status").replaceChildren(words, ...more);
}

/** After every edit: the request as text, as a command, and packed. `how` is "rebuilt" where the fields are new. */
function changed(words, how) {
  at("json").value = writeObject(form.document);
  at("json").dataset.edited = "";
  at("json-fault").textContent = "";
  at("fields").inert = false;
  showCommand();
  showPacked();
  showAge();
  // After a removal the pointers of the faults count otherwise: better no mark than a wrong one.
  if (how === "removed") faults = [];
  if (how) markFaults(faults);
  if (words) say(`${words} `, ...(how === "removed" ? [make("button", { type: "button", class: "plain", click: () => form.restore() }, "Put back")] : []));
}

function showCommand() {
  at("curl").textContent = question();
}

const question = () => curlCommand(location.origin, form.document, at("units").value);

/** Says when the fields ask something else than what was answered. */
function showAge() {
  at("stale").hidden = asked === undefined || asked === question();
}

async function showPacked() {
  if (!globalThis.CompressionStream) {
    at("packed-length").textContent = "this browser is too old to pack it.";
    return;
  }
  const mine = (packing += 1);
  const text = await pack(form.document.baseline ?? {});
  if (mine !== packing) return; // edited meanwhile
  at("packed").textContent = text;
  const fits = text.length <= LONGEST ? "it fits." : "it is too long: leave out what it can do without, or send it as JSON.";
  at("packed-length").textContent = `${text.length} of at most ${LONGEST} characters: ${fits}`;
}

/** Shows another request, of which no fault is known yet. */
function load(request) {
  forgetFaults();
  form.show(request);
}

function forgetFaults() {
  faults = [];
  clearFaults();
  at("refusal").replaceChildren();
}

/** Takes the JSON over into the form. False where it cannot be read: then the form waits, lest one overwrite the other. */
function takeJson() {
  try {
    load(readObject(at("json").value));
    return true;
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    at("json-fault").textContent = `This is not the JSON of a request: ${error.message}. The form waits until it is mended or discarded.`;
    at("fields").inert = true;
    return false;
  }
}

function goToJson(words) {
  at("as-json").open = true;
  at("json").focus();
  say(words);
}

async function ask(event) {
  event.preventDefault();
  if (at("json").dataset.edited && !takeJson()) return goToJson("Not asked: the JSON cannot be read.");
  say("Asking the service ...");
  forgetFaults();
  const mine = { words: question(), name: form.document.baseline?.name, request: writeObject(form.document) };
  asking = mine;
  const { answer, problem, words } = await compare(mine.request, at("units").value);
  if (asking !== mine) return; // asked again meanwhile
  if (words) say(words);
  if (problem) refused(problem, mine);
  if (answer) answered(answer);
}

function refused(problem, { words, request }) {
  at("refusal").replaceChildren(...list(problem, JSON.parse(request)));
  if (words !== question()) {
    // Their pointers count in what was asked: in what the fields say by now they might name another place.
    say("Not answered, and the fields were changed since: compare again.");
    return at("refusal").focus();
  }
  faults = faultsOf(problem);
  markFaults(faults);
  say(`Not answered: ${faults.length === 1 ? "one thing is" : `${faults.length} things are`} to be mended.`);
  if (!goToFirst(faults)) at("refusal").focus();
}

function answered(answer) {
  if (!customElements.get(ELEMENT)) return say("Answered, but the part of this page that shows it could not be loaded. Load the page again.");
  const element = make(ELEMENT);
  element.answer = answer;
  asked = asking.words;
  at("of").textContent = asking.name;
  at("shown").replaceChildren(element);
  at("answer").hidden = false;
  showAge();
  say("Answered: before and after stand below.");
  at("answer-title").focus();
}

/** A file may hold a whole request, or an aeroplane alone, which takes the place of the one in the form. */
async function open(event) {
  const [file] = event.target.files;
  event.target.value = "";
  if (!file) return;
  try {
    const read = readObject(await file.text());
    const isAeroplane = "wing" in read && !("baseline" in read);
    load(isAeroplane ? { ...form.document, baseline: read } : read);
    say(`${file.name}: opened ${isAeroplane ? "as the aeroplane" : "as the whole request"}.`);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    say(`${file.name} is not a request in JSON: ${error.message}.`);
  }
}

function save() {
  const address = URL.createObjectURL(new Blob([`${writeObject(form.document)}\n`], { type: "application/json" }));
  make("a", { href: address, download: "comparison.json" }).click();
  URL.revokeObjectURL(address);
  say("Saved as comparison.json.");
}

async function copy(from, what) {
  try {
    await navigator.clipboard.writeText(at(from).textContent);
    say(`Copied: ${what}.`);
  } catch {
    getSelection().selectAllChildren(at(from));
    say(`Selected: ${what}. Your browser lets you copy it yourself.`);
  }
}

at("ask").addEventListener("submit", ask);
at("units").addEventListener("change", () => changed());
at("json").addEventListener("input", () => (at("json").dataset.edited = "true"));
at("json").addEventListener("change", () => takeJson() && say("The JSON is taken over into the form."));
at("discard").addEventListener("click", () => changed("The JSON is written anew from the form."));
at("open").addEventListener("change", open);
at("save").addEventListener("click", save);
at("copy-curl").addEventListener("click", () => copy("curl", "the command"));
at("copy-packed").addEventListener("click", () => copy("packed", "the packed aeroplane"));
form.show(given("demo"));
at("without-script").hidden = true;
at("ask").hidden = false;
at("request").hidden = false;
