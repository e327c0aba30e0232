// @ts-check
// What an inspection log holds, and how it is read and written. Plain functions, no page and no storage.

/**
 * Distance as it was typed, in the unit that was chosen; nothing is converted here.
 * @typedef {{id: string, date: string, vehicle: string, position: string, distance: string, unit: string, finding: string, note: string}} Entry
 * @typedef {{entries: Entry[], reason: string}} Read entries, or the reason why there are none
 */

const FORMAT = "strokebook-log";
const VERSION = 1;
const MOST = 5000;
const LARGEST = 2_000_000; // characters of a file
/** Longest text of each field, in the order of the table. @type {Record<string, number>} */
export const FIELDS = { id: 60, date: 10, vehicle: 80, position: 40, distance: 10, unit: 2, finding: 200, note: 2000 };

/** @returns {string} the day here, as 2026-11-25 */
export function today() {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

/** @returns {string} a name that no other entry has */
export function freshId() {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {string} text @returns {boolean} */
export function isDay(text) {
  const day = new Date(`${text}T00:00:00Z`);
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(day.getTime()) && day.toISOString().startsWith(text);
}

/** Digits alone: 84 200 and 84.200 and 84,200 are all 84200. @param {string} text @returns {string} */
export function plainDistance(text) {
  return text.trim().replace(/(?<=\d)[\s.,'’](?=\d{3}(?!\d))/gu, "");
}

/** @param {Entry} entry @returns {string} what is wrong with it; empty if nothing is */
export function faultOf(entry) {
  if (!isDay(entry.date)) return "The date must be a day, as 2026-11-25.";
  if (entry.distance !== "" && !/^\d{1,7}$/.test(entry.distance)) return "The distance must be a whole number, as 84 200.";
  if (entry.unit !== "km" && entry.unit !== "mi") return "The distance is in km or mi.";
  if (entry.finding.trim() === "") return "The finding is empty: write what you saw.";
  for (const [name, most] of Object.entries(FIELDS)) {
    const { length } = entry[/** @type {keyof Entry} */ (name)];
    if (length > most) return `The ${name} has ${length} characters; ${most} are allowed.`;
  }
  return "";
}

/** @param {unknown} value @returns {Entry | null} */
function asEntry(value) {
  if (typeof value !== "object" || value === null) return null;
  const given = /** @type {Record<string, unknown>} */ (value);
  const texts = Object.keys(FIELDS).map((name) => [name, given[name] ?? ""]);
  if (texts.some(([, text]) => typeof text !== "string")) return null;
  return Object.fromEntries(texts);
}

/** @param {string} reason @returns {Read} */
const refused = (reason) => ({ entries: [], reason });

/** @param {string} text a log as JSON @returns {Read} */
export function readLog(text) {
  if (text.length > LARGEST) return refused("The file is larger than 2 MB.");
  let data;
  try {
    data = JSON.parse(text);
  } catch {
    return refused("The file is not JSON.");
  }
  if (data?.format !== FORMAT) return refused(`The file is no inspection log: its format is not ${FORMAT}.`);
  if (data.version !== VERSION) return refused(`The log has version ${data.version}; this page reads version ${VERSION}.`);
  if (!Array.isArray(data.entries) || data.entries.length > MOST) return refused(`A log has a list of at most ${MOST} entries.`);
  const entries = [];
  for (const [index, value] of data.entries.entries()) {
    const entry = asEntry(value);
    const fault = entry ? faultOf(entry) : "It is not made of texts.";
    if (!entry || fault) return refused(`Entry ${index + 1} cannot be read. ${fault}`);
    entries.push({ ...entry, id: entry.id || freshId() });
  }
  return { entries, reason: "" };
}

/** @param {Entry[]} entries @returns {string} */
export function writeLog(entries) {
  return `${JSON.stringify({ format: FORMAT, version: VERSION, entries }, null, 1)}\n`;
}

/** Entries of both logs, each once. @param {Entry[]} old @param {Entry[]} added @returns {Entry[]} */
export function merged(old, added) {
  return [...new Map([...added, ...old].map((entry) => [entry.id, entry])).values()];
}

/** Newest first. @param {Entry[]} entries @returns {Entry[]} */
export function sorted(entries) {
  return [...entries].sort((one, other) => other.date.localeCompare(one.date));
}

/** A cell that a spreadsheet takes as text, not as a formula. @param {string} text @returns {string} */
function cell(text) {
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** The log as RFC 4180 says; the mark in front tells spreadsheets that it is UTF-8. @param {Entry[]} entries @returns {string} */
export function toCsv(entries) {
  const names = /** @type {(keyof Entry)[]} */ (Object.keys(FIELDS).filter((name) => name !== "id"));
  const lines = [names.join(","), ...entries.map((entry) => names.map((name) => cell(entry[name])).join(","))];
  return `\uFEFF${lines.map((line) => `${line}\r\n`).join("")}`;
}
