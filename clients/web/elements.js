// Elements for a club's own page: what a climbwright service answers, shown to the club's visitors.
// One file, no build step, nothing global. How to use it: README.md beside it.

// Where this file came from, unless an element's service attribute names another place.
const HOME = /^https?:/.test(import.meta.url) ? new URL(import.meta.url).origin : "";
const PATIENCE_MS = 30_000;
const LOOK_AT_AGE_MS = 15_000;
const STALE_MINUTES = 30;

// ---------------------------------------------------------------------------------------------------------------- texts

/** Every text that an element shows of its own; a page replaces any of them through `texts`. */
const TEXTS = {
  estimate: "An estimate, not a flight manual. Local rules, an approved weighing and a licensed inspector decide.",
  asking: "Asking the service …",
  asked_at: "Answered at {time}.",
  stale_age: "These figures are old: they were answered at {time}, {minutes} minutes ago. Ask again.",
  stale_inputs: "The inputs were changed since: these figures are not for what the fields say now. Ask again.",
  stale_failed: "These figures are from {time}: the last question was not answered.",
  unreachable:
    "The service at {service} cannot be reached from this page. It may be down, or it may not answer pages from here.",
  slow: "The service at {service} did not answer within {seconds} seconds.",
  busy: "The service is busy. Try again.",
  busy_wait: "The service is busy. Try again in {seconds} seconds.",
  odd: "Something between this page and the service answered with status {status}.",
  not_answered: "Not answered: {faults}",
  fault_one: "one thing needs another look.",
  fault_many: "{count} things need another look.",
  fault_at: "{where}: {what}",
  setup: "This element is not set up: {what}",
  setup_none: "it was given neither settings of its own nor a src that holds them.",
  setup_json: "its settings are not JSON: {what}",
  setup_src: "its settings at {src} could not be fetched.",
  setup_lacks: "its settings lack {what}.",
  setup_service: "it needs the address of a service in its service attribute.",
  number_none: "Type a number.",
  number_odd: "“{text}” is not a number here: type digits, and at most one decimal mark.",
  number_unsure: "“{text}” may be read in two ways: write it without a mark between thousands, or add a decimal.",
  unit_of: "Unit of {label}",
  cautions: "Cautions",
  severity_warning: "Warning",
  severity_caution: "Caution",
  severity_info: "Note",
  assumed: "Assumed in this answer ({count})",
  assumed_at: "{where}: {what}",
  whole_request: "the request",
  provenance: "Build {build}, input {input}",
  none: "none: {reason}",
  spread: "± {value}",
  range: "nine of ten from {low} to {high}",
  range_open: "worse than can be told",
  without: "{share} cannot do it at all",
  loading: "Loading",
  condition: "Condition",
  measure: "Measure",

  "before_after.title": "Before and after",
  "before_after.lead": "What the change does to the aeroplane, loaded and in the air that you choose.",
  "before_after.option": "Option",
  "before_after.ask": "Compare",
  "before_after.caption": "{option}: {loading}, {condition}",
  "before_after.before": "Before",
  "before_after.after": "After",
  "before_after.change": "Change",
  "before_after.rounding":
    "Rounded to the safe side; a change is computed before rounding. ± is one standard deviation. Point at a figure, or copy it, for the exact one.",
  "before_after.headline": "{option}: {loading}, {condition}. {changes}",
  "before_after.headline_part": "{measure} from {before} to {after} {unit}.",
  "before_after.bought": "What each change bought",
  "before_after.bought_caption": "What each change bought of the change of {measure}, {unit}",
  "before_after.change_name": "Change",
  "before_after.share": "Share",
  "before_after.all_changes": "all together",
  "before_after.cost": "Cost of the option",
  "before_after.cost_climb": "Each 100 ft/min costs",
  "before_after.cost_power": "Each hp costs",
  "before_after.setting_before": "As it is",
  "before_after.targets": "Is it enough?",
  "before_after.group.balance": "Weight and balance",
  "before_after.group.power": "Power",
  "before_after.group.climb": "Climb",
  "before_after.group.level": "Level flight",
  "before_after.group.stall": "Stall and approach",
  "before_after.group.glide": "Glide and turn",
  "before_after.group.runway": "Take-off and landing",

  "limit.at_least": "{measure} at least {target}",
  "limit.at_most": "{measure} at most {target}",
  "limit.held": "held",
  "limit.broken": "NOT held",
  "limit.unknown": "cannot be told",
  "limit.line": "{what}: {verdict}",
  "limit.expected": "expected {expected}",
  "limit.chance": "chance {chance}",

  "measure.weight": "Weight",
  "measure.cg_arm": "CG arm",
  "measure.cg_chord_fraction": "CG, fraction of chord",
  "measure.cg_margin": "CG inside its limits by",
  "measure.power_available": "Power available",
  "measure.power_delivered": "Power delivered in the climb",
  "measure.power_to_weight": "Power to weight, here",
  "measure.installed_power_to_weight": "Power to weight, rated",
  "measure.best_climb_rate": "Best rate of climb",
  "measure.best_climb_speed_calibrated": "Best rate at, calibrated",
  "measure.best_climb_speed_indicated": "Best rate at, indicated",
  "measure.best_angle": "Best angle of climb",
  "measure.best_angle_speed_calibrated": "Best angle at, calibrated",
  "measure.best_angle_speed_indicated": "Best angle at, indicated",
  "measure.climb_gradient": "Gradient over the ground",
  "measure.service_ceiling": "Service ceiling, 100 ft/min",
  "measure.absolute_ceiling": "Absolute ceiling",
  "measure.altimeter_climb_rate": "Best climb as the altimeter shows",
  "measure.climb_rate_at_speed": "Climb as asked",
  "measure.time_to_climb": "Time to climb",
  "measure.fuel_to_climb": "Fuel to climb",
  "measure.distance_to_climb": "Distance to climb",
  "measure.greatest_level_speed_true": "Greatest level speed, true",
  "measure.greatest_level_speed_calibrated": "Greatest level speed, calibrated",
  "measure.greatest_level_speed_indicated": "Greatest level speed, indicated",
  "measure.cruise_speed_true": "Cruise, true",
  "measure.cruise_speed_calibrated": "Cruise, calibrated",
  "measure.cruise_speed_indicated": "Cruise, indicated",
  "measure.cruise_power_fraction": "Cruise power over rated",
  "measure.fuel_flow": "Fuel flow",
  "measure.endurance": "Endurance, reserve kept",
  "measure.range": "Range, reserve kept",
  "measure.best_range_speed_calibrated": "Longest range at, calibrated",
  "measure.best_endurance_speed_calibrated": "Longest endurance at, calibrated",
  "measure.greatest_range": "Longest range, reserve kept",
  "measure.greatest_endurance": "Longest endurance, reserve kept",
  "measure.stall_speed_calibrated": "Stall, calibrated",
  "measure.stall_speed_true": "Stall, true",
  "measure.stall_speed_indicated": "Stall, indicated",
  "measure.stall_speeds": "Stall, {configuration}, calibrated",
  "measure.approach_speed_calibrated": "Approach, calibrated",
  "measure.approach_speed_indicated": "Approach, indicated",
  "measure.allowed_load_factor": "Load factor allowed",
  "measure.manoeuvring_speed_calibrated": "Manoeuvring speed, calibrated",
  "measure.static_thrust": "Static thrust",
  "measure.static_thrust_fraction": "Static thrust, of the ideal",
  "measure.static_engine_speed": "Engine speed, standing still",
  "measure.engine_speed_in_climb": "Engine speed in the best climb",
  "measure.engine_speed_level": "Engine speed, level at full throttle",
  "measure.tip_mach": "Propeller tip Mach number, level",
  "measure.best_glide_ratio": "Best glide ratio",
  "measure.best_glide_speed_calibrated": "Best glide at, calibrated",
  "measure.glide_ratio_in_wind": "Best glide over the ground",
  "measure.glide_speed_in_wind_calibrated": "Best glide over the ground at, calibrated",
  "measure.least_sink": "Least sink",
  "measure.least_sink_speed_calibrated": "Least sink at, calibrated",
  "measure.load_factor_in_turn": "Load factor in the turn",
  "measure.stall_speed_in_turn_calibrated": "Stall in the turn, calibrated",
  "measure.turn_glide_speed_calibrated": "Gliding turn at, calibrated",
  "measure.climb_rate_in_turn": "Best climb in the turn",
  "measure.turn_radius": "Radius of the turn, gliding",
  "measure.reversal_height_lost": "Height lost turning back",
  "measure.lift_off_speed_calibrated": "Lift-off, calibrated",
  "measure.takeoff_roll": "Take-off roll",
  "measure.takeoff_distance": "Take-off over the obstacle",
  "measure.takeoff_distance_published": "Take-off by the published factors",
  "measure.takeoff_distance_required": "Take-off required, with safety factor",
  "measure.takeoff_checkpoint": "Take-off checkpoint reached by",
  "measure.accelerate_stop_distance": "Accelerate and stop",
  "measure.landing_roll": "Landing roll",
  "measure.landing_distance": "Landing over the obstacle",
  "measure.landing_distance_published": "Landing by the published factors",
  "measure.landing_distance_required": "Landing required, with safety factor",
  "measure.headwind": "Headwind on the strip",
  "measure.crosswind": "Crosswind, from the right",
  "measure.takeoff_margin": "Strip beyond take-off required",
  "measure.landing_margin": "Strip beyond landing required",
  "measure.takeoff_distance_reversed": "Take-off the other way",
  "measure.takeoff_margin_reversed": "Strip beyond take-off required, the other way",
  "measure.landing_distance_reversed": "Landing the other way",
  "measure.landing_margin_reversed": "Strip beyond landing required, the other way",
  "measure.density_altitude": "Density altitude",
  "measure.pressure_altitude": "Pressure altitude",
};

