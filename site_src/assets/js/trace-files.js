// @ts-check
// The files that a reader has dropped or chosen: a list that stays, whatever becomes of the reading.
import { part } from "./paint.js";
import { traceOf } from "./trace-read.js";

/** @typedef {import("./trace-read.js").Trace} Trace */
/** @typedef {{added: (traces: Trace[]) => void, paper: (file: File) => void, chosen: (trace: Trace) => void}} Told */

export class Files {
  /** @param {HTMLElement} root @param {Told} told */
  constructor(root, told) {
    this.root = root;
    this.told = told;
    /** @type {Trace[]} */
    this.traces = [];
    /** @type {Trace | undefined} */
    this.current = undefined;
    this.listen();
  }

  listen() {
    const drop = part(this.root, "drop");
    const choose = /** @type {HTMLInputElement} */ (part(this.root, "choose"));
    for (const kind of ["dragenter", "dragover"]) {
      drop.addEventListener(kind, (event) => {
        event.preventDefault();
        drop.toggleAttribute("data-over", true);
      });
    }
    drop.addEventListener("dragleave", () => drop.toggleAttribute("data-over", false));
    drop.addEventListener("drop", (event) => {
      event.preventDefault();
      drop.toggleAttribute("data-over", false);
      this.take([...(event.dataTransfer?.files ?? [])]);
    });
    choose.addEventListener("change", () => {
      this.take([...(choose.files ?? [])]);
      choose.value = "";
    });
  }

  /** @param {File[]} files */
  take(files) {
    for (const file of files.filter((one) => one.name.endsWith(".json"))) this.told.paper(file);
    const traces = files.filter((one) => !one.name.endsWith(".json")).map(traceOf);
    if (traces.length === 0) return;
    this.traces.push(...traces);
    this.paint();
    this.told.added(traces);
  }

  /** @param {Trace} trace */
  remove(trace) {
    this.traces = this.traces.filter((one) => one !== trace);
    this.paint();
  }

  paint() {
    part(this.root, "files").replaceChildren(...this.traces.map((trace) => this.line(trace)));
  }

  /** @param {Trace} trace */
  line(trace) {
    const item = document.createElement("li");
    const open = document.createElement("button");
    open.type = "button";
    open.className = "sb-files__open";
    open.textContent = trace.name;
    if (trace === this.current) open.setAttribute("aria-current", "true");
    open.addEventListener("click", () => this.told.chosen(trace));
    const state = document.createElement("span");
    state.className = "sb-files__state";
    state.textContent = trace.fault || (trace.figures ? `${trace.rows.toLocaleString("en").replaceAll(",", "\u2009")} rows` : "not read yet");
    state.toggleAttribute("data-fault", Boolean(trace.fault));
    const out = document.createElement("button");
    out.type = "button";
    out.className = "sb-files__out";
    out.textContent = "×";
    out.setAttribute("aria-label", `Take ${trace.name} off the list`);
    out.addEventListener("click", () => this.remove(trace));
    item.append(open, state, out);
    return item;
  }
}
