// @ts-check
// The theme's search, held back until somebody searches: its index is large, and heavy to build.
// It stands in the place of the theme's worker, and keeps to that worker's messages.
const [SETUP, READY, QUERY] = [0, 1, 2];
/** @type {any} */
let setup;
/** @type {object | undefined} */
let waiting; // the last question that came before theirs could answer
/** @type {Promise<void> | undefined} */
let started;

let open = false; // whether the theme's worker hears what comes

/** Hand a message to the theme's worker. @param {object} data */
function pass(data) {
  open = true;
  dispatchEvent(new MessageEvent("message", { data }));
}

async function start() {
  const response = await fetch(new URL("../../../search/pages.json", location.href));
  if (!response.ok) throw new Error(`pages.json: the server answered ${response.status}`);
  const docs = await response.json();
  importScripts("theirs.js");
  pass({ type: SETUP, data: { ...setup, docs } });
  open = false;
  await new Promise((resolve) => setTimeout(resolve)); // its promises are done, the index is there
  if (waiting) pass(waiting);
}

/** @param {MessageEvent} event */
function hold(event) {
  if (open) return;
  event.stopImmediatePropagation();
  const { type, data } = event.data;
  if (type === SETUP) {
    setup = data;
    postMessage({ type: READY });
  } else if (type === QUERY && data) {
    waiting = event.data;
    started = started ?? start().catch((error) => {
      started = undefined; // the next letter tries again
      console.warn(error);
    });
  }
}
addEventListener("message", hold);