const fill = (text, parts) => text.replace(/\{(\w+)\}/g, (whole, name) => (name in parts ? String(parts[name]) : whole));

// -------------------------------------------------------------------------------------------------------------- numbers

// The finest step worth reading, by unit; a spread coarsens it.
const STEPS = {
  kg: 0.1, lb: 0.1, m: 1, ft: 1, in: 0.1, NM: 0.1, km: 0.1, mi: 0.1, kt: 0.1, mph: 0.1, "km/h": 0.1, "m/s": 0.01,
  "ft/min": 1, "ft/s": 0.1, hp: 0.1, PS: 0.1, kW: 0.1, W: 10, N: 1, lbf: 1, rpm: 1, deg: 0.1, "hp/kg": 0.0001, 1: 0.001,
  "%": 0.1, L: 0.1, "L/h": 0.1, min: 0.1, s: 1, hPa: 0.1, inHg: 0.01, C: 0.1, F: 0.1, K: 0.1,
};
const ARM_STEPS = { m: 0.001, ft: 0.01, in: 0.1 };
const ARMS = /^(cg_arm|cg_margin|forward_limit|aft_limit)$/;

// Which way to round so that nobody relies on what is not there: more of these is worse, less of those is.
const MORE_IS_WORSE =
  /^(weight|density_altitude|pressure_altitude|fuel_|time_to|distance_to|turn_radius|reversal|lift_off|approach|stall|least_sink$|load_factor|crosswind|accelerate|(takeoff|landing)_(roll|distance|checkpoint))/;
const LESS_IS_WORSE =
  /(margin|ceiling|^best_climb_rate|^altimeter_climb|^climb_|^best_angle$|ratio|^power|^installed|^static_thrust|range$|endurance$|^allowed|^greatest_level|^cruise_speed|^headwind)/;

function safeSide(measure) {
  if (LESS_IS_WORSE.test(measure)) return -1;
  return MORE_IS_WORSE.test(measure) ? 1 : 0;
}

