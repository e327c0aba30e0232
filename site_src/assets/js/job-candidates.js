// @ts-check
// Candidates side by side: what differs is typed here, every number comes from the core.
import { Stopped } from "./client.js";
import { textOf, index } from "./job-store.js";
import { element } from "./job-path.js";
import { part } from "./paint.js";
import { python } from "./python.js";
import { recall, remember } from "./store.js";

const KEPT = "candidates";

/** @typedef {{text: string, reason: string, points: string}} Cell */
/** @typedef {{key: string, label: string, meaning: string, better: string, weight: string, cells: Cell[]}} Line */
/** @typedef {{columns: {title: string, warnings: string[]}[], rows: Line[], totals: string[], left_out: string[]}} Found */

export class Candidates {
  /** @param {HTMLElement} root @param {import("./job-desk.js").Desk} desk */
  constructor(root, desk) {
    this.root = root;
    this.desk = desk;
    this.form = /** @type {HTMLFormElement} */ (part(root, "form"));
    this.bar = /** @type {HTMLProgressElement} */ (root.querySelector("progress"));
    this.stop = /** @type {HTMLButtonElement} */ (root.querySelector("[data-action=stop]"));
  }

  open() {
    this.recall();
    this.form.addEventListener("submit", (event) => { event.preventDefault(); this.compare(); });
    this.form.addEventListener("change", () => { this.remember(); this.showColumns(); });
    this.stop.addEventListener("click", () => python().stop());
    this.desk.listen(() => this.paintJobs());
    this.paintJobs();
    this.showColumns();
  }

  /** @param {string} selector @returns {(HTMLInputElement | HTMLSelectElement)[]} */
  all(selector) {
    return /** @type {(HTMLInputElement | HTMLSelectElement)[]} */ ([...this.form.querySelectorAll(selector)]);
  }

  /** @param {HTMLElement} field */
  keyOf(field) {
    const column = /** @type {HTMLElement | null} */ (field.closest("[data-column]"))?.dataset.column ?? "";
    return `${column}.${field.dataset.field ?? field.dataset.weight ?? "use"}`;
  }

  remember() {
    remember(KEPT, Object.fromEntries(this.all("input, select").map((field) =>
      [this.keyOf(field), field instanceof HTMLInputElement && field.type === "checkbox" ? field.checked : field.value])));
  }

  recall() {
    const kept = recall(KEPT) ?? { "2.construction": "twin-tube", "2.charge": "5 bar", "2.body": "60 mm" };
    for (const field of this.all("input, select")) {
      const value = kept[this.keyOf(field)];
      if (value === undefined) continue;
      if (field instanceof HTMLInputElement && field.type === "checkbox") field.checked = value === true;
      else if (field.dataset.field === "job") field.dataset.wanted = String(value);
      else field.value = String(value);
    }
  }

  /** The jobs of this browser in each candidate's choice, the open one first. */
  paintJobs() {
    part(this.root, "still").hidden = Boolean(this.desk.id);
    this.form.hidden = !this.desk.id;
    const others = index().jobs.filter((one) => one.id !== this.desk.id);
    for (const choice of this.all("[data-field=job]")) {
      const wanted = choice.value || choice.dataset.wanted || "";
      const options = [{ id: "", title: "the open job" }, ...others].map(({ id, title }) => {
        const made = /** @type {HTMLOptionElement} */ (element("option", title || "without a title"));
        made.value = id;
        return made;
      });
      choice.replaceChildren(...options);
      choice.value = others.some((one) => one.id === wanted) ? wanted : "";
    }
  }

  /** @returns {string[]} numbers of the candidates that are to be compared */
  get used() {
    return this.all("[data-use]").filter((one) => /** @type {HTMLInputElement} */ (one).checked).map((one) => one.dataset.use ?? "");
  }

  showColumns() {
    for (const field of this.all("[data-field]")) {
      field.disabled = !this.used.includes(/** @type {HTMLElement} */ (field.closest("[data-column]")).dataset.column ?? "");
    }
    const set = this.all("[data-weight]").filter((one) => one.value.trim()).length;
    const words = set === 0 ? "none are set" : `${set} set`;
    /** @type {HTMLElement} */ (this.form.querySelector(".sb-candidates__weights > summary")).textContent = `Weights (${words})`;
  }

  async compare() {
    const candidates = this.used.map((number) => {
      const fields = this.all(`[data-column="${number}"] [data-field]`);
      const given = Object.fromEntries(fields.map((field) => [field.dataset.field, field.value]));
      const changes = fields.filter((field) => field.dataset.field !== "job" && field.dataset.field !== "cost" && field.value.trim());
      const words = changes.map((field) => (field instanceof HTMLSelectElement ? field.selectedOptions[0].text : field.value.trim()));
      const title = given.job ? index().jobs.find((one) => one.id === given.job)?.title : "";
      return { ...given, text: given.job ? textOf(given.job) : this.desk.text, label: [title || "The open job", ...words].join(", ") };
    });
    const weights = Object.fromEntries(this.all("[data-weight]").map((one) => [one.dataset.weight, one.value]));
    this.busy(true);
    this.say("");
    try {
      const found = await this.desk.ask("job.compare", { candidates, weights }, (share) => { this.bar.value = share; });
      this.paint(found);
    } catch (error) {
      this.say(error instanceof Stopped ? "Stopped." : `${error instanceof Error ? error.message : error}`);
    } finally {
      this.busy(false);
    }
  }

  /** @param {boolean} busy */
  busy(busy) {
    this.bar.removeAttribute("value");
    this.bar.hidden = this.stop.hidden = !busy;
  }

  /** @param {string} words */
  say(words) {
    part(this.root, "said").textContent = words;
  }

  /** @param {Found} found */
  paint(found) {
    const table = part(this.root, "found");
    table.hidden = false;
    const heads = ["Criterion", ...found.columns.map((column) => column.title)].map((text) => {
      const made = element("th", text);
      made.setAttribute("scope", "col");
      return made;
    });
    table.querySelector("thead tr")?.replaceChildren(...heads);
    const rows = found.rows.map((line) => this.row(line));
    if (found.totals.length > 0) rows.push(this.total(found.totals));
    table.querySelector("tbody")?.replaceChildren(...rows);
    const said = found.columns.flatMap((column) => column.warnings.map((text) => `do not build: ${column.title}. ${text}`));
    if (found.left_out.length > 0) said.push(`Weighed, but not known of all candidates, so left out of the total: ${found.left_out.join(", ")}.`);
    part(this.root, "warnings").replaceChildren(...said.map((text) => element("li", text)));
  }

  /** @param {Line} line */
  row(line) {
    const made = document.createElement("tr");
    const head = element("th", line.label);
    head.setAttribute("scope", "row");
    head.append(element("small", `${line.meaning} ${line.better[0].toUpperCase()}${line.better.slice(1)}.`));
    if (line.weight) head.append(element("small", `Your weight: ${line.weight}`));
    made.append(head, ...line.cells.map((cell) => {
      const box = element("td", cell.text);
      if (cell.reason) box.append(element("small", cell.reason));
      if (cell.points) box.append(element("small", `points: ${cell.points}`));
      return box;
    }));
    return made;
  }

  /** @param {string[]} totals */
  total(totals) {
    const made = document.createElement("tr");
    const head = element("th", "Mean of the points by your weights");
    head.setAttribute("scope", "row");
    made.append(head, ...totals.map((text) => element("td", text)));
    return made;
  }
}
