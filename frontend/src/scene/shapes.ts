// Unit meshes of balloons: fetched once, kept for as long as the view lives.
import { BufferAttribute } from "three";
import { floats, indices } from "./decode";

/** A mesh in units of half the inflated diameter, in two finenesses. */
export interface Shape {
  coarse: Solid;
  fine: Solid;
}

export interface Solid {
  position: BufferAttribute;
  normal: BufferAttribute;
  index: BufferAttribute;
}

interface Packed {
  vertices: string;
  normals: string;
  faces: string;
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
    const packed = (await answer.json()) as Packed;
    return shape(floats(packed.vertices), floats(packed.normals), indices(packed.faces), !name.startsWith("foil"));
  }
}

function shape(vertices: Float32Array, normals: Float32Array, faces: Uint16Array, smooth: boolean): Shape {
  const coarse = solid(vertices, normals, faces);
  return { coarse, fine: smooth ? rounded(vertices, normals, faces) : coarse };
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
  return shape(place, place.slice(), new Uint16Array(faces), true);
}
