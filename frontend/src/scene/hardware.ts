// Poles, bases, frames, weights, panels, ribbons, ties and sleeves of one piece.
import type { BufferGeometry } from "three";
import { Vector3 } from "three";
import { linear } from "./decode";
import { type Balls, shadeAt } from "./neighbours";
import { type Look, Solids } from "./solids";
import type { FabricState, HardwareState, PictureState, StrandState } from "../answers";
import type { Point } from "./types";

const THINNEST = 0.0016; // thinner lines would vanish between the pixels [m]
const INFLATED = 0.015; // a strand thicker than this is blown up, not a flat tie [m]
const BOARDS = new Set(["board", "sign"]);
const UNSEEN = new Set(["band", "tool", "anchor"]);
const STANDING = new Set(["base", "stand", "weight", "cylinder"]);
const FRINGE_WIDTH = 0.005;
const GOLDEN = 0.6180339887498949;

const LOOKS: Record<string, Look> = {
  pole: { colour: linear("#d9dadc"), metal: 0.85, blur: 0.2 },
  stand: { colour: linear("#c9cacd"), metal: 0.8, blur: 0.25 },
  base: { colour: linear("#4c4d53"), metal: 0, blur: 0.3 },
  weight: { colour: linear("#c8c9cc"), metal: 0.9, blur: 0.18 },
  cylinder: { colour: linear("#9aa0a4"), metal: 0.3, blur: 0.3 },
  line: { colour: linear("#dedcd5"), metal: 0, blur: 0.6 },
  net: { colour: linear("#dedcd5"), metal: 0, blur: 0.6 },
};
const OTHER: Look = { colour: linear("#c9c9c8"), metal: 0.25, blur: 0.35 };

/** Everything of a piece that is no balloon as one geometry, null where there is nothing. */
export function fixtures(picture: PictureState, balls: Balls): BufferGeometry | null {
  const solids = new Solids();
  for (const part of picture.hardware) hardware(solids, part);
  for (const strand of picture.strands) thread(solids, strand);
  for (const fabric of picture.fabrics) sleeve(solids, fabric);
  if (solids.empty) return null;
  darken(solids, balls);
  return solids.geometry();
}

function hardware(solids: Solids, part: HardwareState): void {
  const [first] = part.path;
  if (!first || UNSEEN.has(part.use)) return;
  const look = LOOKS[part.use] ?? OTHER;
  if (STANDING.has(part.use) && part.path.length === 1) {
    const [r, h] = [Math.max(part.across, 0.02) / 2, Math.max(part.height, 0.006)];
    const bevel = Math.min(0.006, h / 3, r / 4);
    const round = part.use === "weight" || part.use === "cylinder" ? 2 : 8;
    solids.lathe(first, [[r, 0], [r, h - bevel], [r - bevel, h], [0, h]], look, 48, round);
  } else if (BOARDS.has(part.use)) {
    board(solids, part);
  } else if (part.use === "panel") {
    panel(solids, part, look);
  } else if (part.path.length > 1) {
    solids.tube(part.path, Math.max(part.across, THINNEST), look, part.across > 0.02 ? 16 : 8);
  }
}

/** A flat board by the outline of its face, and the words printed on it. */
function board(solids: Solids, part: HardwareState): void {
  const look: Look = { colour: linear(part.colour ?? "#ffffff"), metal: 0, blur: 0.6 };
  const ring = part.path.slice(0, -1);
  const thick = Math.max(part.across, THINNEST);
  const middle = [0, 1, 2].map((d) => ring.reduce((sum, p) => sum + (p[d] ?? 0), 0) / ring.length);
  for (const [back, way] of [[0, -1], [thick, 1]] as const) {
    const normal = new Vector3(0, way, 0);
    const first = solids.point(new Vector3(middle[0], (middle[1] ?? 0) + back, middle[2]), normal, look);
    for (const p of ring) solids.point(new Vector3(p[0], p[1] + back, p[2]), normal, look);
    for (let k = 0; k < ring.length; k += 1) {
      const [a, b] = [first + 1 + k, first + 1 + ((k + 1) % ring.length)];
      if (way < 0) solids.face(first, a, b);
      else solids.face(first, b, a);
    }
  }
  solids.tube(part.path.map((p): Point => [p[0], p[1] + thick / 2, p[2]]), thick, look, 6);
  words(solids, part, (middle[1] ?? 0) - 0.002);
}

