// Sizes and tilt as hands make them: small, always the same, and only where there is latex.
import { describe, expect, test } from "vitest";
import { byHand, SIZE_SPREAD, TILT_RAD } from "../src/scene/hand";
import type { Rows } from "../src/scene/decode";

function rows(count: number, way: [number, number, number]): Rows {
  const axis = new Float32Array(3 * count);
  for (let k = 0; k < count; k += 1) axis.set(way, 3 * k);
  const none = new Int16Array(count);
  return { count, centre: new Float32Array(3 * count), axis, radius: new Float32Array(count).fill(0.12), stock: none, shade: none, layer: none, slot: none };
}

describe("by hand", () => {
  test.each([[[0, 0, 1]], [[0.6, 0, 0.8]], [[0, -1, 0]]] as [number, number, number][][])("balloons along %s stray a little", (way) => {
    const plain = rows(200, way);
    const made = byHand(plain, () => true);
    for (let k = 0; k < 200; k += 1) {
      expect(Math.abs((made.radius[k] ?? 0) / 0.12 - 1)).toBeLessThanOrEqual(SIZE_SPREAD + 1e-6);
      const own = [0, 1, 2].map((i) => made.axis[3 * k + i] ?? 0);
      expect(Math.hypot(...own)).toBeCloseTo(1, 5);
      const along = own.reduce((sum, value, i) => sum + value * (way[i] ?? 0), 0);
      expect(Math.acos(Math.min(1, along))).toBeLessThanOrEqual(TILT_RAD + 1e-3);
    }
    expect(new Set(made.radius).size).toBeGreaterThan(150);
    expect(plain.radius.every((value) => Math.fround(0.12) === value)).toBe(true);
  });

  test("foils stay as they are", () => {
    const made = byHand(rows(20, [0, 0, 1]), () => false);
    expect(new Set(made.radius).size).toBe(1);
    expect(made.axis[2]).toBe(1);
  });
});
