// Clusters by stepper: how many, which size, blown to how much. What comes out is the notation in
// the field below, which stays there for those who like it.

export function armSteppers(side: HTMLElement): void {
  side.addEventListener("click", (event) => {
    const button = (event.target as Element).closest<HTMLButtonElement>(".steppers button");
    const box = button?.closest<HTMLElement>(".steppers");
    if (button && box && pressed(button)) write(box);
  });
  side.addEventListener("change", (event) => {
    const field = event.target as HTMLElement;
    const box = field.closest<HTMLElement>(".steppers");
    if (!box) return;
    event.stopPropagation();
    if (field instanceof HTMLSelectElement) {
      // Another size is blown to what is usual for it.
      const usual = field.selectedOptions[0]?.dataset["usual"];
      const blown = field.closest("[data-part]")?.querySelector<HTMLInputElement>("[data-blown]");
      const part = field.closest<HTMLElement>("[data-part]");
      if (blown && usual) blown.value = part?.dataset["unit"] === "cm" ? String(Math.round(Number(usual) * 25.4) / 10) : usual;
    }
    write(box);
  });
}

function pressed(button: HTMLButtonElement): boolean {
  const step = Number(button.dataset["step"] ?? 0);
  if (step) return counted(button, step);
  const line = button.closest<HTMLElement>("[data-line]");
  if (button.dataset["out"] === "part") button.closest("[data-part]")?.remove();
  else if (button.dataset["out"] === "line") line?.remove();
  else if (button.dataset["more"] === "part") {
    const last = [...(line?.querySelectorAll<HTMLElement>("[data-part]") ?? [])].at(-1);
    if (!last || total(line!) >= most(button)) return false;
    const more = last.cloneNode(true) as HTMLElement;
    more.querySelector("[data-count]")!.textContent = "1";
    smaller(more, last);
    last.after(more);
  } else if (button.dataset["more"] === "line") {
    const last = [...(button.closest(".steppers")?.querySelectorAll<HTMLElement>("[data-line]") ?? [])].at(-1);
    last?.after(last.cloneNode(true));
  } else return false;
  return true;
}

function counted(button: HTMLButtonElement, step: number): boolean {
  const out = button.closest("[data-part]")?.querySelector("[data-count]");
  const line = button.closest<HTMLElement>("[data-line]");
  if (!out || !line) return false;
  const next = Number(out.textContent) + step;
  if (next < 1 || total(line) + step > most(button)) return false;
  out.textContent = String(next);
  return true;
}

// A cloned select shows what its original was rendered with, not what it was set to; and a second
// part of the same size would say nothing new.
function smaller(more: HTMLElement, last: HTMLElement): void {
  const [from, to] = [last.querySelector<HTMLSelectElement>("[data-size]"), more.querySelector<HTMLSelectElement>("[data-size]")];
  if (!from || !to) return;
  to.selectedIndex = from.selectedIndex > 0 ? from.selectedIndex - 1 : Math.min(1, to.options.length - 1);
  const usual = to.selectedOptions[0]?.dataset["usual"];
  const blown = more.querySelector<HTMLInputElement>("[data-blown]");
  if (blown && usual) blown.value = more.dataset["unit"] === "cm" ? String(Math.round(Number(usual) * 25.4) / 10) : usual;
}

function total(line: HTMLElement): number {
  return [...line.querySelectorAll("[data-count]")].reduce((sum, out) => sum + Number(out.textContent), 0);
}

function most(inside: Element): number {
  return Number(inside.closest<HTMLElement>(".steppers")?.dataset["most"] ?? 12);
}

function write(box: HTMLElement): void {
  const field = document.getElementById(box.dataset["for"] ?? "") as HTMLInputElement | HTMLTextAreaElement | null;
  if (!field) return;
  field.value = [...box.querySelectorAll<HTMLElement>("[data-line]")].map(notation).join("\n");
  field.dispatchEvent(new Event("change", { bubbles: true }));
}

function notation(line: HTMLElement): string {
  return [...line.querySelectorAll<HTMLElement>("[data-part]")]
    .map((part) => {
      const count = part.querySelector("[data-count]")?.textContent;
      const size = part.querySelector<HTMLSelectElement>("[data-size]")?.value ?? "";
      const blown = part.querySelector<HTMLInputElement>("[data-blown]")?.value.trim().replace(",", ".") ?? "";
      const unit = /^[\d.]+$/.test(blown) ? (part.dataset["unit"] ?? "in") : "";
      return `${count ? `${count} x ` : ""}${size}${blown ? ` @ ${blown}${unit}` : ""}`;
    })
    .join(" + ");
}
