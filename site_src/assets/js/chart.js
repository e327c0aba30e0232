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

/** A number for reading, with five digits. @param {number} value */
const short = (value) => String(Number(value.toPrecision(5)));

/** @param {"td" | "th"} kind @param {string[]} texts */
function line(kind, texts) {
  const made = document.createElement("tr");
  made.append(...texts.map((text) => {
    const cell = document.createElement(kind);
    cell.textContent = text;
    if (cell.tagName === "TH") cell.setAttribute("scope", "col");
    return cell;
  }));
  return made;
}

export class Chart {
  /** @param {HTMLElement} figure */
  constructor(figure) {
    this.figure = figure;
    this.name = figure.dataset.chart ?? "";
    this.live = /** @type {HTMLElement} */ (figure.querySelector("[data-part=live]"));
    this.still = /** @type {HTMLElement} */ (figure.querySelector("[data-part=still]"));
    this.width = 0; // px, of the figure in the page; visuals.js is told
    this.key = "";
    /** @type {any} */
    this.view = undefined;
    /** @type {import("./protocol.js").Drawn | undefined} */
    this.drawn = undefined;
    this.numbers = /** @type {HTMLDetailsElement | null} */ (figure.querySelector("[data-part=numbers]"));
    this.numbers?.addEventListener("toggle", () => this.list());
  }

  /** Write the data of the chart into its table, while that is unfolded. */
  list() {
    if (!this.numbers || !this.drawn) return;
    this.numbers.hidden = false;
    if (!this.numbers.open) return;
    const { columns, data } = this.drawn;
    const table = /** @type {HTMLTableElement} */ (this.numbers.querySelector("table"));
    const places = [...data.curves, ...(data.points ?? [])].filter((place) => Number.isFinite(place.y));
    table.tHead?.replaceChildren(line("th", ["Curve or point", ...columns]));
    table.tBodies[0].replaceChildren(...places.map(({ label, x, y }) => line("td", [label, short(x), short(y)])));
  }

  /** @param {import("./protocol.js").Drawn} drawn */
  async show(drawn) {
    this.drawn = drawn;
    this.list();
    const { vega, vegaLite, expressionInterpreter } = await chartLibrary();
    if (this.key === drawn.key) {
      for (const [name, rows] of Object.entries(drawn.data)) this.view.data(name, rows);
      await this.view.runAsync();
      return;
    }
    const runtime = vega.parse(vegaLite.compile({ ...drawn.spec, datasets: drawn.data }).spec, undefined, { ast: true });
    this.view?.finalize();
    this.view = new vega.View(runtime, { expr: expressionInterpreter, renderer: "svg" });
    await this.view.initialize(this.live).runAsync();
    this.live.setAttribute("role", "img");
    this.live.setAttribute("aria-label", this.still.getAttribute("aria-label") ?? "");
    this.still.hidden = true;
    this.key = drawn.key;
  }
}
