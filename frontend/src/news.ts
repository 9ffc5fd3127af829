// What others change shows itself on the pages that are open: told as it happens by the desk's
// stream of news; where there is none to be had, asked for now and then.
import { Idiomorph } from "idiomorph";
import htmx from "htmx.org";
import { concerns, isDirty, type News } from "./news_rules";

const ASK_EVERY_MS = 15_000;
const TOGETHER_MS = 120; // news of one stroke come as one

const tables = new Set((document.body.dataset["news"] ?? "").split(" ").filter(Boolean));
const job = document.body.dataset["newsJob"] ?? "";
const bar = document.getElementById("news-bar");

let stream: EventSource | null = null;
let heardBefore = false;
let asking = 0;
let soon = 0;
const counts = new Map<string, number>();

function heard(news: News): void {
  if (!concerns(news, tables, job)) return;
  const told = new CustomEvent("desk:news", { cancelable: true, detail: news });
  if (!document.dispatchEvent(told)) return; // the page sees to it itself
  window.clearTimeout(soon);
  soon = window.setTimeout(() => void renew(), TOGETHER_MS);
}

const everything: News = { tables: [], jobs: [], everything: true };

async function renew(): Promise<void> {
  const main = document.getElementById("main");
  if (!main) return;
  const answer = await fetch(location.href, { headers: { accept: "text/html" } }).catch(() => null);
  if (!answer?.ok) return; // shown after a write, or gone: it stays until it is left
  if (answer.redirected && new URL(answer.url).pathname === "/sign-in") return location.reload();
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("main");
  if (!fresh) return;
  if (isDirty(main, document.activeElement)) {
    if (bar) bar.hidden = false;
    return;
  }
  Idiomorph.morph(main, fresh.innerHTML, {
    morphStyle: "innerHTML",
    ignoreActiveValue: true,
    callbacks: { beforeAttributeUpdated: (name: string) => name !== "open" },
  });
  htmx.process(main);
}

function listen(): void {
  if (stream || document.hidden) return;
  stream = new EventSource("/api/news");
  stream.addEventListener("hello", () => {
    window.clearInterval(asking);
    asking = 0;
    if (heardBefore) heard(everything); // whatever was told while nobody listened
    heardBefore = true;
  });
  stream.addEventListener("news", (event) => heard(JSON.parse((event as MessageEvent<string>).data) as News));
  stream.onerror = () => {
    if (stream?.readyState !== EventSource.CLOSED) return; // it tries again by itself
    stream = null;
    if (!asking) asking = window.setInterval(() => void ask(), ASK_EVERY_MS);
  };
}

async function ask(): Promise<void> {
  if (document.hidden) return;
  const answer = await fetch("/api/news/count").catch(() => null);
  if (answer?.status === 401) return window.clearInterval(asking);
  if (!answer?.ok) return;
  const { process, count } = (await answer.json()) as { process: string; count: number };
  const before = counts.get(process);
  counts.set(process, count);
  if (before !== undefined && before !== count) heard(everything);
  listen();
}

if (tables.size || job) {
  bar?.querySelector("button")?.addEventListener("click", () => location.reload());
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) {
      stream?.close(); // a browser opens only a few connections to one desk
      stream = null;
    } else listen();
  });
  listen();
}
