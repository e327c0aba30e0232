// @ts-check
// Results into the page: what the build printed is replaced in place, from the same templates.
import { makeReachable } from "./reach.js";
import { math } from "./tree.js";

/** @param {Element} root @param {string} name @returns {HTMLElement} */
export function part(root, name) {
  return /** @type {HTMLElement} */ (root.querySelector(`[data-part="${name}"]`));
}

/** @param {Element} card @param {string} name @returns {HTMLElement} a filled copy is up to the caller */
function copy(card, name) {
  const template = /** @type {HTMLTemplateElement} */ (card.querySelector(`[data-template="${name}"]`));
  // imported, not cloned: in the template's own document a relative link has no base
  return /** @type {HTMLElement} */ (document.importNode(template.content, true).firstElementChild);
}

/** @param {Element} root @param {string} name @returns {HTMLElement} */
function slot(root, name) {
  return /** @type {HTMLElement} */ (root.querySelector(`[data-slot="${name}"]`));
}

/** @param {Element} card @param {import("./protocol.js").View} view */
export function paintOutputs(card, view) {
  for (const box of /** @type {NodeListOf<HTMLElement>} */ (card.querySelectorAll("[data-output]"))) {
    const output = view.outputs[box.dataset.output ?? ""];
    part(box, "text").textContent = output.text;
    /** @type {HTMLSelectElement} */ (part(box, "unit")).value = output.unit;
    box.toggleAttribute("data-empty", output.value === null);
  }
}

/** @param {Element} card @param {import("./protocol.js").Finding[]} findings */
export function paintFindings(card, findings) {
  part(card, "findings").replaceChildren(...findings.map((finding) => {
    const item = copy(card, "finding");
    item.dataset.level = finding.level;
    slot(item, "level").textContent = finding.level;
    slot(item, "text").textContent = finding.text;
    return item;
  }));
}

/** @param {Element} card @param {import("./protocol.js").Step[]} steps */
export function paintSteps(card, steps) {
  part(card, "steps").replaceChildren(...steps.map((step) => {
    const item = copy(card, "step");
    slot(item, "label").textContent = step.label;
    slot(item, "symbols").replaceChildren(math(step.symbols, true));
    slot(item, "numbers").replaceChildren(math(step.numbers, true));
    slot(item, "also").textContent = step.also;
    const link = /** @type {HTMLAnchorElement} */ (slot(item, "function"));
    link.hash = step.function;
    link.textContent = step.function;
    slot(item, "references").textContent = step.references.join(" · ");
    return item;
  }));
  makeReachable(card);
}

/** @param {string} tag @param {(string | Node)[]} content */
function cell(tag, content) {
  const made = document.createElement(tag);
  made.append(...content);
  return made;
}

/** @param {import("./protocol.js").Column} column */
function heading(column) {
  const made = cell("th", [column.label]);
  made.setAttribute("scope", "col");
  if (column.symbol) made.append(" ", math(column.symbol, false));
  if (column.unit) {
    const unit = cell("span", [column.unit]);
    unit.className = "sb-unit";
    made.append(" ", unit);
  }
  return made;
}

/** @param {Element} card @param {import("./protocol.js").Table[]} tables */
export function paintTables(card, tables) {
  part(card, "tables").replaceChildren(...tables.map((table) => {
    const item = copy(card, "table");
    item.dataset.table = table.name;
    item.setAttribute("aria-label", table.title);
    slot(item, "title").textContent = table.title;
    const [head, body] = [item.querySelector("thead tr"), item.querySelector("tbody")];
    head?.replaceChildren(...table.columns.map(heading));
    body?.replaceChildren(...table.rows.map((row) => cell("tr", row.map((text) => cell("td", [text])))));
    return item;
  }));
}

/**
 * Faults beside their inputs; what concerns none that is asked for stands over the results.
 * @param {Element} card @param {import("./protocol.js").Fault[]} faults
 */
export function paintFaults(card, faults) {
  const beside = (/** @type {string} */ name) => card.querySelector(`[data-input="${CSS.escape(name)}"]:not([hidden])`);
  const general = faults.filter((fault) => !fault.inputs.some(beside)).map((fault) => fault.message);
  for (const box of /** @type {NodeListOf<HTMLElement>} */ (card.querySelectorAll("[data-input]"))) {
    const name = box.dataset.input ?? "";
    const own = faults.filter((fault) => fault.inputs.includes(name)).map((fault) => fault.message);
    const field = part(box, "value") ?? part(box, "choice");
    const message = part(box, "error");
    if (own.length > 0) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
    if (message.textContent !== own.join(" ")) message.textContent = own.join(" ");
    message.hidden = own.length === 0;
  }
  const fault = part(card, "fault");
  fault.textContent = general.join(" ");
  fault.hidden = general.length === 0;
}