function words(solids: Solids, part: HardwareState, y: number): void {
  const [r, g, b] = linear(part.colour ?? "#ffffff");
  const dark = 0.2126 * r + 0.7152 * g + 0.0722 * b > 0.22;
  const look: Look = { colour: linear(dark ? "#2b2a2e" : "#f6f3ec"), metal: 0, blur: 0.7 };
  for (const [x0 = 0, z0 = 0, x1 = 0, z1 = 0, x2 = 0, z2 = 0] of part.print ?? []) {
    const front = new Vector3(0, -1, 0);
    const corners = [[x0, z0], [x1, z1], [x2, z2]] as const;
    const [a = 0, c = 0, d = 0] = corners.map(([x, z]) => solids.point(new Vector3(x, y, z), front, look));
    if ((x1 - x0) * (z2 - z0) - (z1 - z0) * (x2 - x0) > 0) solids.face(a, c, d);
    else solids.face(a, d, c);
  }
}

/** A grid of thin rods over the panel's width and height. */
function panel(solids: Solids, part: HardwareState, look: Look): void {
  const axis = (d: 0 | 1 | 2): [number, number] => {
    const values = part.path.map((p) => p[d]);
    return [Math.min(...values), Math.max(...values)];
  };
  let [x0, x1] = axis(0);
  let [z0, z1] = axis(2);
  const [y0, y1] = axis(1);
  if (x1 - x0 < 1e-6) [x0, x1] = [x0 - part.across / 2, x1 + part.across / 2];
  if (z1 - z0 < 1e-6) z1 += Math.max(part.height, part.across);
  const y = (y0 + y1) / 2;
  const steps = (low: number, high: number): number[] => {
    const count = Math.max(1, Math.round((high - low) / 0.2));
    return Array.from({ length: count + 1 }, (_, k) => low + ((high - low) * k) / count);
  };
  for (const x of steps(x0, x1)) solids.tube([[x, y, z0], [x, y, z1]], 0.006, look, 6);
  for (const z of steps(z0, z1)) solids.tube([[x0, y, z], [x1, y, z]], 0.006, look, 6);
}

function thread(solids: Solids, strand: StrandState): void {
  const look: Look = { colour: linear(strand.colour), metal: 0, blur: 0.12 };
  const blown = strand.across > INFLATED;
  solids.tube(strand.path, Math.max(strand.across, THINNEST), look, blown ? 12 : 6, blown);
}

function sleeve(solids: Solids, fabric: FabricState): void {
  if (fabric.to <= fabric.from || fabric.radius <= 0) return;
  if (fabric.material === "fringe") fringe(solids, fabric);
  else cloth(solids, fabric);
}

/** Open strips of foil that hang round the pole, each swaying and twisting a little its own way. */
function fringe(solids: Solids, fabric: FabricState): void {
  const look: Look = { colour: linear(fabric.colour), metal: 0.7, blur: 0.14 };
  const count = Math.max(12, Math.floor((2 * Math.PI * fabric.radius) / (0.8 * FRINGE_WIDTH)));
  const [folds, drop] = [6, fabric.to - fabric.from];
  for (let wrap = 0; wrap < 2; wrap += 1) {
    const reach = Math.max(fabric.radius - 0.008 * wrap, 0.3 * fabric.radius);
    for (let k = 0; k < count; k += 1) {
      const chance = [1, 2, 3, 5].map((power) => ((k + 1 + 31 * wrap) * GOLDEN ** power) % 1);
      strip(solids, fabric, look, { reach, drop, folds, angle: ((k + 0.6 * (chance[0] ?? 0)) * 2 * Math.PI) / count, chance });
    }
  }
}

interface Strip {
  reach: number;
  drop: number;
  folds: number;
  angle: number;
  chance: number[];
}

