// The balloons of one piece: one instanced mesh per shape, finish and print.
import { Box3, type BufferGeometry, type DataTexture, InstancedBufferAttribute, InstancedBufferGeometry, Sphere, Vector3 } from "three";
import { linear, type Rows } from "./decode";
import type { Finish } from "./materials";
import { type Balls, neighbourTexture } from "./neighbours";
import type { Shape, Solid } from "./shapes";
import type { PictureData, ShadeData } from "./types";

/** Pieces of more balloons are drawn with the coarse mesh, except their big ones. */
const FINE_UP_TO = 160;
const BIG = 0.2; // radius from which a facet would show [m]
const INNER = 0.93; // size of a balloon inside a clear one

interface Kind {
  shape: string;
  finish: Finish;
  mark: string | null;
  fine: boolean;
  rows: number[];
  inner: boolean;
}

/** One draw: a geometry and what it is painted with. */
export interface Draw {
  geometry: BufferGeometry;
  finish: Finish;
  mark: string | null;
}

export interface Balloons {
  draws: Draw[];
  around: DataTexture;
  balls: Balls;
  triangles: number;
}

export function shapeNames(picture: PictureData): string[] {
  return [...new Set(picture.stocks.map((stock) => stock.shape))].filter((name) => name !== "long-0");
}

export function build(picture: PictureData, rows: Rows, shapes: Map<string, Shape>): Balloons {
  const balls = ballsOf(picture, rows);
  const turn = frames(rows);
  const whole = boundsOf(rows);
  const draws: Draw[] = [];
  let triangles = 0;
  for (const kind of kinds(picture, rows).values()) {
    const shape = shapes.get(kind.shape);
    if (!shape) continue;
    const solid = kind.fine ? shape.fine : shape.coarse;
    draws.push({ geometry: instanced(kind, solid, picture, rows, turn, whole), finish: kind.finish, mark: kind.mark });
    triangles += (solid.index.count / 3) * kind.rows.length;
  }
  return { draws, around: neighbourTexture(balls), balls, triangles };
}

function kinds(picture: PictureData, rows: Rows): Map<string, Kind> {
  const found = new Map<string, Kind>();
  const put = (kind: Omit<Kind, "rows">, row: number): void => {
    const key = `${kind.shape}|${kind.finish}|${kind.mark ?? ""}|${kind.fine}|${kind.inner}`;
    const seen = found.get(key);
    if (seen) seen.rows.push(row);
    else found.set(key, { ...kind, rows: [row] });
  };
  for (let row = 0; row < rows.count; row += 1) {
    const stock = picture.stocks[rows.stock[row] ?? 0];
    const shade = picture.shades[rows.shade[row] ?? 0];
    const radius = rows.radius[row] ?? 0;
    if (!stock || !shade || stock.shape === "long-0" || radius <= 0) continue;
    const fine = rows.count <= FINE_UP_TO || radius >= BIG;
    const base = { shape: stock.shape, mark: stock.mark, fine };
    put({ ...base, finish: finishOf(stock.shape, shade), inner: false }, row);
    const inside = shade.inner === null ? null : innerShade(picture, shade.inner);
    if (inside) put({ ...base, mark: null, finish: finishOf(stock.shape, inside), inner: true }, row);
  }
  return found;
}

function finishOf(shape: string, shade: ShadeData): Finish {
  return shape.startsWith("foil") && shade.finish !== "matte" && shade.finish !== "clear" ? "foil" : shade.finish;
}

function innerShade(picture: PictureData, name: string): ShadeData | null {
  if (name.startsWith("#")) return { name, colour: name, finish: "matte", inner: null };
  return picture.shades.find((shade) => shade.name === name) ?? null;
}

function ballsOf(picture: PictureData, rows: Rows): Balls {
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
    shading[row] = radius * (shade?.finish === "clear" && !shade.inner ? 0.45 : thin);
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

function instanced(kind: Kind, solid: Solid, picture: PictureData, rows: Rows, turn: Float32Array, whole: Sphere): BufferGeometry {
  const count = kind.rows.length;
  const place = new Float32Array(4 * count);
  const frame = new Float32Array(4 * count);
  const tint = new Float32Array(3 * count);
  const number = new Float32Array(count);
  const table = picture.shades.map((shade) => linear(kind.inner && shade.inner ? innerShade(picture, shade.inner)?.colour ?? "" : shade.colour));
  kind.rows.forEach((row, k) => {
    place.set(rows.centre.subarray(3 * row, 3 * row + 3), 4 * k);
    place[4 * k + 3] = (rows.radius[row] ?? 0) * (kind.inner ? INNER : 1);
    frame.set(turn.subarray(4 * row, 4 * row + 4), 4 * k);
    tint.set(table[rows.shade[row] ?? 0] ?? [0.5, 0.5, 0.5], 3 * k);
    number[k] = kind.inner ? -1 : row;
  });
  const made = new InstancedBufferGeometry();
  made.instanceCount = count;
  made.setIndex(solid.index);
  made.setAttribute("position", solid.position);
  made.setAttribute("normal", solid.normal);
  made.setAttribute("place", new InstancedBufferAttribute(place, 4));
  made.setAttribute("turn", new InstancedBufferAttribute(frame, 4));
  made.setAttribute("tint", new InstancedBufferAttribute(tint, 3));
  made.setAttribute("row", new InstancedBufferAttribute(number, 1));
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
