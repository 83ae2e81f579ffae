"use strict";
// Keeps the pages that were looked at, for when the server does not answer. The server is always asked first.

const PAGES = "graftbook-pages-1";
const MOST = 80;
const FIXED = ["/static/bench.css", "/static/bench.js", "/static/icon.svg"];

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(PAGES).then((kept) => kept.addAll(FIXED)).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function answered(request) {
  const kept = await caches.open(PAGES);
  try {
    const answer = await fetch(request);
    const page = (answer.headers.get("content-type") || "").startsWith("text/html");
    if (new URL(answer.url).pathname === "/join") await caches.delete(PAGES);
    else if (answer.ok && !answer.redirected && (page || FIXED.includes(new URL(request.url).pathname))) {
      await kept.put(request, answer.clone());
      const all = await kept.keys();
      for (const old of all.slice(0, Math.max(0, all.length - MOST))) {
        if (!FIXED.includes(new URL(old.url).pathname)) await kept.delete(old);
      }
    }
    return answer;
  } catch (error) {
    const found = await kept.match(request, { ignoreSearch: request.mode === "navigate" });
    if (found) return found;
    throw error;
  }
}

self.addEventListener("fetch", (event) => {
  if (event.request.method === "GET" && new URL(event.request.url).origin === self.location.origin) event.respondWith(answered(event.request));
});
