// Shades as coloured chips in place of lines of text; the text stays the field that is sent.
// A chip under the cursor: arrows move it, Delete takes it out; a pointer drags it to its place.
// The desk renders the chips, so that a fresh panel finds them as they are.

const STEPS: Record<string, number> = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 };

export function armChips(side: HTMLElement): void {
  side.addEventListener("keydown", (event) => pressed(event));
  side.addEventListener("click", (event) => {
    const out = (event.target as Element).closest<HTMLElement>(".chip-out");
    if (out) without(out, Number(out.dataset["at"]));
    const add = (event.target as Element).closest<HTMLElement>("[data-chip-add]");
    if (add) write(add, [...names(add), add.dataset["chipAdd"] ?? ""], add.id);
  });
  side.addEventListener("pointerdown", (event) => drag(event));
}

function pressed(event: KeyboardEvent): void {
  const hold = (event.target as Element).closest<HTMLElement>(".chip-hold");
  if (!hold) return;
  const at = Number(hold.dataset["at"]);
  const step = STEPS[event.key];
  if (step !== undefined) moved(hold, at, at + step);
  else if (event.key === "Delete" || event.key === "Backspace") without(hold, at);
  else return;
  event.preventDefault();
}

function box(inside: Element): HTMLElement {
  return inside.closest<HTMLElement>(".chips")!;
}

function area(inside: Element): HTMLTextAreaElement {
  return document.getElementById(box(inside).dataset["for"] ?? "") as HTMLTextAreaElement;
}

function names(inside: Element): string[] {
  return area(inside).value.split("\n").map((name) => name.trim()).filter(Boolean);
}

function chipId(inside: Element, at: number): string {
  return `${box(inside).dataset["for"]}-chip-${at}`;
}

function write(inside: Element, next: string[], focus: string): void {
  const field = area(inside);
  field.value = next.join("\n");
  document.getElementById(focus)?.focus({ preventScroll: true }); // where the cursor stands when the panel comes anew
  field.dispatchEvent(new Event("change", { bubbles: true }));
}

function without(inside: Element, at: number): void {
  const rest = names(inside).filter((_, other) => other !== at);
  write(inside, rest, at > 0 ? chipId(inside, at - 1) : rest.length ? chipId(inside, 0) : `${box(inside).dataset["for"]}-add`);
}

function moved(inside: Element, at: number, to: number): void {
  const next = names(inside);
  if (to < 0 || to >= next.length || to === at) return;
  next.splice(to, 0, ...next.splice(at, 1));
  write(inside, next, chipId(inside, to));
}

function drag(event: PointerEvent): void {
  const hold = (event.target as Element).closest<HTMLElement>(".chip-hold");
  if (!hold || event.button !== 0) return;
  const chips = [...box(hold).querySelectorAll<HTMLElement>(".chip")];
  const at = Number(hold.dataset["at"]);
  const own = chips[at];
  if (!own) return;
  let to = at;
  const move = (now: PointerEvent): void => {
    if (Math.hypot(now.clientX - event.clientX, now.clientY - event.clientY) < 6) return;
    own.classList.add("is-dragged");
    to = nearest(chips, now.clientX, now.clientY);
    chips.forEach((chip, index) => { chip.classList.toggle("is-target", index === to && to !== at); });
  };
  const end = (): void => {
    document.removeEventListener("pointermove", move);
    for (const chip of chips) chip.classList.remove("is-dragged", "is-target");
    moved(hold, at, to);
  };
  document.addEventListener("pointermove", move);
  document.addEventListener("pointerup", end, { once: true });
}

function nearest(chips: HTMLElement[], x: number, y: number): number {
  const away = chips.map((chip) => {
    const spot = chip.getBoundingClientRect();
    return Math.hypot(x - (spot.left + spot.width / 2), 2 * (y - (spot.top + spot.height / 2)));
  });
  return away.indexOf(Math.min(...away));
}
