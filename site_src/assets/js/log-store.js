// @ts-check
// The log in this browser's storage, which may be missing, refused, full or damaged: each is said in a sentence.
import { readLog, writeLog } from "./log-entry.js";

export const KEY = "strokebook-log";
const KEEP = "Export it as a file before you close the page.";

/** @returns {import("./log-entry.js").Read & {raw: string}} */
export function load() {
  let raw = "";
  try {
    raw = localStorage.getItem(KEY) ?? "";
  } catch {
    return { entries: [], reason: `This browser keeps nothing for the page. ${KEEP}`, raw };
  }
  if (raw === "") return { entries: [], reason: "", raw };
  const { entries, reason } = readLog(raw);
  return { entries, reason: reason && `The log in this browser is damaged and stays as it is. ${reason}`, raw: reason && raw };
}

/** @param {import("./log-entry.js").Entry[]} entries @returns {string} why it was not kept; empty if it was */
export function save(entries) {
  try {
    localStorage.setItem(KEY, writeLog(entries));
    return "";
  } catch {
    return `The browser's storage is full or switched off, so this was not kept. ${KEEP}`;
  }
}

/** Hand a file to the reader. @param {string} name @param {string} type @param {string} text */
export function handOver(name, type, text) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
