// A chart as data: rows of balloons that know their places in space, so that what touches and what
// lies opposite is read off the piece itself and not off rules about its kind.
import type { PictureState } from "../answers";
import { floats, shorts } from "../scene/decode";

const BODY = 0;
const TOUCHING = 1.1; // of the sum of two radii: pressed together or nearly so
const OPPOSITE = 1.2; // of a radius: further off, nothing lies opposite

/** A cell: its row from the bottom up, and its place in the row. */
export interface Cell {
  layer: number;
  slot: number;
}

interface Balloon extends Cell {
  at: [number, number, number];
  radius: number;
}

export class ChartSheet {
  /** Names of shades, row by row from the bottom up. */
  readonly rows: string[][];

  private constructor(private readonly balloons: Balloon[], names: string[], readonly wall: boolean) {
    this.rows = [];
    balloons.forEach(({ layer, slot }, at) => {
      const row = this.rows[layer] ?? [];
      row[slot] = names[at] ?? "";
      this.rows[layer] = row;
    });
  }

  /** The chart of a picture; null where its rows have holes or there are none. */
  static of(picture: PictureState): ChartSheet | null {
    const [layers, slots] = picture.cells ? [picture.cells.row, picture.cells.place] : [picture.layer, picture.slot];
    const [layer, slot, role, shade] = [layers, slots, picture.role, picture.shade].map(shorts) as [Int16Array, Int16Array, Int16Array, Int16Array];
    const [centre, radius] = [floats(picture.centre), floats(picture.radius)];
    const balloons: Balloon[] = [];
    const names: string[] = [];
    for (let at = 0; at < layer.length; at++) {
      if (role[at] !== BODY || layer[at]! < 0 || slot[at]! < 0) continue;
      balloons.push({ layer: layer[at]!, slot: slot[at]!, at: [centre[3 * at]!, centre[3 * at + 1]!, centre[3 * at + 2]!], radius: radius[at]! });
      names.push(picture.shades[shade[at]!]?.name ?? "");
    }
    const sheet = new ChartSheet(balloons, names, picture.cells !== null);
    const whole = sheet.rows.length > 0 && Array.from(sheet.rows).every((row) => row?.length && !Array.from(row).includes(undefined as never));
    return whole ? sheet : null;
  }

  shade({ layer, slot }: Cell): string {
    return this.rows[layer]?.[slot] ?? "";
  }

  /** Paint cells; those that changed. */
  paint(cells: readonly Cell[], name: string): Cell[] {
    return cells.filter(({ layer, slot }) => {
      const row = this.rows[layer];
      if (!row || row[slot] === undefined || row[slot] === name) return false;
      row[slot] = name;
      return true;
    });
  }

  /** Paint rows as they once were; the cells that changed. */
  restore(rows: readonly (readonly string[])[]): Cell[] {
    return rows.flatMap((row, layer) => row.flatMap((name, slot) => this.paint([{ layer, slot }], name)));
  }

  /** All balloons of one shade that touch one another, from one of them on. */
  patch(from: Cell): Cell[] {
    const first = this.find(from);
    if (!first) return [];
    const name = this.shade(from);
    const left = new Set(this.balloons.filter((one) => one !== first && this.shade(one) === name));
    const found = [first];
    for (let next = 0; next < found.length; next++) {
      for (const other of left) {
        if (apart(found[next]!.at, other.at) > TOUCHING * (found[next]!.radius + other.radius)) continue;
        left.delete(other);
        found.push(other);
      }
    }
    return found;
  }

  /** The balloon across the middle, left for right; null where none lies there. */
  opposite(cell: Cell): Cell | null {
    const from = this.find(cell);
    if (!from) return null;
    const there: [number, number, number] = [-from.at[0], from.at[1], from.at[2]];
    let best: Balloon | null = null;
    let least = OPPOSITE * from.radius;
    for (const other of this.balloons) {
      const away = apart(there, other.at);
      if (away < least) [best, least] = [other, away];
    }
    return best;
  }

  /** The cells on the straight line between two, both among them, as the chart shows them. */
  between(from: Cell, to: Cell): Cell[] {
    const [x1, x2] = [this.across(from), this.across(to)];
    const steps = Math.max(Math.abs(to.layer - from.layer), Math.ceil(Math.abs(x2 - x1)), 1);
    const found = new Map<string, Cell>();
    for (let step = 0; step <= steps; step++) {
      const share = step / steps;
      const layer = Math.round(from.layer + share * (to.layer - from.layer));
      const row = this.rows[layer] ?? [];
      const slot = Math.min(Math.max(Math.round(x1 + share * (x2 - x1) - this.shift(layer)), 0), row.length - 1);
      if (slot >= 0) found.set(`${layer}-${slot}`, { layer, slot });
    }
    return [...found.values()];
  }

  // Odd layers are drawn half a place to the right, where their balloons sit.
  private shift(layer: number): number {
    return this.wall ? 0 : (layer % 2) / 2;
  }

  private across({ layer, slot }: Cell): number {
    return slot + this.shift(layer);
  }

  private find({ layer, slot }: Cell): Balloon | undefined {
    return this.balloons.find((one) => one.layer === layer && one.slot === slot);
  }
}

function apart(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!, a[2]! - b[2]!);
}
