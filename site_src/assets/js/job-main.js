// @ts-check
// Entry of everything about jobs. On a page without the bar it does nothing.
import { JobBar } from "./job-bar.js";
import { desk } from "./job-desk.js";

/** @param {string} name @returns {HTMLElement | null} */
const find = (name) => document.querySelector(`[data-job="${name}"]`);

const [bar, found] = [find("bar"), desk()];
if (bar && found) {
  const [path, specification, candidates] = [find("path"), find("specification"), find("candidates")];
  if (path) import("./job-path.js").then(({ follow }) => follow(path, found));
  if (specification) import("./job-sheet.js").then(({ JobSheet }) => new JobSheet(specification, found).open());
  if (candidates) import("./job-candidates.js").then(({ Candidates }) => new Candidates(candidates, found).open());
  new JobBar(bar, found).open();
}
