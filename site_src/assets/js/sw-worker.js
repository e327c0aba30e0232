// @ts-check
// Keeps the handbook on the device. The build puts the list of an edition's files before this text.
// Files are kept under their digest, so two editions share what did not change, and a page gets
// all its files from one edition: that of the worker which answers.
/** @typedef {Record<string, [digest: string, bytes: number]>} Files */
const scope = /** @type {any} */ (self); // the types of a service worker are not those of other workers
/** @type {{version: string, files: Files, later: Files}} */
const { files, later } = scope.EDITION;
const KEPT = "strokebook";
const TOGETHER = 6; // files fetched at a time
const ROOT = scope.registration.scope;

/** @param {string} path @param {string} digest the address under which a file is kept */
const key = (path, digest) => `${ROOT}${path}?kept=${digest}`;

/** @param {object} said */
async function tell(said) {
  for (const page of await scope.clients.matchAll({ includeUncontrolled: true })) page.postMessage(said);
}

/** @param {ArrayBuffer} content @returns {Promise<string>} */
async function digestOf(content) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("").slice(0, 16);
}

/** Fetch a file of this edition and keep it; one of another edition is refused. @param {string} path @param {string} digest */
async function keep(path, digest) {
  const response = await fetch(ROOT + path, { cache: "no-cache", credentials: "same-origin" });
  if (!response.ok) throw new Error(`${path}: the server answered ${response.status}`);
  const content = await response.clone().arrayBuffer();
  if ((await digestOf(content)) !== digest) throw new Error(`${path} belongs to another edition`);
  const { status, statusText, headers } = response;
  const kept = new Response(content, { status, statusText, headers });
  await (await caches.open(KEPT)).put(key(path, digest), kept.clone());
  return kept;
}

/** Keep what is not there yet, and tell how far it is. @param {Files} wanted */
async function keepAll(wanted) {
  const cache = await caches.open(KEPT);
  const there = new Set((await cache.keys()).map((request) => request.url));
  const missing = Object.entries(wanted).filter(([path, [digest]]) => !there.has(key(path, digest)));
  const all = missing.reduce((sum, [, [, bytes]]) => sum + bytes, 0);
  let done = 0;
  const next = async () => {
    for (let one = missing.pop(); one; one = missing.pop()) {
      const [path, [digest, bytes]] = one;
      await keep(path, digest);
      done += bytes;
      await tell({ done, all });
    }
  };
  const lines = await Promise.allSettled(Array.from({ length: TOGETHER }, next)); // all else is kept all the same
  const broken = lines.find((line) => line.status === "rejected");
  if (broken) throw broken.reason;
}

/** Throw away what no edition needs any more. */
async function tidy() {
  const cache = await caches.open(KEPT);
  const needed = new Set(Object.entries({ ...files, ...later }).map(([path, [digest]]) => key(path, digest)));
  for (const request of await cache.keys()) if (!needed.has(request.url)) await cache.delete(request);
}

/** @param {string} path below the site @returns {string} the file that it means */
function fileOf(path) {
  return path === "" || path.endsWith("/") ? `${path}index.html` : path;
}

/** @param {Request} request @param {string} path */
async function answer(request, path) {
  const file = fileOf(path);
  const known = files[file] ?? later[file];
  if (known) {
    const kept = await (await caches.open(KEPT)).match(key(file, known[0])).catch(() => undefined);
    return kept ?? keep(file, known[0]).catch(() => {
      scope.registration.update(); // removed by the browser, and by now another edition on the server
      return fetch(request);
    });
  }
  if (files[`${path}/index.html`]) return Response.redirect(`${ROOT}${path}/`, 301);
  return fetch(request).catch((error) => (request.mode === "navigate" ? away() : Promise.reject(error)));
}

/** What somebody sees who follows a link out of the handbook's list without a signal. */
function away() {
  const text = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Not on this device</title><h1>Not on this device</h1>
<p>This page isn't kept on your device, and there is no connection.</p><p><a href="${ROOT}">To the start of the handbook</a></p></html>`;
  return new Response(text, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
}

addEventListener("install", (/** @type {any} */ event) => event.waitUntil(keepAll(files)));
addEventListener("activate", (/** @type {any} */ event) => event.waitUntil(tidy().then(() => scope.clients.claim())));
addEventListener("fetch", (/** @type {any} */ event) => {
  const { request } = event;
  const address = new URL(request.url);
  address.search = "";
  address.hash = "";
  if (request.method === "GET" && address.href.startsWith(ROOT)) {
    event.respondWith(answer(request, address.href.slice(ROOT.length)));
  }
});
addEventListener("message", (/** @type {any} */ event) => {
  if (event.data === "take over") scope.skipWaiting();
  if (event.data === "keep everything") {
    event.waitUntil(keepAll({ ...files, ...later }).then(
      () => tell({ kept: true }), (error) => tell({ failed: String(error.message ?? error) })));
  }
});
