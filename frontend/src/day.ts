// Ticks on a phone: made at once, kept on the phone until the desk has them.
import { Entries, entryOf } from "./day_entries";
import { withToken } from "./token";
import { t } from "./words";

interface Word { ticked: boolean; at: string }

const root = document.getElementById("day");
const job = root?.dataset["job"] ?? "";
const shelf = `airwright-ticks-${job}`;
const net = document.querySelector<HTMLElement>("[data-net]");
let sending = false;

function kept(): Record<string, Word> {
  try {
    return JSON.parse(localStorage.getItem(shelf) ?? "{}") as Record<string, Word>;
  } catch {
    return {};
  }
}

function keep(words: Record<string, Word>): void {
  localStorage.setItem(shelf, JSON.stringify(words));
}

function buttons(): HTMLButtonElement[] {
  return [...document.querySelectorAll<HTMLButtonElement>("button.tick")];
}

function show(button: HTMLButtonElement, ticked: boolean, by: string): void {
  button.setAttribute("aria-pressed", String(ticked));
  button.value = ticked ? "no" : "yes";
  const name = button.querySelector<HTMLElement>("[data-by]");
  if (name) name.textContent = ticked ? by : "";
}

function count(): void {
  const done = buttons().filter((button) => button.getAttribute("aria-pressed") === "true").length;
  const all = document.querySelector("[data-done]");
  if (all) all.textContent = String(done);
  for (const section of document.querySelectorAll(".ticklist")) {
    const own = section.querySelector("[data-section-done]");
    if (own) own.textContent = String(section.querySelectorAll('button.tick[aria-pressed="true"]').length);
  }
}

const notes = { ticks: "", entries: "" };

function tell(about: keyof typeof notes, text: string): void {
  notes[about] = text;
  if (net) net.textContent = [notes.ticks, notes.entries].filter(Boolean).join(" ");
}

function say(text: string): void {
  tell("ticks", text);
}

const entries = new Entries(`airwright-entries-${job}`, location.pathname, (text) => tell("entries", text));

async function sendEntries(): Promise<void> {
  const { arrived, refused } = await entries.send();
  if (refused) {
    refill(refused.entry.body);
    tell("entries", refused.why);
  } else if (arrived) location.replace(`${location.pathname}?said=saved`);
}

// What the desk refused stands in its field again.
function refill(body: string): void {
  for (const [name, value] of new URLSearchParams(body)) {
    const field = root?.querySelector<HTMLInputElement>(`form[data-entry] input[name="${name}"]:not([type=hidden])`);
    if (!field) continue;
    field.value = value;
    field.closest("details")?.setAttribute("open", "");
  }
}

function enter(form: HTMLFormElement, event: SubmitEvent): void {
  event.preventDefault();
  if (!entries.add(entryOf(form, event.submitter), event.timeStamp)) return;
  form.reset();
  void sendEntries();
}

async function send(): Promise<void> {
  if (sending) return;
  sending = true;
  const words = kept();
  const ticks = Object.entries(words).map(([item, word]) => ({ item, ...word }));
  try {
    const answer = await withToken((token) =>
      fetch(`/api/jobs/${job}/ticks`, {
        method: "POST",
        headers: { "content-type": "application/json", "x-desk-token": token },
        body: JSON.stringify({ ticks }),
      }),
    );
    if (answer.status === 401) return say(t("Sign in again to send your ticks; they are kept on this phone."));
    if (!answer.ok) throw new Error(String(answer.status));
    const told = (await answer.json()) as { ticks: { item: string; ticked: boolean; actor: string }[] };
    const now = kept();
    for (const [item, word] of Object.entries(words)) if (now[item]?.at === word.at) delete now[item];
    keep(now);
    const byItem = new Map(told.ticks.map((tick) => [tick.item, tick]));
    for (const button of buttons()) {
      const tick = byItem.get(button.dataset["item"] ?? "");
      if (tick && !now[tick.item]) show(button, tick.ticked, tick.actor);
    }
    count();
    say("");
  } catch {
    const waiting = Object.keys(kept()).length;
    say(
      waiting === 0
        ? t("No network. Ticks are kept on this phone.")
        : waiting === 1
          ? t("No network. {n} tick is kept on this phone.", { n: waiting })
          : t("No network. {n} ticks are kept on this phone.", { n: waiting }),
    );
  } finally {
    sending = false;
  }
}

if (root) {
  document.addEventListener("submit", (event) => {
    const form = event.target as HTMLFormElement;
    if (form.dataset["entry"] !== undefined) return enter(form, event as SubmitEvent);
    const button = (event as SubmitEvent).submitter as HTMLButtonElement | null;
    const item = button?.dataset["item"];
    if (!button || item === undefined) return;
    event.preventDefault();
    const ticked = button.getAttribute("aria-pressed") !== "true";
    keep({ ...kept(), [item]: { ticked, at: new Date().toISOString() } });
    show(button, ticked, "You");
    count();
    void send();
  });
  for (const button of buttons()) {
    const word = kept()[button.dataset["item"] ?? ""];
    if (word) show(button, word.ticked, "You");
  }
  count();
  window.addEventListener("online", () => {
    void send();
    void sendEntries();
  });
  window.addEventListener("offline", () => say(t("No network. Ticks are kept on this phone.")));
  document.addEventListener("desk:news", (event) => {
    const { tables, everything } = (event as CustomEvent<{ tables: string[]; everything: boolean }>).detail;
    if (everything || tables.some((table) => table !== "ticks")) return;
    event.preventDefault();
    void send();
  });
  setInterval(() => {
    if (document.hidden) return;
    void send();
    if (entries.waiting.length) void sendEntries();
  }, 15_000);
  void send();
  if (entries.waiting.length) void sendEntries();
  // So that the page opens again without a network.
  void navigator.serviceWorker?.ready.then((worker) => {
    const files = [...document.querySelectorAll<HTMLLinkElement | HTMLScriptElement>("link[rel=stylesheet], link[rel=preload], link[rel=icon], link[rel=manifest], script[src]")];
    const addresses = files.map((file) => ("src" in file ? file.src : file.href));
    const pictures = [...root.querySelectorAll<HTMLImageElement>("img[src]")].map((picture) => picture.src);
    worker.active?.postMessage({ keep: [location.href, ...addresses, new URL("/static/dist/fonts/display.woff2", location.href).href] });
    worker.active?.postMessage({ keep: [...new Set(pictures)] });
  });
}
