// Looks after the day's pages while there is no network. Other pages always come from the desk; in
// their place stands, without a network, where the kept ones are.
/// <reference lib="webworker" />
import { bookOf, t } from "./words";

declare const self: ServiceWorkerGlobalScope;

const SHELF = "airwright-day-1";
const DAY = /^\/jobs\/[a-z0-9]+\/day$/;
const PICTURE = /^\/jobs\/[a-z0-9]+\/day\/\d+\/(chart\.svg|\d+\.webp)$/;

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
  else if (address.pathname.startsWith("/static/") || PICTURE.test(address.pathname)) event.respondWith(held(event.request));
  else if (event.request.mode === "navigate" && event.request.destination === "document")
    event.respondWith(fetch(event.request).catch(() => without()));
});

/** What stands in for a page that needs the network: the way to those that do not. */
async function without(): Promise<Response> {
  const shelf = await caches.open(SHELF);
  const kept = (await shelf.keys()).map((request) => request.url);
  const looks = kept.find((address) => /\/desk\.css(\?|$)/.test(address));
  let page = ""; // of the day, kept: it carries the reader's language
  const links = await Promise.all(
    kept
      .filter((address) => DAY.test(new URL(address).pathname))
      .map(async (address) => {
        const text = (await (await shelf.match(address))?.text()) ?? "";
        page ||= text;
        const title = /<title>([^<]*)<\/title>/.exec(text)?.[1] ?? t("The day");
        return `<p><a class="button accent" href="${new URL(address).pathname}">${title}</a></p>`;
      }),
  );
  const spoken = /<html lang="([\w-]+)"/.exec(page)?.[1] ?? "en";
  const book = bookOf((/name="browser-words" content="([^"]*)"/.exec(page)?.[1] ?? "").replaceAll("&#34;", '"').replaceAll("&#39;", "'").replaceAll("&amp;", "&"));
  const title = t("No network", {}, book);
  const words = links.length ? t("This page needs it. On this phone you still have:", {}, book) : t("This page needs it. Try again once it is back.", {}, book);
  return new Response(
    `<!doctype html><html lang="${spoken}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>${title}</title>${
      looks ? `<link rel="stylesheet" href="${looks}">` : ""
    }</head><body><main class="note-page"><h1>${title}</h1><p>${words}</p>${links.join("")}</main></body></html>`,
    { status: 503, headers: { "content-type": "text/html; charset=utf-8" } },
  );
}

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
