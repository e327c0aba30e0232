// @ts-check
// Columns and units of a file, as the core recognised them, for the reader to correct.
import { part } from "./paint.js";

/** @typedef {{role: string, label: string, place: number, unit: string, reverse: boolean, units: string[], required: boolean}} Role */
/** @typedef {{said: string, columns: string[], roles: Role[], sample: string[][], notices: string[]}} Layout */

/** @param {string} tag @param {string} text */
function element(tag, text) {
  const made = document.createElement(tag);
  made.textContent = text;
  return made;
}

/** @param {string} label @param {[string, string][]} options @param {string} value */
function choice(label, options, value) {
  const select = document.createElement("select");
  select.setAttribute("aria-label", label);
  for (const [key, words] of options) select.append(new Option(words, key, false, key === value));
  return select;
}

export class Columns {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.box = /** @type {HTMLDetailsElement} */ (part(root, "columns"));
  }

  /** @param {Layout} layout @returns {boolean} whether all that is needed was found */
  show(layout) {
    const places = /** @type {[string, string][]} */ (layout.columns.map((name, place) => [String(place), name]));
    const complete = layout.roles.every((role) => !role.required || role.place >= 0);
    this.box.hidden = false;
    if (!complete) this.box.open = true;
    part(this.box, "layout-said").textContent = [layout.said, ...layout.notices].join(" ");
    part(this.box, "roles").replaceChildren(...layout.roles.map((role) => {
      const row = document.createElement("p");
      row.dataset.role = role.role;
      const reverse = document.createElement("label");
      const tick = document.createElement("input");
      tick.type = "checkbox";
      tick.checked = role.reverse;
      reverse.append(tick, " turn its sign");
      row.append(
        element("strong", role.label),
        choice(`Column of ${role.label}`, [["-1", role.required ? "choose …" : "not in the file"], ...places], String(role.place)),
        choice(`Unit of ${role.label}`, role.units.map((unit) => [unit, unit]), role.unit),
      );
      if (role.role === "displacement" || role.role === "force") row.append(reverse);
      return row;
    }));
    part(this.box, "sample-head").replaceChildren(...layout.columns.map((name) => element("th", name)));
    part(this.box, "sample").replaceChildren(...layout.sample.map((cells) => {
      const row = document.createElement("tr");
      row.append(...cells.map((cell) => element("td", cell)));
      return row;
    }));
    return complete;
  }

  /** @returns {import("./trace-read.js").Correction[]} as the reader has left it */
  get corrections() {
    const rows = /** @type {HTMLElement[]} */ ([...part(this.box, "roles").children]);
    return rows.map((row) => {
      const [place, unit] = [...row.querySelectorAll("select")].map((select) => select.value);
      return { role: row.dataset.role ?? "", place: Number(place), unit, reverse: row.querySelector("input")?.checked ?? false };
    });
  }
}
