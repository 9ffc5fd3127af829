// The balloons of one piece: one instanced mesh per shape, finish and print.
import {
  Box3,
  type BufferGeometry,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  InstancedInterleavedBuffer,
  InterleavedBufferAttribute,
  Sphere,
  Vector3,
} from "three";
import { linear, type Rows } from "./decode";
import type { Finish, Letters } from "./materials";
import { type Around, around, type Balls, CONTACTS } from "./neighbours";
import type { Shape, Solid } from "./shapes";
import type { PictureState, ShadeState } from "../answers";

const BIG = 0.2; // from this radius on a coarse mesh would show [m]
const INNER = 0.93; // size of a balloon inside a clear one

interface Kind {
  shape: string;
  finish: Finish;
  mark: string | null;
  letters: Letters;
  big: boolean;
  rows: number[];
  inner: boolean;
}

/** One draw: its balloons on a mesh of each fineness, and what they are painted with. */
export interface Draw {
  levels: readonly BufferGeometry[];
  /** Drawn one level finer than the others. */
  big: boolean;
  finish: Finish;
  mark: string | null;
  letters: Letters;
}

export interface Balloons {
  draws: Draw[];
  around: Around;
  balls: Balls;
}

export function shapeNames(picture: PictureState): string[] {
  return [...new Set(picture.stocks.map((stock) => stock.shape))].filter((name) => name !== "long-0");
}

export function build(picture: PictureState, rows: Rows, shapes: Map<string, Shape>): Balloons {
  const balls = ballsOf(picture, rows);
  const turn = frames(rows);
  const whole = boundsOf(rows);
  const near = around(balls);
  const draws: Draw[] = [];
  for (const kind of kinds(picture, rows).values()) {
    const shape = shapes.get(kind.shape);
    if (!shape) continue;
    const own = instances(kind, picture, rows, turn, near);
    const levels = shape.map((solid) => instanced(solid, own, whole));
    draws.push({ levels, big: kind.big, finish: kind.finish, mark: kind.mark, letters: kind.letters });
  }
  return { draws, around: near, balls };
}

function kinds(picture: PictureState, rows: Rows): Map<string, Kind> {
  const found = new Map<string, Kind>();
  const put = (kind: Omit<Kind, "rows">, row: number): void => {
    const key = `${kind.shape}|${kind.finish}|${kind.mark ?? ""}|${kind.big}|${kind.inner}`;
    const seen = found.get(key);
    if (seen) seen.rows.push(row);
    else found.set(key, { ...kind, rows: [row] });
  };
  for (let row = 0; row < rows.count; row += 1) {
    const stock = picture.stocks[rows.stock[row] ?? 0];
    const shade = picture.shades[rows.shade[row] ?? 0];
    const radius = rows.radius[row] ?? 0;
    if (!stock || !shade || stock.shape === "long-0" || radius <= 0) continue;
    const base = { shape: stock.shape, mark: stock.mark, letters: stock.letters, big: radius >= BIG };
    put({ ...base, finish: finishOf(stock.shape, shade), inner: false }, row);
    if (shade.inner !== null) put({ ...base, mark: null, finish: "matte", inner: true }, row);
  }
  return found;
}

function finishOf(shape: string, shade: ShadeState): Finish {
  if (!shape.startsWith("foil") || shade.finish === "clear") return shade.finish;
  return shade.finish === "matte" ? "pearl" : "foil"; // matte film still shines as satin does
}

function ballsOf(picture: PictureState, rows: Rows): Balls {
  const shading = new Float32Array(rows.count);
  const soft = new Uint8Array(rows.count);
  const colour = new Float32Array(3 * rows.count);
  const table = picture.shades.map((shade) => linear(shade.colour));
  for (let row = 0; row < rows.count; row += 1) {
    const shape = picture.stocks[rows.stock[row] ?? 0]?.shape ?? "";
    const shade = picture.shades[rows.shade[row] ?? 0];
    const radius = rows.radius[row] ?? 0;
    soft[row] = shape.startsWith("pear") ? 1 : 0;
    const thin = shape.startsWith("foil") ? 0.6 : shape.startsWith("long") ? 0 : 1;
    shading[row] = radius * (shade?.finish === "clear" && !shade.inner ? 0.6 * thin : thin);
    colour.set(table[rows.shade[row] ?? 0] ?? [0.5, 0.5, 0.5], 3 * row);
  }
  return { count: rows.count, centre: rows.centre, radius: rows.radius, shading, soft, colour };
}

