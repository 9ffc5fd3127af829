// Hands on the picture: turn, shift and zoom by mouse, touch and keys; drag a piece; walk.
import { Vector2 } from "three";
import { axes, EYE_HEIGHT, type Pose, type Rig } from "./camera";

const TAP_PX = 6;
const TURN_PX = 0.0065; // radians a pixel
const KEY_TURN = Math.PI / 24;
const KEY_STEP = 0.25; // metres a key press walks
const [NEAREST, FURTHEST] = [0.4, 150];

/** What the controls ask of the view. Points are from -1 to 1, y up. */
export interface Wishes {
  /** Whether a drag that begins here takes a piece along. */
  grab(at: Vector2): boolean;
  drag(at: Vector2): void;
  drop(moved: boolean): void;
  tap(at: Vector2): void;
  hover(at: Vector2 | null): void;
  /** The pose changed by hand. */
  turned(): void;
  home(): void;
  walking(): boolean;
  /** Keys that move the chosen piece [m] or turn it [°]; false when none is chosen. */
  nudge(dx: number, dy: number, turn: number): boolean;
  next(by: 1 | -1): void;
  none(): void;
}

type Hand = "turn" | "shift" | "piece" | "look";

export class Controls {
  private readonly canvas: HTMLCanvasElement;
  private readonly rig: Rig;
  private readonly wishes: Wishes;
  private readonly held = new Map<number, Vector2>();
  private readonly quit = new AbortController();
  private hand: Hand = "turn";
  private moved = 0;
  private spread = 0;

  constructor(canvas: HTMLCanvasElement, rig: Rig, wishes: Wishes) {
    [this.canvas, this.rig, this.wishes] = [canvas, rig, wishes];
    const { signal } = this.quit;
    canvas.addEventListener("pointerdown", (event) => this.down(event), { signal });
    canvas.addEventListener("pointermove", (event) => this.move(event), { signal });
    canvas.addEventListener("pointerup", (event) => this.up(event, true), { signal });
    canvas.addEventListener("pointercancel", (event) => this.up(event, false), { signal });
    canvas.addEventListener("pointerleave", () => this.wishes.hover(null), { signal });
    canvas.addEventListener("wheel", (event) => this.wheel(event), { signal, passive: false });
    canvas.addEventListener("keydown", (event) => this.key(event), { signal });
    canvas.addEventListener("contextmenu", (event) => event.preventDefault(), { signal });
  }

  dispose(): void {
    this.quit.abort();
  }

  private at(event: PointerEvent | WheelEvent): Vector2 {
    const box = this.canvas.getBoundingClientRect();
    return new Vector2(((event.clientX - box.left) / box.width) * 2 - 1, 1 - ((event.clientY - box.top) / box.height) * 2);
  }

  private down(event: PointerEvent): void {
    this.canvas.setPointerCapture(event.pointerId);
    this.held.set(event.pointerId, new Vector2(event.clientX, event.clientY));
    this.rig.halt();
    if (this.held.size > 1) {
      if (this.hand === "piece") this.wishes.drop(false);
      this.hand = "shift";
      this.moved = TAP_PX;
      this.spread = this.apart();
      return;
    }
    this.moved = 0;
    if (this.wishes.walking()) this.hand = "look";
    else if (event.button > 0 || event.ctrlKey || event.metaKey) this.hand = "shift";
    else this.hand = this.wishes.grab(this.at(event)) ? "piece" : "turn";
  }

  private move(event: PointerEvent): void {
    const before = this.held.get(event.pointerId);
    if (!before) {
      if (event.pointerType === "mouse") this.wishes.hover(this.at(event));
      return;
    }
    const [dx, dy] = [event.clientX - before.x, event.clientY - before.y];
    before.set(event.clientX, event.clientY);
    this.moved += Math.abs(dx) + Math.abs(dy);
    if (this.moved < TAP_PX) return;
    if (this.held.size > 1) this.pinch(dx / this.held.size, dy / this.held.size);
    else if (this.hand === "piece") this.wishes.drag(this.at(event));
    else if (this.hand === "shift") this.shift(dx, dy);
    else if (this.hand === "look") this.look(dx, dy);
    else this.turn(-dx * TURN_PX, -dy * TURN_PX);
  }

  private up(event: PointerEvent, whole: boolean): void {
    if (!this.held.delete(event.pointerId)) return;
    if (this.held.size) return;
    const tapped = whole && this.moved < TAP_PX;
    if (this.hand === "piece") this.wishes.drop(whole && !tapped);
    if (tapped && event.button === 0) this.wishes.tap(this.at(event));
    this.hand = "turn";
  }

  private apart(): number {
    const [a, b] = [...this.held.values()];
    return a && b ? a.distanceTo(b) : 0;
  }

  private pinch(dx: number, dy: number): void {
    const now = this.apart();
    if (this.spread > 0 && now > 0 && !this.wishes.walking()) this.zoom(this.spread / now);
    this.spread = now;
    this.shift(dx, dy);
  }

