// @ts-check
// The training record in this browser's storage; where it cannot be kept or read, that is said in a sentence.
import { asTraining, kept, nothing } from "./learn-record.js";
import { recall, remember } from "./store.js";

/** @typedef {import("./learn-record.js").Training} Training */

const KEY = "learn";
const DAMAGED = "The record in this browser cannot be read and stays as it is. To begin anew, delete it on the record page.";

/** @returns {{training: Training, reason: string}} */
export function load() {
  const stored = recall(KEY);
  const training = stored === null ? nothing() : asTraining(stored).training;
  return training ? { training, reason: "" } : { training: nothing(), reason: DAMAGED };
}

/** @param {Training} training @returns {string} why it was not kept; empty if it was */
export function save(training) {
  remember(KEY, kept(training));
  if (JSON.stringify(recall(KEY)) === JSON.stringify(kept(training))) return "";
  return "This browser keeps nothing for the page: save your record as a file before you close it.";
}

/** Change what is stored now, which another tab may have changed. @param {(training: Training) => Training} to @returns {{training: Training, reason: string}} */
export function change(to) {
  const { training, reason } = load();
  const changed = to(training);
  return { training: changed, reason: reason || save(changed) };
}

/** @param {() => void} told when another tab has changed the record */
export function whenChanged(told) {
  window.addEventListener("storage", ({ key }) => { if (key?.endsWith(`.${KEY}`)) told(); });
}
