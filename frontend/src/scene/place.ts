// Where the copies of each piece stand: at their spot, or side by side where none is given.
import type { SpotState } from "../answers";
import type { PieceData } from "./types";

/** Ground a piece covers over its own origin [m]. */
export interface Extent {
  low: [number, number, number];
  high: [number, number, number];
}

export interface Standing {
  piece: PieceData;
  copy: number;
  x: number;
  y: number;
  /** Anticlockwise from above [rad]. */
  turn: number;
}

const GAP = 0.3; // free floor between two pieces, at the least [m]
const GAP_SHARE = 0.12; // and as a share of the wider neighbour
export const MOST_COPIES = 400;

export interface Ready {
  piece: PieceData;
  extent: Extent;
}

/**
 * Copies in place: where the desk says, which goes by one rule for pictures, lists and 3D. For
 * pieces that come without places: those without a spot stand in one row, copies flanking the others in pairs; a
 * piece that has a spot leaves its gap in that row, so that setting one down moves no other.
 * Copies of a piece with a spot stand side by side about it, along its own front.
 */
export function arrange(pieces: readonly Ready[]): Standing[] {
  if (pieces.every(({ piece }) => piece.places)) {
    return pieces.flatMap(({ piece }) => (piece.places ?? []).slice(0, MOST_COPIES).map(([x, y, turn], copy) => ({ piece, copy, x, y, turn })));
  }
  const row = inARow(pieces);
  const placed: Standing[] = [];
  for (const { piece, extent } of pieces) {
    if (!piece.spot) continue;
    const turn = (piece.spot.facing * Math.PI) / 180;
    const step = width(extent) + gapOf(width(extent), width(extent));
    const many = copies(piece);
    for (let copy = 0; copy < many; copy += 1) {
      const along = (copy - (many - 1) / 2) * step;
      placed.push({ piece, copy, turn, x: piece.spot.x + along * Math.cos(turn), y: piece.spot.y + along * Math.sin(turn) });
    }
  }
  const loose = row.filter((standing) => !standing.piece.spot);
  const extents = new Map(pieces.map((ready) => [ready.piece, ready.extent]));
  const clash = loose.some((a) => placed.some((b) => overlap(a, b, extents)));
  if (clash) aside(loose, placed, extents);
  return [...placed, ...loose];
}

function copies(piece: PieceData): number {
  return Math.min(Math.max(piece.count, 0), MOST_COPIES);
}

function inARow(pieces: readonly Ready[]): Standing[] {
  const [left, middle, right]: [Ready[], Ready[], Ready[]] = [[], [], []];
  for (const ready of pieces) {
    const many = copies(ready.piece);
    for (let k = 0; k < Math.floor(many / 2); k += 1) {
      left.push(ready);
      right.unshift(ready);
    }
    if (many % 2) middle.push(ready);
  }
  const number = new Map<PieceData, number>();
  const out: Standing[] = [];
  let [edge, before] = [0, 0];
  for (const { piece, extent } of [...left, ...middle, ...right]) {
    const wide = width(extent);
    if (out.length) edge += gapOf(before, wide);
    const copy = number.get(piece) ?? 0;
    number.set(piece, copy + 1);
    out.push({ piece, copy, turn: 0, x: edge - extent.low[0], y: 0 });
    edge += wide;
    before = wide;
  }
  for (const standing of out) standing.x -= edge / 2;
  return out;
}

const width = (extent: Extent): number => extent.high[0] - extent.low[0];
const gapOf = (a: number, b: number): number => Math.max(GAP, GAP_SHARE * Math.max(a, b));

function overlap(a: Standing, b: Standing, extents: Map<PieceData, Extent>): boolean {
  const [p, q] = [extents.get(a.piece), extents.get(b.piece)];
  if (!p || !q) return false;
  const [r, s] = [ground(a, p), ground(b, q)];
  return r[0] < s[2] && s[0] < r[2] && r[1] < s[3] && s[1] < r[3];
}

/** What a standing piece covers: left, front, right, back [m]. */
export function ground(standing: Standing, extent: Extent): [number, number, number, number] {
  const [c, s] = [Math.cos(standing.turn), Math.sin(standing.turn)];
  const xs: number[] = [];
  const ys: number[] = [];
  for (const x of [extent.low[0], extent.high[0]]) {
    for (const y of [extent.low[1], extent.high[1]]) {
      xs.push(standing.x + c * x - s * y);
      ys.push(standing.y + s * x + c * y);
    }
  }
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/** The row moves to the right of everything that has a spot. */
function aside(loose: Standing[], placed: Standing[], extents: Map<PieceData, Extent>): void {
  const edge = (list: Standing[], side: 0 | 2): number[] =>
    list.flatMap((standing) => {
      const extent = extents.get(standing.piece);
      return extent ? [ground(standing, extent)[side]] : [];
    });
  const shift = Math.max(...edge(placed, 2)) + GAP - Math.min(...edge(loose, 0));
  for (const standing of loose) standing.x += shift;
}

/** Places of a piece's copies when its spot moves from one to another, before the desk has answered. */
export function shifted(places: [number, number, number][], from: SpotState, to: SpotState): [number, number, number][] {
  const turned = ((to.facing - from.facing) * Math.PI) / 180;
  const [c, s] = [Math.cos(turned), Math.sin(turned)];
  return places.map(([x, y, turn]) => {
    const [right, away] = [x - from.x, y - from.y];
    return [to.x + c * right - s * away, to.y + s * right + c * away, turn + turned];
  });
}

const STEP = 0.1;
/** To the nearest tenth of a metre. */
export const snapped = (value: number): number => Math.round(value / STEP) / Math.round(1 / STEP);
