// The floor plan: pieces seen from above, to drag, snap, turn and measure. The front is below.
import { rows } from "../scene/decode";
import { extentOf } from "../scene/extent";
import { arrange, type Extent, ground, type Standing } from "../scene/place";
import { type Lengths, snapped } from "./lengths";
import type { DoorState, JobState, PictureState, PieceState } from "../answers";
import type { Change } from "./api_client";
import { t } from "../words";

const NS = "http://www.w3.org/2000/svg";
const TURN = 15;
const NAME_PX = 13;
const MOST_LINES = 5;
const MOST_SIGNS = 26; // of a name on the plan; the whole of it is said and shown beside
const MOST_CELLS = 60; // of the grid, one way
const AROUND = 0.6; // free floor shown round everything [m]

type Point = { x: number; y: number };

/** A copy on the plan. */
interface Stand extends Standing {
  piece: PieceState;
  extent: Extent;
}

export class FloorPlan {
  private readonly svg = element("svg", { class: "floor-svg", role: "group", "aria-label": t("Floor plan; the guests stand below") });
  private readonly words = document.createElement("p");
  private readonly extents = new WeakMap<PictureState, Extent>();
  private stands: Stand[] = [];
  private unit = 0.01; // metres a pixel
  private measuring = false;
  private from: Point | null = null;
  private version = 0;
  private held = false; // a piece is being dragged
  private later: [JobState, number | null] | null = null;

  constructor(
    host: HTMLElement,
    private readonly lengths: Lengths,
    private readonly commit: (changes: Change[], version: number) => void,
    private readonly choose: (index: number) => void,
  ) {
    const bar = document.createElement("div");
    bar.className = "floor-bar";
    const ruler = document.createElement("button");
    ruler.type = "button";
    ruler.className = "button small";
    ruler.textContent = t("Measure");
    ruler.setAttribute("aria-pressed", "false");
    ruler.addEventListener("click", () => {
      this.measuring = !this.measuring;
      this.from = null;
      ruler.setAttribute("aria-pressed", String(this.measuring));
      this.say(this.measuring ? t("Click two points.") : "");
    });
    this.words.className = "floor-words";
    this.words.setAttribute("role", "status");
    bar.append(ruler, this.words);
    host.append(this.svg, bar);
    this.svg.addEventListener("click", (event) => this.measure(event as MouseEvent));
  }

  show(state: JobState, chosen: number | null): void {
    if (this.held) {
      this.later = [state, chosen]; // never under a hand
      return;
    }
    this.version = state.version;
    const focus = (document.activeElement as HTMLElement | null)?.dataset?.["floor"];
    this.stands = this.standing(state.pieces);
    const box = this.box(state.door);
    this.svg.setAttribute("viewBox", `${box.x} ${box.y} ${box.wide} ${box.high}`);
    // Names are as large as the page's small print, however far the floor reaches.
    const pixels = this.svg.getBoundingClientRect();
    this.unit = Math.max(box.wide / Math.max(pixels.width, 1), box.high / Math.max(pixels.height, 1));
    this.svg.replaceChildren(grid(box, this.lengths.grid), this.front(box));
    if (state.door) this.svg.append(doorway(state.door, this.unit));
    for (const stand of this.stands) this.svg.append(this.footprint(stand, chosen));
    this.spread();
    if (focus) this.svg.querySelector<SVGElement>(`[data-floor="${focus}"]`)?.focus();
  }

  // The same places as in the turning picture, and on the paper that goes along.
  private standing(pieces: PieceState[]): Stand[] {
    return arrange(pieces).flatMap((standing) => {
      const piece = pieces.find((one) => one.index === standing.piece.index);
      return piece?.picture ? [{ ...standing, piece, extent: this.extent(piece.picture) }] : [];
    });
  }

  private extent(picture: PictureState): Extent {
    const known = this.extents.get(picture);
    if (known) return known;
    const extent = extentOf(picture, rows(picture));
    this.extents.set(picture, extent);
    return extent;
  }

  private box(door: DoorState | null): { x: number; y: number; wide: number; high: number } {
    let [left, front, right, back] = [-2, -1.5, 2, 1.5];
    for (const stand of this.stands) {
      const [l, f, r, b] = ground(stand, stand.extent);
      [left, front] = [Math.min(left, l - AROUND), Math.min(front, f - AROUND)];
      [right, back] = [Math.max(right, r + AROUND), Math.max(back, b + AROUND)];
    }
    if (door) {
      const reach = door.width / 2 + AROUND;
      [left, front] = [Math.min(left, door.x - reach), Math.min(front, door.y - reach)];
      [right, back] = [Math.max(right, door.x + reach), Math.max(back, door.y + reach)];
    }
    return { x: left, y: -back, wide: right - left, high: back - front };
  }

