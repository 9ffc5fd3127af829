// A way through points in the front view: each point is dragged by hand or moved by arrow keys.
// The desk draws it; what is drawn while a hand moves is put right by the next panel.
import { t } from "../words";
import type { Change, Path } from "./api_client";
import { snapped, type Lengths } from "./lengths";

const CM = 100;

export function armWay(side: HTMLElement, lengths: Lengths, edit: (changes: Change[]) => void): void {
  side.addEventListener("pointerdown", (event) => {
    const point = held(event.target);
    if (!point || event.button !== 0) return;
    event.preventDefault();
    point.focus();
    drag(point, event, lengths, edit);
  });
  side.addEventListener("keydown", (event) => {
    const point = held(event.target);
    if (!point) return;
    const step = (event.shiftKey ? lengths.coarse : lengths.fine) * CM;
    const ways: Record<string, [number, number]> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    const way = ways[event.key];
    if (way) {
      event.preventDefault();
      place(point, at(point, "cx") + way[0], at(point, "cy") + way[1]);
      commit(point, lengths, edit);
    } else if (event.key === "Delete" && points(point).length > 2) {
      event.preventDefault();
      edit([{ do: "clear", path: pathOf(point) }]);
    }
  });
}

function held(target: EventTarget | null): SVGCircleElement | null {
  return target instanceof SVGCircleElement && target.dataset["wayPoint"] !== undefined ? target : null;
}

function drag(point: SVGCircleElement, first: PointerEvent, lengths: Lengths, edit: (changes: Change[]) => void): void {
  const drawing = point.ownerSVGElement;
  const back = drawing?.getScreenCTM()?.inverse();
  if (!drawing || !back) return;
  const start: [number, number] = [at(point, "cx"), at(point, "cy")];
  let moved = false;
  const move = (event: PointerEvent): void => {
    const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(back);
    moved = true;
    place(point, spot.x, spot.y);
  };
  const end = (event: PointerEvent): void => {
    point.removeEventListener("pointermove", move);
    point.removeEventListener("pointerup", end);
    point.removeEventListener("pointercancel", end);
    if (event.type === "pointercancel") place(point, ...start);
    else if (moved) commit(point, lengths, edit);
  };
  point.setPointerCapture(first.pointerId);
  point.addEventListener("pointermove", move);
  point.addEventListener("pointerup", end);
  point.addEventListener("pointercancel", end);
}

/** Put a point, never below the floor, and draw straight lines through all until the desk answers. */
function place(point: SVGCircleElement, x: number, y: number): void {
  point.setAttribute("cx", String(x));
  point.setAttribute("cy", String(Math.min(y, 0)));
  const line = point.ownerSVGElement?.querySelector("[data-way-line]");
  line?.setAttribute("d", `M${points(point).map((p) => `${at(p, "cx")} ${at(p, "cy")}`).join("L")}`);
}

function commit(point: SVGCircleElement, lengths: Lengths, edit: (changes: Change[]) => void): void {
  const path = pathOf(point);
  const fine = lengths.fine / 2;
  const [x, z] = [snapped(at(point, "cx") / CM, fine), snapped(-at(point, "cy") / CM, fine)];
  const [wide, high] = [lengths.write(x), lengths.write(z)];
  point.setAttribute("aria-label", t("Point at {wide}, {high}. Arrow keys move it, Delete removes it.", { wide, high }));
  edit([
    { do: "put", path: [...path, "x"], value: wide },
    { do: "put", path: [...path, "z"], value: high },
  ]);
}

function pathOf(point: SVGCircleElement): Path {
  return JSON.parse(point.dataset["wayPoint"] ?? "[]") as Path;
}

function points(point: SVGCircleElement): SVGCircleElement[] {
  return [...(point.ownerSVGElement?.querySelectorAll<SVGCircleElement>("[data-way-point]") ?? [])];
}

function at(point: SVGCircleElement, key: "cx" | "cy"): number {
  return Number(point.getAttribute(key));
}