  private wheel(event: WheelEvent): void {
    event.preventDefault();
    const step = event.deltaMode === 1 ? event.deltaY * 16 : event.deltaY;
    if (this.wishes.walking()) this.walk(-step * 0.004, 0);
    else this.zoom(Math.exp(Math.min(Math.max(step, -120), 120) * 0.0016));
  }

  private changed(pose: Pose): void {
    this.rig.halt();
    this.rig.pose = pose;
    this.rig.apply();
    this.wishes.turned();
  }

  turn(azimuth: number, polar: number): void {
    const { pose } = this.rig;
    const tilt = Math.min(Math.max(pose.polar + polar, 0.0001), 1.62);
    this.changed({ ...pose, azimuth: pose.azimuth + azimuth, polar: tilt });
  }

  zoom(by: number): void {
    const { pose } = this.rig;
    this.changed({ ...pose, distance: Math.min(Math.max(pose.distance * by, NEAREST), FURTHEST) });
  }

  private shift(dx: number, dy: number): void {
    const { pose } = this.rig;
    const metre = (2 * pose.distance * Math.tan((pose.opening * Math.PI) / 360)) / this.canvas.clientHeight;
    const [right, up] = axes(pose);
    const target = pose.target.clone().addScaledVector(right, -dx * metre).addScaledVector(up, dy * metre);
    target.z = Math.min(Math.max(target.z, -0.5), 12);
    this.changed({ ...pose, target });
  }

  /** Look about from where one stands. */
  look(dx: number, dy: number): void {
    const { pose } = this.rig;
    const [, , back] = axes(pose);
    const eye = pose.target.clone().addScaledVector(back, pose.distance);
    const next = { ...pose, azimuth: pose.azimuth + dx * 0.0035, polar: Math.min(Math.max(pose.polar + dy * 0.0035, 0.5), 2.4) };
    const [, , behind] = axes(next);
    this.changed({ ...next, target: eye.addScaledVector(behind, -pose.distance) });
  }

  /** Steps forward and to the right [m], at eye level. */
  walk(forward: number, aside: number): void {
    const { pose } = this.rig;
    const [right, , back] = axes(pose);
    const flat = back.clone().setZ(0).normalize();
    const lift = EYE_HEIGHT - (pose.target.z + back.z * pose.distance);
    const target = pose.target.clone().addScaledVector(flat, -forward).addScaledVector(right, aside);
    target.z += lift;
    this.changed({ ...pose, target });
  }

  private key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const done = event.shiftKey ? this.shifted(event.key) : this.plain(event.key);
    if (done) event.preventDefault();
  }

  private shifted(key: string): boolean {
    const { azimuth } = this.rig.pose;
    // along the floor as one sees it, to the nearest of its four directions
    const quarter = Math.round(azimuth / (Math.PI / 2)) * (Math.PI / 2);
    const [c, s] = [Math.round(Math.cos(quarter)), Math.round(Math.sin(quarter))];
    const by = (x: number, y: number): boolean => this.wishes.nudge(0.1 * (c * x - s * y), 0.1 * (s * x + c * y), 0);
    if (key === "ArrowLeft") return by(-1, 0);
    if (key === "ArrowRight") return by(1, 0);
    if (key === "ArrowUp") return by(0, 1);
    if (key === "ArrowDown") return by(0, -1);
    if (key === "R") return this.wishes.nudge(0, 0, -15);
    return key === "+" ? this.plain("+") : false;
  }

  private plain(key: string): boolean {
    const eye = this.wishes.walking();
    const acts: Record<string, () => void> = {
      ArrowLeft: () => (eye ? this.look(24, 0) : this.turn(-KEY_TURN, 0)),
      ArrowRight: () => (eye ? this.look(-24, 0) : this.turn(KEY_TURN, 0)),
      ArrowUp: () => (eye ? this.walk(KEY_STEP, 0) : this.turn(0, -KEY_TURN)),
      ArrowDown: () => (eye ? this.walk(-KEY_STEP, 0) : this.turn(0, KEY_TURN)),
      w: () => this.walk(KEY_STEP, 0),
      s: () => this.walk(-KEY_STEP, 0),
      a: () => this.walk(0, -KEY_STEP),
      d: () => this.walk(0, KEY_STEP),
      "+": () => (eye ? this.walk(KEY_STEP, 0) : this.zoom(1 / 1.12)),
      "=": () => (eye ? this.walk(KEY_STEP, 0) : this.zoom(1 / 1.12)),
      "-": () => (eye ? this.walk(-KEY_STEP, 0) : this.zoom(1.12)),
      Home: () => this.wishes.home(),
      n: () => this.wishes.next(1),
      p: () => this.wishes.next(-1),
      r: () => this.wishes.nudge(0, 0, 15),
      Escape: () => this.wishes.none(),
    };
    const act = acts[key];
    if (!act || (!eye && "wasd".includes(key))) return false;
    act();
    return true;
  }
}
