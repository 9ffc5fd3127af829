// The camera and its views. The server's axes are kept: z is up, here and nowhere else decided.
import { PerspectiveCamera, Vector3 } from "three";
import { stillWanted } from "./theme";
import type { ViewName } from "./types";

export const UP = new Vector3(0, 0, 1);
export const EYE_HEIGHT = 1.6; // of a person of 1.70 m
const TURN_MS = 380;
const WIDEST = Math.tan((33 * Math.PI) / 180); // half of what eye level shows across

/** Where the camera is, told from what it looks at. Angles [rad], lengths [m], opening [°]. */
export interface Pose {
  target: Vector3;
  /** Round the upright, 0 in front, anticlockwise from above. */
  azimuth: number;
  /** From straight above. */
  polar: number;
  distance: number;
  opening: number;
}

const VIEWS: Record<ViewName, { azimuth: number; polar: number; opening: number }> = {
  front: { azimuth: 0, polar: 1.53, opening: 16 },
  side: { azimuth: Math.PI / 2, polar: 1.53, opening: 16 },
  top: { azimuth: 0, polar: 0.0001, opening: 9 },
  "three-quarter": { azimuth: 0.62, polar: 1.33, opening: 24 },
  eye: { azimuth: 0, polar: 1.57, opening: 52 },
};

/** What there is to see, as a box. */
export interface Box {
  low: Vector3;
  high: Vector3;
}

export class Rig {
  readonly camera = new PerspectiveCamera(24, 1, 0.05, 400);
  pose: Pose = { target: new Vector3(0, 0, 1), azimuth: 0.62, polar: 1.33, distance: 8, opening: 24 };
  private from: Pose | null = null;
  private to: Pose | null = null;
  private began = 0;

  constructor() {
    this.camera.up.copy(UP);
    this.apply();
  }

  get moving(): boolean {
    return this.to !== null;
  }

  /** The pose in which a view shows all boxes; `covered` is the share of the height that buttons take at the top. */
  fit(name: ViewName, boxes: readonly Box[], aspect: number, covered = 0): Pose {
    const wanted = VIEWS[name];
    const points = boxes.flatMap(corners);
    const box = { low: points.reduce((a, b) => a.clone().min(b), new Vector3(1e9, 1e9, 1e9)), high: points.reduce((a, b) => a.clone().max(b), new Vector3(-1e9, -1e9, -1e9)) };
    const target = box.low.clone().add(box.high).multiplyScalar(0.5);
    // wider than an eye takes in at once, round things at the rim would look stretched
    const widest = (2 * Math.atan(WIDEST / aspect) * 180) / Math.PI;
    const pose: Pose = { target, ...wanted, opening: Math.min(wanted.opening, widest), distance: 1 };
    if (name === "eye") return this.stand(box, pose, aspect);
    pose.distance = Math.max(4 * box.low.distanceTo(box.high), 2);
    for (let turn = 0; turn < 6; turn += 1) center(pose, points, aspect, 0.9 - 2 * covered);
    return pose;
  }

  private stand(box: Box, pose: Pose, aspect: number): Pose {
    const [, th] = opening(pose, aspect);
    const wide = (box.high.x - box.low.x) / 2;
    const away = Math.min(Math.max((wide * 1.15) / th, (box.high.z * 0.75) / th, 2.4), 14);
    const at = new Vector3((box.low.x + box.high.x) / 2, box.low.y - away, EYE_HEIGHT);
    pose.target.set(at.x, at.y + 1, EYE_HEIGHT - 0.02);
    pose.distance = 1;
    return pose;
  }

  /** Go to a pose: at once for those who asked for little motion. */
  go(pose: Pose, now: number, instantly = false): void {
    if (instantly || stillWanted()) {
      this.pose = pose;
      this.from = this.to = null;
      this.apply();
      return;
    }
    const from = clone(this.pose);
    while (pose.azimuth - from.azimuth > Math.PI) from.azimuth += 2 * Math.PI;
    while (pose.azimuth - from.azimuth < -Math.PI) from.azimuth -= 2 * Math.PI;
    [this.from, this.to, this.began] = [from, pose, now];
  }

