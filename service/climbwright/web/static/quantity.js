// A quantity as one line of text, "0.68 m2 ± 0.06", and as the service takes it.

const NUMBER = "[+-]?(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d+)?";
const SPREAD = new RegExp(`^\\s*(${NUMBER})\\s*(.*?)\\s*(?:±|\\+/-)\\s*(${NUMBER})\\s*$`);

/** The text that shows a quantity, or undefined where one line cannot show it. */
export function shownQuantity(value) {
  if (typeof value === "string") return value;
  if (typeof value === "number") return String(value);
  if (value === null || typeof value !== "object" || typeof value.value !== "number") return undefined;
  const { value: number, unit = "", plus_minus: spread, ...rest } = value;
  if (Object.keys(rest).length || typeof unit !== "string" || !["number", "undefined"].includes(typeof spread)) return undefined;
  const plain = unit === "" || unit === "1" ? `${number}` : `${number} ${unit}`;
  return spread === undefined ? plain : `${plain} ± ${spread}`;
}

/** What to send for a text. What is no quantity goes as it was typed: the service says what is wrong with it. */
export function readQuantity(text) {
  const [, number, unit, spread] = SPREAD.exec(text) ?? [];
  if (number === undefined) return text.trim();
  return { value: Number(number), ...(unit && { unit }), plus_minus: Number(spread) };
}
