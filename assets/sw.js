// Duskline's service worker: keeps the finished page so that it opens without a network.
//
// `cargo dev` writes `const SITE = { version, files }` above this text: the finished files by their addresses relative to
// this script, and a version made of all their bytes. One version is one cache; it is filled whole or not at all. A newer
// worker waits until the page asks it to take over. What is not in the list goes to the network untouched.
"use strict";

const PREFIX = "duskline:" + new URL(self.registration.scope).pathname + ":";
const CACHE = PREFIX + SITE.version;
const START = self.registration.scope;
// The start page is kept under the folder's own address: some servers redirect from its file name, and a redirected
// answer must not be given to a navigation.
const address = (file) => new URL(file === "index.html" ? "./" : file, START).href;
const KEPT = new Set(SITE.files.map(address));

self.addEventListener("install", (event) => {
  // "no-cache" asks the server whether each file is still the same, so that an old copy never gets into a new version.
  const requests = [...KEPT].map((url) => new Request(url, { cache: "no-cache" }));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(requests)));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys().then((names) => Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)))),
  );
});

self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  const url = new URL(event.request.url);
  url.search = "";
  url.hash = "";
  const key = url.href === new URL("index.html", START).href ? START : url.href;
  if (!KEPT.has(key)) return;
  event.respondWith(caches.open(CACHE).then((cache) => cache.match(key)).then((kept) => kept || fetch(event.request)));
});
