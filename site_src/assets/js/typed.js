// @ts-check
// What is typed in a card outside of a job, kept for this tab: whoever loads the page again, or comes back to it, finds it.
/** @typedef {import("./card.js").Card} Card */

/** @param {Card} card */
const keyOf = (card) => `strokebook.typed.${location.pathname}.${card.form.sheet}`;

/** @param {Card} card */
function keepTyped(card) {
  try {
    const { form } = card;
    const made = [...form.boxes.keys()].filter((name) => form.field(name).dataset.exact !== undefined);
    if (card.changed && !card.job.on) sessionStorage.setItem(keyOf(card), JSON.stringify({ ...form.state, made }));
    else sessionStorage.removeItem(keyOf(card));
  } catch {
    // storage is full or refused
  }
}

/**
 * Put back what was kept, and from now on keep what is typed.
 * @param {Card} card @returns {boolean} whether something stands in the form again
 */
export function takeTyped(card) {
  window.addEventListener("pagehide", () => keepTyped(card));
  const [visit] = /** @type {PerformanceNavigationTiming[]} */ (performance.getEntriesByType("navigation"));
  if (!["reload", "back_forward"].includes(visit?.type) || card.job.desk?.id) return false;
  try {
    const kept = JSON.parse(sessionStorage.getItem(keyOf(card)) ?? "null");
    if (!kept) return false;
    card.form.imperial = kept.imperial;
    card.form.put(kept.texts, card.form.offered(kept.units), (name) => kept.made.includes(name));
    card.units.takeForm();
    card.changed = true;
    return true;
  } catch {
    return false;
  }
}
