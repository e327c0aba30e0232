// @ts-check
// The way through the questions. The page itself is the map: a step is a section, an answer a link to the next one.

/** @typedef {{step: HTMLElement, answer: HTMLAnchorElement}} Given a question and the answer to it */
/** @typedef {{given: Given[], step: HTMLElement}} Path the answers so far, and the step they led to */

const MARK = "#check=";
const LONGEST = 500;

/** @param {HTMLElement} step @returns {HTMLAnchorElement[]} */
export function answersOf(step) {
  return [...(/** @type {NodeListOf<HTMLAnchorElement>} */ (step.querySelectorAll("a[data-key]")))];
}

/** @param {HTMLElement} root @param {HTMLAnchorElement} answer @returns {HTMLElement} */
function target(root, answer) {
  return /** @type {HTMLElement} */ (root.querySelector(`[id="${answer.hash.slice(1)}"]`));
}

/** @param {HTMLElement} root @param {string[]} keys @returns {Path} as far as the keys are known */
function follow(root, keys) {
  let step = /** @type {HTMLElement} */ (root.querySelector("[data-step]"));
  /** @type {Given[]} */
  const given = [];
  for (const key of keys) {
    const answer = answersOf(step).find((one) => one.dataset.key === key);
    if (!answer) break;
    given.push({ step, answer });
    step = target(root, answer);
  }
  return { given, step };
}

/** @param {HTMLElement} root @param {string} id @returns {string[]} the fewest answers that lead to a step */
function wayTo(root, id) {
  /** @type {string[][]} */
  const waiting = [[]];
  const seen = new Set();
  for (let keys = waiting.shift(); keys; keys = waiting.shift()) {
    const { step } = follow(root, keys);
    if (step.id === id) return keys;
    if (seen.has(step.id)) continue;
    seen.add(step.id);
    for (const answer of answersOf(step)) waiting.push([...keys, answer.dataset.key ?? ""]);
  }
  return [];
}

/** @param {HTMLElement} root @param {string} fragment @returns {Path} the start, where the fragment is no path */
export function pathOf(root, fragment) {
  if (fragment.length > LONGEST) return follow(root, []);
  if (fragment.startsWith(MARK)) return follow(root, fragment.slice(MARK.length).split("/"));
  return follow(root, wayTo(root, fragment.slice(1)));
}

/** @param {Given[]} given @returns {string} the fragment of a path */
export function fragmentOf(given) {
  return given.length > 0 ? MARK + given.map(({ answer }) => answer.dataset.key).join("/") : "";
}

/** @param {Element} root @param {string} name @returns {string} */
export function textOf(root, name) {
  return root.querySelector(`[data-text="${name}"]`)?.textContent?.trim().replace(/\s+/g, " ") ?? "";
}

/**
 * What to hand to a workshop.
 * @param {Path} path @param {string} date @returns {string}
 */
export function summary(path, date) {
  const outcome = path.step;
  return [
    `Damper check, ${date}`,
    `Outcome: ${textOf(outcome, "verdict")}. ${textOf(outcome, "name")}.`,
    `For the workshop: ${textOf(outcome, "tell")}`,
    "",
    "Answers given:",
    ...path.given.map(({ step, answer }) => `- ${textOf(step, "ask")} ${answer.textContent?.trim()}`),
  ].join("\n");
}
