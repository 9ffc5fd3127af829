// Where the copies of each piece stand.
import { describe, expect, it } from "vitest";
import { arrange, type Extent, ground, type Ready, shifted } from "../src/scene/place";
import type { PieceData } from "../src/scene/types";

const extent = (wide: number): Extent => ({ low: [-wide / 2, -0.2, 0], high: [wide / 2, 0.2, 2] });
const piece = (index: number, count: number, more: Partial<PieceData> = {}): PieceData => ({ index, name: `p${index}`, kind: "column", count, key: null, spot: null, ...more });
const ready = (index: number, count: number, wide: number, more: Partial<PieceData> = {}): Ready => ({ piece: piece(index, count, more), extent: extent(wide) });

describe("pieces without a spot", () => {
  it("stand in one row about the middle, one alone on it", () => {
    const [only] = arrange([ready(0, 1, 1)]);
    expect(only?.x).toBeCloseTo(0, 9);
  });

  it("flank the others in pairs", () => {
    const row = arrange([ready(0, 2, 0.5), ready(1, 1, 3)]).sort((a, b) => a.x - b.x);
    expect(row.map((standing) => standing.piece.index)).toEqual([0, 1, 0]);
    expect((row[0]?.x ?? 0) + (row[2]?.x ?? 0)).toBeCloseTo(0, 9);
  });

  it("never stand in each other", () => {
    const pieces = [ready(0, 3, 0.7), ready(1, 2, 2.1), ready(2, 1, 5)];
    const spans = arrange(pieces).map((standing) => ground(standing, pieces[standing.piece.index]?.extent ?? extent(0))).sort((a, b) => a[0] - b[0]);
    expect(spans).toHaveLength(6);
    for (let at = 1; at < spans.length; at += 1) expect(spans[at]?.[0]).toBeGreaterThan(spans[at - 1]?.[2] ?? 0);
  });
});

describe("pieces with a spot", () => {
  it("stand on it, and the row makes way", () => {
    const pieces = [ready(0, 1, 1, { spot: { x: 0, y: 0, facing: 0 } }), ready(1, 1, 1)];
    const [placed, loose] = arrange(pieces);
    expect([placed?.x, placed?.y]).toEqual([0, 0]);
    expect(Math.abs(loose?.x ?? 0)).toBeGreaterThan(1);
  });

  it("stand where the desk says when it says so", () => {
    const [first, second] = arrange([ready(0, 2, 1, { places: [[1, 2, 0], [3, 4, 1]] })]);
    expect([first?.x, first?.y, second?.x, second?.turn]).toEqual([1, 2, 3, 1]);
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
