// @ts-check
// Trees of the core as elements: only what a formula or a drawing needs, text as text.
const MATH = "http://www.w3.org/1998/Math/MathML";
const SVG = "http://www.w3.org/2000/svg";
const FORMULA = new Set(["mrow", "mi", "mn", "mo", "mtext", "mspace", "msub", "msup", "msqrt", "mfrac"]);
const DRAWING = new Set(["g", "rect", "line", "circle", "path", "text"]);

/** @typedef {import("./protocol.js").Tree} Tree */

/** @param {Tree} tree @param {string} space @param {Set<string>} tags @returns {Element} */
function element([tag, ...rest], space, tags) {
  if (!tags.has(tag)) throw new Error(`${tag} has no place here`);
  const made = document.createElementNS(space, tag);
  for (const part of rest) {
    if (typeof part === "string") made.append(part);
    else if (Array.isArray(part)) made.append(element(part, space, tags));
    else for (const [name, value] of Object.entries(part)) made.setAttribute(name, value);
  }
  return made;
}

/** @param {Tree} tree @param {boolean} block @returns {Element} */
export function math(tree, block) {
  const outer = document.createElementNS(MATH, "math");
  if (block) outer.setAttribute("display", "block");
  outer.append(element(tree, MATH, FORMULA));
  return outer;
}

/** @param {Tree[]} trees @returns {Element[]} */
export function drawing(trees) {
  return trees.map((tree) => element(tree, SVG, DRAWING));
}
