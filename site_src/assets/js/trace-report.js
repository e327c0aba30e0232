// @ts-check
// A report of the bench into the page: every text as text, in the places that the build has filled.
import { paintFindings, paintTables, part } from "./paint.js";

/** @typedef {import("./protocol.js").Drawn & {title: string, statement: string, table: import("./protocol.js").Table}} Charted */
/** @typedef {{verdict: string, said: string, findings: import("./protocol.js").Finding[], tables: import("./protocol.js").Table[], charts: Charted[]}} Report */

const VERDICTS = new Set(["pass", "fail", "incomplete", "not measured"]);

/** Mark the cells that hold a verdict, so that they show it by more than the word. @param {Element} root */
export function markVerdicts(root) {
  for (const cell of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll("[data-verdicts] td"))) {
    if (VERDICTS.has(cell.textContent ?? "")) cell.dataset.verdict = cell.textContent ?? "";
  }
}

/** @param {HTMLElement} root @param {HTMLElement} place @param {import("./protocol.js").Table[]} tables */
export function paintInto(root, place, tables) {
  const outer = document.createElement("div");
  const inner = document.createElement("div");
  inner.dataset.part = "tables";
  outer.append(/** @type {Element} */ (root.querySelector('[data-template="table"]')).cloneNode(true), inner);
  paintTables(outer, tables);
  place.replaceChildren(...inner.childNodes);
}

/** @param {HTMLElement} root @param {Charted} chart */
function paintWords(root, chart) {
  const figure = /** @type {HTMLElement | null} */ (root.querySelector(`[data-chart="${CSS.escape(chart.name)}"]`));
  if (!figure) return;
  const slot = (/** @type {string} */ name) => /** @type {HTMLElement} */ (figure.querySelector(`[data-slot="${name}"]`));
  slot("title").textContent = `${chart.title}.`;
  slot("statement").textContent = chart.statement;
  part(figure, "still").setAttribute("aria-label", `${chart.title}. ${chart.statement}`);
  part(figure, "live").setAttribute("aria-label", `${chart.title}. ${chart.statement}`);
  paintInto(root, part(figure, "data"), [chart.table]);
}

/** @param {HTMLElement} root @param {Report} report @param {import("./visuals.js").Visuals} visuals */
export async function paintReport(root, report, visuals) {
  const verdict = part(root, "verdict");
  verdict.dataset.verdict = report.verdict;
  const [word, said] = ["word", "said"].map((name) => /** @type {HTMLElement} */ (verdict.querySelector(`[data-slot="${name}"]`)));
  word.textContent = report.verdict || "no verdict";
  said.textContent = report.said || "There is no specification to compare with.";
  paintFindings(root, report.findings);
  paintTables(root, report.tables);
  markVerdicts(root);
  for (const chart of report.charts) paintWords(root, chart);
  await visuals.show({ charts: report.charts, pictures: [] });
  root.dataset.painted = String(performance.now());
}
