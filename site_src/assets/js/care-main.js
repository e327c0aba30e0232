// @ts-check
// Entry of the care pages: guided check, inspection log and print buttons. On other pages it does nothing.

/** @param {string} part @returns {HTMLElement | null} */
const find = (part) => document.querySelector(`[data-care="${part}"]`);

const check = find("check");
if (check) import("./check.js").then(({ Check }) => new Check(check).open());

const log = find("log");
if (log) import("./log.js").then(({ Log }) => new Log(log).open());

for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (document.querySelectorAll("[data-care=print]"))) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