  private footprint(stand: Stand, chosen: number | null): SVGElement {
    const { low, high } = stand.extent;
    const [wide, deep, middle] = [high[0] - low[0], high[1] - low[1], (low[0] + high[0]) / 2];
    const group = element("g", {
      class: `footprint${stand.piece.index === chosen ? " is-chosen" : ""}`,
      "data-copy-of": stand.piece.index,
      transform: placed(stand, 0, 0),
    });
    if (stand.piece.picture) group.append(balloons(stand.piece.picture));
    group.append(element("rect", { x: low[0], y: -high[1], width: wide, height: deep, rx: Math.min(wide, deep) / 4 }));
    group.append(element("path", { class: "nose", d: `M${middle - 0.09} ${-low[1]}l0.09 0.13l0.09 -0.13z` }));
    if (stand.copy === 0) {
      group.append(this.name(stand));
      this.arm(group, stand);
    }
    return group;
  }

  /** Its name, level behind it however the piece is turned. */
  private name(stand: Stand): SVGElement {
    const [left, , right, back] = ground(stand, stand.extent);
    const [across, down] = [(left + right) / 2 - stand.x, stand.y - back - 5 * this.unit];
    const [c, s] = [Math.cos(stand.turn), Math.sin(stand.turn)];
    const text = element("text", {
      "text-anchor": "middle",
      "font-size": NAME_PX * this.unit,
      transform: `translate(${c * across - s * down} ${s * across + c * down}) rotate(${(stand.turn * 180) / Math.PI})`,
    });
    text.textContent = nameOf(stand.piece);
    return text;
  }

  /**
   * Names that run into each other: the later one stands a line higher, and is left out where even
   * that does not help (the list beside the plan has it). Names that run off the plan come back in.
   */
  private spread(): void {
    const edge = this.svg.getBoundingClientRect();
    const texts = [...this.svg.querySelectorAll<SVGTextElement>(".footprint text")];
    // The chosen one first: its name is never the one left out.
    texts.sort((a, b) => Number(isChosen(b)) - Number(isChosen(a)));
    const boxes: DOMRect[] = [];
    for (const text of texts) {
      let box = text.getBoundingClientRect();
      const aside = Math.max(edge.left + 2 - box.left, 0) || Math.min(edge.right - 2 - box.right, 0);
      if (aside) {
        text.setAttribute("x", String(aside * this.unit));
        box = text.getBoundingClientRect();
      }
      const clash = (): boolean => boxes.some((other) => touching(box, other));
      for (let line = 1; line < MOST_LINES && clash(); line += 1) {
        text.setAttribute("dy", String(-line * (NAME_PX + 4) * this.unit));
        box = text.getBoundingClientRect();
      }
      if (clash()) text.remove();
      else boxes.push(box);
    }
  }

  /** The front edge with its middle, from where all is measured, and whose side it is. */
  private front(box: { x: number; y: number; wide: number; high: number }): SVGElement {
    const group = element("g", { class: "floor-front", "aria-hidden": "true" });
    const arm = 7 * this.unit;
    group.append(
      element("line", { x1: box.x, x2: box.x + box.wide, y1: 0, y2: 0 }),
      element("path", { d: `M${-arm} 0H${arm}M0 ${-arm}V${arm}` }),
    );
    const words = element("text", { x: box.x + box.wide / 2, y: box.y + box.high - 6 * this.unit, "text-anchor": "middle", "font-size": 12 * this.unit });
    words.textContent = t("Guests on this side");
    group.append(words);
    return group;
  }

  /** A piece's spot: the middle of its copies. */
  private middle(piece: PieceState): Point {
    const own = this.stands.filter((stand) => stand.piece.index === piece.index);
    const sum = own.reduce((a, b) => ({ x: a.x + b.x, y: a.y + b.y }), { x: 0, y: 0 });
    return { x: sum.x / Math.max(own.length, 1), y: sum.y / Math.max(own.length, 1) };
  }

