// Where the copies of each piece stand.
import { describe, expect, it } from "vitest";
import { arrange, ground, shifted } from "../src/scene/place";
import type { PieceData } from "../src/scene/types";

const piece = (index: number, places: PieceData["places"]): PieceData => ({ index, name: `p${index}`, kind: "column", count: places.length, key: null, spot: null, places });

describe("copies", () => {
  it("stand where the desk says", () => {
    const stood = arrange([piece(0, [[1, 2, 0], [3, 4, 1]]), piece(1, [])]);
    expect(stood.map(({ copy, x, y, turn }) => [copy, x, y, turn])).toEqual([[0, 1, 2, 0], [1, 3, 4, 1]]);
  });

  it("cover the ground of their box, turned", () => {
    const [stood] = arrange([piece(0, [[5, 1, Math.PI / 2]])]);
    const box = stood ? ground(stood, { low: [-2, -0.5, 0], high: [2, 0.5, 2] }) : [];
    expect(box.map((side) => Math.round(side * 1e9) / 1e9)).toEqual([4.5, -1, 5.5, 3]);
  });
});

describe("a moved spot", () => {
  it("takes the copies along and turns them about it", () => {
    const moved = shifted([[1, 0, 0]], { x: 0, y: 0, facing: 0 }, { x: 5, y: 5, facing: 90 });
    expect(moved[0]?.[0]).toBeCloseTo(5, 9);
    expect(moved[0]?.[1]).toBeCloseTo(6, 9);
    expect(moved[0]?.[2]).toBeCloseTo(Math.PI / 2, 9);
  });

  it("changes nothing when it goes nowhere", () => {
    const spot = { x: 2, y: 1, facing: 30 };
    const [x, y, turn] = shifted([[0.4, -0.2, 0.5]], spot, spot)[0] ?? [];
    expect([x, y, turn].map((value) => Math.round((value ?? 0) * 1e9) / 1e9)).toEqual([0.4, -0.2, 0.5]);
  });
});
