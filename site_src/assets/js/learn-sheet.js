// @ts-check
// The training record in the page: fill in, print, save as a file, take in a file, delete.
import { merged, nothing, readTraining, standing, writeTraining } from "./learn-record.js";
import { change, load, save, whenChanged } from "./learn-store.js";
import { today } from "./log-entry.js";
import { handOver } from "./log-store.js";
import { part } from "./paint.js";

export class RecordSheet {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.name = /** @type {HTMLInputElement} */ (part(root, "name"));
    this.file = /** @type {HTMLInputElement} */ (part(root, "file"));
    this.rows = /** @type {HTMLElement[]} */ ([...root.querySelectorAll("[data-module]")]);
  }

  open() {
    part(this.root, "still").hidden = true;
    part(this.root, "files").hidden = false;
    this.name.addEventListener("input", () => {
      this.say(change((training) => ({ ...training, name: this.name.value })).reason);
    });
    this.root.addEventListener("click", (event) => {
      const button = /** @type {HTMLElement} */ (event.target).closest("[data-action]");
      if (button) this.act(/** @type {HTMLElement} */ (button).dataset.action ?? "");
    });
    this.file.addEventListener("change", () => this.take());
    whenChanged(() => this.paint());
    this.paint();
    this.say(load().reason);
  }

  /** @param {string} words */
  say(words) {
    part(this.root, "said").textContent = words;
  }

  /** @param {string} action */
  act(action) {
    if (action === "print") window.print();
    if (action === "export") handOver(`training-record-${today()}.json`, "application/json", writeTraining(load().training));
    if (action === "import") this.file.click();
    if (action === "clear" && confirm("Delete the training record on this device?")) {
      this.say(save(nothing()) || "The record is empty.");
      this.paint();
    }
  }

  async take() {
    const file = this.file.files?.[0];
    if (!file) return;
    const { training, reason } = readTraining(await file.text());
    this.file.value = "";
    if (!training) {
      this.say(`${reason} Nothing was changed.`);
      return;
    }
    this.say(change((here) => merged(here, training)).reason || "The file was taken in.");
    this.paint();
  }

  paint() {
    const { training } = load();
    if (this.name !== document.activeElement) this.name.value = training.name;
    const all = this.rows.map((row) => {
      const of = standing(JSON.parse(row.dataset.module ?? "null"), training);
      part(row, "result").textContent = `${of.right} of ${of.total}`;
      part(row, "tries").textContent = of.tries > 0 ? String(of.tries) : "";
      part(row, "date").textContent = of.done;
      return of;
    });
    const done = all.filter((of) => of.done);
    const last = done.map((of) => of.done).sort().at(-1);
    part(this.root, "whole").textContent = done.length === all.length
      ? `All ${all.length} modules done on ${last}.`
      : `${done.length} of ${all.length} modules done.`;
  }
}
