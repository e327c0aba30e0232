// @ts-check
// The handbook on this device: kept in the background, renewed when the reader says so, removed on request.
const WORKER = new URL("../../sw.js", import.meta.url);
const KEPT = "strokebook";
const QUIET = 6000; // ms after the page has come: first the reader, then the store
const MEGABYTE = 1e6;
const OWN = ["localhost", "127.0.0.1"]; // tomorrow something else may be served there
const HOST = navigator.serviceWorker; // missing in some browsers, and on pages without https

let asked = false; // whether the reader has asked for everything, and hears of that alone

/** @param {string} name @returns {HTMLElement | null} */
const part = (name) => document.querySelector(`[data-offline] [data-part="${name}"]`);

/** @param {string} words */
function say(words) {
  const line = part("state");
  if (line) line.textContent = words;
}

/** @param {boolean} shown */
function showProgress(shown) {
  const bar = part("progress");
  if (bar) bar.hidden = !shown;
}

/** Put a line at the foot of the page: a new edition waits. @param {ServiceWorker} waiting */
function announce(waiting) {
  if (document.querySelector(".sb-edition")) return;
  const line = document.createElement("p");
  line.className = "sb-edition";
  line.setAttribute("role", "status");
  line.textContent = "A new edition of this handbook is ready. ";
  const button = document.createElement("button");
  button.type = "button";
  button.className = "sb-button";
  button.textContent = "Reload";
  button.addEventListener("click", () => {
    HOST.addEventListener("controllerchange", () => location.reload(), { once: true });
    waiting.postMessage("take over");
  });
  line.append(button);
  document.body.append(line);
}

/** @param {ServiceWorkerRegistration} registration */
function follow(registration) {
  const coming = registration.installing;
  if (!coming) return;
  coming.onstatechange = () => {
    if (coming.state === "installed" && HOST.controller) announce(coming);
    if (coming.state === "activated") kept();
    if (coming.state === "redundant" && !registration.active) {
      showProgress(false);
      say("Not everything could be kept: the connection broke, or there is no room. What you read works as before.");
    }
  };
}

async function register() {
  try {
    const registration = await HOST.register(WORKER);
    if (registration.waiting && HOST.controller) announce(registration.waiting);
    follow(registration);
    registration.addEventListener("updatefound", () => follow(registration));
    if (registration.active) kept();
    return registration;
  } catch {
    say("This browser keeps nothing for pages like this one.");
    return null;
  }
}

function kept() {
  const remove = part("remove");
  if (remove) remove.hidden = false;
  if (asked) return;
  showProgress(false);
  say("Pages and plain calculators are kept on this device and work without a signal.");
}

async function keepEverything() {
  asked = true;
  say("Fetching …");
  showProgress(true);
  const registration = await register();
  if (!registration) return;
  await HOST.ready;
  registration.active?.postMessage("keep everything");
}

async function remove() {
  for (const one of await HOST.getRegistrations()) {
    if (one.scope === new URL("./", WORKER).href) await one.unregister();
  }
  await caches.delete(KEPT);
  say("Removed: nothing of the handbook is kept on this device now, but your own jobs, log and training record.");
}

/** @param {MessageEvent} event */
function told({ data }) {
  if ("done" in data) {
    const bar = /** @type {HTMLProgressElement | null} */ (part("progress"));
    if (bar) bar.value = data.all ? data.done / data.all : 1;
    say(`${(data.done / MEGABYTE).toFixed(1)} of ${(data.all / MEGABYTE).toFixed(1)} MB`);
  }
  if (data.kept) {
    showProgress(false);
    say("Everything is kept on this device and works without a signal.");
  }
  if (data.failed) {
    showProgress(false);
    say(`Not everything could be kept (${data.failed}). What you read works as before; try again later.`);
  }
}

if (HOST && window.isSecureContext) {
  HOST.addEventListener("message", told);
  const box = /** @type {HTMLElement | null} */ (document.querySelector("[data-offline]"));
  box?.querySelectorAll("button").forEach((button) => { button.hidden = false; });
  part("keep")?.addEventListener("click", keepEverything);
  part("remove")?.addEventListener("click", remove);
  const spare = /** @type {any} */ (navigator).connection?.saveData;
  if (HOST.controller || !(spare || OWN.includes(location.hostname))) {
    addEventListener("load", () => setTimeout(register, QUIET));
  } else {
    say(spare ? "Your device saves data, so nothing is fetched before you ask for it."
      : "This machine serves the handbook itself, so nothing is kept before you ask for it.");
  }
} else {
  say("This browser keeps nothing for pages like this one.");
}
