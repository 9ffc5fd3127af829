// The chart: the chosen piece unrolled, one row a layer, one place a slot, to be painted.
import type { JobState, PieceState } from "../answers";
import type { Change } from "./api_client";
import { shorts } from "../scene/decode";
import { t } from "../words";

const BODY = 0;

export class Chart {
  private brush = "";
  private rows: string[][] = [];
  private dirty = false;
  private piece: PieceState | null = null;
  private version = 0;
  private held = false; // a stroke is being painted
  private later: [JobState, number | null] | null = null;

  constructor(private readonly host: HTMLElement, private readonly commit: (changes: Change[], version: number) => void) {
    host.addEventListener("pointerdown", () => (this.held = true));
    for (const end of ["pointerup", "pointerleave", "pointercancel"]) host.addEventListener(end, () => this.release());
  }

  show(state: JobState, chosen: number | null): void {
    if (this.held) {
      this.later = [state, chosen]; // never under a hand
      return;
    }
    this.version = state.version;
    const piece = state.pieces.find((entry) => entry.index === chosen && entry.picture);
    this.piece = piece ?? null;
    this.rows = piece ? rowsOf(piece) : [];
    const names = Object.keys(state.shades);
    if (!names.includes(this.brush)) this.brush = names[0] ?? "";
    const colours = Object.fromEntries(names.map((name) => [name, state.shades[name]?.colour ?? "#9a9a9a"]));
    for (const shade of piece?.picture?.shades ?? []) colours[shade.name] ??= shade.colour;
    const focus = (document.activeElement as HTMLElement | null)?.dataset["cell"];
    this.host.replaceChildren();
    if (!this.rows.length) {
      this.host.append(note(chosen === null ? t("Choose a piece to see its chart.") : t("This piece has no layers to paint.")));
      return;
    }
    this.host.append(this.palette(names, colours), this.grid(colours));
    if (focus) this.host.querySelector<HTMLElement>(`[data-cell="${focus}"]`)?.focus();
  }

  private palette(names: string[], colours: Record<string, string>): HTMLElement {
    const box = document.createElement("div");
    box.className = "palette";
    box.setAttribute("role", "radiogroup");
    box.setAttribute("aria-label", t("Shade to paint with"));
    for (const name of names) {
      const button = document.createElement("button");
      button.type = "button";
      button.setAttribute("role", "radio");
      button.setAttribute("aria-checked", String(name === this.brush));
      button.append(dot(colours[name] ?? "#9a9a9a"), name);
      button.addEventListener("click", () => {
        this.brush = name;
        for (const other of box.children) other.setAttribute("aria-checked", String(other === button));
      });
      box.append(button);
    }
    return box;
  }

  private grid(colours: Record<string, string>): HTMLElement {
    const grid = document.createElement("div");
    grid.className = this.piece?.picture?.cells ? "chart-grid is-wall" : "chart-grid";
    grid.setAttribute("role", "grid");
    grid.setAttribute("aria-label", t("Chart of {name}, top layer first", { name: this.piece?.name ?? "" }));
    for (let layer = this.rows.length - 1; layer >= 0; layer--) {
      const line = document.createElement("div");
      line.setAttribute("role", "row");
      line.className = layer % 2 ? "chart-row is-odd" : "chart-row";
      const head = document.createElement("span");
      head.setAttribute("role", "rowheader");
      head.textContent = String(layer + 1);
      line.append(head);
      line.append(...(this.rows[layer] ?? []).map((name, slot) => this.cell(layer, slot, name, colours)));
      grid.append(line);
    }
    grid.addEventListener("keydown", (event) => this.key(event, colours));
    return grid;
  }

  private cell(layer: number, slot: number, name: string, colours: Record<string, string>): HTMLElement {
    const wrap = document.createElement("span");
    wrap.setAttribute("role", "gridcell");
    const button = document.createElement("button");
    button.type = "button";
    button.dataset["cell"] = `${layer}-${slot}`;
    button.tabIndex = layer === this.rows.length - 1 && slot === 0 ? 0 : -1;
    button.append(dot(colours[name] ?? "#9a9a9a"));
    label(button, layer, slot, name);
    const paint = (): void => this.paint(button, layer, slot, colours);
    button.addEventListener("pointerdown", (event) => {
      button.releasePointerCapture(event.pointerId);
      paint();
    });
    button.addEventListener("pointerenter", (event) => event.buttons === 1 && paint());
    wrap.append(button);
    return wrap;
  }

  private key(event: KeyboardEvent, colours: Record<string, string>): void {
    const target = event.target as HTMLElement;
    const at = target.dataset["cell"]?.split("-").map(Number);
    if (!at) return;
    const [layer = 0, slot = 0] = at;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.paint(target, layer, slot, colours);
      this.send();
      return;
    }
    const move = { ArrowUp: [1, 0], ArrowDown: [-1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] }[event.key];
    if (!move) return;
    event.preventDefault();
    const next = this.host.querySelector<HTMLElement>(`[data-cell="${layer + move[0]!}-${slot + move[1]!}"]`);
    if (!next) return;
    target.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
  }

  private paint(button: HTMLElement, layer: number, slot: number, colours: Record<string, string>): void {
    const row = this.rows[layer];
    if (!row || row[slot] === this.brush || !this.brush) return;
    row[slot] = this.brush;
    button.replaceChildren(dot(colours[this.brush] ?? "#9a9a9a"));
    label(button, layer, slot, this.brush);
    this.dirty = true;
  }

  private release(): void {
    this.held = false;
    this.send();
    const later = this.later;
    this.later = null;
    if (later) this.show(...later);
  }

  private send(): void {
    if (!this.dirty || !this.piece) return;
    this.dirty = false;
    this.commit([{ do: "paint", piece: this.piece.index, rows: this.rows.map((row) => [...row]) }], this.version);
  }
}

function rowsOf(piece: PieceState): string[][] {
  const picture = piece.picture;
  if (!picture) return [];
  const { row: layers, place: slots } = picture.cells ?? { row: picture.layer, place: picture.slot };
  const [layer, slot, role, shade] = [layers, slots, picture.role, picture.shade].map(shorts) as [Int16Array, Int16Array, Int16Array, Int16Array];
  const rows: string[][] = [];
  for (let at = 0; at < layer.length; at++) {
    if (role[at] !== BODY || layer[at]! < 0 || slot[at]! < 0) continue;
    const row = rows[layer[at]!] ?? [];
    row[slot[at]!] = picture.shades[shade[at]!]?.name ?? "";
    rows[layer[at]!] = row;
  }
  return rows.length && rows.every((row) => row?.length && !row.includes(undefined as never)) ? rows : [];
}

function label(button: HTMLElement, layer: number, slot: number, name: string): void {
  button.setAttribute("aria-label", t("Layer {layer}, slot {slot}: {name}", { layer: layer + 1, slot: slot + 1, name }));
  button.title = name;
}

function dot(colour: string): SVGElement {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 20 20");
  svg.setAttribute("aria-hidden", "true");
  const circle = document.createElementNS("http://www.w3.org/2000/svg", "circle");
  for (const [name, value] of [["cx", "10"], ["cy", "10"], ["r", "9"], ["fill", colour]] as const) circle.setAttribute(name, value);
  svg.append(circle);
  return svg;
}

function note(text: string): HTMLElement {
  const line = document.createElement("p");
  line.className = "nothing";
  line.textContent = text;
  return line;
}
