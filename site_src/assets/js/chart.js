// @ts-check
// Charts in the page: the library comes when a chart is first to change; then only its data moves.
const VEGA = new URL("../vega/", import.meta.url).href;

/** @param {string} name @returns {Promise<void>} */
function script(name) {
  return new Promise((resolve, reject) => {
    const made = document.createElement("script");
    made.src = VEGA + name;
    made.addEventListener("load", () => resolve());
    made.addEventListener("error", () => {
      made.remove();
      reject(new Error(`${name} could not be loaded`));
    });
    document.head.append(made);
  });
}

async function load() {
  await script("vega.min.js");
  await script("vega-lite.min.js");
  const { expressionInterpreter } = await import(`${VEGA}vega-interpreter.js`);
  const { vega, vegaLite } = /** @type {any} */ (window);
  return { vega, vegaLite, expressionInterpreter };
}

/** @type {ReturnType<typeof load> | undefined} */
let library;

/** Fetch the chart library, once; a failed fetch may be tried again. */
export function chartLibrary() {
  library = library ?? load().catch((error) => {
    library = undefined;
    throw error;
  });
  return library;
}

export class Chart {
  /** @param {HTMLElement} figure */
  constructor(figure) {
    this.name = figure.dataset.chart ?? "";
    this.live = /** @type {HTMLElement} */ (figure.querySelector("[data-part=live]"));
    this.still = /** @type {HTMLElement} */ (figure.querySelector("[data-part=still]"));
    this.key = "";
    /** @type {any} */
    this.view = undefined;
  }

  /** Width in px that the drawing has in the page. */
  get width() {
    return Math.round(this.live.parentElement?.clientWidth ?? 0);
  }

  /** @param {import("./protocol.js").Drawn} drawn */
  async show(drawn) {
    const { vega, vegaLite, expressionInterpreter } = await chartLibrary();
    if (this.key === drawn.key) {
      for (const [name, rows] of Object.entries(drawn.data)) this.view.data(name, rows);
      await this.view.runAsync();
      return;
    }
    const runtime = vega.parse(vegaLite.compile(drawn.spec).spec, undefined, { ast: true });
    this.view?.finalize();
    this.view = new vega.View(runtime, { expr: expressionInterpreter, renderer: "svg" });
    await this.view.initialize(this.live).runAsync();
    this.live.setAttribute("role", "img");
    this.live.setAttribute("aria-label", this.still.getAttribute("aria-label") ?? "");
    this.still.hidden = true;
    this.key = drawn.key;
  }
}