/** The step to round to: as fine as the unit is worth reading, as coarse as the spread makes it. */
function stepOf(measure, unit, spread) {
  const finest = (ARMS.test(measure) && ARM_STEPS[unit]) || STEPS[unit] || 0.001;
  return spread > 0 ? Math.max(finest, 10 ** Math.floor(Math.log10(spread / 3))) : finest;
}

function rounded(value, step, side) {
  const steps = value / step;
  const nearest = Math.round(steps);
  // what lies on a step but for the noise of arithmetic is not pushed on to the next one
  const noise = Math.abs(steps - nearest) < 1e-6;
  const whole = noise || !side ? nearest : side > 0 ? Math.ceil(steps) : Math.floor(steps);
  return whole * step || 0;
}

/** Numbers as the element's language writes them, thousands apart by a thin space: no comma or point to misread. */
class Numbers {
  constructor(language) {
    this.language = language;
    this.decimal = this.#parts(1.5, 1).find((part) => part.type === "decimal").value;
  }

  #parts(value, digits) {
    const shape = { minimumFractionDigits: digits, maximumFractionDigits: digits };
    return new Intl.NumberFormat(this.language, shape).formatToParts(value);
  }

  write(value, step = 1) {
    const digits = Math.min(20, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
    return this.#parts(value, digits).map((part) => (part.type === "group" ? "\u202f" : part.value)).join("");
  }

  signed(value, step) {
    return (value > 0 ? "+" : "") + this.write(value, step);
  }

  clock(date) {
    return new Intl.DateTimeFormat(this.language, { hour: "2-digit", minute: "2-digit" }).format(date);
  }
}

// ------------------------------------------------------------------------------------------------------------------ DOM

/** A node; what is data becomes text nodes and attributes, never markup, for names come from other people. */
function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") node.addEventListener(name, value);
    else if (value !== undefined && value !== false) node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(2).filter((child) => child !== null && child !== undefined && child !== ""));
  return node;
}

const options = (names, chosen) => names.map((name) => make("option", { value: name, selected: name === chosen }, name));

// -------------------------------------------------------------------------------------------------------------- service

/** Why there is no answer: `kind` is a key of the texts, or "refused" with the problem document. */
class Trouble extends Error {
  constructor(kind, facts = {}) {
    super(kind);
    this.kind = kind;
    this.facts = facts;
  }
}

async function send(service, path, body) {
  try {
    return await fetch(service + path, {
      method: "POST",
      headers: { "Content-Type": "application/json", Accept: "application/json" },
      body: JSON.stringify(body),
      credentials: "omit",
      referrerPolicy: "no-referrer",
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
  } catch (error) {
    if (error.name === "TimeoutError") throw new Trouble("slow", { service, seconds: PATIENCE_MS / 1000 });
    throw new Trouble("unreachable", { service });
  }
}

/** The service's answer to a POST, or a Trouble. */
async function ask(service, operation, body, units) {
  const reply = await send(service, `/v1/${operation}?${new URLSearchParams({ units })}`, body);
  if (reply.status === 503 || reply.status === 429) {
    const seconds = Number(reply.headers.get("Retry-After"));
    throw new Trouble(seconds > 0 ? "busy_wait" : "busy", { seconds });
  }
  const answer = await reply.json().catch(() => null);
  if (reply.ok && answer) return answer;
  if (answer && Array.isArray(answer.errors) && reply.status < 500) throw new Trouble("refused", { problem: answer });
  throw new Trouble("odd", { status: reply.status });
}

// ------------------------------------------------------------------------------------------------------------- settings

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new Trouble("setup_json", { what: error.message });
  }
}

async function fetched(src) {
  const reply = await fetch(src, { credentials: "omit", signal: AbortSignal.timeout(PATIENCE_MS) }).catch(() => null);
  if (!reply?.ok) throw new Trouble("setup_src", { src });
  return parsed(await reply.text());
}

/** Children are read only when the parser has put them there. */
function parsedPage() {
  if (document.readyState !== "loading") return null;
  return new Promise((done) => document.addEventListener("DOMContentLoaded", done, { once: true }));
}

// ---------------------------------------------------------------------------------------------------------------- style

