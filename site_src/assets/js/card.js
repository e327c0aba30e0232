// @ts-check
// One card: the reader changes something, the core answers, the page shows it.
import { Asked } from "./asked.js";
import { Overtaken } from "./client.js";
import { Drawing } from "./drawing.js";
import { Form } from "./form.js";
import { JobCard } from "./job-card.js";
import { fromFragment, putInAddress } from "./link.js";
import { paintFaults, paintFindings, paintOutputs, paintSteps, paintTables, part } from "./paint.js";
import { Spoken } from "./spoken.js";
import { Status } from "./status.js";
import { rememberUnits } from "./store.js";
import { takeTyped } from "./typed.js";
import { ShownUnits } from "./units.js";

/** @typedef {import("./protocol.js").Evaluation} Evaluation */

export class Card {
  /** @param {HTMLElement} root @param {import("./client.js").Client} client */
  constructor(root, client) {
    this.root = root;
    this.client = client;
    this.form = new Form(root);
    this.units = new ShownUnits(this.form, client);
    this.status = new Status(root);
    this.working = /** @type {HTMLDetailsElement} */ (part(root, "working"));
    /** @type {import("./protocol.js").View | undefined} */
    this.view = undefined;
    this.drawing = new Drawing(this);
    this.spoken = new Spoken(root);
    this.asked = new Asked(root, this.status, client);
    this.job = new JobCard(this);
    /** Whether something differs from what the page was printed with. */
    this.changed = false;
  }

  /** Take over the printed card. */
  async open() {
    this.form.open();
    this.listen();
    await this.goLive(takeTyped(this) || this.takeLink());
  }

  /** @param {boolean} linked whether a link has filled the form */
  async goLive(linked) {
    this.status.say("loading");
    try {
      await this.client.start();
      const recalled = !linked && (await this.units.recall());
      const taken = await this.job.take();
      this.changed ||= recalled || taken;
      const wanted = !this.asked.only || linked || recalled || taken;
      if (wanted) await this.asked.run(() => this.update());
      if (!this.asked.only) this.status.say("live");
      else if (!wanted) this.status.say("ready");
    } catch (error) {
      this.failed(error);
    }
  }

  /** @param {unknown} error */
  failed(error) {
    if (error instanceof Overtaken) return;
    this.status.say("failed", `The calculator could not start or has stopped (${error instanceof Error ? error.message : error}).`);
    this.stale(this.changed);
  }

  listen() {
    const inputs = part(this.root, "inputs");
    inputs.addEventListener("input", (event) => {
      if (/** @type {HTMLElement} */ (event.target).dataset.part === "value") this.edited();
    });
    inputs.addEventListener("submit", (event) => event.preventDefault());
    inputs.addEventListener("focusin", () => this.drawing.warm(), { once: true });
    this.root.addEventListener("change", (event) => this.chosen(/** @type {HTMLElement} */ (event.target)));
    this.root.addEventListener("click", (event) => {
      const button = /** @type {HTMLElement} */ (event.target).closest("[data-action]");
      if (button) this.act(/** @type {HTMLElement} */ (button).dataset.action ?? "");
    });
    this.working.addEventListener("toggle", () => this.openWorking());
    window.addEventListener("hashchange", () => { if (this.takeLink()) this.edited(); });
  }

  /** @param {HTMLElement} target */
  chosen(target) {
    if (target.dataset.part === "unit") this.restate(this.form.state.units, this.form.imperial);
    else if (target.closest(".sb-systems")) this.restate({}, this.form.imperial);
    else if (target.dataset.part === "choice") this.edited();
    else if (target.dataset.part === "value") this.units.tidy(/** @type {HTMLInputElement} */ (target), this.view);
  }

  /** @param {string} action */
  act(action) {
    if (action === "retry") this.goLive(true);
    if (action === "calculate") this.calculate();
    if (action === "stop") this.asked.stop();
    if (action === "print") window.print();
    if (action === "link") putInAddress(this.form).then((said) => { part(this.root, "said").textContent = said; });
    if (action === "reset") {
      this.form.reset();
      this.units.takeForm();
      rememberUnits(this.form);
      history.replaceState(null, "", location.pathname + location.search);
      this.edited();
    }
  }

  /** Something in the form changed. */
  edited() {
    this.changed = true;
    this.form.showAsked();
    if (this.status.state === "live") this.update().catch((error) => this.failed(error));
    else this.stale(true);
  }

  calculate() {
    this.changed = true;
    this.asked.run(() => this.update()).catch((error) => this.failed(error));
  }

  /** Ask for the result of what stands in the form, and show it; the charts, asked for at once, follow. */
  async update() {
    const state = this.form.state;
    const asked = this.client.ask(`${this.form.sheet}:evaluate`, "evaluate", {
      ...state, working: this.asked.only || this.working.open,
    }, (share) => this.asked.told(share));
    if (this.changed) this.drawing.ask();
    /** @type {Evaluation} */
    const evaluation = await asked.catch((error) => {
      if (error instanceof Overtaken) return null;
      throw error;
    });
    if (!evaluation) return;
    paintFaults(this.root, evaluation.errors);
    this.stale(evaluation.errors.length > 0);
    if (!evaluation.result) return;
    this.view = evaluation.result;
    this.paint(this.view, state.texts);
    this.job.evaluated();
  }

  /** @param {import("./protocol.js").View} view @param {Record<string, string>} texts */
  paint(view, texts) {
    paintOutputs(this.root, view);
    paintFindings(this.root, view.findings);
    paintTables(this.root, view.tables);
    this.units.paint(view, texts);
    this.root.dataset.painted = String(performance.now());
    if (view.steps.length > 0) paintSteps(this.root, view.steps);
    if (this.changed) this.spoken.tell(view);
  }

  /** The working is asked for only while it is open. */
  openWorking() {
    if (!this.working.open || this.status.state !== "live" || this.view?.steps.length !== 0) return;
    this.update().catch((error) => this.failed(error));
  }

  /** @param {boolean} stale */
  stale(stale) {
    part(this.root, "stale").hidden = !stale;
    this.root.toggleAttribute("data-stale", stale);
  }

  /** Show the same values in other units. @param {Record<string, string>} units @param {boolean} imperial */
  async restate(units, imperial) {
    try {
      await this.units.restate(units, imperial);
      this.changed = true;
      await this.asked.run(() => this.update());
    } catch (error) {
      this.failed(error);
    }
  }

  /** @returns {boolean} whether the address carries inputs for this card */
  takeLink() {
    const link = fromFragment(location.hash);
    if (link?.sheet !== this.form.sheet) return false;
    this.form.putShared(link.values);
    this.units.takeForm();
    this.changed = true;
    return true;
  }
}
