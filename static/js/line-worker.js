/* Answers for the shop's pages while the line is gone, with one page that is the same for everybody, and keeps
   what pages look like. No page of the shop and nothing about anybody is ever kept here. */
"use strict";
const { version, shell, files, others, lasting } = self.line;
const STORE = "line-", LOOKS = "looks", MOST_LOOKS = 200;
const PATIENCE_MS = 15000;
/* So long a page may take; papers are made while one waits, and take as long as they need. */
const PAPER = /\.(pdf|csv|zip|json|jpg)$/;
const lasts = new RegExp(lasting);

self.addEventListener("install", (event) => event.waitUntil(keep("").then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(dropOlder().then(() => self.clients.claim())));
/* In which language the person reads: the page that stands for all others is kept in that one. */
self.addEventListener("message", (event) => event.waitUntil(keep(event.data.language).catch(() => undefined)));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (lasts.test(url.pathname)) event.respondWith(look(event, request));
  else if (request.mode === "navigate" && !others.some((start) => url.pathname.startsWith(start))) event.respondWith(page(request, url));
});

async function keep(language) {
  const store = await caches.open(STORE + version);
  const wanted = shell + (language ? "?lang=" + language : "");
  if (await store.match(wanted)) { await store.put(shell, (await store.match(wanted)).clone()); return; }
  const answer = await fetch(wanted, { cache: "no-cache", credentials: "omit" });
  if (!answer.ok) throw new Error("The page to keep did not come: " + answer.status);
  const addresses = [...files, ...(await answer.clone().text()).match(lookedFor()).map((found) => found.slice(1, -1))];
  await store.addAll([...new Set(addresses)]);
  await store.put(shell, answer.clone());
  await store.put(wanted, answer);
}
function lookedFor() { return /"\/static\/[^"]+"/g; }

async function dropOlder() {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(STORE) && name !== STORE + version);
  await Promise.all(older.map((name) => caches.delete(name)));
}

async function page(request, url) {
  const late = new Promise((done) => setTimeout(done, PATIENCE_MS));
  const coming = fetch(request);
  const answer = await (PAPER.test(url.pathname) ? coming : Promise.race([coming, late])).catch(() => null);
  return answer || (await instead()) || coming;
}
async function instead() {
  const store = await caches.open(STORE + version);
  return store.match(shell);
}

/* A name that changes with its content never grows stale, so it is asked for once. */
async function look(event, request) {
  const found = await caches.match(request.url);
  if (found) return found;
  const answer = await fetch(request);
  if (answer.ok && answer.type === "basic") event.waitUntil(keepLook(request.url, answer.clone()));
  return answer;
}
async function keepLook(address, answer) {
  const store = await caches.open(LOOKS);
  await store.put(address, answer);
  const kept = await store.keys();
  await Promise.all(kept.slice(0, Math.max(0, kept.length - MOST_LOOKS)).map((one) => store.delete(one)));
}
