// Elements for a club's own page: what a climbwright service answers, shown to the club's visitors.
// One file, no build step, nothing global. How to use it: README.md beside it.

// Where this file came from, unless an element's service attribute names another place.
const HOME = /^https?:/.test(import.meta.url) ? new URL(import.meta.url).origin : "";
const PATIENCE_MS = 30_000;
const LOOK_AT_AGE_MS = 15_000;
const STALE_MINUTES = 30;
const SURE = 0.9;

// -- texts ----------------------------------------------------------------------------------------------------------

/** Every text that an element shows of its own; a page replaces any of them through `texts`. */
const TEXTS = {
  estimate: "An estimate, not a flight manual. Local rules, an approved weighing and a licensed inspector decide.",
  asking: "Asking the service …",
  asked_at: "Answered at {time}.",
  stale_age: "These figures are old: they were answered at {time}, {minutes} minutes ago. Ask again.",
  stale_clock: "These figures may be old: this device's clock was set back since {time}. Ask again.",
  stale_inputs: "The inputs were changed since: these figures are not for what the fields say now. Ask again.",
  stale_failed: "These figures are from {time}: the last question was not answered.",
  unreachable:
    "The service at {service} cannot be reached from this page. It may be down, or not answer pages from here.",
  slow: "The service at {service} did not answer within {seconds} seconds.",
  busy: "The service is busy. Try again.",
  busy_wait: "The service is busy. Try again in {seconds} seconds.",
  odd: "Something between this page and the service answered with status {status}.",
  unreadable: "The service answered, but this page cannot show it; they may be of different versions: {what}",
  not_answered: "Not answered: {faults}",
  fault_one: "one thing needs another look.",
  fault_many: "{count} things need another look.",
  fault_at: "{where}: {what}",
  setup: "This element is not set up: {what}",
  setup_none: "it was given neither settings of its own nor a src that holds them.",
  setup_json: "its settings are not JSON: {what}",
  setup_object: "its settings need to be an object in braces.",
  setup_shape: "its settings, or the answer given to it, do not have the shape that it needs: {what}",
  setup_src: "its settings at {src} could not be fetched.",
  setup_lacks: "its settings lack {what}.",
  setup_limit: "its limits of density altitude need at_least or at_most, all in one unit, such as 9000 ft.",
  setup_service: "it needs the address of a service in its service attribute.",
  number_none: "Type a number.",
  number_odd: "“{text}” is not a number here: type digits, and at most one decimal mark.",
  number_unsure: "“{text}” may be read in two ways: write it without a mark between thousands, or add a decimal.",
  unit_of: "Unit of {label}",
  cautions: "Cautions",
  severity_warning: "Warning",
  warned: "Warnings: {count}.",
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
  rounding: "Rounded to the safe side; ± is one standard deviation. Rest the pointer on a figure for the exact one.",
  loading: "Loading",
  condition: "Condition",
  measure: "Measure",

  "conditions.title": "Conditions today",
  "conditions.lead": "What the aeroplane does at {strip}, {elevation}, in today's air.",
  "conditions.strip": "the strip",
  "conditions.ask": "Work it out",
  "conditions.today": "today",
  "conditions.way": "What do you have?",
  "conditions.way_typed": "temperature and QNH",
  "conditions.way_pasted": "a coded report",
  "conditions.oat": "Temperature",
  "conditions.qnh": "QNH",
  "conditions.dew_point": "Dew point",
  "conditions.dew_point_hint": "if known; dry air without it",
  "conditions.headwind": "Headwind",
  "conditions.headwind_hint": "along the strip; none without it",
  "conditions.metar": "Coded report",
  "conditions.metar_hint": "Paste it as it came: the part with temperature, dew point and pressure is read.",
  "conditions.metar_none": "Paste a coded report.",
  "conditions.for": "{loading}. {air}.",
  "conditions.air": "{name} {text}",
  "conditions.limits": "The club's limits",
  "conditions.limits_none": "",
  "conditions.limits_held": "The club's limits are held.",
  "conditions.limits_unsure": "The club's limits are held by the estimate, but {unsure} of {count} not surely.",
  "conditions.limits_broken": "{broken} of {count} of the club's limits are NOT held.",
  "conditions.headline": "{measure} {value}.",
  "conditions.report_old": "The coded report is {hours} hours old: look for a newer one.",
  "conditions.report_ahead": "The coded report's time lies ahead: look whether it is a forecast.",
  "conditions.report_timeless": "The coded report does not say when it was made.",

  "balance.title": "Weight and balance",
  "balance.lead": "What is aboard, and where that puts the centre of gravity, now and as fuel burns.",
  "balance.ask": "Weigh it",
  "balance.loads": "What is aboard",
  "balance.minimum": "at least {amount}",
  "balance.capacity": "at most {amount}",
  "balance.unusable": "unusable {amount}",
  "balance.loaded": "As loaded",
  "balance.burned": "“{tank}” burned",
  "balance.inside": "inside the limits",
  "balance.outside": "OUTSIDE the limits",
  "balance.unknown": "not known: no limits were given",
  "balance.short_inside": "inside",
  "balance.short_outside": "OUTSIDE",
  "balance.short_unknown": "not known",
  "balance.now": "As loaded: {place}.",
  "balance.headline": "{weight}, CG at {arm}.",
  "balance.later": "OUTSIDE the limits once “{tank}” is burned.",
  "balance.weight_room": "{room} left to the greatest weight.",
  "balance.weight_over": "{room} above the greatest weight.",
  "balance.arm_room": "CG {room} inside its nearer limit.",
  "balance.arm_over": "CG {room} outside its nearer limit.",
  "balance.arm_none": "CG margin: {reason}.",
  "balance.no_figure": "none",
  "balance.state": "State",
  "balance.margin": "Inside by",
  "balance.verdict": "Limits",
  "balance.caption": "Each state in figures",
  "balance.mark": "loaded: {place}",
  "balance.mark_burnt": "fuel burned",
  "balance.axis_weight": "weight, {unit}",
  "balance.axis_arm": "CG arm, {unit}",
  "balance.picture": "Slats show which CG arms are permitted at each weight.",
  "balance.no_picture": "No picture: it needs an envelope, or two limits and a greatest weight, each in one unit.",

  "before_after.title": "Before and after",
  "before_after.lead": "What the change does to the aeroplane, loaded and in the air that you choose.",
  "before_after.option": "Option",
  "before_after.ask": "Compare",
  "before_after.caption": "{option}: {loading}, {condition}",
  "before_after.before": "Before",
  "before_after.after": "After",
  "before_after.change": "Change",
  "before_after.rounding": "A change is computed before rounding.",
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
  "before_after.exceeded_before": "It was so before the change too.",
  "before_after.cautions_before": "Cautions for the aeroplane as it is",
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
  "limit.unsure": "held by the estimate, but not surely",
  "limit.broken": "NOT held",
  "limit.line": "{what}: {verdict}",
  "limit.expected": "expected {expected}",
  "limit.chance": "chance {chance}",
  "limit.likely": "above 99 %",
  "limit.unlikely": "below 1 %",

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

const fill = (text, parts) =>
  text.replace(/\{(\w+)\}/g, (whole, name) => (name in parts ? String(parts[name]) : whole));

// -- numbers --------------------------------------------------------------------------------------------------------

// The finest step worth reading, and the units that have it; a spread coarsens it.
const UNITS_OF_STEPS = {
  0.0001: "hp/kg",
  0.001: "1",
  0.01: "m/s inHg",
  0.1: "kg lb in NM km mi kt mph km/h ft/s hp PS kW deg % L L/h min hPa C F K",
  1: "m ft ft/min N lbf rpm s",
  10: "W",
};
const STEPS = Object.fromEntries(
  Object.entries(UNITS_OF_STEPS).flatMap(([step, units]) => units.split(" ").map((unit) => [unit, Number(step)])),
);
const ARM_STEPS = { m: 0.001, ft: 0.01, in: 0.1 };
// A density altitude carries no spread, but nobody flies it to the foot.
const HEIGHT_STEPS = { ft: 10, m: 5 };
const HEIGHTS = /_altitude$/;
const ARMS = /^cg_(arm|margin|excess)$/;

// Which way to round so that nobody relies on what is not there: more of these is worse, less of those is.
const MORE_IS_WORSE = new RegExp(
  "^(weight(?!_margin)|cg_excess|density_altitude|pressure_altitude|fuel_|time_to|distance_to|turn_radius|reversal|lift_off" +
    "|approach|stall|least_sink$|load_factor|tip_mach|accelerate|(takeoff|landing)_(roll|distance))",
);
const LESS_IS_WORSE = new RegExp(
  "margin|ceiling|^best_climb_rate|^altimeter_climb|^climb_|^best_angle$|ratio|^power|^installed|^static_thrust" +
    "|range$|endurance$|^allowed|^manoeuvring|^greatest_level|^cruise_speed|^headwind|checkpoint",
);

function safeSide(measure, value) {
  if (measure === "crosswind") return Math.sign(value); // worse the stronger, from either side
  if (LESS_IS_WORSE.test(measure)) return -1;
  return MORE_IS_WORSE.test(measure) ? 1 : 0;
}

/** The step to round to: as fine as the unit is worth reading, as coarse as the spread makes it. */
function stepOf(measure, unit, spread) {
  const special = (ARMS.test(measure) && ARM_STEPS) || (HEIGHTS.test(measure) && HEIGHT_STEPS) || STEPS;
  const finest = special[unit] ?? STEPS[unit] ?? 0.001;
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

/**
 * Numbers as the element's language writes them, thousands apart by a thin space: no comma or point to misread. The
 * digits are those that the fields take and the service writes, in every language.
 */
class Numbers {
  constructor(language) {
    this.language = new Intl.Locale(language, { numberingSystem: "latn" });
    this.decimal = this.#parts(1.5, 1).find((part) => part.type === "decimal").value;
  }

  #parts(value, digits) {
    const shape = { minimumFractionDigits: digits, maximumFractionDigits: digits };
    return new Intl.NumberFormat(this.language, shape).formatToParts(value);
  }

  write(value, step = 1) {
    const digits = Math.min(20, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
    return this.#parts(value, digits)
      .map((part) => (part.type === "group" ? "\u202f" : part.value))
      .join("");
  }

  signed(value, step) {
    return (value > 0 ? "+" : "") + this.write(value, step);
  }

  clock(date) {
    return new Intl.DateTimeFormat(this.language, { hour: "2-digit", minute: "2-digit" }).format(date);
  }
}

// -- DOM ------------------------------------------------------------------------------------------------------------

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

const options = (names, chosen) =>
  names.map((name) => make("option", { value: name, selected: name === chosen }, name));

// -- service --------------------------------------------------------------------------------------------------------

/** Why there is no answer: `kind` is a key of the texts, or "refused" with the problem document. */
class Trouble extends Error {
  constructor(kind, facts = {}) {
    super(kind);
    this.kind = kind;
    this.facts = facts;
  }
}

/** An error as a Trouble; one of JavaScript's own becomes this kind, for what came from outside was not as expected. */
const troubleOf = (error, kind) => (error instanceof Trouble ? error : new Trouble(kind, { what: error.message }));

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
  const answer = await reply.json().catch((error) => {
    if (error.name === "TimeoutError") throw new Trouble("slow", { service, seconds: PATIENCE_MS / 1000 });
    return null;
  });
  if (reply.ok && answer) return answer;
  const errors = reply.status < 500 ? errorsOf(answer) : [];
  if (errors.length) throw new Trouble("refused", { errors });
  throw new Trouble("odd", { status: reply.status });
}

/** What a problem document says is wrong, as far as it is one. */
const errorsOf = (problem) =>
  Array.isArray(problem?.errors) ? problem.errors.filter((error) => typeof error?.pointer === "string") : [];

/** The units of an answer, some kinds in units of their own. */
const inUnits = (units, own) =>
  [
    ...units.split(",").filter((one) => !(one.split(":")[0].trim() in own)),
    ...Object.entries(own).map(([kind, unit]) => `${kind}:${unit}`),
  ].join(",");

// -- settings -------------------------------------------------------------------------------------------------------

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

// -- style ----------------------------------------------------------------------------------------------------------

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
  padding: 1.1rem 1.2rem 1.2rem; overflow-wrap: break-word;
  font: var(--climbwright-font, 1rem/1.5 system-ui, sans-serif);
}
h2, h3, h4, h5, h6 { line-height: 1.2; margin: 1.4rem 0 0.4rem; font-size: 1.05rem; }
#title { font-size: 1.3rem; margin: 0 0 0.3rem; }
p { margin: 0.4rem 0; }
.lead { color: var(--soft); }
.soft, small { color: var(--soft); }
small { font-size: 0.82em; }
.estimate { border-inline-start: 4px solid var(--warn); background: var(--panel); padding: 0.4rem 0.8rem; margin: 0.7rem 0; }
form { display: flex; flex-wrap: wrap; gap: 0.9rem 1.1rem; align-items: end; margin: 1rem 0 0.6rem; }
fieldset { border: 0; margin: 0; padding: 0; min-width: 0; width: 100%; }
legend { font-weight: 600; padding: 0; margin-bottom: 0.3rem; }
.row { display: flex; flex-wrap: wrap; gap: 0.9rem 1.1rem; align-items: start; }
.field { display: block; max-width: 100%; }
.field.wide { width: 100%; }
label { display: block; font-weight: 600; margin-bottom: 0.15rem; }
.choice {
  display: inline-flex; gap: 0.4rem; align-items: center; font-weight: 400; margin-block: 0 0.2rem; margin-inline: 0 1.2rem;
  min-height: 1.8rem;
}
.pair { display: flex; gap: 0.3rem; }
input, select, textarea, button { font: inherit; color: inherit; max-width: 100%; min-height: 2.5rem; }
input[type="radio"] { min-height: 0; width: 1.1rem; height: 1.1rem; accent-color: var(--accent); margin: 0; }
input[type="text"], select, textarea {
  background: var(--paper); border: 1px solid var(--edge); border-radius: calc(var(--radius) - 2px);
  padding: 0.35rem 0.55rem;
}
input[type="text"] { width: 6.2rem; font-variant-numeric: tabular-nums; }
textarea {
  width: 100%; min-height: 4.2rem; resize: vertical; font-family: ui-monospace, "DejaVu Sans Mono", monospace;
}
[aria-invalid="true"] { border-color: var(--warn) !important; border-width: 2px !important; }
.hint { color: var(--soft); font-size: 0.85rem; margin: 0.15rem 0 0; }
.fault { color: var(--warn); font-size: 0.9rem; margin: 0.2rem 0 0; max-width: 24rem; }
.fault::before, .faults li::marker { content: "▲ "; }
button {
  background: var(--accent); color: var(--paper); border: 1px solid var(--accent);
  border-radius: calc(var(--radius) - 2px);
  padding: 0.45rem 1.3rem; font-weight: 600; cursor: pointer;
}
button[aria-disabled="true"] { opacity: 0.65; cursor: progress; }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
.status { min-height: 1.5em; font-weight: 600; }
.old, .faults {
  border: 2px dashed var(--warn); border-radius: var(--radius); padding: 0.5rem 0.8rem; margin: 0.6rem 0;
}
.faults ul { margin: 0.2rem 0; padding-inline-start: 1.4rem; }
.stale .figures { border-inline-start: 2px dashed var(--warn); padding-inline-start: 0.8rem; }
table { border-collapse: collapse; width: 100%; margin: 0.6rem 0; font-variant-numeric: tabular-nums; }
caption { text-align: start; font-weight: 600; padding-bottom: 0.3rem; }
caption, .given { overflow-wrap: anywhere; }
th, td {
  text-align: start; vertical-align: top; padding-block: 0.35rem; padding-inline: 0 0.6rem;
  border-bottom: 1px solid var(--line);
}
th { font-weight: 500; }
thead th { font-weight: 600; border-bottom-color: var(--edge); }
tbody th[scope="rowgroup"] { color: var(--soft); font-weight: 600; font-size: 0.85rem; padding-top: 0.9rem; }
.number { text-align: end; padding-inline-end: 0; padding-inline-start: 0.6rem; }
.number small { display: block; }
.number data { white-space: nowrap; }
thead th { overflow-wrap: normal; }
.number + td:not(.number), .number + th:not(.number) { padding-inline-start: 1rem; }
td.number { min-width: 3.6rem; }
.change data { font-weight: 700; }
.bar { width: 34%; }
.bar svg { display: block; width: 100%; height: 1.1rem; margin-top: 0.2rem; }
.bar rect { fill: var(--accent); }
.bar .worse { fill: none; stroke: var(--accent); stroke-width: 1.5; vector-effect: non-scaling-stroke; }
.bar line { stroke: var(--edge); vector-effect: non-scaling-stroke; }
ul.plain { list-style: none; padding: 0; margin: 0.4rem 0; }
ul.plain li { padding-block: 0.35rem; padding-inline: 0.7rem 0; border-inline-start: 4px solid var(--line); margin-bottom: 0.35rem; }
ul.plain li.warning, ul.plain li.broken { border-inline-start-color: var(--warn); }
ul.plain li.warning strong, ul.plain li.broken strong { color: var(--warn); }
ul.plain li.held { border-inline-start-color: var(--accent); }
ul.plain li.unsure { border-inline-start-style: dashed; border-inline-start-color: var(--warn); }
.tiles {
  display: grid; grid-template-columns: repeat(auto-fill, minmax(min(13rem, 100%), 1fr)); gap: 0.7rem;
  margin: 1rem 0 0.4rem;
}
.tile { background: var(--panel); border-radius: var(--radius); padding: 0.55rem 0.8rem; }
.tile dt { font-size: 0.9rem; }
.tile dd { font-size: 1.25rem; font-weight: 600; }
.tile small { display: block; font-size: 0.82rem; font-weight: 400; }
.picture svg { direction: ltr; display: block; max-width: 100%; height: auto; margin: 0.8rem auto; }
.picture text { fill: var(--ink); font-size: 13px; font-variant-numeric: tabular-nums; }
.picture .axis { fill: var(--soft); }
.picture .name {
  font-weight: 600; paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round;
}
.slat { fill: var(--panel); stroke: var(--edge); }
.own { fill: var(--paper); stroke: var(--accent); stroke-width: 2.5; }
.own.none { stroke: var(--warn); stroke-dasharray: 3 5; }
.loaded { fill: var(--accent); stroke: var(--paper); }
.loaded.out { fill: var(--paper); stroke: var(--warn); stroke-width: 2.5; }
.burnt { fill: var(--ink); }
.path { fill: none; stroke: var(--ink); stroke-dasharray: 2 3; }
.tick { stroke: var(--edge); }
details { margin: 0.6rem 0 0; }
summary { cursor: pointer; min-height: 1.8rem; }
details ul { padding-inline-start: 1.2rem; font-size: 0.9rem; }
dl { display: grid; grid-template-columns: auto 1fr; gap: 0.2rem 1rem; margin: 0.6rem 0; }
dt { color: var(--soft); }
dd { margin: 0; }
.provenance { font-size: 0.78rem; color: var(--soft); margin-top: 0.8rem; }
@container (max-width: 30rem) {
  .card { padding: 0.9rem 0.8rem; }
  table { font-size: 0.88rem; }
  .field:has(> select) { width: 100%; } .field > select { width: 100%; }
  .number { padding-inline-start: 0.35rem; }
  td.number { min-width: 0; }
  .stale .figures { padding-inline-start: 0.4rem; }
  .bar { width: 24%; }
}
@media print { button { display: none; } .card { border: 0; padding: 0; } }
`;

const SHEET = new CSSStyleSheet();
SHEET.replaceSync(STYLE);

// -- card -----------------------------------------------------------------------------------------------------------

/** What all elements share: settings, texts, one question at a time, faults in words, and the age of what is shown. */
class Card extends HTMLElement {
  static observedAttributes = ["service", "src", "lang", "units", "level"];

  #texts = {};
  #settings = null;
  #run = 0;
  #question = null; // the one that is being asked, and whether the fields were changed since
  #clock = null;
  #answered = null;
  #kept = false;

  /** Texts that replace ours, by the keys of `defaultTexts`. */
  get texts() {
    return this.#texts;
  }

  set texts(texts) {
    this.#texts = { ...texts };
    this.#restart({ keep: true });
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
    this.#restart({ keep: false });
  }

  connectedCallback() {
    if (!this.shadowRoot) this.attachShadow({ mode: "open" }).adoptedStyleSheets = [SHEET];
    this.#clock = setInterval(() => this.#tellAge(), LOOK_AT_AGE_MS);
    for (const name of ["texts", "settings", "answer"]) this.#adopt(name);
    this.#restart({ keep: true });
  }

  /** A property that a page set before this file had loaded hides the accessor of the same name: hand it over. */
  #adopt(name) {
    if (!Object.hasOwn(this, name)) return;
    const value = this[name];
    delete this[name];
    this[name] = value;
  }

  disconnectedCallback() {
    clearInterval(this.#clock);
  }

  attributeChangedCallback(name) {
    this.#restart({ keep: ["service", "lang", "units", "level"].includes(name) });
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

  /** Read the settings and draw anew; what was typed and answered is kept unless it belongs to other settings. */
  async #restart({ keep }) {
    if (!this.isConnected || !this.shadowRoot) return;
    const run = ++this.#run;
    if (!keep) this.forget();
    let trouble = null;
    try {
      await parsedPage();
      const config = await this.readSettings();
      if (run !== this.#run) return;
      this.config = config;
    } catch (error) {
      if (run !== this.#run) return;
      trouble = troubleOf(error, "setup_shape");
    }
    this.numbers = new Numbers(this.#language());
    const typed = this.#kept ? this.#typed() : [];
    this.#kept = true;
    try {
      this.#draw(trouble);
      this.#retype(typed);
      if (this.#answered && !trouble) this.show();
    } catch (error) {
      this.forget();
      this.#draw(troubleOf(error, "setup_shape"));
    }
    if (this.#question) this.#sayAsking();
    this.#tellAge();
  }

  /** Let go of what was typed and answered. */
  forget() {
    this.#question = null; // its answer, still on the way, is for other settings
    this.#answered = null;
    this.#kept = false;
  }

  async readSettings() {
    const found = await this.#given();
    if (Object(found) !== found || Array.isArray(found)) throw new Trouble("setup_object");
    return found;
  }

  /** Settings from the property, else from src (an address, or # and a script's id), else from the script child. */
  #given() {
    const child = this.querySelector(':scope > script[type="application/json"]');
    const source = this.getAttribute("src");
    if (this.#settings) return this.#settings;
    if (source?.startsWith("#")) return parsed(this.getRootNode().getElementById(source.slice(1))?.textContent ?? "");
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
    this.button = null;
    this.status = make("p", { class: "status", role: "status", "aria-live": "polite" });
    this.old = make("p", { class: "old", role: "status", "aria-live": "polite", hidden: true });
    this.faults = make("div", { class: "faults", tabindex: "-1", hidden: true });
    this.output = make("div", { class: "output" });
    const title = this.heading(0, this.config?.title || this.say(`${this.kind}.title`));
    title.id = "title";
    const body = trouble
      ? [
          make(
            "p",
            { class: "faults", role: "alert" },
            this.say("setup", { what: this.say(trouble.kind, trouble.facts) }),
          ),
        ]
      : [
          make("p", { class: "lead" }, this.say(`${this.kind}.lead`, this.leadParts())),
          this.#form(),
          this.status,
          this.faults,
          this.old,
          this.output,
        ];
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
    for (const one of [this.#answered, this.#question]) if (one) one.stale = "stale_inputs";
    this.#tellAge();
  }

  get #controls() {
    return [...this.shadowRoot.querySelectorAll("form :is(input, select, textarea)")];
  }

  #typed() {
    return this.#controls.map(({ id, value, checked }) => ({ id, value, checked }));
  }

  #retype(typed) {
    const controls = new Map(this.#controls.map((control) => [control.id, control]));
    for (const { id, value, checked } of typed) {
      const control = controls.get(id);
      if (control?.type === "radio") control.checked = checked;
      else if (control) control.value = value;
    }
    this.retyped();
  }

  // What else of the form follows from what it holds.
  retyped() {}

  leadParts() {
    return {};
  }

  /** A select among names, or nothing where there is nothing to choose. */
  choice(key, label, names, chosen, change) {
    const input = make("select", { id: key, change }, options(names, chosen));
    this.fields.set(key, { input });
    return make("div", { class: "field" }, make("label", { for: key }, label), input);
  }

  /** Ask what the form says; one question at a time. */
  async ask() {
    if (this.busy || !this.button) return;
    this.clearFaults();
    const question = { stale: null };
    this.#question = question;
    this.#sayAsking();
    try {
      if (!this.service) throw new Trouble("setup", { what: this.say("setup_service") });
      const found = await this.question();
      if (question !== this.#question) return;
      this.answered(found);
      this.#answered = { at: new Date(), stale: question.stale };
      this.show();
    } catch (error) {
      if (question !== this.#question) return;
      if (!(error instanceof Trouble)) this.#clear();
      this.#explain(troubleOf(error, "unreadable"));
    } finally {
      if (question === this.#question) this.#asked();
      this.#tellAge();
    }
  }

  #sayAsking() {
    this.button?.setAttribute("aria-disabled", "true");
    this.status.textContent = this.say("asking");
  }

  /** The question is answered, or its answer no longer wanted. */
  #asked() {
    this.#question = null;
    this.button?.removeAttribute("aria-disabled");
  }

  /** Take figures as answered now; null takes them away. */
  markAnswered(there) {
    this.#asked();
    this.#answered = there ? { at: new Date(), stale: null } : null;
    if (!this.output) return;
    if (there) this.show();
    else this.#clear();
    this.#tellAge();
  }

  #clear() {
    this.#answered = null;
    this.output.replaceChildren();
    this.status.textContent = "";
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
    if (trouble.kind === "refused") this.showFaults(trouble.facts.errors.map((error) => this.placed(error)));
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
    this.faults.replaceChildren(
      make(
        "ul",
        {},
        faults.map((fault) => make("li", {}, said(fault))),
      ),
    );
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
    const most = Number(this.getAttribute("stale-after")) || STALE_MINUTES;
    // a clock that was set back since cannot tell how old they are
    const old =
      minutes < -1
        ? this.say("stale_clock", { time })
        : minutes > most
          ? this.say("stale_age", { time, minutes: Math.floor(minutes) })
          : "";
    return [stale ? this.say(stale, { time }) : old, this.ageOfInputs(new Date())].filter(Boolean).join(" ");
  }

  ageOfInputs() {
    return "";
  }

  /** Put the answer's parts on the page and announce it in a sentence. */
  show() {
    const time = this.numbers.clock(this.#answered.at);
    this.output.replaceChildren(make("div", { class: "figures" }, this.drawAnswer()));
    const words = [this.headline(), this.warned(), this.say("asked_at", { time })];
    this.status.textContent = words.filter(Boolean).join(" ");
  }

  // -- parts of answers ---------------------------------------------------------------------------------------------

  measureName(name) {
    const [measure, configuration] = name.split("/", 2);
    const key = `measure.${measure}`;
    const text = this.say(key, { configuration });
    return text === key ? measure.replaceAll("_", " ") : text;
  }

  /** A quantity for reading, rounded to the safe side: its number, its spread, and what else is known of it. */
  #read(name, quantity, step = stepOf(name, quantity.unit, quantity.plus_minus), signed = false) {
    const value = rounded(quantity.value, step, safeSide(name, quantity.value));
    const wide = rounded(quantity.plus_minus ?? 0, step, 1);
    const more = [];
    if (quantity.percentiles) more.push(this.#range(quantity.percentiles, step));
    if (quantity.share_without) more.push(this.say("without", { share: this.#share(quantity.share_without) }));
    return {
      number: signed ? this.numbers.signed(value, step) : this.numbers.write(value, step),
      spread: wide ? this.say("spread", { value: this.numbers.write(wide, step) }) : "",
      unit: quantity.unit === "1" ? "" : quantity.unit,
      more,
    };
  }

  #nothing(quantity) {
    return this.say("none", { reason: quantity.reason ?? "" });
  }

  /** Nodes that show a quantity, the exact one at hand. */
  figure(name, quantity, { step, signed, unit: withUnit = false } = {}) {
    if (quantity.value === null) return [make("span", { class: "none" }, this.#nothing(quantity))];
    const { number, spread, unit, more } = this.#read(name, quantity, step, signed);
    const shown = withUnit && unit ? `${number} ${unit}` : number;
    const beside = [spread, ...more].filter(Boolean).map((part) => make("small", {}, ` ${part}`));
    return [make("data", { dir: "ltr", value: quantity.value, title: exactly(quantity) }, shown), ...beside];
  }

  /** A quantity as a sentence holds it. */
  inWords(name, quantity) {
    if (quantity.value === null) return this.#nothing(quantity);
    const { number, spread, unit } = this.#read(name, quantity);
    return [number, spread, unit].filter(Boolean).join(" ");
  }

  #range(percentiles, step) {
    const end = (value, side) =>
      value === null ? this.say("range_open") : this.numbers.write(rounded(value, step, side), step);
    return this.say("range", { low: end(percentiles[5], -1), high: end(percentiles[95], 1) });
  }

  #share(share) {
    return `${this.numbers.write(rounded(share * 100, 0.1, 1), 0.1)} %`;
  }

  /** A goal of the answer, whether it is held, and the chance of it. */
  limit({ measure, goal, target, expected, chance }) {
    const name = this.measureName(measure);
    const number = this.numbers.write(target.value, exactStep(target.value));
    const text = target.unit === "1" ? number : `${number} ${target.unit}`;
    const what = this.say(`limit.${goal}`, { measure: name, target: text });
    const known = expected.value !== null;
    // an expected value that does not exist, as where it cannot take off, holds no limit
    const held = known && (goal === "at_least" ? expected.value >= target.value : expected.value <= target.value);
    const state = !held ? "broken" : (chance?.value ?? 1) < SURE ? "unsure" : "held";
    const verdict = this.say(`limit.${state}`);
    const extra = [this.say("limit.expected", { expected: this.inWords(measure, expected) })];
    if (chance?.value !== null && chance !== undefined)
      extra.push(this.say("limit.chance", { chance: this.#chance(chance.value) }));
    const line = make(
      "li",
      { class: state, "data-measure": measure },
      make("strong", {}, this.say("limit.line", { what, verdict })),
    );
    line.append(make("br"), make("small", {}, extra.join(", ")));
    return { state, line };
  }

  // No estimate is certain, whatever a thousand aeroplanes drawn at random say.
  #chance(value) {
    if (value > 0.99) return this.say("limit.likely");
    if (value < 0.01) return this.say("limit.unlikely");
    return `${this.numbers.write(rounded(value * 100, 1, -1), 1)} %`;
  }

  cautions(cautions, heading = "cautions") {
    const items = cautions.map((one) => this.#caution(one));
    return cautions.length ? [this.heading(1, this.say(heading)), make("ul", { class: "plain cautions" }, items)] : [];
  }

  #caution({ code, severity, text }, after = "") {
    const said = make("strong", {}, `${this.say(`severity_${severity}`)}: `);
    return make("li", { class: severity, "data-code": code }, said, `${text} ${after}`.trim());
  }

  /** The warnings of what is shown, which stand before its figures too; `after` adds words to one. */
  warnings(after = () => "") {
    const items = this.#grave().map((one) => this.#caution(one, after(one)));
    return items.length ? [make("ul", { class: "plain warnings" }, items)] : [];
  }

  #grave() {
    return this.cautionsShown().filter((one) => one.severity === "warning");
  }

  warned() {
    const count = this.#grave().length;
    return count ? this.say("warned", { count }) : "";
  }

  assumed(assumed) {
    if (!assumed.length) return [];
    const value = (one) => (one.value ? ` = ${exactly(one.value, 4)}` : "");
    const said = (one) =>
      this.say("assumed_at", { where: (one.where || this.say("whole_request")) + value(one), what: one.text });
    const items = assumed.map((one) => make("li", {}, said(one)));
    return [
      make("details", {}, make("summary", {}, this.say("assumed", { count: assumed.length })), make("ul", {}, items)),
    ];
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

// -- before and after -----------------------------------------------------------------------------------------------

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
    if (this.choices) this.#refill();
    this.markAnswered(this.#answer);
  }

  forget() {
    super.forget();
    this.#answer = null;
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
    const answered = this.#answer?.options;
    const results = answered?.[0]?.results ?? [];
    const names = (list) => [...new Set(list)];
    const asked = (list) => (list ?? []).map((one) => one.name);
    return {
      option: asked(answered ?? compared),
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
    const labels = {
      option: this.say("before_after.option"),
      loading: this.say("loading"),
      condition: this.say("condition"),
    };
    const fields = Object.entries(this.#lists())
      .filter(([, names]) => names.length)
      .map(([key, names]) => {
        if (!names.includes(this.#chosen[key])) this.#chosen[key] = names[0];
        return this.choice(key, labels[key], names, this.#chosen[key], (event) =>
          this.#choose(key, event.target.value),
        );
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
      const facts = {
        measure: this.measureName(name),
        before: plain(before),
        after: plain(after),
        unit: before.unit,
      };
      return this.say("before_after.headline_part", facts);
    };
    const changes = HEADLINES.filter((name) => result.measures[name]?.before)
      .map(part)
      .filter(Boolean)
      .join(" ");
    return this.say("before_after.headline", { option: option.name, ...result, changes });
  }

  cautionsShown() {
    return this.#scene().option.cautions;
  }

  drawAnswer() {
    const { option, result } = this.#scene();
    const before = ({ code }) =>
      option.exceeded_before.includes(code) ? this.say("before_after.exceeded_before") : "";
    return [
      ...this.warnings(before),
      this.#table(option, result),
      make("p", { class: "hint" }, `${this.say("rounding")} ${this.say("before_after.rounding")}`),
      ...this.#costs(option, result),
      ...this.#targets(option, result),
      ...this.#bought(result),
      ...this.cautions(option.cautions),
      ...this.cautions(this.#answer.cautions, "before_after.cautions_before"),
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
    return make(
      "tbody",
      {},
      make("tr", {}, head),
      list.map(([name, leaf]) => this.#measure(name, leaf)),
    );
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
    const money = ({ value, unit }) =>
      make("data", { value, title: `${value} ${unit}` }, `${this.numbers.write(Math.ceil(value - 1e-6))} ${unit}`);
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
    return lines.length
      ? [this.heading(1, this.say("before_after.targets")), make("ul", { class: "plain" }, lines)]
      : [];
  }

  #bought(result) {
    const shared = flat(result.measures).filter(([, leaf]) => leaf.shares);
    if (!shared.length) return [];
    const names = shared.map(([name]) => name);
    const chosen = names.includes(this.#chosen.measure)
      ? this.#chosen.measure
      : names.includes("best_climb_rate")
        ? "best_climb_rate"
        : names[0];
    const place = make("div", {});
    const draw = (name) => place.replaceChildren(...this.#shares(name, shared.find(([one]) => one === name)[1]));
    const change = (event) => {
      this.#chosen.measure = event.target.value;
      draw(event.target.value);
    };
    const input = make(
      "select",
      { id: "bought", change },
      names.map((name) => make("option", { value: name, selected: name === chosen }, this.measureName(name))),
    );
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
        make("th", { scope: "row", class: "given" }, label),
        make("td", { class: "number change" }, this.figure(name, share, { signed: true })),
        make("td", { class: "bar", "aria-hidden": "true" }, bar),
      );
    const facts = { measure: this.measureName(name), unit: change.unit === "1" ? "" : change.unit };
    return [
      make(
        "table",
        {},
        make("caption", {}, this.say("before_after.bought_caption", facts).replace(/[, ]+$/, "")),
        make(
          "thead",
          {},
          make(
            "tr",
            {},
            make("th", { scope: "col" }, this.say("before_after.change_name")),
            make("th", { scope: "col", class: "number" }, this.say("before_after.share")),
            make("td", {}),
          ),
        ),
        make(
          "tbody",
          {},
          Object.entries(shares).map(([label, share]) => row(label, share, bar(share.value, most))),
        ),
        make("tfoot", {}, row(this.say("before_after.all_changes"), change, null)),
      ),
    ];
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

// -- numbers as typed -----------------------------------------------------------------------------------------------

/**
 * A number as people type it, with a point for its decimal mark; a Trouble where it may be read in two ways.
 * Point and comma are both taken for the decimal mark, whatever the language of the page: its visitors may write as
 * another one does. One mark before exactly three digits might set thousands apart, and is refused.
 */
function readNumber(text) {
  const found = /^([+-]?)(\d*)(?:([.,])(\d+))?$/.exec(text.replace(/[\u2212\u2013]/g, "-"));
  if (!found || !(found[2] || found[4])) throw new Trouble(text ? "number_odd" : "number_none", { text });
  const [, sign, whole, mark, decimals] = found;
  if (mark && decimals.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) throw new Trouble("number_unsure", { text });
  return `${sign === "-" ? "-" : ""}${whole || "0"}${mark ? `.${decimals}` : ""}`;
}

/** A quantity as the service reads it; a unit that was typed stands in place of the one that is selected. */
function readQuantity(text, unit) {
  const [, number, typed] = /^(.*?[\d.,]?)\s*([^\d\s.,+\-\u2212\u2013].*)?$/.exec(text.trim());
  return `${readNumber(number || text.trim())} ${typed ?? unit}`;
}

/** A quantity of the settings in its parts; null where it is none. */
function quantityOf(given) {
  if (typeof given !== "string") return given && Number.isFinite(given.value) ? given : null;
  const found = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([^\d\s.,].*?)?\s*$/i.exec(given);
  return found ? { value: Number(found[1]), unit: found[2] ?? "" } : null;
}

const inText = (given) => (typeof given === "string" ? given : `${given.value} ${given.unit}`);

/** What a card with fields for quantities adds: numbers with units, read and refused in words at their field. */
class FieldCard extends Card {
  /** A number and its unit; `given` is a quantity of the settings, shown as a number of the page's language. */
  quantityField(key, label, units, { given, hint } = {}) {
    const start = given === undefined ? null : quantityOf(given);
    const known = start && !units.includes(start.unit) ? [start.unit, ...units] : units;
    const value = start ? String(start.value).replace(".", this.numbers.decimal) : undefined;
    const input = make("input", {
      type: "text",
      id: key,
      value,
      inputmode: "decimal",
      autocomplete: "off",
      "aria-describedby": `${key}-hint ${key}-fault`,
    });
    const unit = make(
      "select",
      { id: `${key}-unit`, "aria-label": this.say("unit_of", { label }) },
      options(known, start?.unit ?? known[0]),
    );
    return this.#field(key, label, input, hint, unit);
  }

  textField(key, label, hint) {
    const input = make("textarea", {
      id: key,
      rows: "2",
      spellcheck: "false",
      autocomplete: "off",
      autocapitalize: "characters",
      "aria-describedby": `${key}-hint ${key}-fault`,
    });
    return this.#field(key, label, input, hint);
  }

  #field(key, label, input, hint, unit = null) {
    const fault = make("p", { class: "fault", id: `${key}-fault`, hidden: true });
    this.fields.set(key, { input, unit, fault });
    const control = unit ? make("div", { class: "pair" }, input, unit) : input;
    const note = make("p", { class: "hint", id: `${key}-hint` }, hint ?? "");
    return make(
      "div",
      { class: unit ? "field" : "field wide" },
      make("label", { for: key }, label),
      control,
      note,
      fault,
    );
  }

  /** The quantities of these fields, by key; an optional one left blank is left out. Every fault is told at once. */
  read(keys, optional = []) {
    const found = {},
      faults = [];
    for (const key of keys) {
      const { input, unit } = this.fields.get(key);
      if (!input.value.trim() && optional.includes(key)) continue;
      try {
        found[key] = readQuantity(input.value, unit.value);
      } catch (error) {
        if (!(error instanceof Trouble)) throw error;
        faults.push({ key, what: this.say(error.kind, error.facts) });
      }
    }
    if (faults.length) throw new Trouble("typed", { faults });
    return found;
  }

  /** Settings that this element cannot do without. */
  need(config, ...paths) {
    for (const path of paths) {
      const found = path.split(".").reduce((at, name) => at?.[name], config);
      if (found === undefined || found?.length === 0) throw new Trouble("setup_lacks", { what: path });
    }
    return config;
  }

  async readSettings() {
    const config = { ...(await super.readSettings()) };
    for (const name of ["aircraft", "strip", "limits", "loadings"]) {
      if (this.hasAttribute(name)) config[name] = parsed(this.getAttribute(name));
    }
    return this.checked(config);
  }

  withoutSettings() {
    return this.hasAttribute("aircraft") ? {} : super.withoutSettings();
  }
}

// -- conditions today -----------------------------------------------------------------------------------------------

const GOALS = ["at_least", "at_most"];
const REPORT_HOURS = 2;
const MEASURES_TODAY = [
  "best_climb_rate",
  "takeoff_distance_required",
  "takeoff_margin",
  "landing_distance_required",
  "landing_margin",
];

/** When a coded report was made, in the month that brings it nearest to now; null where it does not say. */
function reportTime(report, now) {
  const found = /\b(\d{2})(\d{2})(\d{2})Z\b/.exec(report);
  if (!found) return null;
  const [day, hour, minute] = found.slice(1).map(Number);
  const months = [-1, 0, 1].map((shift) => {
    const time = new Date(Date.UTC(now.getUTCFullYear(), now.getUTCMonth() + shift, day, hour, minute));
    return time.getUTCDate() === day ? time : null; // the 31st of a month that has 30 days is no time at all
  });
  const away = (time) => Math.abs(time - now);
  return months.filter(Boolean).sort((one, other) => away(one) - away(other))[0] ?? null;
}

class Conditions extends FieldCard {
  static observedAttributes = [...Card.observedAttributes, "aircraft", "strip", "limits", "loadings"];

  #asked = null;
  #found = null;

  get kind() {
    return "conditions";
  }

  checked(config) {
    const limits = (config.limits ?? []).filter((limit) => limit.measure === "density_altitude");
    // they are compared here, where no unit is known: in the one that the service is asked to answer in
    const units = limits.flatMap((limit) => {
      const goals = GOALS.filter((goal) => goal in limit);
      return goals.length ? goals.map((goal) => quantityOf(limit[goal])?.unit) : [undefined];
    });
    if (units.some((unit) => !unit) || new Set(units).size > 1) throw new Trouble("setup_limit");
    return this.need(config, "aircraft", "loadings", "strip.elevation");
  }

  leadParts() {
    const { strip } = this.config;
    return { strip: strip.name ?? this.say("conditions.strip"), elevation: inText(strip.elevation) };
  }

  fieldsOfForm() {
    const { loadings } = this.config;
    const t = (key, parts) => this.say(`conditions.${key}`, parts);
    const way = (key, on) => {
      const input = make("input", {
        type: "radio",
        name: "way",
        id: `way-${key}`,
        value: key,
        checked: on,
        change: () => this.#switch(),
      });
      return make("label", { class: "choice" }, input, t(`way_${key}`));
    };
    this.typed = make(
      "div",
      { class: "row" },
      this.quantityField("oat", t("oat"), ["C", "F"]),
      this.quantityField("qnh", t("qnh"), ["hPa", "inHg"]),
      this.quantityField("dew_point", t("dew_point"), ["C", "F"], { hint: t("dew_point_hint") }),
      this.quantityField("headwind", t("headwind"), ["kt", "km/h", "mph", "m/s"], { hint: t("headwind_hint") }),
    );
    this.pasted = make("div", { hidden: true }, this.textField("metar", t("metar"), t("metar_hint")));
    const names = loadings.map((one) => one.name);
    return [
      names.length > 1 ? this.choice("loading", this.say("loading"), names, names[0]) : null,
      make("fieldset", {}, make("legend", {}, t("way")), way("typed", true), way("pasted", false)),
      make("div", { class: "field wide" }, this.typed, this.pasted),
    ];
  }

  get #report() {
    return this.pasted.hidden ? null : this.fields.get("metar").input.value.trim();
  }

  retyped() {
    if (this.pasted) this.#switch();
  }

  #switch() {
    this.pasted.hidden = !this.shadowRoot.getElementById("way-pasted").checked;
    this.typed.hidden = !this.pasted.hidden;
  }

  /** The air as it was typed or pasted. */
  #air() {
    if (this.pasted.hidden) return this.read(["oat", "qnh", "dew_point", "headwind"], ["dew_point", "headwind"]);
    if (this.#report) return { metar: this.#report };
    throw new Trouble("typed", { faults: [{ key: "metar", what: this.say("conditions.metar_none") }] });
  }

  async question() {
    const { aircraft, loadings, strip, limits = [], measures = MEASURES_TODAY, takeoff, landing, climb } = this.config;
    const air = this.#air();
    const chosen = this.fields.get("loading")?.input.value;
    const loading = loadings.find((one) => one.name === chosen) ?? loadings[0];
    const ofAir = limits.filter((limit) => limit.measure === "density_altitude");
    const body = {
      aircraft,
      strip,
      takeoff,
      landing,
      climb,
      measures,
      loadings: [loading],
      conditions: [{ name: this.say("conditions.today"), ...air }],
      targets: limits.filter((limit) => !ofAir.includes(limit)),
    };
    const { headwind, ...still } = air;
    // asked in the unit of the club's limit, so that one number is compared with another of its kind
    const unit = ofAir.map((limit) => quantityOf(limit.at_most ?? limit.at_least)?.unit).find(Boolean);
    const [flight, density] = await Promise.all([
      ask(this.service, "performance", body, this.units),
      ask(
        this.service,
        "density-altitude",
        { elevation: strip.elevation, ...still },
        unit ? inUnits(this.units, { altitude: unit }) : this.units,
      ),
    ]);
    return { flight, density, asked: { air, loading, ofAir } };
  }

  answered({ flight, density, asked }) {
    this.#found = { flight, density };
    this.#asked = asked;
  }

  fieldOf(pointer) {
    const key = pointer.split("/").pop();
    return this.fields.has(key) ? key : this.#report && /^(\/conditions\/0)?\/\w+$/.test(pointer) ? "metar" : null;
  }

  #limits() {
    const { flight, density } = this.#found;
    const ofAir = this.#asked.ofAir.flatMap((limit) =>
      GOALS.filter((goal) => goal in limit).map((goal) => {
        const target = quantityOf(limit[goal]);
        return { measure: "density_altitude", goal, target, expected: density.density_altitude };
      }),
    );
    return [...ofAir, ...(flight.targets ?? [])].map((one) => this.limit(one));
  }

  headline() {
    const { flight, density } = this.#found;
    const measures = { density_altitude: density.density_altitude, ...flight.results[0].measures };
    const said = ["density_altitude", "best_climb_rate", "takeoff_margin"].filter((name) => name in measures);
    const words = said.map((name) =>
      this.say("conditions.headline", { measure: this.measureName(name), value: this.inWords(name, measures[name]) }),
    );
    return [...words, this.#verdict()].join(" ").trim();
  }

  #verdict() {
    const states = this.#limits().map((one) => one.state);
    const count = (state) => states.filter((one) => one === state).length;
    const parts = { broken: count("broken"), unsure: count("unsure"), count: states.length };
    if (!states.length) return this.say("conditions.limits_none");
    if (parts.broken) return this.say("conditions.limits_broken", parts);
    return this.say(parts.unsure ? "conditions.limits_unsure" : "conditions.limits_held", parts);
  }

  cautionsShown() {
    const { flight, density } = this.#found;
    const seen = new Set();
    const once = ({ code, text }) => !seen.has(code + text) && seen.add(code + text);
    return [...flight.cautions, ...density.cautions].filter(once);
  }

  drawAnswer() {
    const { flight, density } = this.#found;
    const limits = this.#limits().map((one) => one.line);
    const tile = ([name, quantity]) =>
      make(
        "div",
        { class: "tile", "data-measure": name },
        make("dt", {}, this.measureName(name)),
        make("dd", {}, this.figure(name, quantity, { unit: true })),
      );
    const measures = flat(flight.results[0].measures);
    return [
      ...this.warnings(),
      make(
        "p",
        { class: "soft" },
        this.say("conditions.for", { loading: this.#asked.loading.name, air: this.#airInWords() }),
      ),
      ...(limits.length
        ? [this.heading(1, this.say("conditions.limits")), make("ul", { class: "plain limits" }, limits)]
        : []),
      make("dl", { class: "tiles" }, [["density_altitude", density.density_altitude], ...measures].map(tile)),
      make("p", { class: "hint" }, this.say("rounding")),
      ...this.cautions(this.cautionsShown()),
      ...this.assumed([...flight.assumed, ...density.assumed]),
      this.provenance(flight.provenance),
    ];
  }

  #airInWords() {
    return Object.entries(this.#asked.air)
      .map(([key, text]) => this.say("conditions.air", { name: this.say(`conditions.${key}`), text }))
      .join(", ");
  }

  /** A coded report grows old by its own clock. */
  ageOfInputs(now) {
    const report = this.#asked?.air.metar;
    if (!report) return "";
    const time = reportTime(report, now);
    if (!time) return this.say("conditions.report_timeless");
    const hours = (now - time) / 3_600_000;
    if (hours < -0.5) return this.say("conditions.report_ahead");
    return hours > REPORT_HOURS
      ? this.say("conditions.report_old", { hours: this.numbers.write(rounded(hours, 0.1, 0), 0.1) })
      : "";
  }
}

// -- balance --------------------------------------------------------------------------------------------------------

const SLATS = 12;
const WING = ["chord", "leading_edge_arm", "root_chord", "tip_chord", "leading_edge_sweep", "root_leading_edge_arm"];

/** What the balance operation takes of an aeroplane. */
function balanceOf({ wing = {}, limits = {}, ...aircraft }) {
  const kept = (from, names) =>
    Object.fromEntries(names.filter((name) => name in from).map((name) => [name, from[name]]));
  return {
    ...kept(wing, WING),
    ...("root_chord" in wing ? kept(wing, ["span"]) : {}),
    ...kept(limits, ["maximum_weight", "forward", "aft"]),
    ...kept(aircraft, ["empty", "scales", "items", "stations", "burn_order", "envelope"]),
  };
}

/** The envelope's corners in numbers of one unit each; null where there are none, or they mix their units. */
function cornersOf({ limits = {}, envelope }, lightest) {
  const { maximum_weight: greatest, forward, aft } = limits;
  const box = forward &&
    aft &&
    greatest && [
      [lightest, forward],
      [greatest, forward],
      [greatest, aft],
      [lightest, aft],
    ];
  const corners = (envelope?.map(({ weight, arm }) => [weight, arm]) ?? box ?? []).map((pair) => pair.map(quantityOf));
  if (!corners.length || corners.some((pair) => pair.includes(null))) return null;
  const one = (k) => new Set(corners.map((pair) => pair[k].unit)).size === 1;
  if (!one(0) || !one(1)) return null;
  return {
    points: corners.map(([weight, arm]) => [weight.value, arm.value]),
    units: corners[0].map(({ unit }) => unit),
  };
}

/** The ranges of arms inside the envelope at a weight: several where it has a bay, none above and below it. */
function rangesAt(points, weight) {
  const greatest = Math.max(...points.map(([w]) => w));
  const arms = points.flatMap(([w, arm], k) => {
    const [next, nextArm] = points[(k + 1) % points.length];
    const [low, high] = [Math.min(w, next), Math.max(w, next)];
    // each corner counts for one of its edges only, so that crossings come in pairs
    const crossed = weight === greatest ? low < weight && weight <= high : low <= weight && weight < high;
    return crossed ? [arm + ((weight - w) / (next - w)) * (nextArm - arm)] : [];
  });
  arms.sort((one, other) => one - other);
  return Array.from({ length: arms.length / 2 }, (_, k) => arms.slice(2 * k, 2 * k + 2));
}

/** States between two, as fuel burns steadily: moment and weight change in proportion. */
function between(from, to, parts) {
  const moment = ([weight, arm]) => weight * arm;
  return Array.from({ length: parts - 1 }, (_, k) => {
    const share = (k + 1) / parts;
    const weight = from[0] + share * (to[0] - from[0]);
    return [weight, (moment(from) + share * (moment(to) - moment(from))) / weight];
  });
}

/** A round step for about so many marks on an axis. */
function tickStep(span, marks) {
  const power = 10 ** Math.floor(Math.log10(span / marks));
  return [1, 2, 5, 10].map((one) => one * power).find((step) => span / step <= marks);
}

class Balance extends FieldCard {
  static observedAttributes = [...Card.observedAttributes, "aircraft", "loadings"];

  #found = null;
  #watch = new ResizeObserver(() => this.#redraw());
  #width = 0;

  get kind() {
    return "balance";
  }

  connectedCallback() {
    super.connectedCallback();
    this.#watch.observe(this);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#watch.disconnect();
  }

  checked(config) {
    return this.need(config, "aircraft.stations");
  }

  fieldsOfForm() {
    const { aircraft, loadings } = this.config;
    const start = loadings?.[0]?.stations ?? {};
    const fields = aircraft.stations.map((station, k) => {
      const units = station.density ? ["L", "US gal", "imp gal", "kg", "lb"] : ["kg", "lb"];
      return this.quantityField(`station-${k}`, station.name, units, {
        given: start[station.name],
        hint: this.#hint(station),
      });
    });
    return make("fieldset", {}, make("legend", {}, this.say("balance.loads")), make("div", { class: "row" }, fields));
  }

  #hint({ capacity, minimum, unusable }) {
    const said = Object.entries({ minimum, capacity, unusable }).filter(([, amount]) => amount);
    return said.map(([key, amount]) => this.say(`balance.${key}`, { amount: inText(amount) })).join(", ");
  }

  async question() {
    const { aircraft } = this.config;
    const loads = this.read(aircraft.stations.map((_, k) => `station-${k}`));
    const loading = Object.fromEntries(aircraft.stations.map(({ name }, k) => [name, loads[`station-${k}`]]));
    const corners = cornersOf(aircraft, "0 kg") ?? cornersOf(aircraft, "0 lb");
    // asked in the envelope's own units, so that the picture draws its corners as they were given
    const units = corners ? inUnits(this.units, { mass: corners.units[0], length: corners.units[1] }) : this.units;
    return { corners, answer: await ask(this.service, "balance", { ...balanceOf(aircraft), loading }, units) };
  }

  answered(found) {
    this.#found = found;
  }

  fieldOf(pointer) {
    const [, where, name] = pointer.split("/").map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"));
    const place =
      where === "loading" ? this.config.aircraft.stations.findIndex((station) => station.name === name) : -1;
    return place < 0 ? null : `station-${place}`;
  }

  /** The states to show, as loaded first, each with its words. */
  #states() {
    const { answer } = this.#found;
    const burned = answer.fuel_burn.map((state) => ({
      ...state,
      name: this.say("balance.burned", { tank: state.burned }),
    }));
    return [{ ...answer, name: this.say("balance.loaded") }, ...burned];
  }

  #place(inside, short = "") {
    return this.say(`balance.${short}${inside === null ? "unknown" : inside ? "inside" : "outside"}`);
  }

  #verdict() {
    const { answer } = this.#found;
    const later = answer.fuel_burn.find((state) => state.in_limits === false);
    const then = answer.in_limits && later ? ` ${this.say("balance.later", { tank: later.burned })}` : "";
    return this.say("balance.now", { place: this.#place(answer.in_limits) }) + then;
  }

  headline() {
    const { weight, cg_arm: arm } = this.#found.answer;
    const parts = { weight: this.inWords("weight", weight), arm: this.inWords("cg_arm", arm) };
    return `${this.#verdict()} ${this.say("balance.headline", parts)}`;
  }

  cautionsShown() {
    return this.#found.answer.cautions;
  }

  drawAnswer() {
    const { answer } = this.#found;
    const inside = answer.in_limits && answer.fuel_burn.every((state) => state.in_limits);
    this.picture = make("div", { class: "picture" });
    this.#redraw(true);
    return [
      ...this.warnings(),
      make(
        "ul",
        { class: "plain" },
        make("li", { class: inside ? "held" : "broken" }, make("strong", {}, this.#verdict()), this.#room(answer)),
      ),
      this.picture,
      this.#table(),
      make("p", { class: "hint" }, this.say("rounding")),
      ...this.cautions(this.cautionsShown()),
      ...this.assumed(answer.assumed),
      this.provenance(answer.provenance),
    ];
  }

  /** How far from the limits: what is left inside them, or what is too much. */
  #room({ weight_margin: weight, cg_margin: arm }) {
    const far = (key, name, quantity) =>
      quantity.value < 0
        ? this.say(`balance.${key}_over`, {
            room: this.inWords(`${name}_excess`, { ...quantity, value: -quantity.value }),
          })
        : this.say(`balance.${key}_room`, { room: this.inWords(`${name}_margin`, quantity) });
    const said = [
      weight.value === null ? "" : far("weight", "weight", weight),
      arm.value === null ? this.say("balance.arm_none", arm) : far("arm", "cg", arm),
    ];
    return [make("br"), make("small", {}, said.filter(Boolean).join(" "))];
  }

  #table() {
    const states = this.#states();
    const heads = [
      ["balance.state"],
      ["measure.weight", "weight"],
      ["measure.cg_arm", "cg_arm"],
      ["balance.margin", "cg_margin"],
      ["balance.verdict"],
    ];
    const head = ([key, name]) =>
      make(
        "th",
        { scope: "col", class: name && "number" },
        this.say(key),
        name && make("small", {}, states[0][name].unit),
      );
    const row = (state) =>
      make(
        "tr",
        {},
        make("th", { scope: "row", class: "given" }, state.name),
        ["weight", "cg_arm", "cg_margin"].map((name) =>
          make(
            "td",
            { class: "number", "data-measure": name },
            state[name].value === null ? this.say("balance.no_figure") : this.figure(name, state[name]),
          ),
        ),
        make("td", {}, this.#place(state.in_limits, "short_")),
      );
    return make(
      "table",
      {},
      make("caption", {}, this.say("balance.caption")),
      make("thead", {}, make("tr", {}, heads.map(head))),
      make("tbody", {}, states.map(row)),
    );
  }

  // Drawn anew at another width, so that its letters keep their size on a phone.
  #redraw(anew = false) {
    if (!this.picture) return;
    const width = Math.round(Math.min(640, Math.max(270, this.clientWidth - 30)));
    if (!anew && width === this.#width) return;
    this.#width = width;
    const { corners } = this.#found;
    this.picture.replaceChildren(
      corners ? this.#ladder(corners.points, width) : make("p", { class: "soft" }, this.say("balance.no_picture")),
    );
  }

  /** The permitted arms as a ladder of slats, one for each of some weights, and the aeroplane as an upright mark. */
  #ladder(points, width) {
    const { answer } = this.#found;
    const states = this.#states().map((state) => [state.weight.value, state.cg_arm.value]);
    const weights = points.map(([weight]) => weight);
    const greatest = Math.max(...weights);
    // a box of two limits has no least weight of its own: it is drawn from a little below what is shown
    const least = Math.min(...weights) || Math.min(greatest, ...states.map(([weight]) => weight)) * 0.95;
    const rung = (k) => Math.min(greatest, least + (k * (greatest - least)) / (SLATS - 1));
    const rungs = Array.from({ length: SLATS }, (_, k) => rung(k));
    const frame = new Frame(
      width,
      [least, greatest, ...states.map(([w]) => w)],
      [...points, ...states].map(([, arm]) => arm),
    );
    // the slat of the loaded weight takes the place of one that it would cover
    const apart = rungs.filter((weight) => Math.abs(frame.y(weight) - frame.y(states[0][0])) > 13);
    const slats = apart.flatMap((weight) => frame.slats(weight, rangesAt(points, weight), "slat"));
    const own = frame.slats(states[0][0], rangesAt(points, states[0][0]), "own");
    const burning = states.slice(1).flatMap((state, k) => [...between(states[k], state, 4), state]);
    const marks = [frame.path([states[0], ...burning]), ...burning.map((state) => frame.mark(state, 8, "burnt"))];
    const inside = answer.in_limits ? "loaded" : "loaded out";
    const labels = [
      frame.label(states[0], this.say("balance.mark", { place: this.#place(answer.in_limits, "short_") }), -21),
    ];
    if (burning.length) labels.push(frame.label(burning.at(-1), this.say("balance.mark_burnt"), 22));
    const axes = frame.axes(
      this.numbers,
      this.say("balance.axis_weight", answer.weight),
      this.say("balance.axis_arm", answer.cg_arm),
    );
    const facts = { "aria-label": `${this.say("balance.picture")} ${this.headline()}`, role: "img" };
    return shape(
      "svg",
      { viewBox: `0 0 ${width} ${frame.height}`, width, ...facts },
      ...axes,
      ...slats,
      ...own,
      ...marks,
      frame.mark(states[0], 16, inside),
      ...labels,
    );
  }
}

/** Where weights and arms lie in the picture of the balance, and the shapes it is made of. */
class Frame {
  constructor(width, weights, arms) {
    this.width = width;
    this.height = 380;
    this.box = { left: 52, right: width - 14, top: 46, bottom: 316 };
    const pad = (Math.max(...arms) - Math.min(...arms)) * 0.08 || 0.1;
    this.arms = [Math.min(...arms) - pad, Math.max(...arms) + pad];
    this.weights = [Math.min(...weights), Math.max(...weights)];
  }

  x(arm) {
    const [low, high] = this.arms;
    return this.box.left + ((arm - low) / (high - low)) * (this.box.right - this.box.left);
  }

  y(weight) {
    const [low, high] = this.weights;
    return this.box.bottom - 14 - ((weight - low) / (high - low || 1)) * (this.box.bottom - this.box.top - 14);
  }

  slats(weight, ranges, kind) {
    const y = this.y(weight);
    if (!ranges.length)
      return [shape("line", { class: `${kind} none`, x1: this.box.left, x2: this.box.right, y1: y, y2: y })];
    return ranges.map(([forward, aft]) => {
      const x = this.x(forward);
      const facts = { "data-weight": weight, "data-forward": forward, "data-aft": aft };
      const width = Math.max(1, this.x(aft) - x);
      return shape("rect", { class: kind, x, y: y - 5, width, height: 10, rx: 3, ...facts });
    });
  }

  mark([weight, arm], half, kind) {
    const wide = half > 10 ? 8 : 4;
    return shape("rect", {
      class: kind,
      x: this.x(arm) - wide / 2,
      y: this.y(weight) - half,
      width: wide,
      height: 2 * half,
      rx: 1,
    });
  }

  path(states) {
    return shape("polyline", {
      class: "path",
      points: states.map(([weight, arm]) => `${this.x(arm)},${this.y(weight)}`).join(" "),
    });
  }

  label([weight, arm], text, below) {
    const x = this.x(arm);
    // about as wide as its letters, and kept inside the picture
    const place = Math.max(this.box.left, Math.min(x - 4, this.box.right - 7.6 * text.length));
    return shape("text", { class: "name", x: place, y: this.y(weight) + below }, text);
  }

  axes(numbers, weightName, armName) {
    const { left, right, top, bottom } = this.box;
    const marks = (range, many) => {
      const step = tickStep(range[1] - range[0] || 1, many);
      const first = Math.ceil(range[0] / step);
      const count = Math.floor(range[1] / step + 1e-9) - first + 1;
      return Array.from({ length: Math.max(0, count) }, (_, k) => [
        (first + k) * step,
        numbers.write((first + k) * step, step),
      ]);
    };
    const weights = marks(this.weights, 6).map(([at, text]) =>
      shape("text", { x: left - 8, y: this.y(at) + 4, "text-anchor": "end" }, text),
    );
    const arms = marks(this.arms, this.width < 400 ? 4 : 7).flatMap(([at, text]) => [
      shape("line", { class: "tick", x1: this.x(at), x2: this.x(at), y1: bottom, y2: bottom + 6 }),
      shape("text", { x: this.x(at), y: bottom + 22, "text-anchor": "middle" }, text),
    ]);
    return [
      shape("line", { class: "tick", x1: left, x2: right, y1: bottom, y2: bottom }),
      ...weights,
      ...arms,
      shape("text", { class: "axis", x: 2, y: top - 30 }, weightName),
      shape("text", { class: "axis", x: right, y: bottom + 46, "text-anchor": "end" }, armName),
    ];
  }
}

// -- register -------------------------------------------------------------------------------------------------------

const ELEMENTS = {
  "climbwright-conditions": Conditions,
  "climbwright-balance": Balance,
  "climbwright-before-after": BeforeAfter,
};

// A page may load two copies of this file: the first one serves it.
for (const [name, element] of Object.entries(ELEMENTS))
  if (!customElements.get(name)) customElements.define(name, element);
