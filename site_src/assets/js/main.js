// @ts-check
// The page's entry: every card on it shares one Python.
import { Card } from "./card.js";
import { python } from "./python.js";
import { Status } from "./status.js";

// In a page to read, Python waits until the reader is near: it is heavy on a phone.
const near = new IntersectionObserver((entries) => {
  for (const { isIntersecting, target } of entries) {
    if (!isIntersecting) continue;
    near.unobserve(target);
    new Card(/** @type {HTMLElement} */ (target), python()).open();
  }
}, { rootMargin: "50%" });

for (const root of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-sheet]"))) {
  if (root.closest(".sb-experiment")) {
    new Status(root).say("waiting");
    near.observe(root);
  } else {
    new Card(root, python()).open();
  }
}

// What scrolls sideways in a box of its own must be reachable without a mouse.
for (const box of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".md-typeset__scrollwrap"))) {
  if (box.scrollWidth > box.clientWidth) box.tabIndex = 0;
}

// Some browsers remember the theme's switches for drawer and search when a page is loaded again.
for (const name of ["__drawer", "__search"]) {
  const toggle = /** @type {HTMLInputElement | null} */ (document.getElementById(name));
  if (toggle) toggle.autocomplete = "off";
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