  private arm(group: SVGElement, stand: Stand): void {
    const middle = this.middle(stand.piece);
    group.setAttribute("tabindex", "0");
    group.setAttribute("role", "button");
    group.dataset["floor"] = String(stand.piece.index);
    group.setAttribute("aria-label", t("{name}, {where}, front {facing}. Arrow keys move it, R turns it.", { name: stand.piece.name, where: this.where(middle.x, middle.y), facing: facingWords(degrees(stand.turn)) }));
    group.addEventListener("keydown", (event) => this.key(event, stand));
    group.addEventListener("pointerdown", (event) => this.drag(event, group, stand));
  }

  private key(event: KeyboardEvent, stand: Stand): void {
    const step = event.shiftKey ? this.lengths.fine : this.lengths.coarse;
    const move = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    const here = this.middle(stand.piece);
    const turn = event.key.toLowerCase() === "r" ? (event.shiftKey ? -TURN : TURN) : 0;
    if (event.key === "Enter" || event.key === " ") this.choose(stand.piece.index);
    else if (move) this.put(stand, snapped(here.x + move[0]! * step, step), snapped(here.y + move[1]! * step, step), 0);
    else if (turn) this.put(stand, here.x, here.y, turn);
    else return;
    event.preventDefault();
  }

  private drag(event: PointerEvent, group: SVGElement, stand: Stand): void {
    if (this.measuring) return;
    event.preventDefault();
    group.focus();
    this.held = true;
    group.setPointerCapture(event.pointerId);
    const start = this.at(event);
    const middle = this.middle(stand.piece);
    let [x, y, moved] = [middle.x, middle.y, false];
    const follow = (next: PointerEvent): void => {
      const here = this.at(next);
      const step = next.altKey ? this.lengths.fine : this.lengths.coarse;
      [x, y] = [snapped(middle.x + here.x - start.x, step), snapped(middle.y + here.y - start.y, step)];
      moved ||= Math.hypot(here.x - start.x, here.y - start.y) > 0.05;
      if (moved) {
        this.carry(stand.piece, x - middle.x, y - middle.y);
        this.say(this.nearest(stand, x, y));
      }
    };
    const drop = (): void => {
      group.removeEventListener("pointermove", follow);
      this.held = false;
      if (moved) this.put(stand, x, y, 0);
      else this.choose(stand.piece.index);
      const later = this.later;
      this.later = null;
      if (later) this.show(...later);
    };
    group.addEventListener("pointermove", follow);
    group.addEventListener("pointerup", drop, { once: true });
  }

  /** All copies follow the one in hand. */
  private carry(piece: PieceState, right: number, back: number): void {
    const own = this.stands.filter((stand) => stand.piece.index === piece.index);
    this.svg.querySelectorAll(`[data-copy-of="${piece.index}"]`).forEach((group, at) => {
      const stand = own[at];
      if (stand) group.setAttribute("transform", placed(stand, right, back));
    });
  }

  private put(stand: Stand, x: number, y: number, turn: number): void {
    const facing = Math.round(degrees(stand.turn) + turn) % 360;
    this.say(turn ? t("Front {facing}", { facing: facingWords(facing) }) : this.nearest(stand, x, y));
    this.commit([{ do: "put", path: ["pieces", stand.piece.index, "spot"], value: { x: this.lengths.write(x), y: this.lengths.write(y), facing } }], this.version);
  }

  private nearest(stand: Stand, x: number, y: number): string {
    let best = "";
    let least = Infinity;
    for (const other of this.stands) {
      if (other.piece.index === stand.piece.index) continue;
      const there = this.middle(other.piece);
      const far = Math.hypot(there.x - x, there.y - y);
      if (far < least) [least, best] = [far, t("{length} to {name}, middle to middle", { length: this.lengths.write(far), name: other.piece.name })];
    }
    return best || this.where(x, y);
  }

  /** A spot in the words of the load list. */
  private where(x: number, y: number): string {
    const [across, back] = [{ length: this.lengths.write(Math.abs(x)) }, { length: this.lengths.write(Math.abs(y)) }];
    const aside = Math.abs(x) < 0.005 ? t("in the middle") : x > 0 ? t("{length} right", across) : t("{length} left", across);
    const away = Math.abs(y) < 0.005 ? t("on the front edge") : y > 0 ? t("{length} behind the edge", back) : t("{length} before the edge", back);
    return `${aside}, ${away}`;
  }

  private measure(event: MouseEvent): void {
    if (!this.measuring) return;
    const here = this.at(event);
    if (!this.from) {
      this.from = here;
      this.svg.querySelector(".ruler")?.remove();
      this.say(t("And the other end."));
      return;
    }
    const far = Math.hypot(here.x - this.from.x, here.y - this.from.y);
    this.svg.append(element("line", { class: "ruler", x1: this.from.x, y1: -this.from.y, x2: here.x, y2: -here.y }));
    this.say(`${this.lengths.write(far)} (${this.lengths.other(far)})`);
    this.from = null;
  }

