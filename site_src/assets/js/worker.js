// @ts-check
// The browser's Python, off the page's thread: starts at once, then answers requests one by one.
// The worker's name lists the packages that Python needs beyond its standard library.
import { START } from "./protocol.js";

const PYTHON = new URL("../python/", import.meta.url).href;

/** @param {string} name */
async function fetched(name) {
  const response = await fetch(PYTHON + name);
  if (!response.ok) throw new Error(`${name}: the server answered ${response.status}`);
  return response;
}

/**
 * Where its machine code does not come whole, the runtime only warns, and then waits for ever.
 * @returns {Promise<never>}
 */
function hindrance() {
  return new Promise((_, reject) => {
    const warn = console.warn;
    console.warn = (...words) => {
      warn(...words);
      if (String(words[0]).startsWith("wasm instantiation failed")) {
        reject(new Error("pyodide.asm.wasm did not come whole"));
      }
    };
  });
}

/** @param {any} python @param {string} name @param {Uint8Array} content */
function unpack(python, name, content) {
  try {
    python.unpackArchive(content, "zip", { extractDir: "/core" });
  } catch (error) {
    throw new Error(`${name} is damaged`, { cause: error });
  }
}

/** What went wrong, in one line: of a traceback the last. @param {unknown} error */
function reason(error) {
  return (error instanceof Error ? error.message : String(error)).trim().split("\n").at(-1) ?? "";
}

/** @typedef {(op: string, args: string, progress: (share: number) => void, piece?: any) => string} Answer */

/** @param {string[]} packages @returns {Promise<{answer: Answer, bytes: (piece: ArrayBuffer) => any}>} */
async function start(packages) {
  const archives = ["calculators.zip", ...packages.map((name) => `${name}.zip`)].map(async (name) =>
    /** @type {const} */ ([name, new Uint8Array(await (await fetched(name)).arrayBuffer())]));
  const lock = fetched("pyodide-lock.json").then((response) => response.json());
  import(`${PYTHON}pyodide.asm.mjs`).catch(() => {}); // the next line's import asks for it later, and tells
  const { loadPyodide } = await import(`${PYTHON}pyodide.mjs`);
  const python = await Promise.race([hindrance(), loadPyodide({
    indexURL: PYTHON,
    stdLibURL: `${PYTHON}python_stdlib.zip`,
    lockFileContents: { info: (await lock).info, packages: {} },
  })]);
  for (const [name, content] of await Promise.all(archives)) unpack(python, name, content);
  python.runPython("import sys; sys.path.insert(0, '/core')");
  return { answer: python.pyimport("calculators.request").answer, bytes: (piece) => python.toPy(new Uint8Array(piece)) };
}

/** @param {import("./protocol.js").Request} request @returns {Promise<import("./protocol.js").Reply>} */
async function reply({ id, op, args: { piece, ...args } }) {
  /** @type {any} */
  let bytes;
  try {
    const python = await core;
    if (op === START) return { id, ok: true, value: null };
    bytes = piece && python.bytes(piece);
    return { id, ...JSON.parse(python.answer(op, JSON.stringify(args), (share) => postMessage({ id, share }), bytes)) };
  } catch (error) {
    return { id, ok: false, error: reason(error) };
  } finally {
    bytes?.destroy();
  }
}

const core = start(self.name.split(" ").filter(Boolean));
core.catch(() => {}); // whoever asks is told
addEventListener("message", async (event) => postMessage(await reply(event.data)));
