// @ts-check
// Start the packed Python under Node and answer one JSON question a line.
// Arguments: the packed folder, then the archives to unpack.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { argv, stdin, stdout } from "node:process";
import { createInterface } from "node:readline";
import { startPacked } from "../../site_src/runtime/start.mjs";

const [packed, ...archives] = argv.slice(2);
const python = await startPacked(packed, { stdout: console.error });
const sitePackages = python.runPython("import site; site.getsitepackages()[0]");
for (const name of archives) {
  const content = new Uint8Array(readFileSync(join(packed, name)));
  python.unpackArchive(content, "zip", { extractDir: sitePackages });
}
python.runPython(readFileSync(new URL("answers.py", import.meta.url), "utf8"));
const answer = python.globals.get("answer_json");
for await (const line of createInterface({ input: stdin })) {
  stdout.write(`${answer(line)}\n`);
}
