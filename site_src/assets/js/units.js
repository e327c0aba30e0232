// @ts-check
// The units in which a card stands: what is in its texts now, and the change to others.
import { part } from "./paint.js";
import { recallUnits, rememberUnits } from "./store.js";

export class ShownUnits {
  /** @param {import("./form.js").Form} form @param {import("./client.js").Client} client */
  constructor(form, client) {
    this.form = form;
    this.client = client;
    this.units = form.state.units;
    this.imperial = false;
    /** @type {Record<string, string>} the texts that the last result was calculated from */
    this.understood = {};
  }

  /** Whatever the form says now is what its texts are in. */
  takeForm() {
    this.units = this.form.state.units;
    this.imperial = this.form.imperial;
  }

  /**
   * Restate the form in other units; what is typed meanwhile is restated too.
   * @param {Record<string, string>} units @param {boolean} imperial
   */
  async restate(units, imperial) {
    let shown;
    let texts;
    do {
      texts = this.form.state.texts;
      shown = await this.client.ask(`${this.form.sheet}:restate`, "restate", {
        ...this.form.state, units: this.units, imperial: this.imperial, to_units: units, to_imperial: imperial,
      });
    } while (this.form.differs(texts));
    this.form.put(shown.texts, shown.units, () => true);
    this.units = shown.units;
    this.imperial = imperial;
    rememberUnits(this.form);
  }

  /** Return to the units of the last visit. @returns {Promise<boolean>} whether anything changed */
  async recall() {
    const { imperial, units } = recallUnits(this.form);
    if (!imperial && Object.keys(units).length === 0) return false;
    this.form.imperial = imperial;
    await this.restate(imperial ? units : { ...this.form.state.units, ...units }, imperial);
    return true;
  }

  /**
   * A result says in which unit each input was read, and its range in that unit.
   * @param {import("./protocol.js").View} view @param {Record<string, string>} texts that it was calculated from
   */
  paint(view, texts) {
    this.understood = texts;
    for (const [name, input] of Object.entries(view.inputs)) {
      const box = /** @type {HTMLElement} */ (this.form.boxes.get(name));
      box.querySelectorAll("[data-column]").forEach((column, index) => { column.textContent = input.columns?.[index] ?? ""; });
      const unit = this.form.units.get(name);
      if (!unit) continue;
      unit.value = input.unit;
      this.units[name] = input.unit;
      part(box, "range").textContent = input.range;
      const field = /** @type {HTMLInputElement} */ (this.form.field(name));
      if (field !== document.activeElement) this.tidy(field, view);
    }
  }

  /** A unit that was typed moves into the unit choice, once it is understood. @param {HTMLInputElement} field @param {import("./protocol.js").View} [view] */
  tidy(field, view) {
    const name = /** @type {HTMLElement} */ (field.closest("[data-input]")).dataset.input ?? "";
    const input = view?.inputs[name];
    if (input && this.form.text(name) === this.understood[name] && /[^\d.,\s'e+\-\u2212]/i.test(field.value)) this.form.write(name, input.text);
  }
}
