// @ts-check
// The page's entry: every card on it shares one Python.
import { Card } from "./card.js";
import { Client } from "./client.js";

const roots = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[data-sheet]")]);
if (roots.length > 0) {
  const packages = new Set(roots.flatMap((root) => (root.dataset.needs ?? "").split(" ").filter(Boolean)));
  const client = new Client([...packages]);
  for (const root of roots) new Card(root, client).open();
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
