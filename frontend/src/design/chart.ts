// The chart: the chosen piece unrolled, one row a layer, one place a slot, to be painted.
import type { JobState, PieceState } from "../answers";
import type { Change } from "./api_client";
import { press, segment, toggles } from "./buttons";
import { type Cell, ChartSheet } from "./chart_sheet";
import { t } from "../words";

const BARE = "#9a9a9a"; // a shade that is not told

type Tool = "paint" | "line" | "fill" | "pick";

export class Chart {
  private brush = "";
  private tool: Tool = "paint";
  private mirrored = false;
  private sheet: ChartSheet | null = null;
  private dirty = false;
  private from: Cell | null = null; // where a line begins
  private before: string[][] = []; // rows as they were when the line began
  private piece: PieceState | null = null;
  private colours: Record<string, string> = {};
  private version = 0;
  private held = false; // a stroke is being painted
  private underway = 0; // strokes whose answer has not come
  private later: [JobState, number | null] | null = null;
  private readonly tools: HTMLElement;
  private readonly body = document.createElement("div");

  constructor(private readonly host: HTMLElement, private readonly commit: (changes: Change[], version: number) => Promise<void>) {
    this.tools = segment(t("Painting"), [["paint", t("Paint")], ["line", t("Line")], ["fill", t("Fill")], ["pick", t("Pick shade")]], this.tool, (key) => this.take(key as Tool));
    const ways = document.createElement("div");
    ways.className = "chart-tools";
    ways.append(this.tools, toggles(t("Both sides"), [["mirror", t("Mirror")]], (_key, on) => (this.mirrored = on)));
    host.append(ways, this.body);
    this.body.addEventListener("pointerdown", () => (this.held = true));
    for (const end of ["pointerup", "pointerleave", "pointercancel"]) this.body.addEventListener(end, () => this.release());
  }

  show(state: JobState, chosen: number | null): void {
    // Never under a hand, and not before the desk knows what was painted last.
    if (this.held || (this.underway && this.piece?.name === state.pieces.find((entry) => entry.index === chosen)?.name)) {
      this.later = [state, chosen];
      return;
    }
    this.later = null;
    this.version = state.version;
    const piece = state.pieces.find((entry) => entry.index === chosen && entry.picture);
    this.piece = piece ?? null;
    this.sheet = piece?.has_chart && piece.picture ? ChartSheet.of(piece.picture) : null;
    const names = Object.keys(state.shades);
    if (!names.includes(this.brush)) this.brush = names[0] ?? "";
    this.colours = Object.fromEntries(names.map((name) => [name, state.shades[name]?.colour ?? BARE]));
    for (const shade of piece?.picture?.shades ?? []) this.colours[shade.name] ??= shade.colour;
    const focus = (document.activeElement as HTMLElement | null)?.dataset["cell"];
    this.host.querySelector<HTMLElement>(".chart-tools")!.hidden = !this.sheet;
    this.body.replaceChildren();
    if (!this.sheet) {
      this.body.append(note(chosen === null ? t("Choose a piece to see its chart.") : t("This piece has no chart: its shades are dealt out by rule. Choose them beside the picture.")));
      return;
    }
    this.body.append(this.palette(names), this.grid(this.sheet));
    if (focus) this.body.querySelector<HTMLElement>(`[data-cell="${focus}"]`)?.focus();
  }

  private take(tool: Tool): void {
    this.tool = tool;
    this.from = null;
    press(this.tools, tool);
  }

  private palette(names: string[]): HTMLElement {
    const box = document.createElement("div");
    box.className = "palette";
    box.setAttribute("role", "radiogroup");
    box.setAttribute("aria-label", t("Shade to paint with"));
    for (const name of names) {
      const button = document.createElement("button");
      button.type = "button";
      button.setAttribute("role", "radio");
      button.setAttribute("aria-checked", String(name === this.brush));
      button.dataset["shade"] = name;
      button.append(dot(this.colours[name] ?? BARE), name);
      button.addEventListener("click", () => this.dip(name));
      box.append(button);
    }
    return box;
  }

  private dip(name: string): void {
    this.brush = name;
    for (const other of this.body.querySelectorAll<HTMLElement>(".palette [role=radio]")) other.setAttribute("aria-checked", String(other.dataset["shade"] === name));
  }

