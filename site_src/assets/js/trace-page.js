// @ts-check
// The page of one bench trace: the chosen file, its report, and what explains it.
import { Stopped } from "./client.js";
import { part } from "./paint.js";
import { TraceDesk } from "./trace-desk.js";
import { paintInto, paintReport } from "./trace-report.js";

/** @typedef {import("./trace-read.js").Trace} Trace */

export class TracePage {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.desk = new TraceDesk(root, this);
    this.number = 1;
    /** Of which trace and job the page shows what explains it. */
    this.explained = "";
  }

  open() {
    this.desk.open();
  }

  /** @param {Trace[]} traces */
  async added(traces) {
    await this.chosen(traces[0]);
  }

  /** @param {Trace} trace */
  async chosen(trace) {
    this.desk.files.current = trace;
    this.desk.files.paint();
    try {
      if (!(await this.desk.layout(trace))) {
        this.desk.say(`${trace.name}: say which columns hold what, then read the file.`, "live");
        return;
      }
      await this.show();
    } catch (error) {
      if (error instanceof Stopped || !(error instanceof Error)) throw error;
      trace.fault = error.message;
      throw new Error(`${trace.name}: ${error.message}`);
    }
  }

  async again() {
    if (this.desk.files.current) await this.show();
    else this.desk.say((await this.desk.specs.current()).title, "live");
  }

  /** Show the report of the chosen file. */
  async show() {
    const { desk, root } = this;
    const trace = desk.files.current;
    if (!trace) return;
    await desk.measure(trace);
    const { specification, job } = await desk.specs.current();
    const report = await desk.ask("trace.report", {
      id: trace.id, name: trace.name, specification, imperial: desk.imperial, width: desk.visuals.width,
    });
    part(root, "title").textContent = report.title;
    part(root, "specification").textContent = report.specification || "none";
    if (this.explained !== trace.id + job) {
      part(root, "cause-said").textContent = job ? "" : "This needs a job, which describes the damper: open one, or drop its file.";
      part(root, "cause-table").replaceChildren();
    }
    await paintReport(root, report, desk.visuals);
    desk.enable("print", true);
    desk.enable("explain", Boolean(job));
    desk.offerMore(false);
    desk.say(`${trace.name}: measured. Nothing left this machine.`, "live");
  }

  async invent() {
    const kind = /** @type {HTMLSelectElement} */ (part(this.root, "kind")).value;
    const { name, text } = await this.desk.ask("trace.invent", { number: this.number, kind });
    this.number += 1;
    this.desk.files.take([new File([text], name, { type: "text/csv" })]);
  }

  /** @param {string} action */
  async act(action) {
    const trace = this.desk.files.current;
    if (!trace) return;
    if (action === "explain") await this.explain(trace);
    if (action === "resume") await this.chosen(trace);
    if (action === "correct") {
      Object.assign(trace, { corrections: this.desk.columns.corrections, held: false });
      this.explained = "";
      await this.chosen(trace);
    }
  }

  /** @param {Trace} trace */
  async explain(trace) {
    const { desk, root } = this;
    desk.say("Trying each part in turn …", "working");
    await desk.measure(trace);
    const { job } = await desk.specs.current();
    const found = await desk.ask("trace.explain", { id: trace.id, job, imperial: desk.imperial });
    part(root, "cause-said").replaceChildren(...found.said.map((/** @type {string} */ words) => {
      const line = document.createElement("p");
      line.textContent = words;
      return line;
    }));
    paintInto(root, part(root, "cause-table"), [found.table]);
    this.explained = trace.id + job;
    desk.say(`${trace.name}: every part was tried.`, "live");
  }
}
