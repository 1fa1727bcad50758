/*
 * Keeps the shell of the application in the browser, so that it opens while the server does not answer and says so. Only
 * files of the bundle, which are the same for everybody: never an answer of the server, never a picture. Made whole
 * by build.ts, which fills in the names.
 */
const FILES = ["FILES-OF-THE-BUNDLE"];
const CACHE = "VERSION-OF-THE-BUNDLE";

addEventListener("install", (event) => {
  const keep = async () => {
    const cache = await caches.open(CACHE);
    await cache.addAll(["/", ...FILES]);
    await skipWaiting();
  };
  event.waitUntil(keep());
});

addEventListener("activate", (event) => {
  const tidy = async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
    await clients.claim();
  };
  event.waitUntil(tidy());
});

addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== location.origin || request.method !== "GET" || pathname.startsWith("/api")) return;
  // The page comes from the server as long as it answers: it is the newest, and its own policy comes with it.
  if (request.mode === "navigate") {
    event.respondWith(fetch(request).catch(async () => (await caches.match("/")) ?? Response.error()));
  } else if (FILES.includes(pathname)) {
    event.respondWith(caches.match(pathname).then((kept) => kept ?? fetch(request)));
  }
});
