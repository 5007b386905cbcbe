// What stands first, and in which words. What is not named here is shown too, after what is: the fields themselves, their
// meaning, their examples and which are needed come from the OpenAPI document.

/** The sections of the page: where they go, and which fields of the request they show. */
export const SECTIONS = {
  aeroplane: ["baseline"],
  options: ["options"],
  loadings: ["loadings"],
  conditions: ["conditions"],
  flying: ["strip", "takeoff", "landing", "climb", "cruise", "turn"],
  asked: ["shares", "targets", "measures", "observations"],
};

/** Fields shown at once even when nothing stands in them; without an entry, those that are needed. */
export const FIRST = {
  ComparisonRequest: ["shares"],
  Aircraft: ["name"],
  Wing: ["area", "span", "chord", "leading_edge_arm"],
  Limits: ["maximum_weight", "forward", "aft"],
  Station: ["name", "arm", "capacity", "density"],
  Scale: ["name", "weight", "tare", "arm"],
  Item: ["name", "weight", "arm"],
  Engine: ["power", "speed", "reduction", "power_margin"],
  Propeller: ["kind", "diameter", "pitch_class", "best_efficiency", "best_efficiency_speed", "static_speed"],
  PitchSetting: ["name", "pitch_class"],
  Drag: ["airframe_class", "parasite_area", "span_efficiency"],
  Stall: ["configuration", "speed", "weight", "arm"],
  SpeedLimits: ["never_exceed", "smooth_air", "flaps"],
  Rules: ["name", "maximum_weight", "stall_speed", "level_speed"],
  AirspeedErrors: ["near_stall", "cruise"],
  AddChange: ["name", "weight", "arm", "cost"],
  RemoveChange: ["name", "weight", "arm"],
  MoveChange: ["name", "weight", "from_arm", "to_arm"],
  EngineChange: ["name", "cost", "group", "removed", "fitted", "engine"],
  PropellerChange: ["name", "cost", "group", "removed", "fitted", "propeller"],
  DragChange: ["name", "parasite_area_change", "cost"],
  LiftChange: ["name", "maximum_lift_gain", "configuration", "cost"],
  WingChange: ["name", "area", "span", "chord", "leading_edge_arm", "cost"],
  StationChange: ["name", "station", "cost"],
  Condition: ["name", "elevation", "qnh", "oat", "dew_point", "metar", "density_altitude", "headwind"],
  AirAsFlown: ["name"],
  Strip: ["name", "length", "slope", "surface", "obstacle_height"],
  TakeOff: ["configuration", "technique_factor"],
  Landing: ["configuration", "technique_factor"],
  Climb: ["speed", "configuration", "to_altitude"],
  Cruise: ["power_fraction", "reserve"],
  Turn: ["bank"],
  Chance: ["measure", "at_least", "at_most"],
};

const AIR = {
  label: "How the air is given",
  ways: [
    ["Elevation, QNH and temperature", ["elevation", "qnh", "oat", "dew_point"]],
    ["Density altitude alone", ["density_altitude"]],
    ["Elevation and a coded weather report", ["elevation", "metar"]],
    ["Pressure altitude and temperature", ["pressure_altitude", "oat", "dew_point"]],
    ["Station pressure and temperature", ["station_pressure", "oat", "dew_point"]],
  ],
};

/** Fields that stand in place of each other: the reader chooses one way. */
export const WAYS = {
  Condition: AIR,
  AirAsFlown: AIR,
  Aircraft: {
    label: "How it was weighed",
    ways: [
      ["Empty weight and its arm", ["empty"]],
      ["Readings of the scales", ["scales"]],
    ],
  },
};

/** Parts of an aeroplane; a field that no part names stands in the last. */
export const PARTS = {
  Aircraft: [
    ["Wing", ["wing"]],
    ["Weighing", ["empty", "scales", "items"]],
    ["Limits", ["limits", "envelope", "speed_limits", "rules"]],
    ["Stations", ["stations", "burn_order"]],
    ["Engine", ["engine"]],
    ["Propeller", ["propeller"]],
    ["Drag", ["drag"]],
    ["Stalls", ["stalls"]],
    ["Tail and airspeed", ["tail_arm", "airspeed_correction", "airspeed_errors"]],
  ],
};

/** Lists whose items fold, and objects that do. */
export const FOLDED = new Set([
  "changes", "loadings", "conditions", "targets", "observations",
  "strip", "takeoff", "landing", "climb", "cruise", "turn",
]);

/** Names that are not words as they stand. */
const LABELS = {
  qnh: "QNH (altimeter setting)",
  oat: "Outside air temperature",
  metar: "Coded weather report",
  cg: "CG",
  takeoff: "Take-off",
  arm: "Arm",
  of: "Flown on",
  shares: "What each change bought",
  baseline: "Aeroplane",
};

/** Kinds of a change, told as what happens to the aeroplane. */
const CHANGES = {
  add: "Something added",
  remove: "Something taken out",
  move: "Something moved",
  engine: "Another engine",
  propeller: "Another propeller",
  drag: "More or less drag",
  lift: "More or less lift",
  wing: "Another wing",
  station: "Another station",
};

const SINGULAR = {
  envelope: "corner of the envelope",
  airspeed_correction: "line of the airspeed correction",
};

/** The words for a field's name. */
export function labelOf(name) {
  const words = String(name).replaceAll("_", " ");
  return Object.hasOwn(LABELS, name) ? LABELS[name] : words.charAt(0).toUpperCase() + words.slice(1);
}

/** Words that begin a sentence, within one: abbreviations stay as they are. */
export const inSentence = (words) => (/^[A-Z]{2}/.test(words) ? words : words.charAt(0).toLowerCase() + words.slice(1));

/** The words for a kind of change. */
export const changeOf = (kind) => (Object.hasOwn(CHANGES, kind) ? CHANGES[kind] : labelOf(kind));

/** What one item of a list is called. */
export const itemOf = (name) => SINGULAR[name] ?? String(name).replaceAll("_", " ").replace(/s$/, "");
