// Keeps the shop floor's page at hand: asked from the bench first, from what was kept where the bench cannot be reached.
// Only the page and its own files; steps and what was typed are kept by the page itself.

const KEPT = "pitwright-floor-page-1";
const FILES = [
  "/static/floor.css",
  "/static/css/base.css",
  "/static/icon.svg",
  "/static/js/scheme.js",
  "/static/js/prefs.js",
  "/static/js/dom.js",
  "/static/floor/main.js",
  "/static/floor/keep.js",
  "/static/floor/send.js",
  "/static/floor/show.js",
  "/static/floor/parts.js",
  "/static/floor/got.js",
  "/static/floor/keys.js",
  "/static/floor/list.js",
];
const PATIENCE = 4000; // ms

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(KEPT)
      .then((kept) => kept.addAll(FILES))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  const others = caches.keys().then((names) => names.filter((n) => n.startsWith("pitwright-floor-") && n !== KEPT));
  event.waitUntil(others.then((names) => Promise.all(names.map((n) => caches.delete(n)))).then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  const ours = origin === self.location.origin && event.request.method === "GET";
  const page = event.request.mode === "navigate" && pathname.startsWith("/floor/");
  if (ours && (page || pathname.startsWith("/static/"))) event.respondWith(answered(event.request));
});

async function answered(request) {
  const kept = await caches.open(KEPT);
  try {
    const answer = await inTime(fetch(request));
    if (answer.ok) await kept.put(request.url.split("#")[0], answer.clone());
    if (answer.status < 500) return answer;
    throw new Error("not answered");
  } catch (problem) {
    const found = await kept.match(request.url.split("#")[0]);
    if (found) return found;
    throw problem;
  }
}

function inTime(promise) {
  return Promise.race([promise, new Promise((_, late) => setTimeout(() => late(new Error("late")), PATIENCE))]);
}
