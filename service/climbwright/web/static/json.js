// JSON as the service reads it: what JSON.parse would quietly change is refused here, so that nothing is lost on the way.

const TOKEN = /"(?:[^"\\]|\\.)*"|[{}[\]:,]|[^\s{}[\]:,"]+/g;

/** A key that an object has twice, of which JSON.parse keeps the last only. The text must be valid JSON. */
function doubledKey(text) {
  const tokens = text.match(TOKEN) ?? [];
  const objects = [];
  for (const [at, token] of tokens.entries()) {
    if (token === "{" || token === "[") objects.push(new Set());
    else if (token === "}" || token === "]") objects.pop();
    else if (tokens[at + 1] === ":") {
      const key = JSON.parse(token);
      if (objects.at(-1).has(key)) return key;
      objects.at(-1).add(key);
    }
  }
  return undefined;
}

function refuseEndless(key, value) {
  if (typeof value === "number" && !Number.isFinite(value)) throw new SyntaxError(`the number of "${key}" is too large`);
  return value;
}

/** The object that a text of JSON holds; a SyntaxError says why there is none. */
export function readObject(text) {
  const value = JSON.parse(text, refuseEndless);
  const doubled = doubledKey(text);
  if (doubled !== undefined) throw new SyntaxError(`"${doubled}" stands twice in one object`);
  if (value === null || typeof value !== "object" || Array.isArray(value)) throw new SyntaxError("an object in braces is needed");
  return value;
}

export const writeObject = (value) => JSON.stringify(value, null, 2);
