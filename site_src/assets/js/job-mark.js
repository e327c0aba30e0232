// @ts-check
// Beside an input: where its value comes from, and the way back to it from an own value.
import { part } from "./paint.js";

/** @typedef {{text: string, unit: string, origin: string, from: string, page: string, offered: string}} Held */

/** @param {string} text @param {string} address */
function link(text, address) {
  const made = document.createElement("a");
  made.href = address;
  made.textContent = text;
  return made;
}

/** @param {string} offered value that the input would take */
function followButton(offered) {
  const made = document.createElement("button");
  made.type = "button";
  made.dataset.action = "job-follow";
  made.className = "sb-input__follow";
  made.textContent = `Follow again: ${offered}`;
  return made;
}

/**
 * @param {HTMLElement} box of the input @param {Held | undefined} held as the job has it
 * @param {boolean} typing whether it is being typed @param {(page: string) => string} address of a page
 */
export function mark(box, held, typing, address) {
  const place = part(box, "from");
  const typed = typing || held?.origin === "typed";
  place.hidden = !held?.from;
  box.toggleAttribute("data-followed", Boolean(held?.from) && !typed);
  if (!held?.from) return;
  const source = link(held.from, address(held.page));
  if (typed) place.replaceChildren("own value, not from ", source, " ", followButton(held.offered));
  else place.replaceChildren("from ", source);
}
