// @ts-check
// What the pages of the bench share: the core, the files, the specification, progress, and cancelling.
import { Stopped } from "./client.js";
import { part } from "./paint.js";
import { python } from "./python.js";
import { recall, remember } from "./store.js";
import { Columns } from "./trace-columns.js";
import { Files } from "./trace-files.js";
import { layoutOf, readTrace } from "./trace-read.js";
import { Specs } from "./trace-specs.js";
import { Visuals } from "./visuals.js";

/** @typedef {import("./trace-read.js").Trace} Trace */
/** @typedef {{added: (traces: Trace[]) => Promise<void>, chosen: (trace: Trace) => Promise<void>, again: () => Promise<void>, invent: () => Promise<void>, act: (action: string) => Promise<void>}} Page */

/** The core refused, and said why. */
export class Refused extends Error {}

const READY = "Ready. Drop a file, or load an invented one. Nothing leaves this machine.";

export class TraceDesk {
  /** @param {HTMLElement} root @param {Page} page */
  constructor(root, page) {
    this.root = root;
    this.page = page;
    this.client = python();
    this.asked = 0;
    this.queue = Promise.resolve();
    this.late = 0;
    this.visuals = new Visuals(root, () => {
      clearTimeout(this.late);
      this.late = setTimeout(() => this.try(() => page.again()), 200);
    });
    this.columns = new Columns(root);
    this.specs = new Specs(root, (op, args) => this.ask(op, args), () => this.try(() => page.again()));
    this.files = new Files(root, {
      added: (traces) => this.try(() => page.added(traces)),
      chosen: (trace) => this.try(() => page.chosen(trace)),
      paper: (file) => this.try(async () => {
        await this.specs.take(file).catch((error) => { throw new Error(`${file.name}: ${error.message}`); });
        await page.again();
      }),
    });
  }

  get imperial() {
    return recall("imperial") === true;
  }

  open() {
    const systems = /** @type {NodeListOf<HTMLInputElement>} */ (this.root.querySelectorAll("[name=bench-system]"));
    for (const one of systems) one.checked = (one.value === "imperial") === this.imperial;
    part(this.root, "tool").inert = false;
    this.root.addEventListener("change", (event) => {
      const target = /** @type {HTMLInputElement} */ (event.target);
      if (target.name !== "bench-system") return;
      remember("imperial", target.value === "imperial");
      this.try(() => this.page.again());
    });
    this.root.addEventListener("click", (event) => {
      const button = /** @type {HTMLElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("[data-action]"));
      const action = button?.dataset.action ?? "";
      if (action === "stop") this.client.stop();
      else if (action === "print") window.print();
      else if (action === "invent") this.try(() => this.page.invent());
      else if (action) this.try(() => this.page.act(action));
    });
    this.say("The worked example is shown. Python is starting; you can drop files already.", "loading");
    this.client.start().then(() => { if (!this.files.traces.length) this.say(READY, "live"); },
      (error) => this.fail(`The bench could not start (${error.message}).`));
  }

  /** @param {string} name @param {boolean} able */
  enable(name, able) {
    for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (this.root.querySelectorAll(`[data-action=${name}]`))) button.disabled = !able;
  }

  /** @param {string} words @param {string} state */
  say(words, state) {
    const line = part(this.root, "state");
    line.dataset.state = state;
    line.textContent = words;
  }

  /** @param {string} words empty if all is well */
  fail(words) {
    part(this.root, "fault").textContent = words;
    part(this.root, "fault").hidden = !words;
    if (words) this.say("That did not work; what was shown before stays.", "failed");
  }

  /** @param {number | null | undefined} share null: unknown; undefined: done */
  progress(share) {
    part(this.root, "progress").hidden = share === undefined;
    const bar = /** @type {HTMLProgressElement} */ (part(this.root, "progress").querySelector("progress"));
    if (typeof share === "number") bar.value = share;
    else bar.removeAttribute("value");
  }

  /** Do what was asked for, one thing after the other. @param {() => Promise<void>} deed */
  try(deed) {
    this.queue = this.queue.then(() => this.done(deed));
  }

  /** Do it, and say what came of it. @param {() => Promise<void>} deed */
  async done(deed) {
    this.fail("");
    this.progress(null);
    try {
      await deed();
    } catch (error) {
      if (!(error instanceof Refused)) for (const trace of this.files.traces) trace.held = false; // Python may be a new one
      if (error instanceof Stopped) this.stopped();
      else this.fail(error instanceof Error ? error.message : String(error));
    }
    this.progress(undefined);
    this.files.paint();
  }

  /** The list keeps all files, also those that the core no longer knows. */
  stopped() {
    this.say("Cancelled. The files stay in the list and can be read again.", "live");
    this.offerMore(true);
  }

  /** @param {boolean} more whether something is left to read */
  offerMore(more) {
    /** @type {HTMLElement} */ (this.root.querySelector("[data-action=resume]")).hidden = !more;
  }

  /** @param {string} op @param {import("./protocol.js").Arguments} args @returns {Promise<any>} */
  async ask(op, args) {
    this.asked += 1;
    const value = await this.client.ask(`bench:${this.asked}`, op, args);
    if (value.refused) throw new Refused(value.refused);
    return value;
  }

  /** Show how a file is read. @param {Trace} trace @returns {Promise<boolean>} whether it can be */
  async layout(trace) {
    return this.columns.show(await layoutOf((op, args) => this.ask(op, args), trace));
  }

  /** Read and measure a file, unless the core holds it; a refusal stays with the file. @param {Trace} trace @param {string} [which] */
  async measure(trace, which = "") {
    if (trace.held) return;
    const start = performance.now();
    try {
      await readTrace((op, args) => this.ask(op, args), trace, (share, rows) => {
        this.progress(share);
        const words = share === null ? "measuring" : `${rows.toLocaleString("en").replaceAll(",", "\u2009")} rows read`;
        this.say(`${which}${trace.name}: ${words} …`, "working");
      });
      this.root.dataset.seconds = ((performance.now() - start) / 1000).toFixed(1);
    } catch (error) {
      if (!(error instanceof Stopped)) {
        trace.fault = error instanceof Error ? error.message : String(error);
        trace.figures = null;
      }
      throw error;
    }
  }
}
