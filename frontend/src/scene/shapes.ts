// Unit meshes of balloons: fetched once, kept for as long as the view lives.
import type { PackedMesh } from "../answers";
import { BufferAttribute } from "three";
import { floats, indices } from "./decode";

/** A mesh in units of half the inflated diameter, in four finenesses: bare, rough, as sent, rounded. */
export type Shape = readonly [Solid, Solid, Solid, Solid];
export type Level = 0 | 1 | 2 | 3;
export const FINEST = 3;

// Sides and rings of what a machine without a graphics card shows while things move: it counts
// every triangle. A bare balloon does for hundreds, which are small then.
const BARE = [8, 6] as const;
const ROUGH = [12, 9] as const;

export interface Solid {
  position: BufferAttribute;
  normal: BufferAttribute;
  index: BufferAttribute;
}

export class Shapes {
  private readonly known = new Map<string, Promise<Shape>>();
  private readonly at: string;

  constructor(at: string) {
    this.at = at;
  }

  /** The shape of a name; a plain ball when the desk does not know it or cannot be reached. */
  get(name: string): Promise<Shape> {
    let found = this.known.get(name);
    if (!found) {
      found = this.load(name).catch(() => {
        this.known.delete(name); // the next answer asks again
        return ball();
      });
      this.known.set(name, found);
    }
    return found;
  }

  private async load(name: string): Promise<Shape> {
    const answer = await fetch(this.at + encodeURIComponent(name));
    if (!answer.ok) throw new Error(`no shape ${name}`);
    const packed = (await answer.json()) as PackedMesh;
    return shape(floats(packed.vertices), floats(packed.normals), indices(packed.faces), name);
  }
}

function shape(vertices: Float32Array, normals: Float32Array, faces: Uint16Array, name: string): Shape {
  const sent = solid(vertices, normals, faces);
  if (name.startsWith("foil")) return [sent, sent, sent, sent];
  const [bare, rough] = name.startsWith("pear") ? [turned(vertices, normals, BARE), turned(vertices, normals, ROUGH)] : [sent, sent];
  return [bare, rough, sent, rounded(vertices, normals, faces)];
}

/** The outline of a solid of revolution, turned about its axis with fewer sides and rings. */
function turned(vertices: Float32Array, normals: Float32Array, [sides, most]: readonly [number, number]): Solid {
  const outline = new Map<number, [number, number, number, number]>(); // by height: radius, height, normal out and up
  for (let k = 0; k < vertices.length; k += 3) {
    const [x, y, z] = [vertices[k] ?? 0, vertices[k + 1] ?? 0, vertices[k + 2] ?? 0];
    const r = Math.hypot(x, y);
    const out = r > 1e-6 ? ((normals[k] ?? 0) * x + (normals[k + 1] ?? 0) * y) / r : 0;
    const key = Math.round(z * 1e4);
    if (r >= (outline.get(key)?.[0] ?? -1)) outline.set(key, [r, z, out, normals[k + 2] ?? 1]);
  }
  const rings = [...outline.values()].sort((a, b) => a[1] - b[1]);
  const kept = thinned(rings, most);
  const [place, turn, faces]: [number[], number[], number[]] = [[], [], []];
  for (const [r, z, out, up] of kept) {
    for (let j = 0; j < sides; j += 1) {
      const a = (2 * Math.PI * j) / sides;
      place.push(r * Math.cos(a), r * Math.sin(a), z);
      turn.push(out * Math.cos(a), out * Math.sin(a), up);
    }
  }
  for (let i = 0; i + 1 < kept.length; i += 1) {
    for (let j = 0; j < sides; j += 1) {
      const [a, b] = [i * sides + j, i * sides + ((j + 1) % sides)];
      if ((kept[i]?.[0] ?? 0) > 1e-6) faces.push(a, b, b + sides);
      if ((kept[i + 1]?.[0] ?? 0) > 1e-6) faces.push(a, b + sides, a + sides);
    }
  }
  return solid(new Float32Array(place), new Float32Array(turn), new Uint16Array(faces));
}

/** The rings without which the outline would change most. */
function thinned<T extends readonly [number, number, number, number]>(rings: readonly T[], most: number): T[] {
  const kept = [...rings];
  while (kept.length > most) {
    let [least, at] = [Infinity, 1];
    for (let k = 1; k + 1 < kept.length; k += 1) {
      const [a, b, c] = [kept[k - 1], kept[k], kept[k + 1]];
      if (!a || !b || !c) continue;
      const area = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]));
      if (area < least) [least, at] = [area, k];
    }
    kept.splice(at, 1);
  }
  return kept;
}

function solid(vertices: Float32Array, normals: Float32Array, faces: Uint16Array | Uint32Array): Solid {
  return {
    position: new BufferAttribute(vertices, 3),
    normal: new BufferAttribute(normals, 3),
    index: new BufferAttribute(faces, 1),
  };
}

/**
 * Each triangle in four, the new corners moved out onto the curve the normals tell of: an edge's
 * middle is projected on the tangent planes of its ends, and the two are averaged.
 */
function rounded(vertices: Float32Array, normals: Float32Array, faces: Uint16Array): Solid {
  const place = Array.from(vertices);
  const turn = Array.from(normals);
  const known = new Map<number, number>();
  const middle = (a: number, b: number): number => {
    const key = Math.min(a, b) * 65536 + Math.max(a, b);
    const seen = known.get(key);
    if (seen !== undefined) return seen;
    const row = place.length / 3;
    const at = (list: number[], k: number, d: number): number => list[3 * k + d] ?? 0;
    const m = [0, 1, 2].map((d) => (at(place, a, d) + at(place, b, d)) / 2);
    const lift = (k: number): number => m.reduce((sum, v, d) => sum + (at(place, k, d) - v) * at(turn, k, d), 0);
    const n = [0, 1, 2].map((d) => at(turn, a, d) + at(turn, b, d));
    const size = Math.hypot(...n) || 1;
    const [up, over] = [lift(a), lift(b)];
    for (let d = 0; d < 3; d += 1) {
      place.push((m[d] ?? 0) + 0.375 * (up * at(turn, a, d) + over * at(turn, b, d)));
      turn.push((n[d] ?? 0) / size);
    }
    known.set(key, row);
    return row;
  };
  const out: number[] = [];
  for (let f = 0; f < faces.length; f += 3) {
    const [a, b, c] = [faces[f] ?? 0, faces[f + 1] ?? 0, faces[f + 2] ?? 0];
    const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)];
    out.push(a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca);
  }
  return solid(new Float32Array(place), new Float32Array(turn), place.length / 3 < 65536 ? new Uint16Array(out) : new Uint32Array(out));
}

/** What stands in for a shape that could not be had. */
function ball(): Shape {
  const [high, round] = [12, 20];
  const points: number[] = [];
  const faces: number[] = [];
  for (let i = 0; i <= high; i += 1) {
    const tilt = (Math.PI * i) / high;
    for (let j = 0; j < round; j += 1) {
      const way = (2 * Math.PI * j) / round;
      points.push(Math.sin(tilt) * Math.cos(way), Math.sin(tilt) * Math.sin(way), Math.cos(tilt));
      const next = (j + 1) % round;
      const [a, b, c, d] = [i * round + j, i * round + next, (i + 1) * round + j, (i + 1) * round + next];
      if (i < high) faces.push(a, c, b, b, c, d);
    }
  }
  const place = new Float32Array(points);
  return shape(place, place.slice(), new Uint16Array(faces), "pear");
}
