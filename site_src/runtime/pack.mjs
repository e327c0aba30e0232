// @ts-check
// Compile zip archives inside the browser's Python, under Node.
// Arguments: folder of the npm package pyodide, bytecode.py, then source, target and optimization of each.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { argv } from "node:process";
import { pathToFileURL } from "node:url";

const [runtime, script, ...files] = argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(join(runtime, "pyodide.mjs")).href);
// Without columns: they make byte code a fifth longer, and only draw a line under a place in a traceback.
const python = await loadPyodide({ indexURL: runtime, env: { PYTHONNODEBUGRANGES: "1" } });
python.runPython(readFileSync(script, "utf8"));
const compileArchive = python.globals.get("compile_archive");
for (let i = 0; i < files.length; i += 3) {
  python.FS.writeFile("/source.zip", readFileSync(files[i]));
  compileArchive("/source.zip", "/target.zip", Number(files[i + 2]));
  writeFileSync(files[i + 1], python.FS.readFile("/target.zip"));
}
