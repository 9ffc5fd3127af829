// Numbers that come packed, and colours in linear light.
import { describe, expect, it } from "vitest";
import { floats, indices, linear, rows, shorts } from "../src/scene/decode";
import type { PictureState } from "../src/answers";

const packed = (array: Float32Array | Int16Array | Uint16Array): string => btoa(String.fromCharCode(...new Uint8Array(array.buffer)));

describe("packed numbers", () => {
  it("come back as they were", () => {
    expect([...floats(packed(new Float32Array([0, -1.5, 3.25])))]).toEqual([0, -1.5, 3.25]);
    expect([...shorts(packed(new Int16Array([-1, 0, 32767])))]).toEqual([-1, 0, 32767]);
    expect([...indices(packed(new Uint16Array([0, 65535])))]).toEqual([0, 65535]);
  });

  it("make as many rows as there are radii", () => {
    const empty = packed(new Int16Array([0, 0]));
    const picture = {
      centre: packed(new Float32Array(6)), axis: packed(new Float32Array(6)), radius: packed(new Float32Array([0.1, 0.2])),
      stock: empty, shade: empty, layer: empty, slot: empty, role: empty, stocks: [], shades: [], hardware: [], strands: [], fabrics: [],
    } satisfies PictureState;
    const made = rows(picture);
    expect(made.count).toBe(2);
    expect(made.radius[1]).toBeCloseTo(0.2, 6);
  });
});

describe("linear light, IEC 61966-2-1", () => {
  // Published: the transfer function of the standard, its two branches evaluated by hand.
  it.each([
    ["#000000", 0],
    ["#ffffff", 1],
    ["#0a0a0a", 10 / 255 / 12.92],
    ["#808080", ((128 / 255 + 0.055) / 1.055) ** 2.4],
  ])("%s", (colour, expected) => {
    for (const part of linear(colour)) expect(part).toBeCloseTo(expected, 7);
  });

  it("keeps the order red, green, blue", () => {
    expect(linear("#ff0000")).toEqual([1, 0, 0]);
    expect(linear("#0000ff")).toEqual([0, 0, 1]);
  });

  it("is a middle grey where the colour is none", () => {
    expect(linear("coral")).toEqual([0.5, 0.5, 0.5]);
  });
});
