// What goes in and out of the view. Metres, x to the viewer's right, y away, z up.

/** One kind of balloon in a picture: which unit mesh, and what is printed on it. */
export interface StockData {
  shape: string;
  size: string;
  mark: string | null;
}

export interface ShadeData {
  name: string;
  colour: string;
  finish: "matte" | "pearl" | "metallic" | "clear";
  inner: string | null;
}

export type Point = [number, number, number];

export interface HardwareData {
  use: string;
  path: Point[];
  across: number;
  height: number;
  /** Of a part that comes in colours: a board. */
  colour?: string | null;
  /** Triangles of the words on a board, x and z of each corner in turn [m]. */
  print?: number[][] | null;
}

export interface StrandData {
  path: Point[];
  across: number;
  colour: string;
}

export interface FabricData {
  material: string;
  radius: number;
  from: number;
  to: number;
  colour: string;
  at: [number, number];
}

/** A piece's arrays, numbers packed little-endian in base64. */
export interface PictureData {
  centre: string;
  axis: string;
  radius: string;
  stock: string;
  shade: string;
  layer: string;
  slot: string;
  role: string;
  /** Row from the floor and place from the left of each balloon of a wall; null of other pieces. */
  cells?: { row: string; place: string } | null;
  stocks: StockData[];
  shades: ShadeData[];
  hardware: HardwareData[];
  strands: StrandData[];
  fabrics: FabricData[];
}

export interface SpotData {
  x: number;
  y: number;
  facing: number;
}

export interface PieceData {
  index: number;
  name: string;
  kind: string;
  count: number;
  key: string | null;
  spot: SpotData | null;
  /** Where its copies stand: right, away [m] and turn, anticlockwise from above [rad]. */
  places?: [number, number, number][];
  picture?: PictureData;
}

/** The part of an answer the view needs; an answer may carry more. */
export interface SceneData {
  pieces: PieceData[];
  /** The job's own shades by name; the ones inside clear balloons are looked up here. */
  shades?: Record<string, { colour: string; finish: string }>;
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