/** (N, 4) quaternions that take +z to each axis and -y as far as can be to the viewer. */
function frames(rows: Rows): Float32Array {
  const out = new Float32Array(4 * rows.count);
  const [x, y, z] = [new Vector3(), new Vector3(), new Vector3()];
  for (let row = 0; row < rows.count; row += 1) {
    z.fromArray(rows.axis, 3 * row).normalize();
    y.set(0, 1, 0).addScaledVector(z, -z.y);
    if (y.length() < 0.05) y.set(0, 0, 1).addScaledVector(z, -z.z);
    y.normalize();
    x.crossVectors(y, z);
    quaternion(x, y, z, out, 4 * row);
  }
  return out;
}

function quaternion(x: Vector3, y: Vector3, z: Vector3, out: Float32Array, at: number): void {
  const trace = x.x + y.y + z.z;
  let [a, b, c, d] = [0, 0, 0, 1];
  if (trace > 0) {
    const s = 0.5 / Math.sqrt(trace + 1);
    [a, b, c, d] = [(y.z - z.y) * s, (z.x - x.z) * s, (x.y - y.x) * s, 0.25 / s];
  } else if (x.x > y.y && x.x > z.z) {
    const s = 2 * Math.sqrt(1 + x.x - y.y - z.z);
    [a, b, c, d] = [0.25 * s, (y.x + x.y) / s, (z.x + x.z) / s, (y.z - z.y) / s];
  } else if (y.y > z.z) {
    const s = 2 * Math.sqrt(1 + y.y - x.x - z.z);
    [a, b, c, d] = [(y.x + x.y) / s, 0.25 * s, (z.y + y.z) / s, (z.x - x.z) / s];
  } else {
    const s = 2 * Math.sqrt(1 + z.z - x.x - y.y);
    [a, b, c, d] = [(z.x + x.z) / s, (z.y + y.z) / s, 0.25 * s, (x.y - y.x) / s];
  }
  out.set([a, b, c, d], at);
}

/** What each balloon of a kind brings along, by the name the vertex stage knows it by. */
type Instances = [string, InstancedBufferAttribute | InterleavedBufferAttribute][];

function instances(kind: Kind, picture: PictureState, rows: Rows, turn: Float32Array, near: Around): Instances {
  const count = kind.rows.length;
  const place = new Float32Array(4 * count);
  const frame = new Float32Array(4 * count);
  const tint = new Float32Array(4 * count);
  const planes = new Float32Array(4 * CONTACTS * count);
  const table = picture.shades.map((shade) => linear((kind.inner && shade.inner) || shade.colour));
  kind.rows.forEach((row, k) => {
    place.set(rows.centre.subarray(3 * row, 3 * row + 3), 4 * k);
    place[4 * k + 3] = (rows.radius[row] ?? 0) * (kind.inner ? INNER : 1);
    frame.set(turn.subarray(4 * row, 4 * row + 4), 4 * k);
    tint.set(table[rows.shade[row] ?? 0] ?? [0.5, 0.5, 0.5], 4 * k);
    tint[4 * k + 3] = kind.inner ? -1 : row;
    planes.set(near.planes.subarray(4 * CONTACTS * row, 4 * CONTACTS * (row + 1)), 4 * CONTACTS * k);
  });
  const pressed = new InstancedInterleavedBuffer(planes, 4 * CONTACTS);
  const out: Instances = [
    ["place", new InstancedBufferAttribute(place, 4)],
    ["turn", new InstancedBufferAttribute(frame, 4)],
    ["tint", new InstancedBufferAttribute(tint, 4)],
  ];
  for (let k = 0; k < CONTACTS; k += 1) out.push([`plane${k}`, new InterleavedBufferAttribute(pressed, 4, 4 * k)]);
  return out;
}

function instanced(solid: Solid, own: Instances, whole: Sphere): BufferGeometry {
  const made = new InstancedBufferGeometry();
  made.instanceCount = own[0]?.[1].count ?? 0;
  made.setIndex(solid.index);
  made.setAttribute("position", solid.position);
  made.setAttribute("normal", solid.normal);
  for (const [name, attribute] of own) made.setAttribute(name, attribute);
  made.boundingSphere = whole;
  return made;
}

function boundsOf(rows: Rows): Sphere {
  const box = new Box3();
  const at = new Vector3();
  let widest = 0;
  for (let row = 0; row < rows.count; row += 1) {
    box.expandByPoint(at.fromArray(rows.centre, 3 * row));
    widest = Math.max(widest, rows.radius[row] ?? 0);
  }
  const ball = box.getBoundingSphere(new Sphere());
  ball.radius += 1.6 * widest; // necks stick out
  return ball;
}
