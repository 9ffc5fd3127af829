// What stands on the floor: the pieces of the last answer, their models, and every copy in place.
import { Group, Vector3 } from "three";
import { shapeNames } from "./balloons";
import { Breath } from "./yield_to_browser";
import type { Box } from "./camera";
import type { Materials } from "./materials";
import { Model, refine } from "./model";
import { arrange, ground, shifted, type Standing } from "./place";
import { Shadows } from "./shadow";
import { type Level, Shapes } from "./shapes";
import type { PictureState, SpotState } from "../answers";
import type { PieceData, SceneData } from "./types";

const MIDDLING = 2; // the mesh that copies are made of: as the desk sent it
const KEPT = 60; // models kept for undo and redo

export class Decor {
  readonly group = new Group();
  /** Outlines of what is chosen. */
  readonly marks = new Group();
  readonly shadows = new Shadows();
  readonly models = new Map<string, Model>();
  standings: Standing[] = [];
  pieces: PieceData[] = [];
  chosen: string | null = null;
  private level: Level = MIDDLING;
  private gone = false;
  private readonly shapes: Shapes;
  private readonly materials: Materials;

  constructor(shapes: string, materials: Materials) {
    [this.shapes, this.materials] = [new Shapes(shapes), materials];
  }

  /** Build what an answer brings that is not there yet; returns keys that could not be. */
  async load(answer: SceneData): Promise<string[]> {
    const missing: string[] = [];
    for (const { picture } of answer.pieces) if (picture) for (const name of shapeNames(picture)) void this.shapes.get(name);
    const yieldToBrowser = new Breath();
    for (const { key, picture } of answer.pieces) {
      if (key === null || this.models.has(key)) continue;
      if (!picture) missing.push(key);
      else await this.hold(key, picture, answer.shades).catch(() => missing.push(key));
      await yieldToBrowser.taken();
    }
    return missing;
  }

  private async hold(key: string, picture: PictureState, shades: SceneData["shades"]): Promise<void> {
    const model = await Model.of(picture, shades, this.shapes, this.materials);
    if (this.gone || this.models.has(key)) model.dispose();
    else this.models.set(key, model);
  }

  /** Put every copy of these pieces where it stands. */
  stand(pieces: PieceData[]): void {
    this.pieces = pieces;
    this.standings = arrange(pieces.filter((piece) => this.models.has(piece.key ?? "")));
    this.group.clear();
    this.level = MIDDLING;
    for (const [standing, model] of this.copies()) {
      const copy = model.copy("paint");
      copy.add(this.shadows.under(model));
      put(copy, standing);
      this.group.add(copy);
    }
    this.outline();
    this.tidy();
  }

  /** Show a piece at a spot before the desk has answered; returns it as it is now. */
  shift(piece: PieceData, spot: SpotState): PieceData {
    const from = piece.spot ?? { ...this.middle(piece), facing: 0 };
    const next = { ...piece, spot, places: shifted(piece.places, from, spot) };
    this.stand(this.pieces.map((other) => (other === piece ? next : other)));
    return next;
  }

  private copies(): [Standing, Model][] {
    return this.standings.flatMap((standing): [Standing, Model][] => {
      const model = this.models.get(standing.piece.key ?? "");
      return model ? [[standing, model]] : [];
    });
  }

  isChosen(piece: PieceData): boolean {
    return this.chosen !== null && (String(piece.index) === this.chosen || piece.name === this.chosen);
  }

  choose(piece: string | null): void {
    this.chosen = piece;
    this.outline();
  }

  private outline(): void {
    this.marks.clear();
    for (const [standing, model] of this.copies()) {
      if (!this.isChosen(standing.piece)) continue;
      for (const pass of ["mask", "line"] as const) {
        const copy = model.copy(pass);
        refine(copy, outlining(this.level));
        put(copy, standing);
        this.marks.add(copy);
      }
    }
  }

  /** Models used longest ago give way; those on the floor stay. */
  private tidy(): void {
    const used = new Set(this.pieces.map((piece) => piece.key));
    for (const key of used) {
      const model = this.models.get(key ?? "");
      if (key === null || !model) continue;
      this.models.delete(key);
      this.models.set(key, model);
    }
    for (const [key, model] of this.models) {
      if (this.models.size <= KEPT) break;
      if (used.has(key)) continue;
      this.models.delete(key);
      this.shadows.forget(model);
      model.dispose();
    }
  }

  /** Where a piece's spot is: the middle of its copies [m]. */
  middle(piece: PieceData): { x: number; y: number } {
    const own = this.standings.filter((standing) => standing.piece === piece);
    const sum = own.reduce((a, b) => ({ x: a.x + b.x, y: a.y + b.y }), { x: 0, y: 0 });
    return { x: sum.x / Math.max(own.length, 1), y: sum.y / Math.max(own.length, 1) };
  }

  /** A box round each copy; one of a column's size when nothing stands. */
  boxes(): Box[] {
    const out = this.copies().map(([standing, model]): Box => {
      const [left, front, right, back] = ground(standing, model.extent);
      return { low: new Vector3(left, front, 0), high: new Vector3(right, back, Math.max(model.extent.high[2], 0.3)) };
    });
    return out.length ? out : [{ low: new Vector3(-1, -0.5, 0), high: new Vector3(1, 0.5, 1.8) }];
  }

  /** One box round them all. */
  cover(): Box {
    return this.boxes().reduce((a, b) => ({ low: a.low.min(b.low), high: a.high.max(b.high) }));
  }

  balloons(): number {
    return this.copies().reduce((sum, [, model]) => sum + model.rows.count, 0);
  }

  /** Meshes as fine as that for what is seen. */
  refine(level: Level): void {
    if (level === this.level) return;
    refine(this.group, level);
    refine(this.marks, outlining(level));
    this.level = level;
  }

  dispose(): void {
    this.gone = true;
    this.shadows.dispose();
    for (const model of this.models.values()) model.dispose();
  }
}

/** Outlines need no fine meshes, and cost two more passes: bare ones do while things move. */
const outlining = (level: Level): Level => (level < MIDDLING ? 0 : MIDDLING);

function put(copy: Group, standing: Standing): void {
  copy.position.set(standing.x, standing.y, 0);
  copy.rotation.z = standing.turn;
}
