// @ts-check
// A job on its way out and in: as a file, and as a link that carries it in the fragment of the address.
const MARK = "#job=";
const LONGEST = 6000; // characters of a link's fragment; longer ones are cut off by mail and chat programs
export const LARGEST = 5_000_000; // bytes of a job

/** @param {string} title @returns {string} a name that every file system takes */
export function fileName(title) {
  const plain = title.normalize("NFKD").replace(/[^\w .-]+/g, "").trim().replace(/\s+/g, "-").slice(0, 60);
  return plain.replace(/^[.-]+/, "") || "job";
}

/** @param {File} file @returns {Promise<string>} */
export async function readFile(file) {
  if (file.size > LARGEST) throw new Error(`The file has ${file.size} bytes; at most ${LARGEST} are read.`);
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: false }).decode(await file.arrayBuffer());
  } catch {
    throw new Error("The file is damaged, or it is no text in UTF-8.");
  }
}

/** @param {ReadableStream<Uint8Array>} stream @param {number} most @returns {Promise<Uint8Array<ArrayBuffer>>} */
async function gather(stream, most) {
  const reader = stream.getReader();
  /** @type {Uint8Array[]} */
  const parts = [];
  let size = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    size += value.length;
    if (size > most) {
      reader.cancel().catch(() => {});
      throw new Error("The job in the link is too large.");
    }
    parts.push(value);
  }
  const whole = new Uint8Array(size);
  let place = 0;
  for (const part of parts) {
    whole.set(part, place);
    place += part.length;
  }
  return whole;
}

/** @param {Uint8Array<ArrayBuffer>} bytes @param {CompressionStream | DecompressionStream} through */
function passed(bytes, through) {
  return gather(new Blob([bytes]).stream().pipeThrough(through), LARGEST);
}

/** @param {string} text of a job @returns {Promise<string>} the fragment with its #, empty if it would be too long */
export async function toLink(text) {
  const packed = await passed(new TextEncoder().encode(text), new CompressionStream("deflate-raw"));
  if (packed.length > LONGEST) return ""; // each byte takes more than one character
  const letters = btoa(String.fromCharCode(...packed));
  const fragment = MARK + letters.replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
  return fragment.length > LONGEST ? "" : fragment;
}

/** @param {string} fragment @returns {boolean} */
export function isLink(fragment) {
  return fragment.startsWith(MARK);
}

/** @param {string} fragment @returns {Promise<string>} the text of a job */
export async function fromLink(fragment) {
  if (fragment.length > LONGEST) throw new Error("The link is too long to be whole.");
  try {
    const letters = atob(fragment.slice(MARK.length).replaceAll("-", "+").replaceAll("_", "/"));
    const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    return new TextDecoder("utf-8", { fatal: true }).decode(await passed(bytes, new DecompressionStream("deflate-raw")));
  } catch {
    throw new Error("The link is damaged: the job in it cannot be read.");
  }
}
