// Every page: parts of pages fetched by htmx, with the token that writes need.
import htmx from "htmx.org";
import "./news";
import "./passkeys";
import { token } from "./token";

document.documentElement.classList.add("has-script"); // what only a script can work shows itself

htmx.config.includeIndicatorCSS = false;
// A part that comes anew each second must not shut what somebody opened to look at.
htmx.config.morphSkip = "details.preview[open]";

document.addEventListener("htmx:config:request", (event) => {
  const detail = (event as CustomEvent<{ ctx: { request: { headers: Record<string, string> } } }>).detail;
  detail.ctx.request.headers["x-desk-token"] = token();
});

// The link for a client is there to be copied.
for (const field of document.querySelectorAll<HTMLInputElement>("input[data-copy]")) {
  field.addEventListener("focus", () => field.select());
}

// Where the bar of places scrolls, the place that is open stands in sight.
for (const bar of document.querySelectorAll<HTMLElement>(".shell nav, nav.tabs")) {
  const here = bar.querySelector<HTMLElement>("[aria-current]");
  if (here && bar.scrollWidth > bar.clientWidth) bar.scrollLeft += here.getBoundingClientRect().left - bar.getBoundingClientRect().left - (bar.clientWidth - here.offsetWidth) / 2;
}

// A form that was answered with "not all done yet" goes on by itself.
document.querySelector<HTMLFormElement>("form[data-go-on]")?.requestSubmit();

// Small numbers are counted up and down with a thumb.
document.addEventListener("click", (event) => {
  const button = (event.target as Element).closest<HTMLElement>("[data-count-step]");
  const field = button?.parentElement?.querySelector<HTMLInputElement>("input[type=number]");
  if (!button || !field) return;
  const next = Math.min(Math.max(Number(field.value || 0) + Number(button.dataset["countStep"]), Number(field.min || 0)), Number(field.max || 1e6));
  field.value = next ? String(next) : "";
  field.dispatchEvent(new Event("change", { bubbles: true }));
});

// Pages for the day work without a network once they were seen.
if ("serviceWorker" in navigator && window.isSecureContext) {
  void navigator.serviceWorker.register("/sw.js").catch(() => undefined);
}

// Whoever stands before the door leaves nothing of others behind on this phone.
if (location.pathname === "/sign-in" && "serviceWorker" in navigator) {
  void navigator.serviceWorker.ready.then((worker) => worker.active?.postMessage({ forget: true }));
}
