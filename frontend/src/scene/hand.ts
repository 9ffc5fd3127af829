// What hands do to a packed balloon: no two are quite alike, none sits quite straight on its neck.
// The same steps as in the photographs (pictures/mesh/hand.py), so that a row looks alike in both.
import type { Rows } from "./decode";

export const SIZE_SPREAD = 0.02;
export const TILT_RAD = 0.07;
const STEPS = [0.6180339887498949, 0.7548776662466927, 0.5698402909980532] as const;

/** Rows with sizes and axes as hands make them; `soft` tells which balloons are of latex. */
export function byHand(rows: Rows, soft: (row: number) => boolean): Rows {
  const radius = rows.radius.slice();
  const axis = rows.axis.slice();
  for (let row = 0; row < rows.count; row += 1) {
    if (!soft(row)) continue;
    const [size, way, lean] = STEPS.map((step) => ((row + 1) * step) % 1) as [number, number, number];
    radius[row] = (radius[row] ?? 0) * (1 + SIZE_SPREAD * (2 * size - 1));
    tilt(axis, 3 * row, 2 * Math.PI * way, TILT_RAD * Math.sqrt(lean));
  }
  return { ...rows, radius, axis };
}

/** Tilt the unit vector at `at` by an angle, towards `way` round it. */
function tilt(axis: Float32Array, at: number, way: number, angle: number): void {
  const [x, y, z] = [axis[at] ?? 0, axis[at + 1] ?? 0, axis[at + 2] ?? 1];
  // across the axis: with z, or with x where the axis is steep
  let [a, b, c] = Math.abs(z) < 0.9 ? [y, -x, 0] : [0, z, -y];
  const size = Math.hypot(a, b, c) || 1;
  [a, b, c] = [a / size, b / size, c / size];
  const [d, e, f] = [y * c - z * b, z * a - x * c, x * b - y * a];
  const [u, v, w] = [Math.cos(angle), Math.sin(angle) * Math.cos(way), Math.sin(angle) * Math.sin(way)];
  axis[at] = u * x + v * a + w * d;
  axis[at + 1] = u * y + v * b + w * e;
  axis[at + 2] = u * z + v * c + w * f;
}
