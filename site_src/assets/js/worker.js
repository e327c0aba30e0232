// @ts-check
// The browser's Python, off the page's thread: asks for its files at once, starts when it is called, then
// answers requests one by one.
// The worker's name lists the packages that Python needs beyond its standard library.
import { whole } from "./packed.js";
import { START } from "./protocol.js";
import { snapshot, unpacked } from "./snapshot.js";

const PYTHON = new URL("../python/", import.meta.url).href;
const CORE = "calculators.zip";
const LIBRARY = "python_stdlib.zip";
const MACHINE = `${PYTHON}pyodide.asm.mjs`;

/** The first message, whatever it is: the page has been seen, or asks. */
const called = new Promise((resolve) => addEventListener("message", resolve, { once: true }));

/** @param {string} name */
async function fetched(name) {
  const response = await fetch(PYTHON + name, { priority: "low" }); // after what the page shows
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

/**
 * Whoever asks for a file that is on its way already gets that, once it is checked.
 * @param {string} address @param {Promise<Uint8Array<ArrayBuffer>>} coming
 */
function handOver(address, coming) {
  const { fetch } = self;
  self.fetch = async (asked, how) =>
    (String(asked) === address ? new Response(await coming) : fetch.call(self, asked, how));
}

/**
 * Start the runtime: from a snapshot of its memory, where that is at hand, else from the beginning.
 * @param {(options: object) => Promise<any>} loadPyodide @param {object} options @param {Response | undefined} found  the snapshot
 * @param {() => void} free  called when the machine code has come and the line is free
 * @returns {Promise<{python: any, restored: boolean}>}
 */
async function started(loadPyodide, options, found, free) {
  /** @param {object} more @param {() => Promise<void>} [meanwhile]  while other threads compile, this one has time */
  const load = (more, meanwhile) => {
    const createPyodideModule = async (/** @type {any} */ settings) => {
      const { instantiateWasm } = settings;
      settings.instantiateWasm = (/** @type {object} */ imports, /** @type {(...made: any[]) => void} */ receive) =>
        instantiateWasm(imports, (/** @type {any[]} */ ...made) => {
          free();
          receive(...made);
        });
      return (await Promise.all([(await import(MACHINE)).default(settings), meanwhile?.()]))[0];
    };
    return Promise.race([hindrance(), loadPyodide({ ...options, ...more, createPyodideModule })]);
  };
  if (found?.ok) {
    try {
      const { memory, fill } = await unpacked(found);
      return { python: await load({ _loadSnapshot: memory }, fill), restored: true };
    } catch (error) {
      console.info("Python starts from the beginning, for its snapshot can't be used:", error);
    }
  }
  return { python: await load({}), restored: false };
}

/** What went wrong, in one line: of a traceback the last. @param {unknown} error */
function reason(error) {
  return (error instanceof Error ? error.message : String(error)).trim().split("\n").at(-1) ?? "";
}

/** @typedef {(op: string, args: string, progress: (share: number) => void, piece?: any) => string} Answer */

/** @param {string} name @returns {Promise<Uint8Array<ArrayBuffer>>} */
async function archive(name) {
  const content = await (await fetched(name)).arrayBuffer();
  if (!(await whole(name, content))) throw new Error(`${name} is damaged`);
  return new Uint8Array(content);
}

/** @typedef {{answer: Answer, bytes: (piece: ArrayBuffer) => any, restored: boolean}} Python */

/**
 * On a slow line Python starts while the core is still on its way.
 * @param {string[]} packages @returns {Promise<Python>}
 */
async function start(packages) {
  const lock = fetched("pyodide-lock.json").then((response) => response.json());
  const library = archive(LIBRARY);
  const found = snapshot(PYTHON, LIBRARY, library).catch(() => undefined);
  handOver(PYTHON + LIBRARY, library);
  await called; // on two cores, starting and showing the page would hold each other up
  import(MACHINE).catch(() => {}); // asked for later, which tells
  const { loadPyodide } = await import(`${PYTHON}pyodide.mjs`);
  const { info } = await lock;
  /** @type {Promise<Uint8Array[]> | undefined} */
  let others;
  const rest = () => {
    others ??= Promise.all([CORE, ...packages.map((name) => `${name}.zip`)].map(archive));
    others.catch(() => {}); // awaited below
    return others;
  };
  const options = { indexURL: PYTHON, stdLibURL: PYTHON + LIBRARY, lockFileContents: { info, packages: {} } };
  const { python, restored } = await started(loadPyodide, options, await found, rest);
  const [core, ...unpack] = await rest();
  python.FS.writeFile("/core.zip", core);
  for (const content of unpack) python.unpackArchive(content, "zip", { extractDir: "/packages" });
  python.runPython("import sys; sys.path[:0] = ['/core.zip', '/packages']");
  for (const name of packages) python.pyimport(name);
  const { answer } = python.pyimport("calculators.request");
  return { answer, restored, bytes: (piece) => python.toPy(new Uint8Array(piece)) };
}

/** @param {import("./protocol.js").Request} request @returns {Promise<import("./protocol.js").Reply>} */
async function reply({ id, op, args: { piece, ...args } }) {
  /** @type {Python | undefined} */
  let python;
  /** @type {any} */
  let bytes;
  try {
    python = await core;
    if (op === START) return { id, ok: true, value: { restored: python.restored } };
    bytes = piece && python.bytes(piece);
    return { id, ...JSON.parse(python.answer(op, JSON.stringify(args), (share) => postMessage({ id, share }), bytes)) };
  } catch (error) {
    return { id, ok: false, error: reason(error), dead: Boolean(python) }; // the core never throws: Python broke down
  } finally {
    bytes?.destroy();
  }
}

const core = start(self.name.split(" ").filter(Boolean));
core.catch(() => {}); // whoever asks is told
addEventListener("message", async ({ data }) => { if (data) postMessage(await reply(data)); });
