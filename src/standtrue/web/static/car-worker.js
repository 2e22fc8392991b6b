// Answers for the pages at the car where there is no network: the page as it was last read, and the server's own files.

const CACHE = "standtrue-car-1";

self.addEventListener("install", (event) => event.waitUntil(self.skipWaiting()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  if (event.data && event.data.keep) event.waitUntil(keep(event.data.keep));
});

// What an open page needs to be opened again: its own address without a query, and its files.
async function keep(urls) {
  const cache = await caches.open(CACHE);
  for (const url of urls) {
    try {
      const response = await fetch(url);
      if (response.ok) await cache.put(new URL(url, self.location).pathname, response);
    } catch { /* it is kept next time */ }
  }
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  const page = event.request.mode === "navigate" && url.pathname.startsWith("/car/");
  if (!page && !url.pathname.startsWith("/static/")) return;
  event.respondWith(page ? fresh(event.request, url) : stored(event.request, url));
});

async function fresh(request, url) {
  const cache = await caches.open(CACHE);
  try {
    const response = await fetch(request);
    if (response.ok && !response.redirected && !url.search) await cache.put(url.pathname, response.clone());
    return response;
  } catch (fault) {
    const before = await cache.match(url.pathname);
    if (before) return before;
    throw fault;
  }
}

async function stored(request, url) {
  const cache = await caches.open(CACHE);
  const before = await cache.match(url.pathname);
  if (before) return before;
  const response = await fetch(request);
  if (response.ok) await cache.put(url.pathname, response.clone());
  return response;
}
