// Asks the service, and tells apart what can come back.

/** The path of the request, with the units that the answer shall have. */
export const path = (units) => `/v1/comparison?${new URLSearchParams({ units })}`;

/** A body that is not JSON is none of the service's. */
async function bodyOf(reply) {
  try {
    return await reply.json();
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

const isFault = (error) => typeof error?.pointer === "string" && typeof error.detail === "string";

async function outcome(reply) {
  const body = await bodyOf(reply);
  if (reply.ok && body?.options?.length) return { answer: body };
  const isProblem = typeof body?.detail === "string" && Array.isArray(body.errors) && body.errors.every(isFault);
  if (!reply.ok && isProblem) return { problem: body };
  return { words: `Something between here and the service answered with status ${reply.status}. Try again later.` };
}

const PATIENCE = 60_000; // milliseconds

/** Posts a request: `{answer}`, `{problem}` where the service refuses, or `{words}` where it did not answer. */
export async function compare(text, units) {
  const headers = { "Content-Type": "application/json" };
  try {
    return await outcome(await fetch(path(units), { method: "POST", headers, body: text, signal: AbortSignal.timeout(PATIENCE) }));
  } catch (error) {
    if (error.name === "TimeoutError") return { words: "The service did not answer within a minute. Try again later." };
    return { words: "The service cannot be reached. Is it running, and are you connected? Nothing that you typed is lost." };
  }
}
