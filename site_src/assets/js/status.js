// @ts-check
// The line at the head of a card that says how it stands.
import { part } from "./paint.js";

const WORDS = {
  waiting: "Worked example shown. It goes live when you come to it.",
  loading: "Worked example shown. It goes live in a moment; you can type already.",
  live: "Live: results follow what you type. Nothing leaves this device.",
  ready: "Ready: change what you like, then calculate. Nothing leaves this device.",
  working: "Calculating …",
  failed: "The worked example stays.",
};

export class Status {
  /** @param {HTMLElement} card */
  constructor(card) {
    this.line = part(card, "state");
    this.retry = /** @type {HTMLElement} */ (card.querySelector("[data-action=retry]"));
  }

  get state() {
    return this.line.dataset.state;
  }

  /** @param {keyof typeof WORDS} state @param {string} [reason] */
  say(state, reason = "") {
    this.line.dataset.state = state;
    const words = `${reason} ${WORDS[state]}`.trim();
    if (this.line.textContent !== words) this.line.textContent = words;
    this.retry.hidden = state !== "failed";
  }
}
