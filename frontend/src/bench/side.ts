// The side of the bench: piece tags and the panel, rendered by the desk, kept in step here.
import { armChips } from "./chips";
import type { Change } from "./types";

export interface Hands {
  edit(changes: Change[], then?: "choose-last" | "choose-none"): void;
  choose(piece: number | null): void;
}

export function armSide(side: HTMLElement, hands: Hands): void {
  if (!side.querySelector(".chips")) armChips(side);
  side.addEventListener("change", (event) => {
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
  const active = document.activeElement as HTMLInputElement | null;
  const id = active && old.contains(active) ? active.id : "";
  const typed = id && active && "value" in active ? active.value : null;
  const was = active && "defaultValue" in active ? active.defaultValue : null;
  const [start, end] = [active?.selectionStart ?? null, active?.selectionEnd ?? null];
  const open = [...old.querySelectorAll("details")].map((entry) => entry.open);
  const down = old.scrollTop;
  armChips(fresh); // before the cursor goes back to where it stood
  old.replaceWith(fresh);
  fresh.querySelectorAll("details").forEach((entry, at) => (entry.open ||= open[at] ?? false));
  fresh.scrollTop = down;
  if (id) {
    const field = document.getElementById(id) as HTMLInputElement | null;
    if (field) {
      if (typed !== null && was !== null && typed !== was && "value" in field) field.value = typed;
      field.focus({ preventScroll: true });
      if (start !== null && field.type !== "date") try { field.setSelectionRange(start, end); } catch { /* a list to pick from */ }
    }
  }
  return fresh;
}