const STYLE = `
:host {
  --paper: var(--climbwright-paper, #fbfaf7);
  --ink: var(--climbwright-ink, #1d2327);
  --soft: var(--climbwright-soft, #55605f);
  --line: var(--climbwright-line, #cfd3cb);
  --edge: var(--climbwright-edge, #767f7c);
  --panel: var(--climbwright-panel, #f1f0e8);
  --accent: var(--climbwright-accent, #0b5c63);
  --warn: var(--climbwright-warn, #8a2b06);
  --radius: var(--climbwright-radius, 6px);
  color-scheme: var(--climbwright-scheme, light dark);
  display: block;
  container-type: inline-size;
}
@media (prefers-color-scheme: dark) {
  :host {
    --paper: var(--climbwright-paper, #15191b);
    --ink: var(--climbwright-ink, #e7e9e4);
    --soft: var(--climbwright-soft, #a9b3b0);
    --line: var(--climbwright-line, #3b4345);
    --edge: var(--climbwright-edge, #87918e);
    --panel: var(--climbwright-panel, #1f2527);
    --accent: var(--climbwright-accent, #7fd0d2);
    --warn: var(--climbwright-warn, #ffb08a);
  }
}
:host([hidden]), [hidden] { display: none !important; }
* { box-sizing: border-box; }
.card {
  background: var(--paper); color: var(--ink); border: 1px solid var(--line); border-radius: var(--radius);
  padding: 1.1rem 1.2rem 1.2rem; font: var(--climbwright-font, 1rem/1.5 system-ui, sans-serif); overflow-wrap: break-word;
}
h2, h3, h4, h5, h6 { line-height: 1.2; margin: 1.4rem 0 0.4rem; font-size: 1.05rem; }
#title { font-size: 1.3rem; margin: 0 0 0.3rem; }
p { margin: 0.4rem 0; }
.lead { color: var(--soft); }
.soft, small { color: var(--soft); }
small { font-size: 0.82em; }
.estimate { border-left: 4px solid var(--warn); background: var(--panel); padding: 0.4rem 0.8rem; margin: 0.7rem 0; }
form { display: flex; flex-wrap: wrap; gap: 0.9rem 1.1rem; align-items: end; margin: 1rem 0 0.6rem; }
fieldset { border: 0; margin: 0; padding: 0; min-width: 0; width: 100%; }
legend { font-weight: 600; padding: 0; margin-bottom: 0.3rem; }
.row { display: flex; flex-wrap: wrap; gap: 0.9rem 1.1rem; align-items: start; }
.field { display: block; max-width: 100%; }
.field.wide { width: 100%; }
label { display: block; font-weight: 600; margin-bottom: 0.15rem; }
.choice { display: inline-flex; gap: 0.4rem; align-items: center; font-weight: 400; margin: 0 1.2rem 0.2rem 0; min-height: 1.8rem; }
.pair { display: flex; gap: 0.3rem; }
input, select, textarea, button { font: inherit; color: inherit; max-width: 100%; min-height: 2.5rem; }
input[type="radio"] { min-height: 0; width: 1.1rem; height: 1.1rem; accent-color: var(--accent); margin: 0; }
input[type="text"], select, textarea {
  background: var(--paper); border: 1px solid var(--edge); border-radius: calc(var(--radius) - 2px); padding: 0.35rem 0.55rem;
}
input[type="text"] { width: 6.2rem; font-variant-numeric: tabular-nums; }
textarea { width: 100%; min-height: 4.2rem; resize: vertical; font-family: ui-monospace, "DejaVu Sans Mono", monospace; }
[aria-invalid="true"] { border-color: var(--warn) !important; border-width: 2px !important; }
.hint { color: var(--soft); font-size: 0.85rem; margin: 0.15rem 0 0; }
.fault { color: var(--warn); font-size: 0.9rem; margin: 0.2rem 0 0; max-width: 24rem; }
.fault::before, .faults li::marker { content: "▲ "; }
button {
  background: var(--accent); color: var(--paper); border: 1px solid var(--accent); border-radius: calc(var(--radius) - 2px);
  padding: 0.45rem 1.3rem; font-weight: 600; cursor: pointer;
}
button[aria-disabled="true"] { opacity: 0.65; cursor: progress; }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
.status { min-height: 1.5em; font-weight: 600; }
.old, .faults { border: 2px dashed var(--warn); border-radius: var(--radius); padding: 0.5rem 0.8rem; margin: 0.6rem 0; }
.faults ul { margin: 0.2rem 0; padding-left: 1.4rem; }
.stale .figures { opacity: 0.78; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin: 0.6rem 0; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: 600; padding-bottom: 0.3rem; }
th, td { text-align: left; vertical-align: top; padding: 0.35rem 0.6rem 0.35rem 0; border-bottom: 1px solid var(--line); }
th { font-weight: 500; }
thead th { font-weight: 600; border-bottom-color: var(--edge); }
tbody th[scope="rowgroup"] { color: var(--soft); font-weight: 600; font-size: 0.85rem; padding-top: 0.9rem; }
.number { text-align: right; padding-right: 0; padding-left: 0.6rem; }
.number small { display: block; }
.number data, thead th { white-space: nowrap; overflow-wrap: normal; }
td.number { min-width: 3.6rem; }
.change data { font-weight: 700; }
.bar { width: 34%; }
.bar svg { display: block; width: 100%; height: 1.1rem; margin-top: 0.2rem; }
.bar rect { fill: var(--accent); }
.bar .worse { fill: none; stroke: var(--accent); stroke-width: 1.5; vector-effect: non-scaling-stroke; }
.bar line { stroke: var(--edge); vector-effect: non-scaling-stroke; }
ul.plain { list-style: none; padding: 0; margin: 0.4rem 0; }
ul.plain li { padding: 0.35rem 0 0.35rem 0.7rem; border-left: 4px solid var(--line); margin-bottom: 0.35rem; }
ul.plain li.warning, ul.plain li.broken { border-left-color: var(--warn); }
ul.plain li.warning strong, ul.plain li.broken strong { color: var(--warn); }
ul.plain li.held { border-left-color: var(--accent); }
details { margin: 0.6rem 0 0; }
summary { cursor: pointer; min-height: 1.8rem; }
details ul { padding-left: 1.2rem; font-size: 0.9rem; }
dl { display: grid; grid-template-columns: auto 1fr; gap: 0.2rem 1rem; margin: 0.6rem 0; }
dt { color: var(--soft); } dd { margin: 0; }
.provenance { font-size: 0.78rem; color: var(--soft); margin-top: 0.8rem; }
@container (max-width: 30rem) {
  .card { padding: 0.9rem 0.8rem; }
  table { font-size: 0.88rem; }
  .field:has(> select) { width: 100%; } .field > select { width: 100%; }
  .number { padding-left: 0.35rem; }
  .bar { width: 24%; }
}
@media print { form, .old { display: none; } .card { border: 0; padding: 0; } }
`;

const SHEET = new CSSStyleSheet();
SHEET.replaceSync(STYLE);

// ----------------------------------------------------------------------------------------------------------------- card

/** What all elements share: settings, texts, one question at a time, faults in words, and the age of what is shown. */
class Card extends HTMLElement {
  static observedAttributes = ["service", "src", "lang", "units", "level"];

  #texts = {};
  #settings = null;
  #run = 0;
  #clock = null;
  #answered = null;

  /** Texts that replace ours, by the keys of `defaultTexts`. */
  get texts() {
    return this.#texts;
  }

  set texts(texts) {
    this.#texts = { ...texts };
    this.#restart();
  }

  get defaultTexts() {
    return { ...TEXTS };
  }

  /** Settings as an object, in place of those of `src` and of a script child. */
  get settings() {
    return this.#settings;
  }

