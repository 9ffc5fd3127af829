// The side of the bench: piece tags and the panel, rendered by the desk, kept in step here.
import { armChips } from "./chips";
import type { Change } from "./types";

export interface Hands {
  edit(changes: Change[], then?: "choose-last" | "choose-none"): void;
  choose(piece: number | null): void;
}

// A field taken out of the page while somebody types in it may still tell of a change or of being
// left; half a word is no change. The field in its place tells once it is really left.
const leaving = new WeakSet<HTMLElement>();

export function armSide(side: HTMLElement, hands: Hands): void {
  if (!side.querySelector(".chips")) armChips(side);
  side.addEventListener("change", (event) => {
    if (leaving.has(side)) return;
    const field = event.target as HTMLInputElement;
    const path = field.dataset["path"];
    if (path) hands.edit([{ do: "write", path: JSON.parse(path) as unknown, text: field.value }]);
    const shade = field.dataset["shadeColour"];
    if (shade) hands.edit([{ do: "put", path: ["shades", shade], value: field.value }]);
  });
  side.addEventListener("submit", (event) => {
    const form = event.target as HTMLFormElement;
    const data = new FormData(form, (event as SubmitEvent).submitter);
    const changes = changesOf(form, data);
    if (!changes) return;
    event.preventDefault();
    const then = form.dataset["do"] === "add" ? "choose-last" : form.dataset["do"] === "drop" ? "choose-none" : undefined;
    if (changes.length) hands.edit(changes, then);
  });
  side.addEventListener("click", (event) => {
    const link = (event.target as Element).closest<HTMLAnchorElement>("a.piece-tag");
    const mouse = event as MouseEvent;
    if (!link || mouse.metaKey || mouse.ctrlKey || mouse.shiftKey) return;
    event.preventDefault();
    const index = link.dataset["piece"];
    hands.choose(index === undefined ? null : Number(index));
  });
}

function changesOf(form: HTMLFormElement, data: FormData): Change[] | null {
  const text = (name: string): string => String(data.get(name) ?? "");
  const piece = Number(text("piece"));
  if (form.id === "fields") return [];
  if (form.id === "take-out") return [{ do: "clear", path: JSON.parse(text("path")) as unknown }];
  if (form.dataset["put"]) return [{ do: "put", path: JSON.parse(text("path")) as unknown, value: JSON.parse(text("value")) as unknown }];
  switch (form.dataset["do"]) {
    case "add": {
      const [kind, design] = text("kind").split(":");
      return [{ do: "add", kind, design: design ?? null }];
    }
    case "swap":
      return [{ do: "swap", old: text("old"), new: text("new") }];
    case "duplicate":
    case "mirror":
    case "drop":
      return [{ do: form.dataset["do"], piece }];
    default:
      return null;
  }
}

// A fresh panel in place of the old one; what is being typed and where the cursor stands stay.
export function replaceSide(old: HTMLElement, html: string): HTMLElement {
  const holder = document.createElement("template");
  holder.innerHTML = html;
  const fresh = holder.content.querySelector<HTMLElement>("#side");
  if (!fresh) return old;
  const active = document.activeElement instanceof HTMLElement && old.contains(document.activeElement) ? document.activeElement : null;
  const cursor = active ? selection(active) : null;
  const open = [...old.querySelectorAll("details")].map((entry) => entry.open);
  const down = old.scrollTop;
  armChips(fresh); // before the cursor goes back to where it stood
  const field = active ? counterpart(active, old, fresh) : null;
  if (active && field) keepTyped(active, field);
  leaving.add(old);
  old.replaceWith(fresh);
  fresh.querySelectorAll("details").forEach((entry, at) => (entry.open ||= open[at] ?? false));
  fresh.scrollTop = down;
  field?.focus({ preventScroll: true });
  if (field instanceof HTMLInputElement && cursor) try { field.setSelectionRange(...cursor); } catch { /* a kind without a cursor */ }
  return fresh;
}

function selection(field: HTMLElement): [number, number] | null {
  if (!(field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement)) return null;
  return field.selectionStart === null ? null : [field.selectionStart, field.selectionEnd ?? field.selectionStart];
}

// The same field, piece tag or button in the fresh panel: by its id, else by what it does.
function counterpart(active: HTMLElement, old: HTMLElement, fresh: HTMLElement): HTMLElement | null {
  if (active.id) return fresh.querySelector<HTMLElement>(`#${CSS.escape(active.id)}`);
  if (active.matches("a.piece-tag")) {
    const piece = active.dataset["piece"];
    return fresh.querySelector<HTMLElement>(piece === undefined ? ".job-tag" : `.piece-tag[data-piece="${CSS.escape(piece)}"]`);
  }
  const alike = (side: HTMLElement): HTMLElement[] => [...side.querySelectorAll<HTMLElement>("button, summary")].filter((other) => other.textContent === active.textContent);
  return alike(fresh)[alike(old).indexOf(active)] ?? null;
}

// A browser tells of a change only where somebody typed into this very field, so a field that took
// typed text over must tell of it itself when it is left.
function keepTyped(from: HTMLElement, to: HTMLElement): void {
  const texts = (field: HTMLElement): field is HTMLInputElement | HTMLTextAreaElement => field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement;
  if (!texts(from) || !texts(to) || from.value === from.defaultValue) return;
  to.value = from.value;
  let told = false;
  to.addEventListener("change", () => (told = true), { once: true });
  to.addEventListener("blur", () => {
    if (!told && to.isConnected && to.value !== to.defaultValue) to.dispatchEvent(new Event("change", { bubbles: true }));
  }, { once: true });
}
