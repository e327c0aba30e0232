// @ts-check
// The form of a card: what stands in it, and putting something else there.
import { part } from "./paint.js";

/** @typedef {import("./protocol.js").Form} FormState */

const LONG_NUMBER = /(?<![\d.])\d+\.\d+(?:e[+-]?\d+)?/gi;

/** What a field shows of a text that nobody typed: its numbers with six digits. @param {string} text */
function short(text) {
  return text.replace(LONG_NUMBER, (number) => {
    const six = String(Number(Number(number).toPrecision(6)));
    return six.length < number.length ? six : number;
  });
}

export class Form {
  /** @param {HTMLElement} card */
  constructor(card) {
    this.sheet = card.dataset.sheet ?? "";
    /** @type {Map<string, HTMLElement>} */
    this.boxes = new Map();
    for (const box of /** @type {NodeListOf<HTMLElement>} */ (card.querySelectorAll("[data-input]"))) {
      this.boxes.set(box.dataset.input ?? "", box);
    }
    /** @type {Map<string, HTMLSelectElement>} unit choices of inputs and outputs */
    this.units = new Map();
    for (const unit of /** @type {NodeListOf<HTMLSelectElement>} */ (card.querySelectorAll("[data-part=unit]"))) {
      const owner = /** @type {HTMLElement} */ (unit.closest("[data-input], [data-output]"));
      this.units.set(owner.dataset.input ?? owner.dataset.output ?? "", unit);
    }
    /** @type {HTMLInputElement[]} */
    this.systems = [...card.querySelectorAll(".sb-systems input")].map((one) => /** @type {HTMLInputElement} */ (one));
    this.controls = /** @type {NodeListOf<HTMLElement>} */ (card.querySelectorAll("[disabled], [readonly]"));
  }

  /** The field that the reader types or chooses in. @param {string} name */
  field(name) {
    const box = this.boxes.get(name);
    return /** @type {HTMLInputElement | HTMLSelectElement} */ (box && (part(box, "value") ?? part(box, "choice")));
  }

  /** What a field stands for: the exact text behind a shortened one, until somebody types. @param {string} name */
  text(name) {
    const field = this.field(name);
    return field.dataset.exact !== undefined && field.value === field.dataset.shown ? field.dataset.exact : field.value;
  }

  /** @param {string} name @param {string} text @param {boolean} shortened whether long numbers are shown with six digits */
  write(name, text, shortened = false) {
    const field = this.field(name);
    const shown = shortened && field.dataset.part === "value" ? short(text) : text;
    if (field.value !== shown) field.value = shown;
    delete field.dataset.exact;
    field.removeAttribute("title");
    if (shown === text) return;
    Object.assign(field.dataset, { exact: text, shown });
    if (!text.includes("\n")) field.title = text;
  }

  /** From here on the reader may type; whatever is typed before Python is there is kept. */
  open() {
    for (const control of this.controls) {
      control.removeAttribute("disabled");
      control.removeAttribute("readonly");
    }
    this.showAsked();
  }

  /** Show the inputs that the present choices ask for. */
  showAsked() {
    for (const box of this.boxes.values()) {
      const when = /** @type {[string, string[]][]} */ (JSON.parse(box.dataset.when ?? "[]"));
      box.hidden = !when.every(([name, keys]) => !this.boxes.get(name)?.hidden && keys.includes(this.field(name).value));
    }
  }

  get imperial() {
    return this.systems.some((one) => one.checked && one.value === "imperial");
  }

  set imperial(value) {
    for (const one of this.systems) one.checked = (one.value === "imperial") === value;
  }

  /** @returns {FormState} */
  get state() {
    /** @type {Record<string, string>} */
    const texts = {};
    for (const name of this.boxes.keys()) texts[name] = this.text(name);
    /** @type {Record<string, string>} */
    const units = {};
    for (const [name, unit] of this.units) units[name] = unit.value;
    return { sheet: this.sheet, texts, units, imperial: this.imperial };
  }

  /** Whether anything stands in the form that does not stand in these texts. @param {Record<string, string>} texts */
  differs(texts) {
    return [...this.boxes.keys()].some((name) => this.text(name) !== texts[name]);
  }

  /**
   * @param {Record<string, string>} texts @param {Record<string, string>} units
   * @param {(name: string) => boolean} made whether a text was calculated, not typed: then its numbers are shortened
   */
  put(texts, units, made = () => false) {
    for (const [name, text] of Object.entries(texts)) {
      if (this.boxes.has(name) && this.text(name) !== text) this.write(name, text, made(name));
    }
    for (const [name, symbol] of Object.entries(units)) {
      const unit = this.units.get(name);
      if (unit) unit.value = symbol;
    }
    this.showAsked();
  }

  /** Back to the values that the page was printed with. */
  reset() {
    for (const name of this.boxes.keys()) {
      this.write(name, this.field(name).dataset.default ?? "");
    }
    for (const unit of this.units.values()) unit.value = unit.dataset.default ?? "";
    this.imperial = false;
    this.showAsked();
  }

  /** What a link carries: texts with their units, choices, and units that differ from the page's. */
  get shared() {
    /** @type {Record<string, string>} */
    const values = {};
    for (const [name, box] of this.boxes) {
      const text = this.text(name);
      const unit = this.units.get(name)?.value ?? "1";
      if (!box.hidden) values[name] = text.trim() && unit !== "1" ? `${text} ${unit}` : text;
    }
    for (const [name, unit] of this.units) {
      if (!this.boxes.has(name) && unit.value !== unit.dataset.default) values[`${name}.unit`] = unit.value;
    }
    if (this.imperial) values.units = "imperial"; // tables have no unit choice of their own
    return values;
  }

  /** Put what a link carried; names and units that the form doesn't have are passed over. @param {Map<string, string>} values */
  putShared(values) {
    /** @type {Record<string, string>[]} */
    const [texts, units] = [{}, {}];
    this.imperial = values.get("units") === "imperial";
    for (const [name, value] of values) {
      const output = name.endsWith(".unit") ? name.slice(0, -5) : "";
      if (output) units[output] = value;
      else if (this.boxes.has(name)) this.split(name, value, texts, units);
    }
    this.put(texts, this.offered(units), () => true);
  }

  /** Those units that the form offers. @param {Record<string, string>} units @returns {Record<string, string>} */
  offered(units) {
    return Object.fromEntries(Object.entries(units).filter(([name, symbol]) =>
      [...(this.units.get(name)?.options ?? [])].some((option) => option.value === symbol)));
  }

  /** @param {string} name @param {string} value @param {Record<string, string>} texts @param {Record<string, string>} units */
  split(name, value, texts, units) {
    const space = value.lastIndexOf(" ");
    const symbol = value.slice(space + 1);
    const options = [...(this.units.get(name)?.options ?? [])].map((option) => option.value);
    if (space > 0 && options.includes(symbol)) {
      texts[name] = value.slice(0, space);
      units[name] = symbol;
    } else {
      texts[name] = value;
      if (options.includes("1")) units[name] = "1";
    }
  }
}
