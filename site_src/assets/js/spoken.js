// @ts-check
// For a screen reader: the main results, once the reader pauses.
import { part } from "./paint.js";

const PAUSE = 900; // ms without a change

export class Spoken {
  /** @param {HTMLElement} card */
  constructor(card) {
    this.card = card;
    this.timer = 0;
  }

  /** @param {import("./protocol.js").View} view */
  tell(view) {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => {
      const heads = /** @type {HTMLElement[]} */ ([...this.card.querySelectorAll(".sb-output--headline")]);
      const words = heads.map((box) => {
        const output = view.outputs[box.dataset.output ?? ""];
        return `${box.querySelector("dt")?.firstChild?.textContent?.trim()}: ${output.text} ${output.unit === "1" ? "" : output.unit}`.trim();
      });
      part(this.card, "spoken").textContent = `Updated. ${words.join("; ")}.`;
    }, PAUSE);
  }
}
