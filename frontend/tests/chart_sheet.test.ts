// What a chart knows of its piece: what touches, what lies opposite, what a line meets.
import { describe, expect, test } from "vitest";
import type { PictureState } from "../src/answers";
import { ChartSheet } from "../src/design/chart_sheet";

const packed = (values: ArrayBufferView): string => Buffer.from(values.buffer, values.byteOffset, values.byteLength).toString("base64");

type Balloon = [layer: number, slot: number, shade: number, x: number, y: number, z: number];

function picture(balloons: Balloon[], wall = false): PictureState {
  const column = (at: number): Int16Array => Int16Array.from(balloons.map((one) => one[at]!));
  const none = new Int16Array(balloons.length);
  const centre = Float32Array.from(balloons.flatMap((one) => one.slice(3)));
  return {
    centre: packed(centre), axis: packed(centre), radius: packed(new Float32Array(balloons.length).fill(0.1)),
    stock: packed(none), shade: packed(column(2)), layer: packed(column(0)), slot: packed(column(1)), role: packed(none),
    cells: wall ? { row: packed(column(0)), place: packed(column(1)) } : null,
    stocks: [], shades: ["coral", "teal"].map((name) => ({ name, colour: "#000000", finish: "matte", inner: null })),
    hardware: [], strands: [], fabrics: [],
  };
}

/** A flat grid, wide and tall, of balloons that touch; `teal` are the places (layer, slot) in teal. */
function wall(wide: number, tall: number, teal: [number, number][] = []): ChartSheet {
  const balloons: Balloon[] = [];
  for (let layer = 0; layer < tall; layer++)
    for (let slot = 0; slot < wide; slot++)
      balloons.push([layer, slot, teal.some(([l, s]) => l === layer && s === slot) ? 1 : 0, 0.2 * (slot - (wide - 1) / 2), 0, 0.2 * layer]);
  return ChartSheet.of(picture(balloons, true))!;
}

const named = (cells: { layer: number; slot: number }[]): string[] => cells.map(({ layer, slot }) => `${layer}-${slot}`).sort();

describe("a chart's sheet", () => {
  test("a patch goes on through what touches, not round a border of another shade", () => {
    const sheet = wall(5, 3, [[0, 2], [1, 2], [2, 2]]);
    expect(named(sheet.patch({ layer: 0, slot: 0 }))).toEqual(["0-0", "0-1", "1-0", "1-1", "2-0", "2-1"]);
    expect(sheet.patch({ layer: 1, slot: 2 })).toHaveLength(3);
  });

  test("what lies opposite has the mirrored place in space", () => {
    const sheet = wall(5, 2);
    expect(sheet.opposite({ layer: 1, slot: 0 })).toMatchObject({ layer: 1, slot: 4 });
    expect(sheet.opposite({ layer: 0, slot: 2 })).toMatchObject({ layer: 0, slot: 2 });
  });

  test("nothing lies opposite a balloon that sticks out on one side", () => {
    const sheet = ChartSheet.of(picture([[0, 0, 0, 0, 0, 0], [0, 1, 0, 0.5, 0, 0]]))!;
    expect(sheet.opposite({ layer: 0, slot: 1 })).toBeNull();
  });

  test("a line meets one cell a row or one a place, whichever are more", () => {
    const sheet = wall(7, 4);
    expect(named(sheet.between({ layer: 0, slot: 0 }, { layer: 3, slot: 3 }))).toEqual(["0-0", "1-1", "2-2", "3-3"]);
    const flat = sheet.between({ layer: 2, slot: 6 }, { layer: 2, slot: 0 });
    expect(named(flat)).toEqual(["2-0", "2-1", "2-2", "2-3", "2-4", "2-5", "2-6"]);
    expect(sheet.between({ layer: 0, slot: 0 }, { layer: 3, slot: 6 })).toHaveLength(7);
  });

  test("only what changes is told, and it can be taken back", () => {
    const sheet = wall(3, 1, [[0, 1]]);
    const before = sheet.rows.map((row) => [...row]);
    expect(named(sheet.paint([{ layer: 0, slot: 0 }, { layer: 0, slot: 1 }, { layer: 9, slot: 0 }], "teal"))).toEqual(["0-0"]);
    expect(named(sheet.restore(before))).toEqual(["0-0"]);
    expect(sheet.rows).toEqual(before);
  });

  test("rows with holes make no chart", () => {
    expect(ChartSheet.of(picture([[0, 0, 0, 0, 0, 0], [2, 0, 0, 0, 0, 1]]))).toBeNull();
    expect(ChartSheet.of(picture([[0, 1, 0, 0, 0, 0]]))).toBeNull();
  });
});
