// Looks after the day's pages while there is no network. Other pages always come from the desk.
/// <reference lib="webworker" />
export {};
declare const self: ServiceWorkerGlobalScope;

const SHELF = "airwright-day-1";
const DAY = /^\/jobs\/[a-z0-9]+\/day$/;

self.addEventListener("install", () => void self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  const data = event.data as { keep?: string[]; forget?: boolean };
  if (data.forget) event.waitUntil(caches.delete(SHELF));
  if (data.keep) event.waitUntil(keep(data.keep));
});

async function keep(addresses: string[]): Promise<void> {
  const shelf = await caches.open(SHELF);
  await Promise.all(
    addresses.map(async (address) => {
      const answer = await fetch(address, { credentials: "same-origin" }).catch(() => null);
      if (answer?.ok && !answer.redirected) await shelf.put(bare(address), answer);
    }),
  );
}

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== self.location.origin) return;
  if (DAY.test(address.pathname) && event.request.mode === "navigate") event.respondWith(fresh(event.request));
  else if (address.pathname.startsWith("/static/")) event.respondWith(held(event.request));
});

async function fresh(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (problem) {
    const found = await (await caches.open(SHELF)).match(bare(request.url));
    if (found) return found;
    throw problem;
  }
}

async function held(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (problem) {
    const found = await (await caches.open(SHELF)).match(bare(request.url));
    if (found) return found;
    throw problem;
  }
}

function bare(address: string): string {
  const url = new URL(address);
  if (!url.pathname.startsWith("/static/")) url.search = "";
  url.hash = "";
  return url.href;
}
