// @ts-check
// The page's entry: every card on it shares one Python.
import { Card } from "./card.js";
import { python } from "./python.js";

for (const root of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-sheet]"))) {
  new Card(root, python()).open();
}

// A link to something inside a folded part unfolds it.
function openTarget() {
  const target = document.querySelector(":target");
  for (let part = target; part; part = part.parentElement) {
    if (part instanceof HTMLDetailsElement) part.open = true;
  }
  target?.scrollIntoView();
}
openTarget();
window.addEventListener("hashchange", openTarget);
