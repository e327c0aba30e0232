// @ts-check
// The page's entry: every card on it shares one Python.
import { Card } from "./card.js";
import { python } from "./python.js";
import { makeReachable } from "./reach.js";
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

document.addEventListener("toggle", ({ target }) => makeReachable(/** @type {HTMLElement} */ (target)), true);
window.addEventListener("resize", () => makeReachable(document));

// Some browsers remember the theme's switches for drawer and search when a page is loaded again.
for (const name of ["__drawer", "__search"]) {
  const toggle = /** @type {HTMLInputElement | null} */ (document.getElementById(name));
  if (toggle) toggle.autocomplete = "off";
}

// The large parts of a page are laid out one at a time, when the page has nothing better to do, and
// Python, where the page has one, has started.
const far = [...document.querySelectorAll(".sb-far")];
const idle = /** @type {(work: () => void) => void} */ (window.requestIdleCallback ?? setTimeout);
function layOut() {
  far.shift()?.classList.remove("sb-far");
  if (far.length > 0) idle(layOut);
}
window.addEventListener("load", () => {
  makeReachable(document);
  const started = document.querySelector("script[data-worker]") ? python().start().catch(() => {}) : undefined;
  Promise.resolve(started).then(() => idle(layOut));
  const late = document.createElement("link");
  late.rel = "stylesheet";
  late.href = new URL("../css/late.css", import.meta.url).href;
  document.head.append(late);
});

// A link to something inside a folded part unfolds it, when all above it has its height.
function openTarget() {
  const target = document.querySelector(":target");
  for (const part of target ? far.splice(0) : []) part.classList.remove("sb-far");
  for (let part = target; part; part = part.parentElement) {
    if (part instanceof HTMLDetailsElement) part.open = true;
  }
  target?.scrollIntoView();
}
openTarget();
window.addEventListener("hashchange", openTarget);
