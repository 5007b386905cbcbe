// The request as a command for a shell.

import { writeObject } from "./json.js";
import { path } from "./request.js";

/**
 * The command that asks exactly this. The body goes in as it stands, with no quoting: no line of JSON is the word that
 * ends it, and a quoted word keeps the shell from reading anything in it.
 */
export function curlCommand(origin, request, units) {
  const head = `curl -s '${origin}${path(units)}' \\\n  -H 'Content-Type: application/json' --data-binary @- <<'REQUEST'`;
  return `${head}\n${writeObject(request)}\nREQUEST\n`;
}
