// @ts-check
// What this browser remembers of a reader. Storage may be full, refused or cleared: then nothing is remembered.
const PREFIX = "strokebook.";

/** @param {string} key @returns {any} */
export function recall(key) {
  try {
    return JSON.parse(localStorage.getItem(PREFIX + key) ?? "null");
  } catch {
    return null;
  }
}

/** @param {string} key @param {any} value */
export function remember(key, value) {
  try {
    localStorage.setItem(PREFIX + key, JSON.stringify(value));
  } catch {
    // the reader's choice holds for this visit only
  }
}

/** @param {import("./form.js").Form} form */
export function rememberUnits(form) {
  const chosen = [...form.units].filter(([, unit]) => unit.value !== unit.dataset.default);
  remember(`units.${form.sheet}`, Object.fromEntries(chosen.map(([name, unit]) => [name, unit.value])));
  remember("imperial", form.imperial);
}

/** @param {import("./form.js").Form} form @returns {{imperial: boolean, units: Record<string, string>}} */
export function recallUnits(form) {
  return { imperial: recall("imperial") === true, units: form.offered(recall(`units.${form.sheet}`) ?? {}) };
}
