// @ts-check
// The page of a batch: all files one after the other, then one table, one run chart, one verdict.
import { handOver } from "./log-store.js";
import { part } from "./paint.js";
import { TraceDesk } from "./trace-desk.js";
import { paintReport } from "./trace-report.js";

/** @typedef {import("./trace-read.js").Trace} Trace */

const INVENTED = 6;

export class BatchPage {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.desk = new TraceDesk(root, this);
    this.demand = /** @type {HTMLSelectElement} */ (part(root, "demand"));
    /** @type {any} */
    this.report = undefined;
  }

  open() {
    this.desk.open();
    this.demand.addEventListener("change", () => this.desk.try(() => this.show()));
  }

  async added() {
    await this.readAll();
  }

  /** Show how a file is read. @param {Trace} trace */
  async chosen(trace) {
    this.desk.files.current = trace;
    await this.desk.layout(trace);
  }

  /** Read what has not been read yet; a file that cannot be read is told, and the next one comes. */
  async readAll() {
    const { desk } = this;
    for (let trace = this.next; trace; trace = this.next) {
      const place = desk.files.traces.indexOf(trace) + 1;
      try {
        await desk.measure(trace, `${place} of ${desk.files.traces.length}, `);
      } catch (error) {
        if (!trace.fault) throw error;
      }
      desk.files.paint();
    }
    await this.show();
  }

  get next() {
    return this.desk.files.traces.find((trace) => !trace.figures && !trace.fault);
  }

  async again() {
    if (this.report) await this.show();
  }

  async show() {
    const { desk, root, demand } = this;
    const units = desk.files.traces.filter((trace) => trace.figures || trace.fault)
      .map(({ name, figures, fault }) => ({ name: name.replace(/\.[^.]*$/, ""), figures, fault }));
    if (units.length === 0) return;
    const { specification } = await desk.specs.current();
    const report = await desk.ask("batch.summary", {
      specification, units, demand: Number(demand.value), imperial: desk.imperial, width: desk.visuals.width,
    });
    const chosen = demand.value;
    demand.replaceChildren(...report.demands.map((/** @type {string} */ name, /** @type {number} */ place) => new Option(name, String(place))));
    demand.value = demand.options.length > Number(chosen) ? chosen : "0";
    demand.disabled = false;
    part(root, "specification").textContent = report.title;
    await paintReport(root, report, desk.visuals);
    this.report = report;
    for (const action of ["csv", "json", "print"]) desk.enable(action, true);
    desk.offerMore(Boolean(this.next));
    desk.say(`${report.said} Nothing left this machine.`, "live");
  }

  async invent() {
    /** @type {File[]} */
    const made = [];
    for (let unit = 1; unit <= INVENTED; unit += 1) {
      this.desk.say(`Inventing unit ${unit} of ${INVENTED} …`, "working");
      this.desk.progress(unit / INVENTED);
      const { name, text } = await this.desk.ask("trace.invent", { number: 3, unit });
      made.push(new File([text], name, { type: "text/csv" }));
    }
    this.desk.files.take(made);
  }

  /** @param {string} action */
  async act(action) {
    const { desk, report } = this;
    if (action === "csv" && report) handOver("batch.csv", "text/csv", report.csv);
    if (action === "json" && report) handOver("batch.json", "application/json", report.json);
    if (action === "resume") await this.readAll();
    if (action === "correct") {
      const corrections = desk.columns.corrections;
      for (const trace of desk.files.traces) Object.assign(trace, { corrections, held: false, figures: null, fault: "" });
      await this.readAll();
    }
  }
}
