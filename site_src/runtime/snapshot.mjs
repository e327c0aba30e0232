// @ts-check
// Start the packed Python under Node, import the core, and write its memory to a file.
// Arguments: the packed folder, the file to write.
//
// The file is gzip of: the length of a line (4 bytes, little-endian), that line, then the bytes of
// the memory that aren't zero. The line is JSON: {bytes: of the whole, runs: [offset, length, ...]}.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { argv } from "node:process";
import { gzipSync } from "node:zlib";
import { startPacked } from "./start.mjs";

const PAGE = 65_536; // bytes that are looked at together

const [packed, target] = argv.slice(2);
const python = await startPacked(packed, {
  env: { PYTHONHASHSEED: "0" }, // sets in the same order at each build
  _sysExecutable: "python", // or else a path of this machine
  _makeSnapshot: true,
});
python.FS.writeFile("/core.zip", new Uint8Array(readFileSync(join(packed, "calculators.zip"))));
python.runPython("import sys; sys.path.insert(0, '/core.zip'); import calculators.request, gc; gc.collect()");
const memory = python.makeMemorySnapshot();

/** @type {number[]} */
const runs = [];
for (let at = 0; at < memory.length; at += PAGE) {
  const page = memory.subarray(at, at + PAGE);
  if (page.every((/** @type {number} */ byte) => byte === 0)) continue;
  const last = runs.length - 2;
  if (last >= 0 && runs[last] + runs[last + 1] === at) runs[last + 1] += page.length;
  else runs.push(at, page.length);
}
const line = Buffer.from(JSON.stringify({ bytes: memory.length, runs }));
const length = Buffer.alloc(4);
length.writeUInt32LE(line.length);
const parts = [length, line];
for (let run = 0; run < runs.length; run += 2) parts.push(memory.subarray(runs[run], runs[run] + runs[run + 1]));
writeFileSync(target, gzipSync(Buffer.concat(parts), { level: 9 }));
