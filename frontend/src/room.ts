// Marking a photograph of the client's room: points dragged by hand, by touch under a loupe, or
// moved by arrow keys. What is marked goes into the form's hidden fields.
import { t } from "./words";

type Pixel = [number, number];

const SVG = "http://www.w3.org/2000/svg";
const FINE = 1;
const COARSE = 20; // with shift [px of the photograph]
const LOUPE_SHARE = 0.13; // its radius, of the photograph's width
const LOUPE_TIMES = 3;
const HANDLE_PX = 11; // on the screen; a finger's reach round it is wider
const REACH_PX = 22;
const LEAST_CORNERS = 3;

class RoomMarks {
  private corners: Pixel[];
  private outlines: Pixel[][];
  private stand: Pixel | null;
  private chosen: number | null = null; // the outline that can be taken out
  private readonly wide: number;
  private readonly tall: number;
  private readonly layer: SVGGElement;
  private readonly out = document.getElementById("room-outline-out") as HTMLButtonElement;

  constructor(private readonly form: HTMLFormElement, private readonly drawing: SVGSVGElement) {
    this.wide = drawing.viewBox.baseVal.width;
    this.tall = drawing.viewBox.baseVal.height;
    this.layer = drawing.querySelector("#room-handles") as SVGGElement;
    this.corners = JSON.parse(this.field("corners").value) as Pixel[];
    this.outlines = JSON.parse(this.field("in_front").value) as Pixel[][];
    const stand = drawing.dataset["stand"];
    this.stand = stand ? (JSON.parse(stand) as Pixel) : null;
    document.getElementById("room-outline")?.addEventListener("click", () => this.addOutline());
    this.out.addEventListener("click", () => this.removeOutline());
    // A finger on a handle drags it; anywhere else it scrolls the page.
    drawing.addEventListener("touchstart", (event) => {
      if ((event.target as Element).closest(".room-handle, .room-between")) event.preventDefault();
    }, { passive: false });
    new ResizeObserver(() => this.draw()).observe(drawing);
    this.draw();
  }

  private field(name: string): HTMLInputElement {
    return this.form.elements.namedItem(name) as HTMLInputElement;
  }

  private keep(): void {
    this.field("corners").value = JSON.stringify(this.corners);
    this.field("in_front").value = JSON.stringify(this.outlines);
  }

  // A third of the picture, where it is easily seen and dragged apart.
  private addOutline(): void {
    const [x, y, w, h] = [this.wide / 3, this.tall / 2, this.wide / 8, this.tall / 8];
    this.outlines.push([[x, y], [x + w, y], [x + w, y + h], [x, y + h]].map(([a, b]) => [Math.round(a!), Math.round(b!)]));
    this.chosen = this.outlines.length - 1;
    this.keep();
    this.draw();
    this.layer.querySelector<SVGElement>(`[data-ring="${this.chosen}"]`)?.focus();
  }

  private removeOutline(): void {
    if (this.chosen === null) return;
    this.outlines.splice(this.chosen, 1);
    this.chosen = null;
    this.keep();
    this.draw();
  }

  // ---- drawing ---------------------------------------------------------------------------------

  private draw(): void {
    const focus = (document.activeElement as SVGElement | null)?.id;
    const unit = this.wide / Math.max(this.drawing.clientWidth, 1); // photograph's px to one of the screen
    this.layer.replaceChildren();
    this.ring(this.corners, "room-rectangle");
    for (const [r, ring] of this.outlines.entries()) this.ring(ring, r === this.chosen ? "room-outline is-chosen" : "room-outline");
    for (const [k, at] of this.corners.entries()) this.handle({ at, id: `corner-${k}`, words: t("Floor point {n}", { n: k + 1 }), label: String(k + 1), unit, move: (spot) => (this.corners[k] = spot) });
    for (const [r, ring] of this.outlines.entries()) {
      for (const [k, at] of ring.entries()) {
        const next = ring[(k + 1) % ring.length]!;
        // Between two points lies a smaller one; dragged, it becomes a point of its own.
        this.between([Math.round((at[0] + next[0]) / 2), Math.round((at[1] + next[1]) / 2)], r, k + 1, unit);
        this.handle({ at, id: `outline-${r}-${k}`, words: t("Outline {n}, point {k}", { n: r + 1, k: k + 1 }), label: "", unit, ring: r, move: (spot) => (ring[k] = spot) });
      }
    }
    if (this.stand) this.handle({ at: this.stand, id: "stand", words: t("Where the decor stands"), label: "+", unit, move: (spot) => this.put(spot) });
    this.out.hidden = this.chosen === null;
    if (focus) document.getElementById(focus)?.focus();
  }

  private put(spot: Pixel): void {
    this.stand = spot;
    this.field("stand").value = JSON.stringify(spot);
  }

  private ring(points: Pixel[], style: string): void {
    this.layer.append(element("polygon", { points: points.map((p) => p.join(",")).join(" "), class: style }));
  }

