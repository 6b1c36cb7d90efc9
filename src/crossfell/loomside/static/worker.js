// Keeps the screen, the steps and the pictures on this device, so that it opens without the server.

const SHELF = "crossfell-loom-1";
const SHELL = [
  "./", "loom.css", "loom.js", "queue.js", "voice.js", "show.js", "log.html", "log.js", "mistake.html",
  "mistake.js", "icon.svg",
  "loom.webmanifest", "letters/Regular.ttf", "letters/Bold.ttf",
];

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(SHELF).then((shelf) => shelf.addAll(SHELL)));
  self.skipWaiting();
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

// The network first, what was kept if it is not there; pictures never change, so kept first.
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== location.origin) return;
  event.respondWith(request.url.includes("/picture/") ? keptFirst(request) : networkFirst(request));
});

async function networkFirst(request) {
  const shelf = await caches.open(SHELF);
  try {
    const answer = await fetch(request);
    if (answer.ok) await shelf.put(request, answer.clone());
    return answer;
  } catch (problem) {
    const found = await shelf.match(request);
    if (found && !request.url.endsWith("/state")) return found;
    throw problem;
  }
}

async function keptFirst(request) {
  const shelf = await caches.open(SHELF);
  const found = await shelf.match(request);
  if (found) return found;
  const answer = await fetch(request);
  if (answer.ok) await shelf.put(request, answer.clone());
  return answer;
}
