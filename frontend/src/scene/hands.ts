// What hands and keys do to the pieces: choose one, drag it over the floor, nudge and turn it.
import type { Vector2, Vector3 } from "three";
import type { Rig } from "./camera";
import { type Hit, onFloor, pick, rayThrough } from "./choose";
import type { Wishes } from "./controls";
import type { Decor } from "./decor";
import { snapped } from "./place";
import type { SpotState } from "../answers";
import type { BalloonPicked, PieceData, ViewName } from "./types";

const FURTHEST = 100; // a spot is no further from the middle of the floor [m]
const FLAT = 0.12; // a look flatter than this follows the floor, not the height of the hand

/** What the hands need of the view. */
export interface Stage {
  canvas: HTMLCanvasElement;
  rig: Rig;
  decor: Decor;
  /** The view that was asked for, "free" once it was turned by hand. */
  named(): ViewName | "free";
  /** The pose changed by hand. */
  turned(): void;
  home(): void;
  stroll(spot: Vector3): void;
  /** Pieces stand elsewhere than before. */
  moved(): void;
  pointed(piece: string, balloon: BalloonPicked | null): void;
  placed(piece: string, spot: SpotState): void;
}

export class Hands implements Wishes {
  private grabbed: { piece: PieceData; start: Vector3; x: number; y: number; height: number } | null = null;
  private readonly stage: Stage;

  constructor(stage: Stage) {
    this.stage = stage;
  }

  turned(): void {
    this.stage.turned();
  }

  home(): void {
    this.stage.home();
  }

  walking(): boolean {
    return this.stage.named() === "eye";
  }

  none(): void {
    this.stage.pointed("", null);
  }

  private under(at: Vector2): Hit | null {
    const { rig, decor } = this.stage;
    return pick(rayThrough(rig.camera, at), decor.standings, decor.models);
  }

  /** The chosen piece may be dragged; seen from above, any. */
  private movable(hit: Hit | null): hit is Hit {
    return hit !== null && (this.stage.decor.isChosen(hit.standing.piece) || this.stage.named() === "top");
  }

  grab(at: Vector2): boolean {
    const hit = this.under(at);
    if (!this.movable(hit)) return false;
    const ray = rayThrough(this.stage.rig.camera, at);
    const height = Math.abs(ray.way.z) < FLAT ? 0 : Math.max(0, ray.from.z + ray.way.z * hit.distance);
    const start = onFloor(ray, height);
    if (!start) return false;
    const { piece } = hit.standing;
    this.grabbed = { piece, start, height, ...this.stage.decor.middle(piece) };
    return true;
  }

  drag(at: Vector2): void {
    const held = this.grabbed;
    const now = held && onFloor(rayThrough(this.stage.rig.camera, at), held.height);
    if (!held || !now) return;
    const bound = (v: number): number => snapped(Math.min(Math.max(v, -FURTHEST), FURTHEST));
    const spot = { x: bound(held.x + now.x - held.start.x), y: bound(held.y + now.y - held.start.y), facing: held.piece.spot?.facing ?? 0 };
    const { spot: old } = held.piece;
    if (old && old.x === spot.x && old.y === spot.y) return;
    held.piece = this.stage.decor.shift(held.piece, spot);
    this.stage.canvas.classList.add("is-dragging");
    this.stage.moved();
  }

  drop(moved: boolean): void {
    const piece = this.grabbed?.piece;
    this.grabbed = null;
    this.stage.canvas.classList.remove("is-dragging");
    if (moved && piece?.spot) this.stage.placed(String(piece.index), piece.spot);
  }

  nudge(dx: number, dy: number, turn: number): boolean {
    const { decor } = this.stage;
    const piece = decor.pieces.find((other) => decor.isChosen(other));
    if (!piece) return false;
    const { x, y } = piece.spot ?? decor.middle(piece);
    const facing = ((((piece.spot?.facing ?? 0) + turn + 180) % 360) + 360) % 360 - 180;
    const spot = { x: snapped(x + dx), y: snapped(y + dy), facing };
    decor.shift(piece, spot);
    this.stage.moved();
    this.stage.placed(String(piece.index), spot);
    return true;
  }

  tap(at: Vector2): void {
    const hit = this.under(at);
    if (this.walking() && !hit) {
      const spot = onFloor(rayThrough(this.stage.rig.camera, at));
      if (spot) this.stage.stroll(spot);
      return;
    }
    this.stage.pointed(hit ? String(hit.standing.piece.index) : "", hit?.balloon ?? null);
  }

  next(by: 1 | -1): void {
    const { decor } = this.stage;
    const shown = decor.pieces.filter((piece) => piece.key !== null);
    if (!shown.length) return;
    const at = shown.findIndex((piece) => decor.isChosen(piece));
    const start = by > 0 ? 0 : shown.length - 1;
    const next = shown[at < 0 ? start : (at + by + shown.length) % shown.length];
    if (next) this.stage.pointed(String(next.index), null);
  }

  hover(at: Vector2 | null): void {
    const hit = at ? this.under(at) : null;
    const movable = this.movable(hit);
    this.stage.canvas.classList.toggle("is-movable", movable);
    this.stage.canvas.classList.toggle("is-over", hit !== null && !movable);
  }
}
