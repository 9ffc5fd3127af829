// Which piece, and which of its balloons, lies under a point of the picture.
import { type PerspectiveCamera, type Vector2, Vector3 } from "three";
import type { Model } from "./model";
import type { Standing } from "./place";
import type { BalloonPicked } from "./types";

export interface Ray {
  from: Vector3;
  way: Vector3;
}

export interface Hit {
  standing: Standing;
  distance: number;
  balloon: BalloonPicked | null;
}

/** The ray through a point of the canvas, given from -1 to 1, y up. */
export function rayThrough(camera: PerspectiveCamera, at: Vector2): Ray {
  const from = new Vector3().setFromMatrixPosition(camera.matrixWorld);
  const way = new Vector3(at.x, at.y, 0.5).unproject(camera).sub(from).normalize();
  return { from, way };
}

/** Where a ray meets the floor, null when it does not. */
export function onFloor(ray: Ray, height = 0): Vector3 | null {
  const t = (height - ray.from.z) / ray.way.z;
  return t > 0 && Number.isFinite(t) ? ray.from.clone().addScaledVector(ray.way, t) : null;
}

export function pick(ray: Ray, standings: readonly Standing[], models: Map<string, Model>): Hit | null {
  let best: Hit | null = null;
  for (const standing of standings) {
    const model = standing.piece.key === null ? undefined : models.get(standing.piece.key);
    if (!model) continue;
    const [c, s] = [Math.cos(standing.turn), Math.sin(standing.turn)];
    const off = ray.from.clone().sub(new Vector3(standing.x, standing.y, 0));
    const from = new Vector3(c * off.x + s * off.y, -s * off.x + c * off.y, off.z);
    const way = new Vector3(c * ray.way.x + s * ray.way.y, -s * ray.way.x + c * ray.way.y, ray.way.z);
    const [row, distance] = nearest(model, from, way);
    const other = row < 0 ? throughMiddle(model, from, way) : Infinity;
    const reach = Math.min(distance, other);
    if (reach < (best?.distance ?? Infinity)) {
      best = { standing, distance: reach, balloon: row < 0 ? null : balloonAt(model, row) };
    }
  }
  return best;
}

function balloonAt(model: Model, row: number): BalloonPicked {
  const { layer, slot, shade } = model.rows;
  return { row, layer: layer[row] ?? -1, slot: slot[row] ?? -1, shade: model.picture.shades[shade[row] ?? 0]?.name ?? "" };
}

function nearest(model: Model, from: Vector3, way: Vector3): [number, number] {
  const { centre, radius, count } = model.rows;
  let [row, best] = [-1, Infinity];
  for (let k = 0; k < count; k += 1) {
    const [dx, dy, dz] = [(centre[3 * k] ?? 0) - from.x, (centre[3 * k + 1] ?? 0) - from.y, (centre[3 * k + 2] ?? 0) - from.z];
    const along = dx * way.x + dy * way.y + dz * way.z;
    const r = radius[k] ?? 0;
    const off = r * r - (dx * dx + dy * dy + dz * dz - along * along);
    if (along <= 0 || off < 0) continue;
    const t = along - Math.sqrt(off);
    if (t < best) [row, best] = [k, t];
  }
  return [row, best];
}

/** Poles and ribbons are thin: near the upright through the piece's middle counts as on it. */
function throughMiddle(model: Model, from: Vector3, way: Vector3): number {
  const { low, high } = model.extent;
  const [x, y] = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2];
  const flat = way.x * way.x + way.y * way.y;
  if (flat < 1e-9) return Infinity;
  const t = ((x - from.x) * way.x + (y - from.y) * way.y) / flat;
  const z = from.z + t * way.z;
  const aside = Math.hypot(from.x + t * way.x - x, from.y + t * way.y - y);
  return t > 0 && aside < 0.09 && z > -0.02 && z < high[2] && high[0] - low[0] < 1.6 ? t : Infinity;
}
