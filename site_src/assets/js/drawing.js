// @ts-check
// The charts and drawings of a card: asked for, shown, and made ready before they are needed.
import { Overtaken } from "./client.js";
import { Visuals } from "./visuals.js";

/** @typedef {import("./protocol.js").Visual} Visual */

const ROUNDS = 20; // after so many the browser has compiled for speed what a change needs

export class Drawing {
  /** @param {import("./card.js").Card} card */
  constructor(card) {
    this.card = card;
    this.visuals = new Visuals(card.root, () => this.ask());
  }

  /** @param {"draw" | "again"} op @returns {Promise<{result?: Visual}>} what the core draws of what stands in the form */
  drawn(op) {
    const { form, client } = this.card;
    return client.ask(`${form.sheet}:${op}`, op, { ...form.state, width: this.visuals.width });
  }

  /** Draw what stands in the form. */
  async ask() {
    if (!this.visuals.any) return;
    const { root, status } = this.card;
    let reason = "";
    try {
      const { result } = await this.drawn("draw");
      if (result) await this.visuals.show(result);
      root.dataset.drawn = String(performance.now());
    } catch (error) {
      if (error instanceof Overtaken) return;
      reason = `The charts still show earlier inputs (${error instanceof Error ? error.message : error}).`;
    }
    if (status.state === "live") status.say("live", reason);
  }

  /** Who comes into the form will change something: draw the same, until all that it takes is there and quick. */
  async warm() {
    this.visuals.warm();
    const { card } = this;
    for (let round = 0; round < ROUNDS && card.status.state === "live" && !card.changed; round += 1) {
      const { result } = await this.drawn("again").catch(() => ({ result: undefined }));
      if (!result) return; // what the reader asks next tells what is wrong
      if (!card.changed) await this.visuals.show({ ...result, pictures: [] }).catch(() => undefined);
    }
  }
}