  set settings(settings) {
    this.#settings = settings;
    this.#restart();
  }

  connectedCallback() {
    if (!this.shadowRoot) this.attachShadow({ mode: "open" }).adoptedStyleSheets = [SHEET];
    this.#clock = setInterval(() => this.#tellAge(), LOOK_AT_AGE_MS);
    this.#restart();
  }

  disconnectedCallback() {
    clearInterval(this.#clock);
  }

  attributeChangedCallback() {
    this.#restart();
  }

  get service() {
    return (this.getAttribute("service") || HOME).replace(/\/+$/, "");
  }

  get units() {
    return this.getAttribute("units") || this.config?.units || "aviation";
  }

  get busy() {
    return this.button?.getAttribute("aria-disabled") === "true";
  }

  /** A text in the words of the page, its parts filled in. */
  say(key, parts = {}) {
    const text = this.#texts[key] ?? this.config?.texts?.[key] ?? TEXTS[key];
    return text === undefined ? key : fill(text, parts);
  }

  // What the elements themselves say: their name in the texts, their form, the question, and how its answer looks.
  get kind() {
    return "";
  }

  async #restart() {
    if (!this.isConnected || !this.shadowRoot) return;
    const run = ++this.#run;
    let trouble = null;
    try {
      await parsedPage();
      const config = await this.readSettings();
      if (run !== this.#run) return;
      this.config = config;
    } catch (error) {
      if (run !== this.#run) return;
      if (!(error instanceof Trouble)) throw error;
      trouble = error;
    }
    this.numbers = new Numbers(this.#language());
    const typed = this.#typed();
    this.#draw(trouble);
    this.#retype(typed);
    if (this.#answered) this.show();
  }

  /** Settings from the property, else from src, else from the script child. */
  async readSettings() {
    const child = this.querySelector(':scope > script[type="application/json"]');
    const source = this.getAttribute("src");
    if (this.#settings) return this.#settings;
    if (source) return fetched(new URL(source, this.baseURI));
    if (child) return parsed(child.textContent);
    return this.withoutSettings();
  }

  withoutSettings() {
    throw new Trouble("setup_none");
  }

  /** The nearest language said, if Intl knows it. */
  #language() {
    const said = this.closest("[lang]")?.lang || "en";
    try {
      return Intl.NumberFormat.supportedLocalesOf(said)[0] || "en";
    } catch {
      return "en";
    }
  }

  heading(below, ...children) {
    const level = Math.min(6, (Number(this.getAttribute("level")) || 2) + below);
    return make(`h${level}`, {}, ...children);
  }

  #draw(trouble) {
    this.fields = new Map();
    this.status = make("p", { class: "status", role: "status", "aria-live": "polite" });
    this.old = make("p", { class: "old", role: "status", "aria-live": "polite", hidden: true });
    this.faults = make("div", { class: "faults", tabindex: "-1", hidden: true });
    this.output = make("div", { class: "output" });
    const title = this.heading(0, this.config?.title || this.say(`${this.kind}.title`));
    title.id = "title";
    const body = trouble
      ? [make("p", { class: "faults", role: "alert" }, this.say("setup", { what: this.say(trouble.kind, trouble.facts) }))]
      : [make("p", { class: "lead" }, this.say(`${this.kind}.lead`)), this.#form(), this.status, this.faults, this.old, this.output];
    const estimate = make("p", { class: "estimate" }, this.say("estimate"));
    this.shadowRoot.replaceChildren(
      make("section", { class: "card", part: "card", "aria-labelledby": "title" }, title, estimate, ...body),
    );
  }

  #form() {
    this.button = this.canAsk() ? make("button", { type: "submit" }, this.say(`${this.kind}.ask`)) : null;
    const submit = (event) => {
      event.preventDefault();
      this.ask();
    };
    // our own words in place of the browser's, which differ from one to the next
    const form = make("form", { novalidate: true, submit }, this.fieldsOfForm(), this.button);
    form.addEventListener("input", (event) => this.inputsChanged(event));
    return form;
  }

  canAsk() {
    return true;
  }

  inputsChanged() {
    if (this.#answered) this.#answered.stale = "stale_inputs";
    this.#tellAge();
  }

  #typed() {
    return new Map([...(this.fields ?? [])].map(([key, field]) => [key, [field.input.value, field.unit?.value]]));
  }

  #retype(typed) {
    for (const [key, [value, unit]] of typed) {
      const field = this.fields.get(key);
      if (!field) continue;
      field.input.value = value;
      if (field.unit) field.unit.value = unit;
    }
  }

  /** A select among names, or nothing where there is nothing to choose. */
  choice(key, label, names, chosen, change) {
    const input = make("select", { id: key, change }, options(names, chosen));
    this.fields.set(key, { input });
    return make("div", { class: "field" }, make("label", { for: key }, label), input);
  }

  /** Ask what the form says; one question at a time. */
  async ask() {
    if (this.busy) return;
    this.clearFaults();
    this.button.setAttribute("aria-disabled", "true");
    this.status.textContent = this.say("asking");
    const run = this.#run;
    try {
      if (!this.service) throw new Trouble("setup", { what: this.say("setup_service") });
      const found = await this.question();
      if (run !== this.#run) return;
      this.#answered = { at: new Date(), stale: null };
      this.answered(found);
      this.show();
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      if (run === this.#run) this.#explain(error);
    } finally {
      this.button.removeAttribute("aria-disabled");
      this.#tellAge();
    }
  }

  /** Take figures as answered now; null takes them away. */
  markAnswered(there) {
    this.#answered = there ? { at: new Date(), stale: null } : null;
    if (!this.output) return;
    if (there) this.show();
    else this.output.replaceChildren();
    this.#tellAge();
  }

  clearFaults() {
    this.faults.hidden = true;
    this.faults.replaceChildren();
    for (const field of this.fields.values()) {
      field.input.removeAttribute("aria-invalid");
      if (field.fault) field.fault.hidden = true;
    }
  }

  #explain(trouble) {
    if (this.#answered) this.#answered.stale ??= "stale_failed";
    if (trouble.kind === "refused") this.showFaults(trouble.facts.problem.errors.map((error) => this.placed(error)));
    else if (trouble.kind === "typed") this.showFaults(trouble.facts.faults);
    else this.status.textContent = this.say(trouble.kind, trouble.facts);
  }

  /** A problem's error with the key of the form's field that it speaks of. */
  placed(error) {
    return { key: this.fieldOf(error.pointer), where: error.pointer, what: error.detail };
  }

  fieldOf() {
    return null;
  }

  /** Faults at their fields, the rest in a list, and the keyboard taken to the first. */
  showFaults(faults) {
    const elsewhere = [];
    let first = null;
    for (const fault of faults) {
      const field = this.fields.get(fault.key);
      if (!field?.fault) elsewhere.push(fault);
      else {
        field.input.setAttribute("aria-invalid", "true");
        field.fault.textContent = fault.what;
        field.fault.hidden = false;
        first ??= field.input;
      }
    }
    const words = faults.length === 1 ? this.say("fault_one") : this.say("fault_many", { count: faults.length });
    this.status.textContent = this.say("not_answered", { faults: words });
    if (elsewhere.length) this.#listFaults(elsewhere);
    (first ?? this.faults).focus();
  }

  #listFaults(faults) {
    const said = ({ where, what }) => this.say("fault_at", { where: where || this.say("whole_request"), what });
    this.faults.replaceChildren(make("ul", {}, faults.map((fault) => make("li", {}, said(fault)))));
    this.faults.hidden = false;
  }

  #tellAge() {
    if (!this.old) return;
    const text = this.#answered ? this.#ageText() : "";
    if (this.old.textContent !== text) this.old.textContent = text;
    this.old.hidden = !text;
    this.output.classList.toggle("stale", Boolean(text));
  }

  #ageText() {
    const { at, stale } = this.#answered;
    const minutes = (Date.now() - at.getTime()) / 60_000;
    const time = this.numbers.clock(at);
    if (stale) return this.say(stale, { time });
    const most = Number(this.getAttribute("stale-after")) || STALE_MINUTES;
    return minutes > most ? this.say("stale_age", { time, minutes: Math.floor(minutes) }) : "";
  }

  /** Put the answer's parts on the page and announce it in a sentence. */
  show() {
    const time = this.numbers.clock(this.#answered.at);
    this.output.replaceChildren(make("div", { class: "figures" }, this.drawAnswer()));
    this.status.textContent = `${this.headline()} ${this.say("asked_at", { time })}`;
  }

  // -- parts of answers ------------------------------------------------------------------------------------------------

  measureName(name) {
    const [measure, configuration] = name.split("/", 2);
    const key = `measure.${measure}`;
    const text = this.say(key, { configuration });
    return text === key ? measure.replaceAll("_", " ") : text;
  }

  /** A quantity for reading, rounded to the safe side, with the exact one at hand. */
  figure(name, quantity, { step, signed = false, unit = false } = {}) {
    if (quantity.value === null) return [make("span", { class: "none" }, this.say("none", { reason: quantity.reason ?? "" }))];
    const fine = step ?? stepOf(name, quantity.unit, quantity.plus_minus);
    const value = rounded(quantity.value, fine, safeSide(name));
    const text = signed ? this.numbers.signed(value, fine) : this.numbers.write(value, fine);
    const shown = unit && quantity.unit !== "1" ? `${text} ${quantity.unit}` : text;
    return [make("data", { value: quantity.value, title: exactly(quantity) }, shown), ...this.#spread(name, quantity, fine)];
  }

  #spread(name, { plus_minus: spread, percentiles, share_without: without }, step) {
    const parts = [];
    const wide = rounded(spread ?? 0, step, 1);
    if (wide) parts.push(this.say("spread", { value: this.numbers.write(wide, step) }));
    if (percentiles) parts.push(this.#range(name, percentiles, step));
    if (without) parts.push(this.say("without", { share: this.#share(without) }));
    return parts.map((part) => make("small", {}, ` ${part}`));
  }

  #range(name, percentiles, step) {
    const end = (value, side) =>
      value === null ? this.say("range_open") : this.numbers.write(rounded(value, step, side), step);
    return this.say("range", { low: end(percentiles[5], -1), high: end(percentiles[95], 1) });
  }

  #share(share) {
    return `${this.numbers.write(rounded(share * 100, 0.1, 1), 0.1)} %`;
  }

  /** A figure as a sentence holds it. */
  inWords(name, quantity, choice) {
    return this.figure(name, quantity, choice).map((node) => node.textContent.trim()).join(" ");
  }

  /** A goal of the answer, whether it is held, and the chance of it. */
  limit({ measure, goal, target, expected, chance }) {
    const name = this.measureName(measure);
    const text = `${this.numbers.write(target.value, exactStep(target.value))} ${target.unit === "1" ? "" : target.unit}`;
    const what = this.say(`limit.${goal}`, { measure: name, target: text.trim() });
    const known = expected.value !== null;
    // an expected value that does not exist, as where it cannot take off, holds no limit
    const held = known && (goal === "at_least" ? expected.value >= target.value : expected.value <= target.value);
    const verdict = this.say(`limit.${held ? "held" : "broken"}`);
    const extra = [this.say("limit.expected", { expected: this.inWords(measure, expected, { unit: true }) })];
    if (chance?.value !== null && chance !== undefined) extra.push(this.say("limit.chance", { chance: this.#chance(chance.value) }));
    const line = make("li", { class: held ? "held" : "broken" }, make("strong", {}, this.say("limit.line", { what, verdict })));
    line.append(make("br"), make("small", {}, extra.join(", ")));
    return { held, what, line };
  }

  #chance(value) {
    return `${this.numbers.write(rounded(value * 100, 1, -1), 1)} %`;
  }

  cautions(cautions) {
    const said = ({ severity, text }) => [make("strong", {}, `${this.say(`severity_${severity}`)}: `), text];
    const items = cautions.map((one) => make("li", { class: one.severity, "data-code": one.code }, said(one)));
    return [this.heading(1, this.say("cautions")), make("ul", { class: "plain cautions" }, items)];
  }

  assumed(assumed) {
    if (!assumed.length) return [];
    const value = (one) => (one.value ? ` = ${exactly(one.value, 4)}` : "");
    const said = (one) =>
      this.say("assumed_at", { where: (one.where || this.say("whole_request")) + value(one), what: one.text });
    const items = assumed.map((one) => make("li", {}, said(one)));
    return [make("details", {}, make("summary", {}, this.say("assumed", { count: assumed.length })), make("ul", {}, items))];
  }

  provenance({ build, input }) {
    return make("p", { class: "provenance" }, this.say("provenance", { build, input: input.slice(0, 23) }));
  }
}

/** A quantity with all its digits, or some, as the service writes it. */
function exactly({ value, unit, plus_minus: spread }, digits = 15) {
  const number = (one) => String(Number(one.toPrecision(digits)));
  return `${number(value)}${unit === "1" ? "" : ` ${unit}`}${spread ? ` ± ${number(spread)}` : ""}`;
}

/** The step that shows a given number as it was given. */
const exactStep = (value) => 10 ** -(String(Number(value.toPrecision(10))).split(".")[1]?.length ?? 0);

// --------------------------------------------------------------------------------------------------- before and after

const GROUPS = [
  ["balance", /^(weight|cg_)/],
  ["power", /^(power|installed|static|engine_speed|tip)/],
  ["glide", /glide|sink|_turn|^turn_|reversal/],
  ["climb", /climb|best_angle|ceiling/],
  ["stall", /^(stall|approach|allowed|manoeuvring)/],
  ["runway", /takeoff|landing|lift_off|accelerate|wind/],
  ["level", /./],
];
const ORDER = ["balance", "power", "climb", "level", "stall", "glide", "runway"];
const HEADLINES = ["best_climb_rate", "takeoff_margin", "stall_speed_calibrated"];

const groupOf = (name) => GROUPS.find(([, names]) => names.test(name))[0];

/** Measures as a flat list of [name, leaf]; the first stall speed is a measure of its own already. */
function flat(measures) {
  return Object.entries(measures).flatMap(([name, leaf]) => {
    if (name !== "stall_speeds") return [[name, leaf]];
    const speeds = Object.entries(leaf).map(([configuration, speed]) => [`${name}/${configuration}`, speed]);
    return speeds.slice("stall_speed_calibrated" in measures ? 1 : 0);
  });
}

class BeforeAfter extends Card {
  #answer = null;
  #chosen = {};

  get kind() {
    return "before_after";
  }

  /** A comparison's answer, shown as it is; assigning one shows it without asking. */
  get answer() {
    return this.#answer;
  }

  set answer(answer) {
    this.#answer = answer ?? null;
    if (this.output) this.#refill();
    this.markAnswered(this.#answer);
  }

  // Without settings it waits for an answer to be assigned.
  withoutSettings() {
    return {};
  }

  canAsk() {
    return Boolean(this.config.baseline);
  }

  #lists() {
    const { options: compared, loadings, conditions } = this.config;
    const results = this.#answer?.options[0]?.results ?? [];
    const names = (list) => [...new Set(list)];
    const asked = (list) => (list ?? []).map((one) => one.name);
    return {
      option: this.#answer ? this.#answer.options.map((one) => one.name) : asked(compared),
      loading: results.length ? names(results.map((one) => one.loading)) : asked(loadings),
      condition: results.length ? names(results.map((one) => one.condition)) : asked(conditions),
    };
  }

  fieldsOfForm() {
    this.choices = make("div", { class: "row" });
    this.#refill();
    return this.choices;
  }

  /** The selects anew: an answer may hold other loadings and conditions than the settings. */
  #refill() {
    const labels = { option: this.say("before_after.option"), loading: this.say("loading"), condition: this.say("condition") };
    const fields = Object.entries(this.#lists()).filter(([, names]) => names.length).map(([key, names]) => {
      if (!names.includes(this.#chosen[key])) this.#chosen[key] = names[0];
      return this.choice(key, labels[key], names, this.#chosen[key], (event) => this.#choose(key, event.target.value));
    });
    this.choices.replaceChildren(...fields);
  }

  // Every loading and condition is in the answer already: choosing another asks nothing and ages nothing.
  inputsChanged() {}

  #choose(key, name) {
    this.#chosen[key] = name;
    if (this.#answer) this.show();
  }

  async question() {
    const { texts, title, units, ...body } = this.config;
    return ask(this.service, "comparison", body, this.units);
  }

  answered(answer) {
    this.#answer = answer;
    this.#refill();
  }

  #scene() {
    const option = this.#answer.options.find((one) => one.name === this.#chosen.option) ?? this.#answer.options[0];
    const here = (one) => one.loading === this.#chosen.loading && one.condition === this.#chosen.condition;
    return { option, result: option.results.find(here) ?? option.results[0] };
  }

  headline() {
    const { option, result } = this.#scene();
    const part = (name) => {
      const { before, after } = result.measures[name];
      if (before.value === null || after.value === null) return "";
      const plain = (quantity) => this.figure(name, quantity)[0].textContent;
      const facts = { measure: this.measureName(name), before: plain(before), after: plain(after), unit: before.unit };
      return this.say("before_after.headline_part", facts);
    };
    const changes = HEADLINES.filter((name) => result.measures[name]?.before).map(part).filter(Boolean).join(" ");
    return this.say("before_after.headline", { option: option.name, ...result, changes });
  }

  drawAnswer() {
    const { option, result } = this.#scene();
    return [
      this.#table(option, result),
      make("p", { class: "hint" }, this.say("before_after.rounding")),
      ...this.#costs(option, result),
      ...this.#targets(option, result),
      ...this.#bought(result),
      ...this.cautions([...this.#answer.cautions, ...option.cautions]),
      ...this.assumed(this.#answer.assumed),
      this.provenance(this.#answer.provenance),
    ];
  }

  #table(option, result) {
    const column = (key, kind) => make("th", { scope: "col", class: kind }, this.say(key));
    const heads = ["before", "after", "change"].map((key) => column(`before_after.${key}`, "number"));
    const rows = flat(result.measures);
    const bodies = ORDER.map((group) => [group, rows.filter(([name]) => groupOf(name) === group)]);
    return make(
      "table",
      {},
      make("caption", {}, this.say("before_after.caption", { option: option.name, ...result })),
      make("thead", {}, make("tr", {}, column("measure"), ...heads)),
      bodies.filter(([, list]) => list.length).map(([group, list]) => this.#rows(group, list)),
    );
  }

  #rows(group, list) {
    const head = make("th", { scope: "rowgroup", colspan: "4" }, this.say(`before_after.group.${group}`));
    return make("tbody", {}, make("tr", {}, head), list.map(([name, leaf]) => this.#measure(name, leaf)));
  }

  #measure(name, { before, after, change }) {
    // one step for the row, the coarsest that its spreads make: numbers of one row are read together
    const step = Math.max(...[before, after, change].map((one) => stepOf(name, one.unit, one.plus_minus)));
    const cell = (quantity, kind, signed) =>
      make("td", { class: `number ${kind}` }, this.figure(name, quantity, { step, signed }));
    const unit = before.unit === "1" ? null : make("small", {}, ` ${before.unit}`);
    return make(
      "tr",
      { "data-measure": name },
      make("th", { scope: "row" }, this.measureName(name), unit),
      cell(before, "before"),
      cell(after, "after"),
      cell(change, "change", true),
    );
  }

  #costs(option, result) {
    const lines = [
      ["cost", option.cost],
      ["cost_climb", result.cost_per_100_ft_per_min],
      ["cost_power", result.cost_per_horsepower],
    ].filter(([, money]) => money && money.value !== null);
    if (!lines.length) return [];
    const money = ({ value, unit }) => make("data", { value, title: `${value} ${unit}` }, `${this.numbers.write(Math.ceil(value - 1e-6))} ${unit}`);
    const line = ([key, amount]) => [make("dt", {}, this.say(`before_after.${key}`)), make("dd", {}, money(amount))];
    return [make("dl", {}, lines.map(line))];
  }

  #targets(option, { loading, condition }) {
    const here = (one) =>
      one.loading === loading && one.condition === condition && (one.option === null || one.option === option.name);
    const lines = (this.#answer.targets ?? []).filter(here).map((one) => {
      const { line } = this.limit(one);
      line.prepend(`${one.option ?? this.say("before_after.setting_before")}: `);
      return line;
    });
    return lines.length ? [this.heading(1, this.say("before_after.targets")), make("ul", { class: "plain" }, lines)] : [];
  }

  #bought(result) {
    const shared = flat(result.measures).filter(([, leaf]) => leaf.shares);
    if (!shared.length) return [];
    const names = shared.map(([name]) => name);
    const chosen = names.includes(this.#chosen.measure) ? this.#chosen.measure : names.includes("best_climb_rate") ? "best_climb_rate" : names[0];
    const place = make("div", {});
    const draw = (name) => place.replaceChildren(...this.#shares(name, shared.find(([one]) => one === name)[1]));
    const change = (event) => {
      this.#chosen.measure = event.target.value;
      draw(event.target.value);
    };
    const input = make("select", { id: "bought", change }, names.map((name) =>
      make("option", { value: name, selected: name === chosen }, this.measureName(name))));
    draw(chosen);
    const field = make("div", { class: "field" }, make("label", { for: "bought" }, this.say("measure")), input);
    return [this.heading(1, this.say("before_after.bought")), field, place];
  }

  #shares(name, { change, shares }) {
    const most = Math.max(...Object.values(shares).map((share) => Math.abs(share.value ?? 0)), Number.MIN_VALUE);
    const row = (label, share, bar) =>
      make(
        "tr",
        {},
        make("th", { scope: "row" }, label),
        make("td", { class: "number change" }, this.figure(name, share, { signed: true })),
        make("td", { class: "bar", "aria-hidden": "true" }, bar),
      );
    const facts = { measure: this.measureName(name), unit: change.unit === "1" ? "" : change.unit };
    return [make(
      "table",
      {},
      make("caption", {}, this.say("before_after.bought_caption", facts).replace(/[, ]+$/, "")),
      make("thead", {}, make("tr", {},
        make("th", { scope: "col" }, this.say("before_after.change_name")),
        make("th", { scope: "col", class: "number" }, this.say("before_after.share")),
        make("td", {}))),
      make("tbody", {}, Object.entries(shares).map(([label, share]) => row(label, share, bar(share.value, most)))),
      make("tfoot", {}, row(this.say("before_after.all_changes"), change, null)),
    )];
  }
}

const SVG = "http://www.w3.org/2000/svg";

/** A node of a drawing. */
function shape(tag, attributes = {}, ...children) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

/** A share drawn from the middle: what raises the measure to the right, filled; what lowers it to the left, hollow. */
function bar(value, most) {
  if (value === null) return null;
  const length = (48 * Math.abs(value)) / most;
  const place = { x: value < 0 ? 50 - length : 50, y: 3, width: length, height: 10, class: value < 0 ? "worse" : "" };
  const parts = [shape("line", { x1: 50, x2: 50, y1: 0, y2: 16 }), shape("rect", place)];
  return shape("svg", { viewBox: "0 0 100 16", preserveAspectRatio: "none" }, ...parts);
}

// ------------------------------------------------------------------------------------------------------------- register

const ELEMENTS = {
  "climbwright-before-after": BeforeAfter,
};

// A page may load two copies of this file: the first one serves it.
for (const [name, element] of Object.entries(ELEMENTS)) if (!customElements.get(name)) customElements.define(name, element);
