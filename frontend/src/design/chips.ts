// Shades as coloured chips in place of lines of text; the text stays the field that is sent.
// A chip under the cursor: arrows move it, Delete takes it out. Without scripts the text remains.
export function armChips(side: HTMLElement): void {
  for (const area of side.querySelectorAll<HTMLTextAreaElement>("textarea[data-shades]")) {
    const known = new Map(JSON.parse(area.dataset["shades"] ?? "[]") as [string, string][]);
    const label = area.closest(".field")?.querySelector("label")?.textContent ?? "Shades";
    area.after(chips(area, known, label));
    area.hidden = true;
  }
}

function chips(area: HTMLTextAreaElement, known: Map<string, string>, label: string): HTMLElement {
  const names = area.value.split("\n").map((name) => name.trim()).filter(Boolean);
  const box = document.createElement("div");
  box.className = "chips";
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", label);
  const write = (next: string[], focus: string): void => {
    area.value = next.join("\n");
    document.getElementById(focus)?.focus({ preventScroll: true }); // where the cursor stands when the panel comes anew
    area.dispatchEvent(new Event("change", { bubbles: true }));
  };
  const chipId = (at: number): string => `${area.id}-chip-${at}`;
  const addId = `${area.id}-add`;
  const without = (at: number): void => write(names.filter((_, other) => other !== at), at > 0 ? chipId(at - 1) : names.length > 1 ? chipId(0) : addId);
  const moved = (at: number, to: number): void => {
    if (to < 0 || to >= names.length) return;
    const next = [...names];
    next.splice(to, 0, ...next.splice(at, 1));
    write(next, chipId(to));
  };
  names.forEach((name, at) => {
    const chip = document.createElement("span");
    chip.className = "chip";
    const hold = button(name, `${name}, ${at + 1} of ${names.length}. Arrow keys move it, Delete takes it out.`);
    hold.id = chipId(at);
    hold.title = "Arrow keys move it, Delete takes it out";
    hold.prepend(dot(known.get(name)));
    hold.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 }[event.key];
      if (step !== undefined) moved(at, at + step);
      else if (event.key === "Delete" || event.key === "Backspace") without(at);
      else return;
      event.preventDefault();
    });
    const out = button("×", `Take ${name} out`);
    out.className = "chip-out";
    out.addEventListener("click", () => without(at));
    chip.append(hold, out);
    box.append(chip);
  });
  box.append(adder(addId, label, [...known.keys()], (name) => write([...names, name], addId)));
  return box;
}

function adder(id: string, label: string, names: string[], add: (name: string) => void): HTMLElement {
  const select = document.createElement("select");
  select.id = id;
  select.className = "chip-add";
  select.setAttribute("aria-label", `Add to ${label.toLowerCase()}`);
  select.append(new Option("Add a shade …", ""), ...names.map((name) => new Option(name, name)));
  select.addEventListener("change", () => select.value && add(select.value));
  return select;
}

function button(text: string, label: string): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.setAttribute("aria-label", label);
  return made;
}

function dot(colour: string | undefined): HTMLElement {
  const made = document.createElement("span");
  made.className = "chip-dot";
  made.setAttribute("aria-hidden", "true");
  if (colour) made.style.background = colour;
  return made;
}
