// An aeroplane packed into a parameter of a GET, which fits into a cell of a spreadsheet.

export const LONGEST = 1500;

/** zlib-compressed JSON in base64url without padding. */
export async function pack(aircraft) {
  const stream = new Blob([JSON.stringify(aircraft)]).stream().pipeThrough(new CompressionStream("deflate"));
  const bytes = new Uint8Array(await new Response(stream).arrayBuffer());
  const text = btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
  return text.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}
