// @ts-check
// What a training record holds, how it is read and written, and when a module is done. Plain functions, no page and no storage.
import { isDay } from "./log-entry.js";

/**
 * @typedef {{right: string, tries: number}} Answered  the day it was first right, empty until then; how often it was checked
 * @typedef {{name: string, answers: Record<string, Answered>}} Training  answers by module/question
 * @typedef {{training: Training | null, reason: string}} Read  a record, or the reason why there is none
 * @typedef {{name: string, questions: {key: string, number: boolean}[]}} Outline  of a module; number: it is answered with one
 * @typedef {{right: number, total: number, wanted: number, tries: number, done: string}} Standing  done: the day, empty until then
 */

const FORMAT = "strokebook-training";
const VERSION = 1;
const LARGEST = 200_000; // characters of a file
const MOST = 1000; // answers
const MOST_TRIES = 9999;
const LONGEST_NAME = 80;
const SHARE = 0.8; // of a module's questions that have to be right
const PLACE = /^[a-z]+(-[a-z]+)*\/[a-z]+(-[a-z]+)*$/;

/** @returns {Training} */
export const nothing = () => ({ name: "", answers: {} });

/** @param {string} reason @returns {Read} */
const refused = (reason) => ({ training: null, reason });

/** @param {unknown} value @returns {value is Record<string, unknown>} */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/** @param {unknown} value @returns {Answered | null} */
function asAnswered(value) {
  if (!isObject(value)) return null;
  const { right, tries } = value;
  if (typeof right !== "string" || (right !== "" && !isDay(right))) return null;
  if (typeof tries !== "number" || !Number.isInteger(tries) || tries < 1 || tries > MOST_TRIES) return null;
  return { right, tries };
}

/** @param {unknown} data what a file or the storage held @returns {Read} */
export function asTraining(data) {
  if (!isObject(data) || data.format !== FORMAT) return refused(`This is no training record: its format is not ${FORMAT}.`);
  if (data.version !== VERSION) return refused(`The record has another version than ${VERSION}, which this page reads.`);
  if (typeof data.name !== "string" || data.name.length > LONGEST_NAME) {
    return refused(`The name must be a text of at most ${LONGEST_NAME} characters.`);
  }
  if (!isObject(data.answers)) return refused("The answers must be a list by module and question.");
  const found = Object.entries(data.answers);
  if (found.length > MOST) return refused(`The record has more than ${MOST} answers.`);
  const answers = [];
  for (const [index, [place, value]] of found.entries()) {
    const answered = asAnswered(value);
    if (!PLACE.test(place) || !answered) return refused(`Answer ${index + 1} cannot be read.`);
    answers.push([place, answered]);
  }
  return { training: { name: data.name, answers: Object.fromEntries(answers) }, reason: "" };
}

/** @param {string} text a record as JSON @returns {Read} */
export function readTraining(text) {
  if (text.length > LARGEST) return refused("The file is larger than 200 kB.");
  try {
    return asTraining(JSON.parse(text));
  } catch {
    return refused("The file is not JSON.");
  }
}

/** @param {Training} training @returns {object} as it is kept and written */
export const kept = (training) => ({ format: FORMAT, version: VERSION, ...training });

/** @param {Training} training @returns {string} */
export const writeTraining = (training) => `${JSON.stringify(kept(training), null, 1)}\n`;

/** Both records in one: the earlier day, the more tries, the name that was here. @param {Training} here @param {Training} added @returns {Training} */
export function merged(here, added) {
  const answers = { ...here.answers };
  for (const [place, other] of Object.entries(added.answers)) {
    const own = answers[place] ?? other;
    const days = [own.right, other.right].filter(Boolean).sort();
    answers[place] = { right: days[0] ?? "", tries: Math.max(own.tries, other.tries) };
  }
  return { name: here.name || added.name, answers };
}

/** One more answer. @param {Training} training @param {string} place @param {boolean} right @param {string} day @returns {Training} */
export function answered(training, place, right, day) {
  const before = training.answers[place] ?? { right: "", tries: 0 };
  const after = { right: before.right || (right ? day : ""), tries: Math.min(before.tries + 1, MOST_TRIES) };
  return { ...training, answers: { ...training.answers, [place]: after } };
}

/** @param {Outline} outline @param {Training} training @returns {Standing} */
export function standing(outline, training) {
  const given = outline.questions.map(({ key, number }) => ({ number, ...(training.answers[`${outline.name}/${key}`] ?? { right: "", tries: 0 }) }));
  const wanted = Math.ceil(SHARE * given.length);
  /** @param {string} day whether all that is wanted was right by then */
  const enough = (day) => {
    const right = given.filter((one) => one.right && one.right <= day);
    return right.length >= wanted && given.every((one) => !one.number || right.includes(one));
  };
  const days = given.map((one) => one.right).filter(Boolean).sort();
  return {
    right: days.length,
    total: given.length,
    wanted,
    tries: given.reduce((sum, one) => sum + one.tries, 0),
    done: days.find(enough) ?? "",
  };
}

/** @param {Standing} of @returns {string} */
export function standingWords({ right, total, wanted, done }) {
  if (done) return `Done on ${done}: ${right} of ${total} right.`;
  return `${right} of ${total} right. Done with ${wanted} right, all questions with numbers among them.`;
}
