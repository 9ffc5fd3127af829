// Where the copies of each piece stand, as the desk says: one rule for pictures, lists and 3D.
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

export const MOST_COPIES = 400;

/** Every copy of the pieces in its place. */
export function arrange(pieces: readonly PieceData[]): Standing[] {
  return pieces.flatMap((piece) => piece.places.slice(0, MOST_COPIES).map(([x, y, turn], copy) => ({ piece, copy, x, y, turn })));
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