  private handle(of: { at: Pixel; id: string; words: string; label: string; unit: number; ring?: number; move(spot: Pixel): void }): void {
    const group = element("g", { id: of.id, class: "room-handle", tabindex: "0", role: "button", "aria-label": `${of.words}. ${t("Arrow keys move it.")}`, transform: `translate(${of.at[0]} ${of.at[1]}) scale(${of.unit})` });
    if (of.ring !== undefined) group.dataset["ring"] = String(of.ring);
    group.append(element("circle", { r: String(REACH_PX), class: "room-reach" }), element("circle", { r: String(HANDLE_PX), class: "room-dot" }));
    const text = element("text", { "text-anchor": "middle", dy: "0.35em" });
    text.textContent = of.label;
    group.append(text);
    const move = (spot: Pixel): void => {
      of.move(spot);
      this.keep();
      this.draw();
    };
    group.addEventListener("focus", () => this.choose(of.ring ?? null));
    group.addEventListener("keydown", (event) => this.key(event, of, move));
    group.addEventListener("pointerdown", (event) => this.drag(event, move));
    this.layer.append(group);
  }

  private between(at: Pixel, ring: number, index: number, unit: number): void {
    const dot = element("circle", { cx: String(at[0]), cy: String(at[1]), r: String(6 * unit), class: "room-between", "aria-hidden": "true" });
    dot.addEventListener("pointerdown", (event) => {
      this.outlines[ring]?.splice(index, 0, at);
      this.drag(event, (spot) => {
        const points = this.outlines[ring];
        if (points) points[index] = spot;
        this.keep();
        this.draw();
      });
    });
    this.layer.append(dot);
  }

  private choose(ring: number | null): void {
    if (this.chosen === ring) return;
    this.chosen = ring;
    this.draw();
  }

  // ---- hands -----------------------------------------------------------------------------------

  private key(event: KeyboardEvent, of: { at: Pixel; id: string; ring?: number }, move: (spot: Pixel) => void): void {
    const step = event.shiftKey ? COARSE : FINE;
    const way = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key];
    if (way) {
      event.preventDefault();
      move(this.inside([of.at[0] + way[0]!, of.at[1] + way[1]!]));
      return;
    }
    const ring = of.ring === undefined ? undefined : this.outlines[of.ring];
    if (event.key !== "Delete" || !ring) return;
    event.preventDefault();
    if (ring.length > LEAST_CORNERS) ring.splice(Number(of.id.split("-")[2]), 1);
    else this.removeOutline();
    this.keep();
    this.draw();
  }

  // Handles are drawn anew while one moves, so the whole drawing follows the pointer.
  private drag(first: PointerEvent, move: (spot: Pixel) => void): void {
    if (first.button !== 0) return;
    first.preventDefault();
    (first.currentTarget as SVGElement).focus();
    const back = this.drawing.getScreenCTM()?.inverse();
    if (!back) return;
    const spotOf = (event: PointerEvent): Pixel => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(back);
      return this.inside([Math.round(at.x), Math.round(at.y)]);
    };
    const loupe = first.pointerType === "touch" ? new Loupe(this.drawing, this.wide) : null;
    loupe?.show(spotOf(first));
    const go = (event: PointerEvent): void => {
      const spot = spotOf(event);
      move(spot);
      loupe?.show(spot);
    };
    const end = (): void => {
      this.drawing.removeEventListener("pointermove", go);
      for (const name of ["pointerup", "pointercancel"]) this.drawing.removeEventListener(name, end);
      loupe?.close();
    };
    this.drawing.setPointerCapture(first.pointerId);
    this.drawing.addEventListener("pointermove", go);
    for (const name of ["pointerup", "pointercancel"]) this.drawing.addEventListener(name, end);
  }

  private inside([x, y]: Pixel): Pixel {
    return [Math.min(Math.max(x, 0), this.wide), Math.min(Math.max(y, 0), this.tall)];
  }
}

/** What lies under a finger, three times as large, in the corner away from it. */
class Loupe {
  private readonly group = element("g", { class: "room-loupe" });
  private readonly image: SVGElement;

  constructor(drawing: SVGSVGElement, private readonly wide: number) {
    const shown = drawing.querySelector("image")!;
    const clip = element("clipPath", { id: "room-loupe-clip" });
    clip.append(element("circle", { r: String(this.radius) }));
    this.image = element("image", { href: shown.getAttribute("href") ?? "", width: shown.getAttribute("width") ?? "", height: shown.getAttribute("height") ?? "" });
    const cut = element("g", { "clip-path": "url(#room-loupe-clip)" });
    cut.append(this.image);
    const r = this.radius;
    this.group.append(clip, cut, element("circle", { r: String(r), class: "room-loupe-rim" }), element("path", { d: `M${-r} 0H${r}M0 ${-r}V${r}`, class: "room-loupe-cross" }));
    drawing.append(this.group);
  }

  private get radius(): number {
    return this.wide * LOUPE_SHARE;
  }

  show([x, y]: Pixel): void {
    const right = x < this.wide / 2;
    const at = this.radius * 1.1;
    this.group.setAttribute("transform", `translate(${right ? this.wide - at : at} ${at})`);
    this.image.setAttribute("transform", `scale(${LOUPE_TIMES}) translate(${-x} ${-y})`);
  }

  close(): void {
    this.group.remove();
  }
}

function element(name: string, attributes: Record<string, string>): SVGElement {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

const form = document.getElementById("room") as HTMLFormElement | null;
const drawing = document.querySelector<SVGSVGElement>("#room-svg");
if (form && drawing) new RoomMarks(form, drawing);
