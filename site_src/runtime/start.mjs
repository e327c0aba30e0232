// @ts-check
// Start the packed Python under Node.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

/** @param {string} packed  the folder @param {object} options  of the runtime, besides where its files are */
export async function startPacked(packed, options) {
  const { loadPyodide } = await import(pathToFileURL(join(packed, "pyodide.mjs")).href);
  const { info } = JSON.parse(readFileSync(join(packed, "pyodide-lock.json"), "utf8"));
  return loadPyodide({
    indexURL: packed,
    stdLibURL: join(packed, "python_stdlib.zip"),
    lockFileContents: { info, packages: {} },
    ...options,
  });
}
