// @ts-check
// The page's side of the worker: starts it, asks it, replaces it when it has died.
import { START } from "./protocol.js";

/** A newer question with the same key made this one pointless. */
export class Overtaken extends Error {}

/** The reader stopped what was being calculated. */
export class Stopped extends Error {}

/** @typedef {Worker & {failed?: boolean}} Early  a worker that the head of the page has started */

/**
 * The packages that Python needs beyond its standard library are told by the worker's name, so
 * that it can fetch everything before it is asked.
 * @param {string[]} packages @returns {Worker}
 */
function pythonWorker(packages) {
  const page = /** @type {{strokebookPython?: Early}} */ (window);
  const early = page.strokebookPython;
  delete page.strokebookPython;
  if (early && !early.failed) return early;
  return new Worker(new URL("./worker.js", import.meta.url), { type: "module", name: packages.join(" ") });
}

/** @typedef {(share: number) => void} Told  how much of the work is done, 0 to 1 */
/** @typedef {{resolve: (value: any) => void, reject: (reason: Error) => void, told?: Told}} Waiting */
/** @typedef {{op: string, args: object} & Waiting} Question */

export class Client {
  /** @param {string[]} packages that Python needs beyond its standard library */
  constructor(packages) {
    this.packages = packages;
    /** @type {Worker | undefined} */
    this.worker = undefined;
    /** @type {Promise<void> | undefined} */
    this.started = undefined;
    this.last = 0;
    /** @type {Map<number, Waiting>} */
    this.waiting = new Map();
    /** @type {Map<string, Question | null>} null: one is running; else the next to run */
    this.lines = new Map();
  }

  /** Start Python, or wait for a start under way. @returns {Promise<void>} */
  start() {
    if (!this.started) {
      const worker = pythonWorker(this.packages);
      worker.addEventListener("message", (event) => this.receive(event.data));
      worker.addEventListener("error", (event) => this.fail(new Error(event.message || "it could not be loaded")));
      this.worker = worker;
      const started = new Promise((resolve, reject) => this.post(START, {}, { resolve, reject }));
      started.catch((error) => { if (this.started === started) this.fail(error); });
      this.started = started;
    }
    return this.started;
  }

  /**
   * Ask, one at a time for each key; of those that wait only the newest is asked.
   * @param {string} key @param {string} op @param {object} args @param {Told} [told] @returns {Promise<any>}
   */
  ask(key, op, args, told) {
    return new Promise((resolve, reject) => {
      const question = { op, args, resolve, reject, told };
      if (!this.lines.has(key)) {
        this.run(key, question);
      } else {
        this.lines.get(key)?.reject(new Overtaken());
        this.lines.set(key, question);
      }
    });
  }

  /** @param {string} key @param {Question} question */
  async run(key, { op, args, ...waiting }) {
    this.lines.set(key, null);
    try {
      await this.start();
      const asked = new Promise((resolve, reject) => this.post(op, args, { ...waiting, resolve, reject }));
      waiting.resolve(await asked);
    } catch (error) {
      waiting.reject(/** @type {Error} */ (error));
    }
    const next = this.lines.get(key);
    if (next) this.run(key, next);
    else this.lines.delete(key);
  }

  /** @param {string} op @param {import("./protocol.js").Arguments} args @param {Waiting} waiting */
  post(op, args, waiting) {
    this.last += 1;
    this.waiting.set(this.last, waiting);
    this.worker?.postMessage({ id: this.last, op, args }, args.piece ? [args.piece] : []);
  }

  /** @param {import("./protocol.js").Reply | import("./protocol.js").Progress} reply */
  receive(reply) {
    const waiting = this.waiting.get(reply.id);
    if ("share" in reply) {
      waiting?.told?.(reply.share);
      return;
    }
    if (!reply.ok && reply.dead) {
      this.fail(new Error(reply.error));
      return;
    }
    this.waiting.delete(reply.id);
    if (reply.ok) waiting?.resolve(reply.value);
    else waiting?.reject(new Error(reply.error));
  }

  /** Stop whatever is being calculated; a calculation knows no other way than a new Python. */
  stop() {
    this.fail(new Stopped());
    this.start().catch(() => {}); // whoever asks next is told
  }

  /** Throw the worker away; whoever waits is told, and the next start begins anew. @param {Error} reason */
  fail(reason) {
    this.worker?.terminate();
    this.worker = undefined;
    this.started = undefined;
    const waiting = [...this.waiting.values()];
    this.waiting.clear();
    for (const one of waiting) one.reject(reason);
  }
}
