// The floor plan: pieces seen from above, to drag, snap, turn and measure. The front is below.
import { layout, type Stand } from "./layout";
import { type Lengths, snapped } from "./lengths";
import type { Change, JobState } from "./types";

const NS = "http://www.w3.org/2000/svg";
const TURN = 15;

type Point = { x: number; y: number };

export class FloorPlan {
  private readonly svg = element("svg", { class: "floor-svg", role: "group", "aria-label": "Floor plan; the guests stand below" });
  private readonly words = document.createElement("p");
  private stands: Stand[] = [];
  private measuring = false;
  private from: Point | null = null;

  constructor(
    host: HTMLElement,
    private readonly lengths: Lengths,
    private readonly commit: (changes: Change[]) => void,
    private readonly choose: (index: number) => void,
  ) {
    const bar = document.createElement("div");
    bar.className = "floor-bar";
    const ruler = document.createElement("button");
    ruler.type = "button";
    ruler.className = "button small";
    ruler.textContent = "Measure";
    ruler.setAttribute("aria-pressed", "false");
    ruler.addEventListener("click", () => {
      this.measuring = !this.measuring;
      this.from = null;
      ruler.setAttribute("aria-pressed", String(this.measuring));
      this.say(this.measuring ? "Click two points." : "");
    });
    this.words.className = "floor-words";
    this.words.setAttribute("role", "status");
    bar.append(ruler, this.words);
    host.append(this.svg, bar);
    this.svg.addEventListener("click", (event) => this.measure(event as MouseEvent));
  }

  show(state: JobState, chosen: number | null): void {
    const focus = (document.activeElement as HTMLElement | null)?.dataset?.["floor"];
    this.stands = layout(state.pieces);
    const box = this.box();
    this.svg.setAttribute("viewBox", `${box.x} ${box.y} ${box.wide} ${box.high}`);
    this.svg.replaceChildren(grid(box, this.lengths.grid));
    for (const stand of this.stands) this.svg.append(this.footprint(stand, chosen));
    if (focus) this.svg.querySelector<SVGElement>(`[data-floor="${focus}"]`)?.focus();
  }

  private box(): { x: number; y: number; wide: number; high: number } {
    let [left, right, front, back] = [-2, 2, -1.5, 1.5];
    for (const { x, y, piece } of this.stands) {
      const reach = Math.max(piece.size?.[0] ?? 1, piece.size?.[1] ?? 1) / 2 + 0.6;
      left = Math.min(left, x - reach);
      right = Math.max(right, x + reach);
      front = Math.min(front, y - reach);
      back = Math.max(back, y + reach);
    }
    return { x: left, y: -back, wide: right - left, high: back - front };
  }

  private footprint(stand: Stand, chosen: number | null): SVGElement {
    const [wide = 0.5, deep = 0.5] = stand.piece.size ?? [];
    const main = stand.copy === 0;
    const group = element("g", {
      class: `footprint${stand.piece.index === chosen ? " is-chosen" : ""}`,
      transform: `translate(${stand.x} ${-stand.y}) rotate(${(-stand.turn * 180) / Math.PI})`,
    });
    group.append(element("rect", { x: -wide / 2, y: -deep / 2, width: wide, height: deep, rx: Math.min(wide, deep) / 4 }));
    group.append(element("path", { class: "nose", d: `M-0.09 ${deep / 2}L0 ${deep / 2 + 0.13}L0.09 ${deep / 2}z` }));
    if (main) {
      const text = element("text", { "text-anchor": "middle", y: -deep / 2 - 0.09 });
      text.textContent = stand.piece.name;
      group.append(text);
      this.arm(group, stand);
    }
    return group;
  }

  private arm(group: SVGElement, stand: Stand): void {
    group.setAttribute("tabindex", "0");
    group.setAttribute("role", "button");
    group.dataset["floor"] = String(stand.piece.index);
    group.setAttribute("aria-label", `${stand.piece.name}, ${this.lengths.write(stand.x)} to the right, ${this.lengths.write(stand.y)} back. Arrow keys move it, R turns it.`);
    group.addEventListener("keydown", (event) => this.key(event, stand));
    group.addEventListener("pointerdown", (event) => this.drag(event, group, stand));
  }

  private key(event: KeyboardEvent, stand: Stand): void {
    const step = event.shiftKey ? this.lengths.fine : this.lengths.coarse;
    const move = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    const turn = event.key.toLowerCase() === "r" ? (event.shiftKey ? -TURN : TURN) : 0;
    if (event.key === "Enter" || event.key === " ") this.choose(stand.piece.index);
    else if (move) this.put(stand, snapped(stand.x + move[0]! * step, step), snapped(stand.y + move[1]! * step, step), 0);
    else if (turn) this.put(stand, stand.x, stand.y, turn);
    else return;
    event.preventDefault();
  }

  private drag(event: PointerEvent, group: SVGElement, stand: Stand): void {
    if (this.measuring) return;
    event.preventDefault();
    group.focus();
    group.setPointerCapture(event.pointerId);
    const start = this.at(event);
    let [x, y, moved] = [stand.x, stand.y, false];
    const follow = (next: PointerEvent): void => {
      const here = this.at(next);
      const step = next.altKey ? this.lengths.fine : this.lengths.coarse;
      [x, y] = [snapped(stand.x + here.x - start.x, step), snapped(stand.y + here.y - start.y, step)];
      moved ||= Math.hypot(here.x - start.x, here.y - start.y) > 0.05;
      if (moved) {
        group.setAttribute("transform", `translate(${x} ${-y}) rotate(${(-stand.turn * 180) / Math.PI})`);
        this.say(this.nearest(stand, x, y));
      }
    };
    const drop = (): void => {
      group.removeEventListener("pointermove", follow);
      if (moved) this.put(stand, x, y, 0);
      else this.choose(stand.piece.index);
    };
    group.addEventListener("pointermove", follow);
    group.addEventListener("pointerup", drop, { once: true });
  }

  private put(stand: Stand, x: number, y: number, turn: number): void {
    const facing = Math.round((stand.turn * 180) / Math.PI + turn) % 360;
    this.say(this.nearest(stand, x, y));
    this.commit([{ do: "put", path: ["pieces", stand.piece.index, "spot"], value: { x: this.lengths.write(x), y: this.lengths.write(y), facing } }]);
  }

  private nearest(stand: Stand, x: number, y: number): string {
    let best = "";
    let least = Infinity;
    for (const other of this.stands) {
      if (other.piece.index === stand.piece.index) continue;
      const far = Math.hypot(other.x - x, other.y - y);
      if (far < least) [least, best] = [far, `${this.lengths.write(far)} to ${other.piece.name}, middle to middle`];
    }
    return best || `${this.lengths.write(x)} to the right, ${this.lengths.write(y)} back`;
  }

  private measure(event: MouseEvent): void {
    if (!this.measuring) return;
    const here = this.at(event);
    if (!this.from) {
      this.from = here;
      this.svg.querySelector(".ruler")?.remove();
      this.say("And the other end.");
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

function grid(box: { x: number; y: number; wide: number; high: number }, step: number): SVGElement {
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
