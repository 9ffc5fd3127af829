// How far a piece reaches over its own origin. No drawing here, so that the flat floor plan can ask too.
import type { Rows } from "./decode";
import type { Extent } from "./place";
import type { PictureState } from "../answers";

export function extentOf(picture: PictureState, balls: Rows): Extent {
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  const take = (at: readonly number[], around: number, up = around): void => {
    for (const d of [0, 1, 2] as const) {
      low[d] = Math.min(low[d], (at[d] ?? 0) - (d === 2 ? 0 : around));
      high[d] = Math.max(high[d], (at[d] ?? 0) + (d === 2 ? up : around));
    }
  };
  for (let row = 0; row < balls.count; row += 1) {
    const r = balls.radius[row] ?? 0;
    const at = Array.from(balls.centre.subarray(3 * row, 3 * row + 3));
    take(at, r);
    low[2] = Math.min(low[2], (at[2] ?? 0) - r);
  }
  for (const part of picture.hardware) {
    const standing = part.path.length === 1;
    for (const at of part.path) take(at, standing ? part.across / 2 : 0, standing ? part.height : 0);
  }
  for (const strand of picture.strands) for (const at of strand.path) take(at, 0);
  for (const fabric of picture.fabrics) take([...fabric.at, fabric.from], fabric.radius, fabric.to - fabric.from);
  if (low[0] > high[0]) return { low: [-0.2, -0.2, 0], high: [0.2, 0.2, 0.2] };
  return { low, high };
}
