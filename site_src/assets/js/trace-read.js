// @ts-check
// One bench file into the core, piece by piece: the page never holds more of it than a piece.
const PIECE = 1 << 20; // bytes
const HEAD = 1 << 16; // bytes from which columns and units are recognised
export const LARGEST = 100 * 1024 * 1024; // bytes

/** @typedef {{role: string, place: number, unit: string, reverse: boolean}} Correction */
/**
 * A file, and what is known of it; `held` while the core has its report, `fault` if it cannot be read.
 * @typedef {{id: string, file: File, name: string, corrections: Correction[], held: boolean, rows: number, figures: any, fault: string}} Trace
 */
/** @typedef {(op: string, args: import("./protocol.js").Arguments) => Promise<any>} Ask */

let last = 0;

/** @param {File} file @returns {Trace} */
export function traceOf(file) {
  last += 1;
  return { id: `trace-${last}`, file, name: file.name, corrections: [], held: false, rows: 0, figures: null, fault: "" };
}

/** @param {Trace} trace @returns {Promise<ArrayBuffer>} */
const head = (trace) => trace.file.slice(0, HEAD).arrayBuffer();

/** How the file is read: columns, units, first lines. @param {Ask} ask @param {Trace} trace */
export async function layoutOf(ask, trace) {
  return ask("trace.layout", { piece: await head(trace), corrections: trace.corrections });
}

/**
 * Read the whole file and measure it.
 * @param {Ask} ask @param {Trace} trace @param {(share: number | null, rows: number) => void} told  null: it is measured now
 */
export async function readTrace(ask, trace, told) {
  const { file, id, corrections } = trace;
  if (file.size > LARGEST) throw new Error("The file is larger than 100 MB. Cut it, or thin it out.");
  if (file.size === 0) throw new Error("The file is empty.");
  for (let start = 0; start < file.size; start += PIECE) {
    const piece = await file.slice(start, start + PIECE).arrayBuffer();
    const { rows } = start === 0
      ? await ask("trace.begin", { id, piece, corrections })
      : await ask("trace.feed", { id, piece });
    told(Math.min(1, (start + PIECE) / file.size), rows);
  }
  told(null, 0);
  const { rows, figures } = await ask("trace.finish", { id });
  Object.assign(trace, { rows, figures, held: true, fault: "" });
}
