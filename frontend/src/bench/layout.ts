// Where each piece and each copy of it stands: at its spot, or in a row from left to right.
import type { Piece } from "./types";

export interface Stand { piece: Piece; copy: number; x: number; y: number; turn: number }

const GAP = 0.35; // metres between pieces in the row
const MOST_COPIES = 12;

export function layout(pieces: Piece[]): Stand[] {
  const stands: Stand[] = [];
  const row: Stand[] = [];
  let x = 0;
  for (const piece of pieces) {
    if (!piece.picture || !piece.size) continue;
    const wide = piece.size[0];
    for (let copy = 0; copy < Math.min(piece.count, MOST_COPIES); copy++) {
      if (piece.spot) {
        const turn = (piece.spot.facing * Math.PI) / 180;
        const aside = copy * (wide + GAP);
        stands.push({ piece, copy, turn, x: piece.spot.x + Math.cos(turn) * aside, y: piece.spot.y + Math.sin(turn) * aside });
      } else {
        row.push({ piece, copy, turn: 0, x: x + wide / 2, y: 0 });
        x += wide + GAP;
      }
    }
  }
  const shift = Math.max(0, x - GAP) / 2;
  for (const stand of row) stand.x -= shift;
  return [...stands, ...row];
}
