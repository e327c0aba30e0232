// @ts-check
// What the build knows of Python's files: it says so in a line before the worker's text.

/** @type {Record<string, string>} the digest of each file, as the attribute integrity has it */
export const PACKED = /** @type {any} */ (self).PACKED;

/** Whether a file came as it was built; where the browser doesn't tell, it did. @param {string} name @param {ArrayBuffer | Uint8Array<ArrayBuffer>} content */
export async function whole(name, content) {
  if (!crypto.subtle) return true; // a page that came by plain HTTP
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return PACKED[name] === `sha256-${btoa(String.fromCharCode(...digest))}`;
}
