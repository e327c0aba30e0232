// @ts-check
// The browser's Python, off the page's thread: starts once, then answers requests one by one.
import { START } from "./protocol.js";

const PYTHON = new URL("../python/", import.meta.url).href;

/** @type {Promise<(op: string, args: string) => string> | undefined} */
let core;

/** @param {string} name */
async function fetched(name) {
  const response = await fetch(PYTHON + name);
  if (!response.ok) throw new Error(`${name}: the server answered ${response.status}`);
  return response;
}

/** @param {string[]} packages beyond the standard library */
async function start(packages) {
  const archives = ["calculators", ...packages].map(async (name) =>
    new Uint8Array(await (await fetched(`${name}.zip`)).arrayBuffer()));
  const lock = fetched("pyodide-lock.json").then((response) => response.json());
  const { loadPyodide } = await import(`${PYTHON}pyodide.mjs`);
  const python = await loadPyodide({
    indexURL: PYTHON,
    stdLibURL: `${PYTHON}python_stdlib.zip`,
    lockFileContents: { info: (await lock).info, packages: {} },
  });
  for (const archive of await Promise.all(archives)) {
    python.unpackArchive(archive, "zip", { extractDir: "/core" });
  }
  python.runPython("import sys; sys.path.insert(0, '/core')");
  return python.pyimport("calculators.request").answer;
}

/** @param {import("./protocol.js").Request} request @returns {Promise<import("./protocol.js").Reply>} */
async function reply({ id, op, args }) {
  try {
    if (op === START) {
      core = core ?? start(/** @type {{packages: string[]}} */ (args).packages);
      await core;
      return { id, ok: true, value: null };
    }
    if (!core) throw new Error("asked before it was started");
    const answer = JSON.parse((await core)(op, JSON.stringify(args)));
    return { id, ...answer };
  } catch (error) {
    return { id, ok: false, error: error instanceof Error ? error.message : String(error) };
  }
}

addEventListener("message", async (event) => postMessage(await reply(event.data)));
