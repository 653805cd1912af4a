// The service worker of the page for on court: its files, and nothing else, are kept on the device.
// The application puts two lines before this: VERSION, the release, and FILES, every file that the page consists of.
// Packages and entries are somebody's data and never come into this cache.
/* global VERSION, FILES */

const CACHE_PREFIX = "firstpush-court-";
const CACHE_NAME = CACHE_PREFIX + VERSION;
const SHELL = "/court/";
const REPLY_WITHIN_MS = 2000;

async function keepFiles() {
  const cache = await caches.open(CACHE_NAME);
  // A redirect would be a page to log in, kept as if it were the page for on court.
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "reload", redirect: "error", credentials: "omit" })));
}

async function dropOldFiles() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(CACHE_PREFIX) && name !== CACHE_NAME).map((name) => caches.delete(name)));
}

async function fromCache(request, name) {
  const cache = await caches.open(CACHE_NAME);
  // The application varies its answers with the cookie; these files are the same for everybody.
  return (await cache.match(name, { ignoreVary: true })) ?? fetch(request);
}

// A page that does not answer may be one in a session whose device sleeps: it counts as running.
function isRunning(client) {
  return new Promise((answer) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => answer(event.data?.running !== false);
    setTimeout(() => answer(true), REPLY_WITHIN_MS);
    client.postMessage({ asks: "running" }, [port2]);
  });
}

async function takeOverWhenFree() {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const ours = pages.filter((each) => new URL(each.url).pathname.startsWith(SHELL));
  const running = await Promise.all(ours.map(isRunning));
  if (!running.some(Boolean)) await self.skipWaiting();
}

self.addEventListener("install", (event) => event.waitUntil(keepFiles()));

self.addEventListener("activate", (event) => event.waitUntil(dropOldFiles()));

self.addEventListener("message", (event) => {
  if (event.data?.asks === "take over") event.waitUntil(takeOverWhenFree());
  if (event.data?.asks === "version") event.ports[0]?.postMessage({ version: VERSION });
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (request.mode === "navigate" && pathname === SHELL) event.respondWith(fromCache(request, SHELL));
  else if (request.mode !== "navigate" && FILES.includes(pathname)) event.respondWith(fromCache(request, pathname));
});
