// Rows of buttons over the picture: one of several, or each on and off.

export function segment(name: string, rows: [string, string][], first: string, pick: (key: string) => void): HTMLElement {
  const box = document.createElement("div");
  box.className = "segment";
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", name);
  for (const [key, word] of rows) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = word;
    button.dataset["key"] = key;
    button.setAttribute("aria-pressed", String(key === first));
    button.addEventListener("click", () => {
      for (const other of box.children) other.setAttribute("aria-pressed", String(other === button));
      pick(key);
    });
    box.append(button);
  }
  return box;
}

export function press(box: HTMLElement | null, key: string): void {
  for (const button of box?.querySelectorAll("button") ?? []) button.setAttribute("aria-pressed", String(button.dataset["key"] === key));
}

export function toggles(name: string, rows: [string, string][], flip: (key: string, on: boolean) => void): HTMLElement {
  const box = document.createElement("div");
  box.className = "segment";
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", name);
  for (const [key, word] of rows) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = word;
    button.setAttribute("aria-pressed", "false");
    button.addEventListener("click", () => {
      const on = button.getAttribute("aria-pressed") !== "true";
      button.setAttribute("aria-pressed", String(on));
      flip(key, on);
    });
    box.append(button);
  }
  return box;
}