function strip(solids: Solids, fabric: FabricState, look: Look, s: Strip): void {
  const [c0, c1, c2, c3] = [s.chance[0] ?? 0, s.chance[1] ?? 0, s.chance[2] ?? 0, s.chance[3] ?? 0];
  const first = solids.place.length / 3;
  for (let k = 0; k <= s.folds; k += 1) {
    const fall = k / s.folds;
    const sway = 0.01 * (c2 - 0.5) * fall * fall + 0.002 * Math.sin(9 * fall + 6.3 * c3);
    const r = s.reach * (1 + 0.1 * fall * fall) + sway + 0.004 * (c0 - 0.5);
    const swing = s.angle + 0.06 * (c2 - 0.5) * fall;
    const turn = swing + 0.9 * (c1 - 0.5) + 1.4 * (c3 - 0.5) * fall;
    const z = fabric.to - s.drop * (1 - 0.03 * c1) * fall;
    const normal = new Vector3(Math.cos(turn), Math.sin(turn), 0.12 * Math.sin(7 * fall + 6 * c1)).normalize();
    for (const side of [1, -1]) {
      const at = new Vector3(
        fabric.at[0] + r * Math.cos(swing) - (side * Math.sin(turn) * FRINGE_WIDTH) / 2,
        fabric.at[1] + r * Math.sin(swing) + (side * Math.cos(turn) * FRINGE_WIDTH) / 2,
        z,
      );
      solids.point(at, normal, look);
    }
  }
  solids.sheet(first, s.folds + 1, 2, false);
}

/** A gathered sleeve of cloth in soft pleats. */
function cloth(solids: Solids, fabric: FabricState): void {
  const look: Look = { colour: linear(fabric.colour), metal: 0, blur: 0.9 };
  const [sides, rows, pleats] = [168, 9, 14];
  const wave = (a: number): number => Math.cos(pleats * a) + 0.4 * Math.cos((pleats + 3) * a + 1);
  const slope = (a: number): number => -pleats * Math.sin(pleats * a) - 0.4 * (pleats + 3) * Math.sin((pleats + 3) * a + 1);
  const first = solids.place.length / 3;
  for (let i = 0; i < rows; i += 1) {
    const up = i / (rows - 1);
    const depth = 0.02 + 0.05 * (1 - up);
    for (let j = 0; j < sides; j += 1) {
      const a = (2 * Math.PI * j) / sides;
      const r = fabric.radius * (1 - depth + depth * wave(a) * 0.7);
      const steep = fabric.radius * depth * 0.7 * slope(a);
      const normal = new Vector3(r * Math.cos(a) + steep * Math.sin(a), r * Math.sin(a) - steep * Math.cos(a), 0).normalize();
      const z = fabric.from + up * (fabric.to - fabric.from);
      solids.point(new Vector3(fabric.at[0] + r * Math.cos(a), fabric.at[1] + r * Math.sin(a), z), normal, look);
    }
  }
  solids.sheet(first, rows, sides, true);
}

/** Balloons close by take light away; worked out once, for vertices that have any near. */
function darken(solids: Solids, balls: Balls): void {
  const cell = 0.35;
  const near = new Map<string, number[]>();
  for (let k = 0; k < balls.count; k += 1) {
    if (!balls.shading[k]) continue;
    const at: Point = [balls.centre[3 * k] ?? 0, balls.centre[3 * k + 1] ?? 0, balls.centre[3 * k + 2] ?? 0];
    const reach = (balls.radius[k] ?? 0) * 2.2;
    const low = at.map((v) => Math.floor((v - reach) / cell));
    const high = at.map((v) => Math.floor((v + reach) / cell));
    for (let x = low[0] ?? 0; x <= (high[0] ?? 0); x += 1)
      for (let y = low[1] ?? 0; y <= (high[1] ?? 0); y += 1)
        for (let z = low[2] ?? 0; z <= (high[2] ?? 0); z += 1) {
          const key = `${x},${y},${z}`;
          const list = near.get(key);
          if (list) list.push(k);
          else near.set(key, [k]);
        }
  }
  const { place, turn, surface } = solids;
  for (let v = 0; v < place.length; v += 3) {
    const at = [place[v] ?? 0, place[v + 1] ?? 0, place[v + 2] ?? 0];
    const rows = near.get(at.map((value) => Math.floor(value / cell)).join());
    if (!rows) continue;
    const normal = [turn[v] ?? 0, turn[v + 1] ?? 0, turn[v + 2] ?? 0];
    surface[v] = Math.max(1 - 0.9 * shadeAt(balls, rows, at, normal), 0.08);
  }
}