  private at(event: MouseEvent): Point {
    const matrix = (this.svg as unknown as SVGSVGElement).getScreenCTM();
    if (!matrix) return { x: 0, y: 0 };
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    return { x: point.x, y: -point.y };
  }

  private say(text: string): void {
    this.words.textContent = text;
  }
}

const degrees = (turn: number): number => (turn * 180) / Math.PI;

/** As the guests see it; in the words of the load list. */
const facingWords = (facing: number): string => {
  const turned = ((((facing + 180) % 360) + 360) % 360) - 180;
  if (Math.abs(turned) < 0.5) return t("to the guests");
  if (Math.abs(Math.abs(turned) - 180) < 0.5) return t("to the back");
  const by = { degrees: Math.round(Math.abs(turned)) };
  return turned > 0 ? t("{degrees}° to the right", by) : t("{degrees}° to the left", by);
};

const isChosen = (text: SVGElement): boolean => text.closest(".is-chosen") !== null;

const nameOf = ({ name, count }: PieceState): string => {
  const signs = Array.from(name);
  const short = signs.length > MOST_SIGNS ? `${signs.slice(0, MOST_SIGNS - 1).join("").trimEnd()}…` : name;
  return count > 1 ? `${count} × ${short}` : short;
};

const touching = (a: DOMRect, b: DOMRect): boolean => a.left < b.right + 4 && b.left < a.right + 4 && a.top < b.bottom && b.top < a.bottom;

/** The venue's door: its opening as a broken line between two jambs, and its name. */
function doorway(door: DoorState, unit: number): SVGElement {
  const half = door.width / 2;
  const turn = (-door.turn * 180) / Math.PI;
  const group = element("g", { class: "doorway", transform: `translate(${door.x} ${-door.y}) rotate(${turn})` });
  group.append(element("path", { class: "opening", d: `M${-half} 0H${half}` }));
  for (const x of [-half, half]) group.append(element("path", { d: `M${x} -0.1V0.1` }));
  const name = element("text", { x: 0, y: -6 * unit - 0.1, "text-anchor": "middle", "font-size": NAME_PX * unit });
  name.textContent = t("Door");
  group.append(name);
  return group;
}

/** A piece's balloons from above, the lower ones first. */
function balloons(picture: PictureState): SVGElement {
  const group = element("g", { class: "floor-balloons" });
  const { count, centre, radius, shade, stock } = rows(picture);
  const order = Array.from({ length: count }, (_, k) => k).sort((a, b) => (centre[3 * a + 2] ?? 0) - (centre[3 * b + 2] ?? 0));
  for (const k of order) {
    const r = radius[k] ?? 0;
    if (r <= 0 || picture.stocks[stock[k] ?? 0]?.shape === "long-0") continue; // ties are lines
    const fill = picture.shades[shade[k] ?? 0]?.colour ?? "#888888";
    group.append(element("circle", { cx: round(centre[3 * k] ?? 0), cy: round(-(centre[3 * k + 1] ?? 0)), r: round(r), fill }));
  }
  return group;
}

const round = (value: number): number => Math.round(value * 1000) / 1000;

const placed = (stand: Stand, right: number, back: number): string =>
  `translate(${stand.x + right} ${-(stand.y + back)}) rotate(${(-stand.turn * 180) / Math.PI})`;

function grid(box: { x: number; y: number; wide: number; high: number }, cell: number): SVGElement {
  let step = cell;
  while (Math.max(box.wide, box.high) / step > MOST_CELLS) step *= 5;
  const group = element("g", { class: "floor-grid", "aria-hidden": "true" });
  const lines = (from: number, wide: number): number[] => {
    const first = Math.ceil(from / step);
    return Array.from({ length: Math.floor((from + wide) / step) - first + 1 }, (_, k) => (first + k) * step);
  };
  for (const x of lines(box.x, box.wide)) group.append(element("line", { x1: x, x2: x, y1: box.y, y2: box.y + box.high }));
  for (const y of lines(box.y, box.high)) group.append(element("line", { x1: box.x, x2: box.x + box.wide, y1: y, y2: y }));
  return group;
}

function element(name: string, values: Record<string, string | number>): SVGElement {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, String(value));
  return made;
}
