// @ts-check
// A question with answers to choose from: after the check every answer shows its reason.
import { part } from "./paint.js";

export class ChoiceQuestion {
  /** @param {HTMLElement} root @param {(right: boolean) => void} told */
  constructor(root, told) {
    this.root = root;
    this.told = told;
    this.list = part(root, "options");
    this.verdict = part(root, "verdict");
    this.check = /** @type {HTMLButtonElement} */ (root.querySelector("[data-action=check]"));
    this.again = /** @type {HTMLButtonElement} */ (root.querySelector("[data-action=again]"));
  }

  open() {
    this.check.addEventListener("click", () => this.judge());
    this.again.addEventListener("click", () => this.begin());
    part(this.root, "actions").hidden = false;
    this.begin();
  }

  get options() {
    return /** @type {HTMLElement[]} */ ([...this.list.children]);
  }

  /** @param {HTMLElement} option @returns {HTMLInputElement} */
  radio(option) {
    return /** @type {HTMLInputElement} */ (option.querySelector("input"));
  }

  /** The answers in another order, none chosen, no reason shown. */
  begin() {
    const shuffled = this.options.map((option) => ({ option, place: Math.random() })).sort((one, other) => one.place - other.place);
    this.list.replaceChildren(...shuffled.map(({ option }) => option));
    for (const option of this.options) {
      this.radio(option).checked = false;
      this.radio(option).disabled = false;
    }
    this.reveal(false);
    this.say("", "");
  }

  judge() {
    const chosen = this.options.find((option) => this.radio(option).checked);
    if (!chosen) {
      this.say("", "Choose an answer first.");
      return;
    }
    const right = chosen.hasAttribute("data-right");
    for (const option of this.options) this.radio(option).disabled = true;
    this.reveal(true);
    this.say(right ? "right" : "wrong", right ? "Right." : "Not yet. Read the reasons, then answer again.");
    this.told(right);
  }

  /** @param {boolean} shown */
  reveal(shown) {
    this.root.toggleAttribute("data-answered", shown);
    for (const option of this.options) /** @type {HTMLDetailsElement} */ (part(option, "why")).open = shown;
    this.check.hidden = shown;
    this.again.hidden = !shown;
  }

  /** @param {string} verdict @param {string} words */
  say(verdict, words) {
    this.verdict.dataset.verdict = verdict;
    this.verdict.textContent = words;
  }
}