  private grid(sheet: ChartSheet): HTMLElement {
    const grid = document.createElement("div");
    grid.className = sheet.wall ? "chart-grid is-wall" : "chart-grid";
    grid.setAttribute("role", "grid");
    grid.setAttribute("aria-label", t("Chart of {name}, top layer first", { name: this.piece?.name ?? "" }));
    for (let layer = sheet.rows.length - 1; layer >= 0; layer--) {
      const line = document.createElement("div");
      line.setAttribute("role", "row");
      line.className = layer % 2 ? "chart-row is-odd" : "chart-row";
      const head = document.createElement("span");
      head.setAttribute("role", "rowheader");
      head.textContent = String(layer + 1);
      line.append(head, ...(sheet.rows[layer] ?? []).map((name, slot) => this.cell({ layer, slot }, name)));
      grid.append(line);
    }
    grid.addEventListener("keydown", (event) => this.key(event));
    return grid;
  }

  private cell(at: Cell, name: string): HTMLElement {
    const wrap = document.createElement("span");
    wrap.setAttribute("role", "gridcell");
    const button = document.createElement("button");
    button.type = "button";
    button.dataset["cell"] = `${at.layer}-${at.slot}`;
    button.tabIndex = at.slot === 0 && at.layer === (this.sheet?.rows.length ?? 0) - 1 ? 0 : -1;
    button.append(dot(this.colours[name] ?? BARE));
    label(button, at, name);
    button.addEventListener("pointerdown", (event) => {
      button.releasePointerCapture(event.pointerId);
      this.begin(at);
    });
    button.addEventListener("pointerenter", (event) => event.buttons === 1 && this.held && this.goOn(at));
    wrap.append(button);
    return wrap;
  }

  private key(event: KeyboardEvent): void {
    const target = event.target as HTMLElement;
    const [layer, slot] = target.dataset["cell"]?.split("-").map(Number) ?? [];
    if (layer === undefined || slot === undefined) return;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.byKey({ layer, slot });
      return;
    }
    const move = { ArrowUp: [1, 0], ArrowDown: [-1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] }[event.key];
    if (!move) return;
    event.preventDefault();
    const next = this.button({ layer: layer + move[0]!, slot: slot + move[1]! });
    if (!next) return;
    target.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
  }

  // ---- strokes ---------------------------------------------------------------------------------

  private begin(at: Cell): void {
    const sheet = this.sheet;
    if (!sheet) return;
    if (this.tool === "pick") {
      this.dip(sheet.shade(at));
      this.take("paint");
      return;
    }
    if (this.tool === "line") [this.from, this.before] = [at, sheet.rows.map((row) => [...row])];
    this.paint(this.tool === "fill" ? sheet.patch(at) : [at]);
  }

  private goOn(at: Cell): void {
    const sheet = this.sheet;
    if (!sheet || this.tool === "fill") return;
    if (this.from) this.shown(sheet.restore(this.before));
    this.paint(this.from ? sheet.between(this.from, at) : [at]);
  }

  // By keys a line has a first end and a second one.
  private byKey(at: Cell): void {
    if (this.tool === "line" && !this.from) {
      this.begin(at);
      return;
    }
    if (this.from) this.goOn(at);
    else this.begin(at);
    this.from = null;
    this.send();
  }

  private paint(cells: Cell[]): void {
    const sheet = this.sheet;
    if (!sheet || !this.brush) return;
    const both = this.mirrored ? cells.flatMap((cell) => [cell, sheet.opposite(cell) ?? cell]) : cells;
    const changed = sheet.paint(both, this.brush);
    this.shown(changed);
    this.dirty ||= changed.length > 0;
  }

  private shown(cells: Cell[]): void {
    for (const at of cells) {
      const button = this.button(at);
      const name = this.sheet?.shade(at) ?? "";
      button?.replaceChildren(dot(this.colours[name] ?? BARE));
      if (button) label(button, at, name);
    }
  }

  private button({ layer, slot }: Cell): HTMLElement | null {
    return this.body.querySelector<HTMLElement>(`[data-cell="${layer}-${slot}"]`);
  }

  private release(): void {
    if (!this.held) return;
    this.held = false;
    this.from = null;
    this.send();
    this.catchUp();
  }

  private send(): void {
    if (!this.dirty || !this.piece || !this.sheet) return;
    this.dirty = false;
    this.underway += 1;
    const change: Change = { do: "paint", piece: this.piece.index, rows: this.sheet.rows.map((row) => [...row]) };
    void this.commit([change], this.version).finally(() => {
      this.underway -= 1;
      this.catchUp();
    });
  }

  private catchUp(): void {
    if (this.later && !this.underway && !this.held) this.show(...this.later);
  }
}

function label(button: HTMLElement, { layer, slot }: Cell, name: string): void {
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
