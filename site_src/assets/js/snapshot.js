// @ts-check
// The memory of a Python that has started and imported the core: the next one starts sooner from it.
// site_src/runtime/snapshot.mjs says how the file is made up; the build says its name.

import { PACKED } from "./packed.js";

const name = Object.keys(PACKED).find((one) => one.startsWith("snapshot-")) ?? "";
const kept = `${name}?kept=${name.slice("snapshot-".length, -".bin".length)}`; // where sw-worker.js keeps it
const QUICK = 12_000; // bytes a millisecond: it is large, and on a slower line costs more time than it saves
const PATIENCE = 300; // ms, after which a line is none that quick

/**
 * The file, where it saves time: from what the device keeps, from the browser's cache, or over a
 * quick line. How quick it is, another file shows that is coming.
 * @param {string} folder @param {string} other @param {Promise<unknown>} coming  the other file
 * @returns {Promise<Response | undefined>}
 */
export async function snapshot(folder, other, coming) {
  const held = await self.caches?.match(folder + kept);
  if (held) return held;
  await Promise.race([coming, new Promise((resolve) => { setTimeout(resolve, PATIENCE); })]);
  const [timing] = /** @type {PerformanceResourceTiming[]} */ (performance.getEntriesByName(folder + other));
  if (!timing) return undefined;
  const { transferSize, encodedBodySize, responseEnd, requestStart } = timing;
  const integrity = PACKED[name];
  if (transferSize < encodedBodySize) { // the other file was in the cache: perhaps this one is too
    return fetch(folder + name, { integrity, mode: "same-origin", cache: "only-if-cached" });
  }
  const { connection } = /** @type {any} */ (navigator);
  const quick = encodedBodySize > QUICK * (responseEnd - requestStart) && !connection?.saveData;
  return quick ? fetch(folder + name, { integrity, priority: "low" }) : undefined;
}

/**
 * Unpack it in two steps: how large the memory is, and what is in it.
 * @param {Response} response @returns {Promise<{memory: Uint8Array, fill: () => Promise<void>}>}
 */
export async function unpacked(response) {
  const reader = /** @type {ReadableStream<Uint8Array>} */ (
    response.body?.pipeThrough(new DecompressionStream("gzip"))).getReader();
  /** @type {Uint8Array} */
  let held = new Uint8Array();
  /** @param {number} bytes */
  const hold = async (bytes) => {
    while (held.length < bytes) {
      const { value, done } = await reader.read();
      if (done) throw new Error(`${name} is cut off`);
      const longer = new Uint8Array(held.length + value.length);
      longer.set(held);
      longer.set(value, held.length);
      held = longer;
    }
  };
  await hold(4);
  const start = 4 + new DataView(held.buffer).getUint32(0, true);
  await hold(start);
  /** @type {{bytes: number, runs: number[]}} */
  const { bytes, runs } = JSON.parse(new TextDecoder().decode(held.subarray(4, start)));
  const memory = new Uint8Array(bytes);
  const fill = async () => {
    let piece = held.subarray(start);
    for (let run = 0; run < runs.length; run += 2) {
      let [at, left] = [runs[run], runs[run + 1]];
      while (left > 0) {
        if (piece.length === 0) {
          const { value, done } = await reader.read();
          if (done) throw new Error(`${name} is cut off`);
          piece = value;
        }
        const part = piece.subarray(0, left);
        memory.set(part, at);
        piece = piece.subarray(part.length);
        at += part.length;
        left -= part.length;
      }
    }
  };
  return { memory, fill };
}
