// @ts-check
// What is typed and not in the job yet, kept for this tab, so that leaving the page loses nothing.
const DRAFT = "strokebook.draft.";

/** @typedef {import("./job-card.js").JobCard} JobCard */

/** @param {JobCard} of */
const keyOf = (of) => `${DRAFT}${of.desk?.id}.${of.card.form.sheet}`;

/** @param {JobCard} of */
export function keepDraft(of) {
  const texts = Object.fromEntries([...of.typed].map((name) => [name, of.card.form.text(name)]));
  try {
    if (of.typed.size > 0) sessionStorage.setItem(keyOf(of), JSON.stringify(texts));
    else sessionStorage.removeItem(keyOf(of));
  } catch {
    // it stays in the form
  }
}

/** @param {JobCard} of */
export function takeDraft(of) {
  try {
    const texts = JSON.parse(sessionStorage.getItem(keyOf(of)) ?? "{}");
    for (const [name, text] of Object.entries(texts)) {
      if (!of.card.form.boxes.has(name) || of.typed.has(name)) continue;
      of.typed.add(name);
      of.card.form.write(name, String(text));
    }
  } catch {
    // no draft, or none that can be read
  }
}
