// @ts-check
// The questions of one module, and how far the learner is with them.
import { ChoiceQuestion } from "./learn-choice.js";
import { NumberQuestion } from "./learn-number.js";
import { answered, standing, standingWords } from "./learn-record.js";
import { change, load, whenChanged } from "./learn-store.js";
import { today } from "./log-entry.js";
import { part } from "./paint.js";
import { python } from "./python.js";

export class Module {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    /** @type {import("./learn-record.js").Outline} */
    this.outline = JSON.parse(root.dataset.module ?? "null");
    const { training, reason } = load();
    this.training = training;
    this.reason = reason;
  }

  open() {
    this.root.toggleAttribute("data-live", true);
    for (const box of /** @type {NodeListOf<HTMLElement>} */ (this.root.querySelectorAll("[data-question]"))) {
      const told = (/** @type {boolean} */ right) => this.told(box.dataset.question ?? "", right);
      if (box.dataset.kind === "choice") new ChoiceQuestion(box, told).open();
      else new NumberQuestion(box, python(), told).open();
    }
    whenChanged(() => {
      this.training = load().training;
      this.paint();
    });
    this.paint();
  }

  /** @param {string} key @param {boolean} right */
  told(key, right) {
    const place = `${this.outline.name}/${key}`;
    const changed = change((stored) => answered(this.reason ? this.training : stored, place, right, today()));
    this.training = changed.training;
    this.reason = changed.reason;
    this.paint();
  }

  paint() {
    const words = standingWords(standing(this.outline, this.training));
    part(this.root, "standing").textContent = `${words} ${this.reason}`.trim();
    for (const { key } of this.outline.questions) {
      const box = /** @type {HTMLElement} */ (this.root.querySelector(`[data-question="${key}"]`));
      const right = Boolean(this.training.answers[`${this.outline.name}/${key}`]?.right);
      box.toggleAttribute("data-done", right);
      part(box, "mark").textContent = right ? "right" : "";
    }
  }
}
