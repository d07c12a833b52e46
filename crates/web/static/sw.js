// Keeps the whole app on the phone, one version of it at a time: page, program and style always belong together.
// A newer version waits until a person takes it. What goes to the shop's server is never touched.
const VERSION = "{version}";
const FILES = {files};

self.addEventListener("install", (event) => {
  // All or nothing; past the browser's own cache, so that no file of an older version slips in.
  event.waitUntil(
    caches.open(VERSION).then((cache) => cache.addAll(FILES.map((file) => new Request(file, { cache: "reload" })))),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((name) => name !== VERSION).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) return;
  if (address.pathname.startsWith("/api/")) return;
  // Every page is the one page; its address behind # says what it shows.
  if (request.mode === "navigate" && !address.pathname.includes(".")) {
    event.respondWith(kept("/", request));
  } else if (FILES.includes(address.pathname)) {
    event.respondWith(kept(address.pathname, request));
  }
});

async function kept(name, request) {
  const cache = await caches.open(VERSION);
  return (await cache.match(name)) ?? fetch(request);
}
