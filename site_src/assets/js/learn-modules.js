// @ts-check
// The list of modules: how far the learner is with each.
import { standing, standingWords } from "./learn-record.js";
import { load, whenChanged } from "./learn-store.js";
import { part } from "./paint.js";

/** @param {HTMLElement} list */
function paint(list) {
  const { training } = load();
  for (const item of /** @type {NodeListOf<HTMLElement>} */ (list.querySelectorAll("[data-module]"))) {
    const of = standing(JSON.parse(item.dataset.module ?? "null"), training);
    item.toggleAttribute("data-done", of.done !== "");
    if (of.tries > 0) part(item, "standing").textContent = standingWords(of);
  }
}

/** @param {HTMLElement} list */
export function follow(list) {
  paint(list);
  whenChanged(() => paint(list));
}
