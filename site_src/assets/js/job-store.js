// @ts-check
// The jobs in this browser's storage, each as the core's own text. Storage may be refused or full: that is said, and
// what could not be kept stays in memory, so that nothing typed is lost while the page is open.
const JOBS = "strokebook.jobs";
const JOB = "strokebook.job.";
const STEPS = "strokebook.steps.";
const MOST_STEPS = 30;

/** @typedef {{id: string, title: string}} Named */
/** @typedef {{open: string, jobs: Named[]}} Index */
/** @typedef {{back: string[], on: string[]}} Steps  texts of the job before and after the present one */

export const FULL = "The browser’s storage is full or switched off, so this is not kept there. Export the job as a file before you close the page.";

/** @type {Map<string, string>} what the storage did not take */
const unkept = new Map();

/** @param {Storage} storage @param {string} key */
function read(storage, key) {
  try {
    return storage.getItem(key);
  } catch {
    return null;
  }
}

/** @param {string} key @param {string} value @returns {boolean} whether the storage has it */
function write(key, value) {
  try {
    localStorage.setItem(key, value);
    unkept.delete(key);
    return true;
  } catch {
    unkept.set(key, value);
    return false;
  }
}

/** @param {string} key */
function current(key) {
  return unkept.get(key) ?? read(localStorage, key);
}

/** @param {any} one @returns {one is Named} */
const isNamed = (one) => typeof one?.id === "string" && typeof one?.title === "string";

/** @returns {Index} */
export function index() {
  try {
    const found = JSON.parse(current(JOBS) ?? "{}");
    const jobs = Array.isArray(found.jobs) ? found.jobs.filter(isNamed) : [];
    return { open: jobs.some((/** @type {Named} */ one) => one.id === found.open) ? found.open : "", jobs };
  } catch {
    return { open: "", jobs: [] };
  }
}

/** @param {string} id @returns {string} empty if there is none */
export function textOf(id) {
  return current(JOB + id) ?? "";
}

/** @param {string} key @returns {string} id of the job that a key of the storage belongs to, empty if none */
export function jobOf(key) {
  return key.startsWith(JOB) ? key.slice(JOB.length) : "";
}

/** @param {string} id @param {string} text @param {string} title @returns {boolean} whether it is in the storage */
export function keep(id, text, title) {
  const kept = write(JOB + id, text);
  const { open, jobs } = index();
  const listed = jobs.some((one) => one.id === id);
  const named = listed ? jobs.map((one) => (one.id === id ? { id, title } : one)) : [...jobs, { id, title }];
  return write(JOBS, JSON.stringify({ open, jobs: named })) && kept;
}

/** @param {string} id of the job that is to be open; empty for none */
export function open(id) {
  write(JOBS, JSON.stringify({ ...index(), open: id }));
}

/** @param {string} id */
export function forget(id) {
  const { open: opened, jobs } = index();
  write(JOBS, JSON.stringify({ open: opened === id ? "" : opened, jobs: jobs.filter((one) => one.id !== id) }));
  unkept.delete(JOB + id);
  try {
    localStorage.removeItem(JOB + id);
    sessionStorage.removeItem(STEPS + id);
  } catch {
    // it was not there
  }
}

export function freshId() {
  return crypto.getRandomValues(new Uint32Array(2)).reduce((text, part) => text + part.toString(36), "");
}

/** @type {Map<string, Steps>} */
const steps = new Map();

/** @param {string} id @returns {Steps} what undo and redo go back and on to, in this tab */
export function stepsOf(id) {
  let found = steps.get(id);
  if (!found) {
    try {
      found = JSON.parse(read(sessionStorage, STEPS + id) ?? "null");
    } catch {
      found = undefined;
    }
    found = Array.isArray(found?.back) && Array.isArray(found?.on) ? found : { back: [], on: [] };
    steps.set(id, found);
  }
  return found;
}

/** @param {string} id */
export function keepSteps(id) {
  const found = stepsOf(id);
  found.back = found.back.slice(-MOST_STEPS);
  for (let most = found.back.length; most > 0; most = Math.floor(most / 2)) {
    try {
      sessionStorage.setItem(STEPS + id, JSON.stringify({ back: found.back.slice(-most), on: found.on }));
      return;
    } catch {
      // fewer steps take less room
    }
  }
}
