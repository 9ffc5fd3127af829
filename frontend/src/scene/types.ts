// What goes in and out of the view. Metres, x to the viewer's right, y away, z up.
import type { JobState, PieceState } from "../answers";

export type Point = [number, number, number];

type Told = "index" | "name" | "kind" | "count" | "key" | "spot" | "places" | "picture";

/** The part of a piece the view needs. */
export type PieceData = Pick<PieceState, Told>;

/** The part of an answer the view needs; an answer may carry more. */
export interface SceneData {
  pieces: PieceData[];
  /** The venue's door, if the job names one. */
  door?: JobState["door"];
  /** The job's own shades by name; the ones inside clear balloons are looked up here. */
  shades?: JobState["shades"];
}

export type ViewName = "front" | "side" | "top" | "three-quarter" | "eye";

/** One balloon somebody pointed at. */
export interface BalloonPicked {
  row: number;
  layer: number;
  slot: number;
  shade: string;
}

/** What the view shows just now, for a page that puts it into words. */
export interface Shown {
  view: ViewName | "free";
  pieces: { name: string; kind: string; count: number; balloons: number }[];
  chosen: string | null;
}

export interface SceneOptions {
  /** Address before the name of a shape, "/api/shapes/". */
  shapes: string;
  /** Words for the canvas; a plain English sentence without. */
  words?: (shown: Shown) => string;
  /** Lines on the floor: every metre, or every foot. */
  grid?: "metre" | "foot";
  /** How many pixels of the picture's top the page's own buttons cover. */
  covered?: () => number;
  /** Called with keys whose pictures the view does not hold (any more). */
  onMissing?: (keys: string[]) => void;
}

export interface Scene {
  /**
   * Show the pieces of an answer; only those whose key is new are built. The promise is kept as
   * soon as they stand, so that what else is told about them can come in the same frame.
   */
  show(answer: SceneData): Promise<void>;
  /** Turn to a view. */
  view(name: ViewName): void;
  /** A person of 1.70 m and a door beside the decor. */
  scale(what: { person?: boolean; door?: boolean }): void;
  /** Outline a piece: its index as text, or its name; null for none. */
  choose(piece: string | null): void;
  /** Somebody pointed at a piece: its index as text, "" for the floor. */
  onChoose(call: (piece: string, balloon: BalloonPicked | null) => void): void;
  /** Somebody moved or turned a piece: metres, and degrees anticlockwise from above. */
  onPlace(call: (piece: string, x: number, y: number, facing: number) => void): void;
  /** Somebody turned the view by hand, or a view was reached. */
  onView(call: (view: ViewName | "free") => void): void;
  /** Keys whose pictures need not be sent again. */
  held(): string[];
  /** Settles once the frame of the last answer is drawn. */
  drawn(): Promise<void>;
  /** Settles once the fine frame after the last change is drawn and nothing moves any more. */
  still(): Promise<void>;
  /** Figures of the last frame. */
  figures(): Figures;
  dispose(): void;
}

export interface Figures {
  balloons: number;
  calls: number;
  triangles: number;
  /** Milliseconds from `show` until the frame was on the screen. */
  shown: number;
  software: boolean;
}
