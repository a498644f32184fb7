/* Keeps the self-check on the phone: the shop answers while there is a line, the kept page when there is none.
   Nothing about anybody is kept: only the page that is the same for all, and what it looks like. */
"use strict";
const { version, check, offline, enquiry, files } = self.selfCheck;
const STORE = "self-check-";
const PATIENCE_MS = 4000;
/* So long a phone waits for a poor line before the kept page answers in its place. */

self.addEventListener("install", (event) => event.waitUntil(keep().then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(dropOlder().then(() => self.clients.claim())));
/* The page that brought the worker was not fetched by it: it says itself in which language it is read. */
self.addEventListener("message", (event) => event.waitUntil(learn(200, event.data.language)));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (files.includes(url.pathname)) event.respondWith(kept(url.pathname).then((file) => file || fetch(request)));
  else if (request.mode !== "navigate") return;
  else if (url.pathname === check) event.respondWith(page(event, url));
  else if (url.pathname === enquiry) event.respondWith(fetch(request).catch(() => keptPage(url).then((one) => one || Response.error())));
});

async function keep() {
  const store = await caches.open(STORE + version);
  await Promise.all([store.addAll(files), keepPage("")]);
}

async function keepPage(language) {
  const answer = await fetch(address(language), { cache: "no-cache" });
  if (!answer.ok) throw new Error("The page to keep did not come: " + answer.status);
  const store = await caches.open(STORE + version);
  if (!language) await store.put(address(answer.headers.get("Content-Language")), answer.clone());
  await store.put(address(language), answer);
}

async function dropOlder() {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(STORE) && name !== STORE + version);
  await Promise.all(older.map((name) => caches.delete(name)));
}

async function page(event, url) {
  const instead = await keptPage(url);
  const coming = fetch(event.request).then((answer) => {
    event.waitUntil(learn(answer.status, answer.headers.get("Content-Language")));
    return answer;
  });
  if (!instead) return coming;
  const late = new Promise((done) => setTimeout(done, PATIENCE_MS, instead));
  return Promise.race([coming.catch(() => instead), late]);
}

/* Another language read is kept too; a self-check that the shop has closed is forgotten until it opens again. */
async function learn(status, language) {
  if (status === 404) await caches.delete(STORE + version);
  if (status !== 200 || !language) return;
  const missing = !(await kept(address(""))) ? keep : !(await kept(address(language))) ? () => keepPage(language) : null;
  if (missing) await missing().catch(() => undefined);
}

async function keptPage(url) {
  const language = url.searchParams.get("lang");
  return (language && (await kept(address(language)))) || kept(address(""));
}

async function kept(path) {
  const store = await caches.open(STORE + version);
  return store.match(path);
}

function address(language) {
  return language ? offline + "?lang=" + language : offline;
}
