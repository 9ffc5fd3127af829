// Meshes of everything that is no balloon, gathered into one geometry with colours at its vertices.
import { BufferAttribute, BufferGeometry, Vector3 } from "three";
import type { Point } from "./types";

/** How a surface looks: linear colour, how much it is metal, how blurred its mirror is. */
export interface Look {
  colour: readonly [number, number, number];
  metal: number;
  blur: number;
}

export class Solids {
  readonly place: number[] = [];
  readonly turn: number[] = [];
  private readonly tint: number[] = [];
  readonly surface: number[] = [];
  private readonly faces: number[] = [];

  get empty(): boolean {
    return this.faces.length === 0;
  }

  /** Add one vertex; returns its number. */
  point(at: Vector3, normal: Vector3, look: Look): number {
    this.place.push(at.x, at.y, at.z);
    this.turn.push(normal.x, normal.y, normal.z);
    this.tint.push(...look.colour);
    this.surface.push(1, look.metal, look.blur);
    return this.place.length / 3 - 1;
  }

  face(a: number, b: number, c: number): void {
    this.faces.push(a, b, c);
  }

  /** Rows of vertices as a sheet; `closed` joins the last column to the first. */
  sheet(first: number, rows: number, columns: number, closed: boolean): void {
    for (let i = 0; i + 1 < rows; i += 1) {
      for (let j = 0; j < (closed ? columns : columns - 1); j += 1) {
        const next = (j + 1) % columns;
        const [a, b] = [first + i * columns + j, first + i * columns + next];
        this.face(a, b, a + columns);
        this.face(b, b + columns, a + columns);
      }
    }
  }

  /** A round tube along a path [m], with flat or round ends. */
  tube(path: readonly Point[], across: number, look: Look, sides = 8, round = false): void {
    const points = distinct(path);
    if (points.length < 2 || across <= 0) return;
    const r = across / 2;
    const ways = points.map((p, k) => directionAt(points, k, p));
    let side = new Vector3(1, 0, 0);
    const first = this.place.length / 3;
    const ring = (at: Vector3, way: Vector3, size: number, lean: number): void => {
      side = side.addScaledVector(way, -side.dot(way));
      if (side.lengthSq() < 1e-8) side.set(way.y, way.z, way.x).addScaledVector(way, -(way.y * way.x + way.z * way.y + way.x * way.z));
      side.normalize();
      const other = new Vector3().crossVectors(way, side);
      for (let k = 0; k < sides; k += 1) {
        const a = (2 * Math.PI * k) / sides;
        const out = side.clone().multiplyScalar(Math.cos(a)).addScaledVector(other, Math.sin(a));
        this.point(at.clone().addScaledVector(out, size), out.addScaledVector(way, lean).normalize(), look);
      }
    };
    let count = points.length;
    const cap = (end: number): void => {
      const [at, way, sign] = end ? [points.at(-1), ways.at(-1), 1] : [points[0], ways[0], -1];
      if (!at || !way) return;
      const steps = round ? [0.02, 0.45, 0.8] : [0.02];
      const order = end ? steps.slice().reverse() : steps;
      for (const size of order) {
        const out = Math.sqrt(1 - size * size);
        ring(at.clone().addScaledVector(way, sign * (round ? out * r : 0)), way, size * r, round ? (sign * out) / size : sign * 40);
        count += 1;
      }
    };
    cap(0);
    points.forEach((p, k) => { ring(p, ways[k] ?? new Vector3(0, 0, 1), r, 0); });
    cap(1);
    this.sheet(first, count, sides, true);
  }

  /** A solid turned about the upright through `at`: (radius, height) from bottom to top [m]. */
  lathe(at: Point, outline: readonly (readonly [number, number])[], look: Look, sides = 40, corner = 2): void {
    // `corner` < sides makes a rounded square of the circle: the larger, the squarer.
    for (let k = 0; k + 1 < outline.length; k += 1) {
      const [r0, z0] = outline[k] ?? [0, 0];
      const [r1, z1] = outline[k + 1] ?? [0, 0];
      const size = Math.hypot(r1 - r0, z1 - z0) || 1;
      const [out, up] = [(z1 - z0) / size, -(r1 - r0) / size];
      const first = this.place.length / 3;
      for (const [r, z] of [[r0, z0], [r1, z1]] as const) {
        for (let j = 0; j < sides; j += 1) {
          const a = (2 * Math.PI * (j + 0.5)) / sides;
          const [c, s] = [Math.cos(a), Math.sin(a)];
          const grow = (Math.abs(c) ** corner + Math.abs(s) ** corner) ** (-1 / corner);
          const nx = Math.sign(c) * Math.abs(c * grow) ** (corner - 1);
          const ny = Math.sign(s) * Math.abs(s * grow) ** (corner - 1);
          const flat = Math.hypot(nx, ny) || 1;
          this.point(
            new Vector3(at[0] + r * grow * c, at[1] + r * grow * s, at[2] + z),
            new Vector3((out * nx) / flat, (out * ny) / flat, up).normalize(),
            look,
          );
        }
      }
      this.sheet(first, 2, sides, true);
    }
  }

  geometry(): BufferGeometry {
    const made = new BufferGeometry();
    made.setAttribute("position", new BufferAttribute(new Float32Array(this.place), 3));
    made.setAttribute("normal", new BufferAttribute(new Float32Array(this.turn), 3));
    made.setAttribute("tint", new BufferAttribute(new Float32Array(this.tint), 3));
    made.setAttribute("surface", new BufferAttribute(new Float32Array(this.surface), 3));
    made.setIndex(new BufferAttribute(new Uint32Array(this.faces), 1));
    made.computeBoundingSphere();
    return made;
  }
}

function distinct(path: readonly Point[]): Vector3[] {
  const out: Vector3[] = [];
  for (const point of path) {
    const at = new Vector3(...point);
    const last = out.at(-1);
    if (!last || last.distanceTo(at) > 1e-5) out.push(at);
  }
  return out;
}

function directionAt(points: Vector3[], k: number, here: Vector3): Vector3 {
  const before = points[k - 1] ?? here;
  const after = points[k + 1] ?? here;
  const way = after.clone().sub(before);
  return way.lengthSq() > 1e-12 ? way.normalize() : new Vector3(0, 0, 1);
}
