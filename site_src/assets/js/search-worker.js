// @ts-check
// The theme's search, held back until somebody searches: its index is large, and heavy to build.
// It stands in the place of the theme's worker, and keeps to that worker's messages.
const [SETUP, READY, QUERY] = [0, 1, 2];
/** @type {object[]} */
const WAITING = [];
/** @type {any} */
let setup;
/** @type {Promise<void> | undefined} */
let started;

async function start() {
  const response = await fetch(new URL("../../../search/pages.json", location.href));
  if (!response.ok) throw new Error(`pages.json: the server answered ${response.status}`);
  const docs = await response.json();
  removeEventListener("message", hold);
  importScripts("theirs.js");
  dispatchEvent(new MessageEvent("message", { data: { type: SETUP, data: { ...setup, docs } } }));
  await new Promise((resolve) => setTimeout(resolve)); // the index is there when its promises are done
  const last = WAITING.at(-1);
  if (last) dispatchEvent(new MessageEvent("message", { data: last }));
}

/** @param {MessageEvent} event */
function hold(event) {
  event.stopImmediatePropagation();
  const { type, data } = event.data;
  if (type === SETUP) {
    setup = data;
    postMessage({ type: READY });
  } else if (type === QUERY && data) {
    WAITING.push(event.data);
    started = started ?? start().catch((error) => {
      started = undefined; // the next letter tries again
      console.warn(error);
    });
  }
}
addEventListener("message", hold);
