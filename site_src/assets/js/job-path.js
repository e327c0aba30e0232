// @ts-check
// The guided path: how far the open job is, beside each calculator of each step.
import { part } from "./paint.js";

/** @param {string} tag @param {string} text */
export function element(tag, text) {
  const made = document.createElement(tag);
  made.textContent = text;
  return made;
}

/** @param {HTMLElement} path @param {import("./job-desk.js").Desk} desk */
export function follow(path, desk) {
  const rows = /** @type {HTMLElement[]} */ ([...path.querySelectorAll("[data-sheet-row]")]);
  const paint = () => {
    for (const row of rows) {
      const line = desk.view?.sheets.find((one) => one.name === row.dataset.sheetRow);
      const state = part(row, "state");
      state.textContent = line?.state ?? (desk.view ? "not in the job" : "");
      state.dataset.state = line?.state ?? "";
      const why = part(row, "why");
      why.textContent = line?.why ? line.why[0].toUpperCase() + line.why.slice(1) : "";
      why.hidden = !line?.why;
      const results = part(row, "results");
      results.hidden = !line?.results.length;
      results.replaceChildren(...(line?.results ?? []).map((one) => {
        const box = document.createElement("div");
        box.append(element("dt", one.label), element("dd", one.text));
        return box;
      }));
    }
  };
  desk.listen(paint);
  desk.start().then(paint, () => {}); // the bar says why not
  paint();
}
