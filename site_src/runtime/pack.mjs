// @ts-check
// Compile zip archives inside the browser's Python, under Node.
// Arguments: folder of the npm package pyodide, bytecode.py, then pairs of source and target.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { argv } from "node:process";
import { pathToFileURL } from "node:url";

const [runtime, script, ...files] = argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(join(runtime, "pyodide.mjs")).href);
const python = await loadPyodide({ indexURL: runtime });
python.runPython(readFileSync(script, "utf8"));
const compileArchive = python.globals.get("compile_archive");
for (let i = 0; i < files.length; i += 2) {
  python.FS.writeFile("/source.zip", readFileSync(files[i]));
  compileArchive("/source.zip", "/target.zip");
  writeFileSync(files[i + 1], python.FS.readFile("/target.zip"));
}
