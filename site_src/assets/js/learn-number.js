// @ts-check
// A question with numbers: the core draws them, marks the answer and shows the working. The page knows no answer.
import { Overtaken } from "./client.js";
import { paintSteps, part } from "./paint.js";
import { recall } from "./store.js";

const SEEDS = 999_999_999;

export class NumberQuestion {
  /** @param {HTMLElement} root @param {import("./client.js").Client} client @param {(right: boolean) => void} told */
  constructor(root, client, told) {
    this.root = root;
    this.client = client;
    this.told = told;
    this.form = /** @type {HTMLFormElement} */ (part(root, "form"));
    this.question = JSON.parse(this.form.dataset.specification ?? "null");
    this.value = /** @type {HTMLInputElement} */ (part(root, "value"));
    this.unit = /** @type {HTMLSelectElement} */ (part(root, "unit"));
    this.verdict = part(root, "verdict");
    this.seed = 1;
    /** Whether these numbers can no longer count. */
    this.closed = true;
  }

  async open() {
    this.form.addEventListener("submit", (event) => { event.preventDefault(); this.ask(() => this.mark()); });
    this.button("fresh").addEventListener("click", () => this.ask(() => this.fresh()));
    this.button("solve").addEventListener("click", () => this.ask(() => this.solve()));
    part(this.root, "still").textContent = "Fresh numbers come in a moment.";
    await this.ask(() => this.fresh());
  }

  /** @param {string} action @returns {HTMLButtonElement} */
  button(action) {
    return /** @type {HTMLButtonElement} */ (this.root.querySelector(`[data-action=${action}]`));
  }

  /** What the core is told of this question. */
  get args() {
    return { question: this.question, seed: this.seed, imperial: recall("imperial") === true };
  }

  /** @param {() => Promise<void>} act */
  async ask(act) {
    try {
      await act();
    } catch (error) {
      if (error instanceof Overtaken) return;
      const words = `The core could not answer (${error instanceof Error ? error.message : error}). Try again, or load the page anew.`;
      part(this.root, "still").textContent = words;
      this.say("", words);
    }
  }

  /** @param {string} op @param {object} [more] */
  core(op, more = {}) {
    return this.client.ask(`learn:${this.root.id}:${op}`, op, { ...this.args, ...more });
  }

  async fresh() {
    this.seed = 1 + (crypto.getRandomValues(new Uint32Array(1))[0] % SEEDS);
    const { text, unit, tolerance } = await this.core("ask");
    part(this.root, "text").textContent = text;
    part(this.root, "tolerance").textContent = tolerance;
    this.unit.value = unit;
    this.value.value = "";
    part(this.root, "solution").hidden = true;
    part(this.root, "still").hidden = true;
    part(this.root, "live").hidden = false;
    this.say("", "");
    this.close(false);
    this.root.dataset.asked = String(this.seed);
  }

  async mark() {
    if (this.closed) return;
    const { verdict, words } = await this.core("mark", { text: this.value.value, unit: this.unit.value });
    const heads = /** @type {Record<string, string>} */ ({ right: "Right. ", wrong: "Not yet. " });
    this.say(verdict, (heads[verdict] ?? "") + words);
    if (verdict === "right") this.close(true);
    if (verdict !== "unreadable") this.told(verdict === "right");
  }

  async solve() {
    const { answer, steps } = await this.core("ask", { solution: true });
    part(this.root, "answer").textContent = answer;
    paintSteps(this.root, steps);
    part(this.root, "solution").hidden = false;
    if (!this.closed) this.say("", "With the working in sight these numbers no longer count: take new ones.");
    this.close(true);
  }

  /** @param {boolean} closed */
  close(closed) {
    this.closed = closed;
    this.value.readOnly = closed;
    this.button("check").disabled = closed;
  }

  /** @param {string} verdict @param {string} words */
  say(verdict, words) {
    this.verdict.dataset.verdict = verdict;
    this.verdict.textContent = words;
  }
}
