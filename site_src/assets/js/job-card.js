// @ts-check
// A card while a job is open: its inputs come from the job and say so, and what the reader types goes into it.
import { Overtaken, Stopped } from "./client.js";
import { desk } from "./job-desk.js";
import { keepDraft, takeDraft } from "./job-draft.js";
import { mark } from "./job-mark.js";
import { fromFragment } from "./link.js";
import { part } from "./paint.js";

/** @typedef {import("./job-mark.js").Held} Held */
/** @typedef {{used: boolean, current: boolean, inputs: Record<string, Held>}} Inputs */

const PAUSE = 350; // ms without a change

export class JobCard {
  /** @param {import("./card.js").Card} card */
  constructor(card) {
    this.card = card;
    this.desk = card.root.closest(".sb-experiment") ? null : desk();
    /** Whether the card stands for the job; not while it shows a link. */
    this.attached = false;
    /** Whether the job has this calculator, and with which inputs it was last calculated. */
    this.used = false;
    this.current = false;
    /** @type {Set<string>} inputs that were typed and are not in the job yet */
    this.typed = new Set();
    this.timer = 0;
    if (this.desk) this.listen(this.desk);
  }

  get on() {
    return Boolean(this.desk?.id) && this.attached;
  }

  /** @param {import("./job-desk.js").Desk} desk */
  listen(desk) {
    const { root, form } = this.card;
    for (const kind of ["input", "change"]) root.addEventListener(kind, (event) => this.edited(/** @type {HTMLElement} */ (event.target), kind));
    root.addEventListener("click", (event) => {
      const button = /** @type {HTMLElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("[data-action]"));
      const name = /** @type {HTMLElement | null} */ (button?.closest("[data-input]"))?.dataset.input;
      if (button?.dataset.action === "job-follow" && name) this.follow([name]);
      if (button?.dataset.action === "reset" && this.on) this.follow([...form.boxes.keys()]);
      if (button?.dataset.action === "job-save") this.save();
      if (button?.dataset.action === "job-take") this.again();
    });
    window.addEventListener("hashchange", () => { if (this.linked) this.attached = false; this.showButtons(); });
    desk.listen((what, by) => {
      if (by === this || this.card.status.state === "loading") return;
      if (what === "opened") this.again();
      else if (this.on) this.fill(this.typed).then((changed) => { if (changed) this.shown(); }).catch((error) => this.failed(error));
    });
  }

  get linked() {
    return fromFragment(location.hash)?.sheet === this.card.form.sheet;
  }

  /** @param {HTMLElement} target @param {string} kind */
  edited(target, kind) {
    const wanted = target.dataset.part === (kind === "input" ? "value" : "choice");
    const name = /** @type {HTMLElement | null} */ (target.closest("[data-input]"))?.dataset.input;
    if (!wanted || !name || !this.desk?.id || this.linked) return;
    this.typed.add(name);
    keepDraft(this);
  }

  /** Fill the card from the job, once Python is there. @returns {Promise<boolean>} whether the form has changed */
  async take() {
    if (!this.desk?.id || this.linked) {
      this.attached = false;
      this.showButtons();
      return false;
    }
    this.attached = true;
    takeDraft(this);
    try {
      return (await this.fill(this.typed)) || this.typed.size > 0;
    } catch (error) {
      this.failed(error);
      return false;
    }
  }

  /** Put the job's inputs into the form and say where they come from. @param {Set<string>} but names that stay @returns {Promise<boolean>} */
  async fill(but) {
    const held = await this.held();
    this.used = held.used;
    this.current = held.current;
    return this.put(held.inputs, but);
  }

  /** @returns {Promise<Inputs>} the inputs as the job has them */
  held() {
    const { sheet, units, imperial } = this.card.form.state;
    const desk = /** @type {import("./job-desk.js").Desk} */ (this.desk);
    return desk.ask("job.inputs", { text: desk.text, sheet, units, imperial });
  }

  /** @param {Record<string, Held>} inputs @param {Set<string>} but @returns {boolean} */
  put(inputs, but) {
    const { form } = this.card;
    const texts = Object.fromEntries(Object.entries(inputs).filter(([name]) => !but.has(name)).map(([name, one]) => [name, one.text]));
    const changed = form.differs({ ...form.state.texts, ...texts });
    form.put(texts, {}, (name) => inputs[name].origin !== "typed");
    this.mark(inputs);
    this.showButtons();
    return changed;
  }

  /** @param {Record<string, Held>} inputs */
  mark(inputs) {
    for (const [name, box] of this.card.form.boxes) {
      const held = this.on ? inputs[name] : undefined;
      mark(box, held, this.typed.has(name), (page) => this.desk?.address(page) ?? "");
    }
  }

  showButtons() {
    const show = (/** @type {string} */ action, /** @type {boolean} */ shown) => {
      const button = /** @type {HTMLElement | null} */ (this.card.root.querySelector(`[data-action="${action}"]`));
      if (button) button.hidden = !shown;
    };
    show("job-save", Boolean(this.desk?.id) && !(this.attached && this.used));
    show("job-take", Boolean(this.desk?.id) && !this.attached);
    if (!this.on) this.mark({});
  }

  /** Results for the form as it stands, where the card follows what is typed. */
  shown() {
    this.card.edited();
  }

  /** The card has results for what stands in it. */
  evaluated() {
    if (!this.on || (this.typed.size === 0 && (!this.used || this.current))) return;
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.capture().catch((error) => this.failed(error)), PAUSE);
  }

  /** Take what was typed into the job. */
  async capture() {
    const { form } = this.card;
    const state = form.state;
    const typed = [...this.typed];
    const value = await this.desk?.change("job.capture", { ...state, typed }, { by: this, step: typed.length > 0 });
    if (value.errors.length > 0) return; // the card says so already
    for (const name of typed) if (form.text(name) === state.texts[name]) this.typed.delete(name);
    this.used = this.current = true;
    keepDraft(this);
    const own = Object.keys(value.inputs).filter((name) => value.inputs[name].origin === "typed");
    if (this.put(value.inputs, new Set([...this.typed, ...own]))) this.shown();
  }

  /** @param {string[]} names of inputs that are to follow again */
  async follow(names) {
    try {
      const { units, imperial } = this.card.form.state;
      for (const name of names) this.typed.delete(name);
      keepDraft(this);
      const value = await this.desk?.change("job.follow", { sheet: this.card.form.sheet, names, units, imperial }, { by: this });
      this.current = false;
      this.put(value.inputs, this.typed);
      this.shown();
    } catch (error) {
      this.failed(error);
    }
  }

  /** Take what stands in the card into the job. */
  async save() {
    const { form } = this.card;
    const before = form.state.texts;
    try {
      this.attached = true;
      if (this.linked) history.replaceState(null, "", location.pathname + location.search);
      const { inputs } = await this.held();
      for (const [name, box] of form.boxes) if (!box.hidden && before[name] !== inputs[name].text) this.typed.add(name);
      await this.capture();
    } catch (error) {
      this.failed(error);
    }
  }

  /** Show what the job has, whatever stands in the card. */
  async again() {
    if (this.linked) history.replaceState(null, "", location.pathname + location.search);
    clearTimeout(this.timer);
    this.typed.clear();
    const filled = await this.take();
    if (filled) this.shown();
  }

  /** @param {unknown} error */
  failed(error) {
    if (error instanceof Overtaken || error instanceof Stopped) return;
    part(this.card.root, "said").textContent = `Not taken into the job: ${error instanceof Error ? error.message : error}`;
  }
}
