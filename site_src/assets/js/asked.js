// @ts-check
// A calculation that takes long, so that the reader asks for it: how far it is, and how to stop it.
import { Stopped } from "./client.js";
import { part } from "./paint.js";

export class Asked {
  /** @param {HTMLElement} card @param {import("./status.js").Status} status @param {import("./client.js").Client} client */
  constructor(card, status, client) {
    this.status = status;
    this.client = client;
    /** Whether the card waits to be asked, instead of following every key. */
    this.only = card.hasAttribute("data-on-request");
    this.box = part(card, "progress");
    this.bar = /** @type {HTMLProgressElement} */ (this.box?.querySelector("progress"));
    this.button = /** @type {HTMLButtonElement} */ (card.querySelector("[data-action=calculate]"));
  }

  /** Calculate, and show meanwhile how far it is. @param {() => Promise<void>} update */
  async run(update) {
    if (!this.only) {
      await update();
      return;
    }
    this.status.say("working");
    this.busy(true);
    try {
      await update();
      this.status.say("ready");
    } catch (error) {
      if (!(error instanceof Stopped)) throw error;
      this.status.say("ready", "Stopped: the results are those of before.");
    } finally {
      this.busy(false);
    }
  }

  /** @param {boolean} busy */
  busy(busy) {
    this.bar.removeAttribute("value"); // not known yet
    this.box.hidden = !busy;
    this.button.disabled = busy;
  }

  /** @param {number} share of the work that is done */
  told(share) {
    this.bar.value = share;
  }

  stop() {
    this.client.stop();
  }
}
