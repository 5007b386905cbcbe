// The main job with the types that openapi-typescript makes of the document: build the comparison, send it, read its
// measures. The aeroplane is the invented one of openapi/examples/comparison.json. Run as: node main_job.js ADDRESS

import type { components } from "./climbwright";

type Schemas = components["schemas"];
type Measures = Schemas["ComparisonAnswer"]["options"][number]["results"][number]["measures"];

declare const process: { argv: string[] };

const baseline: Schemas["Aircraft"] = {
  name: "Example A, an invented two-seat high wing",
  wing: { area: "14.6 m2", span: "10.2 m", chord: "1.43 m", leading_edge_arm: "0.05 m" },
  scales: [
    { name: "left main", weight: "150.5 kg", tare: "1.0 kg", arm: "0.15 m" },
    { name: "right main", weight: "152.0 kg", tare: "1.0 kg", arm: "0.15 m" },
    { name: "tail", weight: "22.0 kg", tare: "0.5 kg", arm: "4.62 m" },
  ],
  items: [{ name: "oil", weight: "3.6 kg", arm: "-0.78 m" }],
  limits: {
    maximum_weight: "590 kg",
    forward: "0.34 m",
    aft: "0.60 m",
    load_factor: "3.8",
    load_factor_weight: "560 kg",
  },
  stations: [
    { name: "pilot", arm: "0.52 m", minimum: "58 kg", capacity: "110 kg" },
    { name: "passenger", arm: "0.52 m", capacity: "110 kg" },
    { name: "baggage", arm: "1.20 m", capacity: "15 kg" },
    { name: "fuel", arm: "0.66 m", capacity: "70 L", density: "0.72 kg/L", unusable: "2 L" },
  ],
  engine: { power: "85 hp", speed: "2575 rpm", lapse_constant: "0.117", power_margin: "0.90" },
  propeller: {
    kind: "fixed-pitch",
    diameter: "1.80 m",
    best_efficiency: { value: 0.72, plus_minus: 0.02 },
    best_efficiency_speed: "80 kt",
    static_speed: "2300 rpm",
  },
  drag: { parasite_area: { value: 0.68, unit: "m2", plus_minus: 0.06 }, span_efficiency: "0.75" },
  stalls: [
    { configuration: "clean", speed: "38 kt", weight: "520 kg", arm: "0.47 m" },
    { configuration: "full flap", speed: "34 kt", weight: "520 kg", arm: "0.47 m" },
  ],
  tail_arm: "4.1 m",
  speed_limits: { never_exceed: "108 kt", smooth_air: "88 kt", flaps: "62 kt" },
};

const engine: Schemas["EngineChange"] = {
  kind: "engine",
  name: "engine, mount and cooling",
  engine: {
    power: "112 hp",
    speed: "5500 rpm",
    reduction: "2.43",
    lapse_constant: "0.117",
    power_margin: "0.95",
    power_limit: "115 hp",
  },
  removed: { weight: "92 kg", arm: "-0.71 m" },
  fitted: { weight: "84 kg", arm: "-0.78 m" },
  cost: "13400 EUR",
};

const propeller: Schemas["PropellerChange"] = {
  kind: "propeller",
  name: "propeller",
  propeller: {
    kind: "fixed-pitch",
    diameter: "1.75 m",
    best_efficiency: { value: 0.7, plus_minus: 0.03 },
    best_efficiency_speed: "78 kt",
    static_speed: "5100 rpm",
  },
  removed: { weight: "11.5 kg", arm: "-1.15 m" },
  fitted: { weight: "7.5 kg", arm: "-1.22 m" },
  cost: "1650 EUR",
};

const question: Schemas["ComparisonRequest"] = {
  baseline,
  options: [
    {
      name: "geared 112 hp engine",
      changes: [
        engine,
        propeller,
        { kind: "add", name: "radiator and coolant", weight: "7 kg", arm: "-0.35 m", cost: "420 EUR" },
        { kind: "remove", name: "old gauges", weight: "6.4 kg", arm: "0.12 m" },
        { kind: "add", name: "new panel", weight: "2.7 kg", arm: "0.12 m", cost: "1900 EUR" },
        { kind: "drag", name: "radiator drag", parasite_area_change: "0.02 m2" },
        {
          kind: "lift",
          name: "vortex generators",
          maximum_lift_gain: { value: 9, unit: "%", plus_minus: 5 },
          cost: "260 EUR",
        },
      ],
    },
  ],
  loadings: [
    { name: "solo", stations: { pilot: "84 kg", passenger: "0 kg", baggage: "5 kg", fuel: "40 L" } },
    { name: "two-up", stations: { pilot: "84 kg", passenger: "71 kg", baggage: "5 kg", fuel: "60 L" } },
  ],
  conditions: [
    {
      name: "cool morning at Example Mesa",
      elevation: "6150 ft",
      qnh: "1021 hPa",
      oat: "11 C",
      dew_point: "4 C",
      headwind: "0 kt",
    },
    {
      name: "summer noon at Example Mesa",
      elevation: "6150 ft",
      qnh: "1016 hPa",
      oat: "33 C",
      dew_point: "6 C",
      headwind: "6 kt",
    },
  ],
};

/** One number of an answer: null where there is none, and why. */
function numberOf(answer: Schemas["Answer"]): number | null {
  if (Array.isArray(answer.value)) throw new Error("a list was not asked for");
  return answer.value;
}

function line(measures: Measures) {
  const { weight, best_climb_rate: climb, stall_speed_calibrated: stall } = measures;
  if (!weight || !climb || !stall) throw new Error("these are always answered");
  return {
    weight: numberOf(weight.after),
    climb: [numberOf(climb.before), numberOf(climb.after), numberOf(climb.change)],
    spread: climb.change.plus_minus,
    stall: [numberOf(stall.before), numberOf(stall.after), stall.change.unit],
  };
}

async function compare(address: string): Promise<Schemas["ComparisonAnswer"]> {
  const answer = await fetch(`${address}/v1/comparison`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(question),
  });
  if (!answer.ok) {
    const problem = (await answer.json()) as Schemas["Problem"];
    throw new Error(problem.errors.map(({ pointer, detail }) => `${pointer}: ${detail}`).join("\n"));
  }
  return (await answer.json()) as Schemas["ComparisonAnswer"];
}

/** Mistakes that the types find: each must be one, or this file does not compile. */
export const mistakes = (measures: Measures): unknown[] => [
  // @ts-expect-error a weight without its unit
  { kind: "add", name: "new panel", weight: 2.7, arm: "0.12 m" } satisfies Schemas["AddChange"],
  // @ts-expect-error an engine change that forgets what is taken out
  { kind: "engine", name: "engine", engine: {}, fitted: { weight: "84 kg", arm: "-0.78 m" } } satisfies Schemas["EngineChange"],
  // @ts-expect-error a field misspelt
  { name: "noon", elevation: "6150 ft", qnh: "1016 hPa", oat: "33 C", dewpoint: "6 C" } satisfies Schemas["Condition"],
  // @ts-expect-error a measure misspelt
  measures.best_climb_rat,
];

const { options } = await compare(process.argv[2] ?? "http://127.0.0.1:8000");
console.log(JSON.stringify(options.map(({ results }) => results.map(({ measures }) => line(measures)))));