  /** One step of a transition; true while there is more. */
  step(now: number): boolean {
    if (!this.from || !this.to) return false;
    const share = Math.min(Math.max((now - this.began) / TURN_MS, 0), 1);
    const s = share < 0.5 ? 4 * share ** 3 : 1 - (-2 * share + 2) ** 3 / 2;
    const [a, b] = [this.from, this.to];
    const mix = (x: number, y: number): number => x + (y - x) * s;
    const size = (p: Pose): number => p.distance * Math.tan((p.opening * Math.PI) / 360);
    const opens = mix(a.opening, b.opening);
    this.pose = {
      target: a.target.clone().lerp(b.target, s),
      azimuth: mix(a.azimuth, b.azimuth),
      polar: mix(a.polar, b.polar),
      opening: opens,
      distance: mix(size(a), size(b)) / Math.tan((opens * Math.PI) / 360),
    };
    if (share >= 1) {
      this.pose = clone(b);
      this.from = this.to = null;
    }
    this.apply();
    return true;
  }

  halt(): void {
    this.from = this.to = null;
  }

  /** Set the camera to the pose. */
  apply(): void {
    const { camera, pose } = this;
    const [, , back] = axes(pose);
    camera.fov = pose.opening;
    camera.position.copy(pose.target).addScaledVector(back, pose.distance);
    // looking straight down, "up" is what lies behind
    if (pose.polar < 0.02) camera.up.set(-Math.sin(pose.azimuth), Math.cos(pose.azimuth), 0);
    else camera.up.copy(UP);
    camera.lookAt(pose.target);
    camera.near = Math.max(0.03, pose.distance * 0.02);
    camera.far = pose.distance * 3 + 120;
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }

  frame(aspect: number): void {
    this.camera.aspect = aspect;
    this.apply();
  }
}

function clone(pose: Pose): Pose {
  return { ...pose, target: pose.target.clone() };
}

/** Right, up and back of a camera in a pose. */
export function axes(pose: Pose): [Vector3, Vector3, Vector3] {
  const { azimuth: a, polar: p } = pose;
  const right = new Vector3(Math.cos(a), Math.sin(a), 0);
  const back = new Vector3(Math.sin(p) * Math.sin(a), -Math.sin(p) * Math.cos(a), Math.cos(p));
  return [right, new Vector3().crossVectors(back, right), back];
}

function opening(pose: Pose, aspect: number): [number, number] {
  const v = Math.tan((pose.opening * Math.PI) / 360);
  return [v, v * aspect];
}

// What of the picture the decor may fill, from -1 to 1; how far up depends on the page's buttons.
const [LEFT, RIGHT, BOTTOM] = [-0.92, 0.92, -0.86];

/** One step towards the pose in which the points just fill the picture. */
function center(pose: Pose, points: readonly Vector3[], aspect: number, top: number): void {
  const [right, up, back] = axes(pose);
  const [tv, th] = opening(pose, aspect);
  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const point of points) {
    const v = point.clone().sub(pose.target);
    const depth = Math.max(pose.distance - v.dot(back), 0.05 * pose.distance);
    const [x, y] = [v.dot(right) / (depth * th), v.dot(up) / (depth * tv)];
    [x0, x1, y0, y1] = [Math.min(x0, x), Math.max(x1, x), Math.min(y0, y), Math.max(y1, y)];
  }
  const grow = Math.max((x1 - x0) / (RIGHT - LEFT), (y1 - y0) / (top - BOTTOM), 1e-3);
  const aside = (x0 + x1) / 2 - (grow * (LEFT + RIGHT)) / 2;
  const lift = (y0 + y1) / 2 - (grow * (BOTTOM + top)) / 2;
  pose.target.addScaledVector(right, aside * pose.distance * th).addScaledVector(up, lift * pose.distance * tv);
  pose.distance = Math.max(pose.distance * grow, 0.6);
}

function corners(box: Box): Vector3[] {
  return [0, 1, 2, 3, 4, 5, 6, 7].map(
    (k) => new Vector3(k & 1 ? box.high.x : box.low.x, k & 2 ? box.high.y : box.low.y, k & 4 ? box.high.z : box.low.z),
  );
}
