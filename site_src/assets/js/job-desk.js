// @ts-check
// The one job that is open on a page: its text, its view, and every change of it. The core makes each change from the
// newest text, so that two tabs on one job never overwrite what the other has typed.
import { Client, Overtaken } from "./client.js";
import { python } from "./python.js";
import * as store from "./job-store.js";
import { recall } from "./store.js";

/**
 * @typedef {{label: string, text: string}} Said
 * @typedef {{name: string, title: string, page: string, state: string, why: string, typed: string[], follows: string[], results: Said[]}} Line
 * @typedef {{title: string, notes: string, sheets: Line[], late: number, needs: string[]}} View
 * @typedef {"opened" | "changed" | "elsewhere"} What  elsewhere: in another tab
 * @typedef {(what: What, by: object | null) => void} Told
 * @typedef {{by?: object, told?: (share: number) => void, client?: Client, step?: boolean}} How  step: undo goes back before it
 */

/** The core refused, and said why. */
export class Refused extends Error {}

const ROUNDS = 4; // tries against a tab that changes the job all the time

export class Desk {
  /** @param {HTMLElement} bar */
  constructor(bar) {
    this.root = new URL(bar.dataset.root ?? "./", location.href).href;
    this.id = store.index().open;
    /** @type {View | null} */
    this.view = null;
    /** Whether the storage has the last change. */
    this.kept = true;
    /** @type {Told[]} */
    this.listeners = [];
    /** @type {Promise<unknown>} */
    this.queue = Promise.resolve();
    this.asked = 0;
    this.known = this.text;
    window.addEventListener("storage", (event) => this.changedElsewhere(event.key ?? ""));
  }

  get text() {
    return this.id ? store.textOf(this.id) : "";
  }

  /** @param {Told} told */
  listen(told) {
    this.listeners.push(told);
  }

  /** @param {What} what @param {object | null} [by] who has made the change, and knows */
  tell(what, by = null) {
    for (const told of this.listeners) told(what, by);
  }

  /** Ask the core; nothing is changed. @param {string} op @param {object} args @param {(share: number) => void} [told] @param {Client} [client] @returns {Promise<any>} */
  async ask(op, args, told, client = python()) {
    this.asked += 1;
    const value = await client.ask(`job:${this.asked}`, op, { imperial: recall("imperial") === true, ...args }, told);
    if (value.refused) throw new Refused(value.refused);
    return value;
  }

  /**
   * Change the open job; one change at a time.
   * @param {string} op @param {object} args
   * @param {How} [how]
   * @returns {Promise<any>} the core's answer
   */
  change(op, args, how = {}) {
    const done = this.queue.then(() => this.changed(op, args, how));
    this.queue = done.catch(() => {});
    return done;
  }

  /** @param {string} op @param {object} args @param {How} how */
  async changed(op, args, { by, told, client, step }) {
    const id = this.id;
    for (let round = 1; ; round += 1) {
      const before = this.text;
      const value = await this.ask(op, { ...args, text: before }, told, client);
      if (this.id !== id) throw new Overtaken();
      if (this.text !== before && round < ROUNDS) {
        await this.changedElsewhere(""); // another tab was faster: once more, from what it made
        continue;
      }
      if (value.text !== undefined) this.put(value.text, value.view, by ?? null, step);
      return value;
    }
  }

  /** @param {string} text @param {View} view @param {object | null} by @param {boolean} [step] whether undo comes back to the text of before */
  put(text, view, by, step = true) {
    const steps = store.stepsOf(this.id);
    if (step && text !== this.text) {
      steps.back.push(this.text);
      steps.on = [];
      store.keepSteps(this.id);
    }
    this.kept = store.keep(this.id, text, view.title);
    this.known = text;
    this.view = view;
    this.tell("changed", by);
  }

  /** Put a new job into the browser and open it. @param {{text: string, view: View}} made */
  create({ text, view }) {
    const id = store.freshId();
    this.kept = store.keep(id, text, view.title);
    this.show(id, text, view);
  }

  /** @param {string} id @param {string} text @param {View | null} view */
  show(id, text, view) {
    store.open(id);
    this.id = id;
    this.known = text;
    this.view = view;
    this.tell("opened");
  }

  /** Open a job of the browser, or none. @param {string} id */
  async open(id) {
    const text = id ? store.textOf(id) : "";
    const opened = id ? await this.ask("job.open", { text }) : null;
    this.show(id, text, opened?.view ?? null);
  }

  /** Read the job that was open when the page was left. */
  async start() {
    if (this.id && !this.view) this.view = (await this.ask("job.open", { text: this.text })).view;
  }

  /** @param {"back" | "on"} way */
  async step(way) {
    const steps = store.stepsOf(this.id);
    const text = steps[way].pop();
    if (text === undefined) return;
    const { view } = await this.ask("job.open", { text });
    steps[way === "back" ? "on" : "back"].push(this.text);
    store.keepSteps(this.id);
    this.put(text, view, null, false);
  }

  /** @param {string} key of the storage; empty if all was cleared */
  async changedElsewhere(key) {
    if (!this.id || (key && store.jobOf(key) !== this.id) || this.text === this.known) return;
    if (!this.text) {
      this.show("", "", null);
      return;
    }
    store.stepsOf(this.id).back.push(this.known);
    this.known = this.text;
    this.view = (await this.ask("job.open", { text: this.text })).view;
    this.tell("elsewhere");
  }

  /** Calculate all that is out of date. @param {(share: number) => void} told @returns {{done: Promise<any>, stop: () => void}} */
  bring(told) {
    const lacking = (this.view?.needs ?? []).filter((name) => !python().packages.includes(name));
    const client = lacking.length > 0 ? new Client(this.view?.needs ?? []) : python();
    const done = this.change("job.recalculate", {}, { told, client });
    const close = () => { if (client !== python()) client.fail(new Error("done")); };
    done.then(close, close);
    return { done, stop: () => client.stop() };
  }

  /** @param {string} page address below the site @returns {string} */
  address(page) {
    return new URL(page, this.root).href;
  }
}

/** @type {Desk | null | undefined} */
let found;

/** @returns {Desk | null} null on a page without the bar */
export function desk() {
  if (found === undefined) {
    const bar = /** @type {HTMLElement | null} */ (document.querySelector("[data-job=bar]"));
    found = bar && new Desk(bar);
  }
  return found;
}
