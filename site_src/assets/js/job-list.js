// @ts-check
// The lists of the job bar: jobs of this browser, and what is filled in.
import { index } from "./job-store.js";
import { part } from "./paint.js";

export class JobList {
  /** @param {HTMLElement} root @param {import("./job-desk.js").Desk} desk */
  constructor(root, desk) {
    this.root = root;
    this.desk = desk;
  }

  paint() {
    const { jobs } = index();
    part(this.root, "jobs").replaceChildren(...jobs.map((job) => this.job(job)));
    part(this.root, "no-jobs").hidden = jobs.length > 0;
    const lines = this.desk.view?.sheets ?? [];
    part(this.root, "filled").replaceChildren(...lines.map((line) => this.line(line)));
    part(this.root, "nothing").hidden = lines.length > 0;
  }

  /** @param {string} name @returns {HTMLElement} */
  copy(name) {
    const template = /** @type {HTMLTemplateElement} */ (this.root.querySelector(`[data-template="${name}"]`));
    return /** @type {HTMLElement} */ (document.importNode(template.content, true).firstElementChild);
  }

  /** @param {import("./job-store.js").Named} job */
  job({ id, title }) {
    const item = this.copy("job");
    const name = title || "without a title";
    const open = /** @type {HTMLElement} */ (item.querySelector("[data-action=open]"));
    const remove = /** @type {HTMLElement} */ (item.querySelector("[data-action=delete]"));
    open.textContent = name;
    open.dataset.name = remove.dataset.name = id;
    if (id === this.desk.id) open.setAttribute("aria-current", "true");
    remove.setAttribute("aria-label", `Delete ${name}`);
    return item;
  }

  /** @param {import("./job-desk.js").Line} line */
  line(line) {
    const item = this.copy("line");
    const link = /** @type {HTMLAnchorElement} */ (part(item, "link"));
    link.href = this.desk.address(line.page);
    link.textContent = line.title;
    const state = part(item, "line-state");
    state.textContent = line.state;
    state.dataset.state = line.state;
    const said = [];
    if (line.why) said.push(line.why);
    if (line.typed.length > 0) said.push(`typed: ${line.typed.join(", ")}.`);
    if (line.follows.length > 0) said.push(`follows ${line.follows.join(", ")}.`);
    part(item, "why").textContent = said.map((one) => one[0].toUpperCase() + one.slice(1)).join(" ");
    const out = /** @type {HTMLElement} */ (item.querySelector("[data-action=leave-out]"));
    out.dataset.name = line.name;
    out.setAttribute("aria-label", `Leave ${line.title} out of the job`);
    return item;
  }
}
