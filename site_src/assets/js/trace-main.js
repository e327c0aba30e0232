// @ts-check
// Entry of the bench. On other pages it does nothing.
const root = /** @type {HTMLElement | null} */ (document.querySelector("[data-bench]"));
if (root) {
  import("./trace-report.js").then(({ markVerdicts }) => markVerdicts(root));
  if (root.dataset.bench === "trace") import("./trace-page.js").then(({ TracePage }) => new TracePage(root).open());
  else import("./batch-page.js").then(({ BatchPage }) => new BatchPage(root).open());
}

export {};
