// What the desk takes and answers. Made by tools/browser_types.py from the desk's models.
/* biome-ignore-all lint: written by a program */

/** A new piece of a kind, from its example or from a saved design's table. */
export interface Add {
  do: "add";
  kind: string;
  design?: string;
}

/** Row from the floor and place from the left of each balloon, packed (int16). */
export interface CellsState {
  row: string;
  place: string;
}

/** Take a key out, so that its starting value holds again. */
export interface Clear {
  do: "clear";
  path: (string | number)[];
}

/** A shade of the job. */
export interface ColourState {
  colour: string;
  finish: "matte" | "pearl" | "metallic" | "clear";
}

/** Two people changed the same thing: both values, and the versions in the way. */
export interface Conflict {
  what: string;
  mend: string;
  rivals: Rival[];
  others: number[];
}

/** The venue's door: place and size [m], turn anticlockwise from above [rad]. */
export interface DoorState {
  x: number;
  y: number;
  turn: number;
  width: number;
  height: number;
}

/** Take a piece out. */
export interface Drop {
  do: "drop";
  piece: number;
}

/** The same piece once more, under a name of its own. */
export interface Duplicate {
  do: "duplicate";
  piece: number;
}

/** Changes made together. */
export interface Edit {
  version: number;
  changes: (Put | Write | Clear | Add | Duplicate | Mirror | Drop | Reorder | Swap | RenameShade | Paint)[];
  have?: string[];
  mine?: number[];
}

/** A sleeve round a pole. */
export interface FabricState {
  material: string;
  radius: number;
  from: number;
  to: number;
  colour: string;
  at: [number, number];
}

/** What went wrong, and what to do. */
export interface Fault {
  what: string;
  mend: string;
}

/** A finding, in words. */
export interface FindingState {
  code: string;
  severity: "error" | "caution" | "hint";
  place: string;
  what: string;
  mend: string;
  line: number | null;
  column: number | null;
  standard: string | null;
  pieces: string[];
}

/** A pole, a base, a line; a board has a colour, and triangles of its words in x and z [m]. */
export interface HardwareState {
  use: string;
  path: [number, number, number][];
  across: number;
  height: number;
  colour: string | null;
  print: number[][] | null;
}

/** A job as it stands: the answer to every change. */
export interface JobState {
  version: number;
  undo: string | null;
  redo: string | null;
  merged: boolean;
  focus: number | null;
  made: number | null;
  names: string[];
  pieces: PieceState[];
  door: DoorState | null;
  shades: Record<string, ColourState>;
  totals: TotalsState | null;
  options: OptionState[];
  findings: FindingState[];
  currency: string;
}

export type JsonValue = unknown;

/** The piece as in a mirror: swirl, lean and chart change sides. */
export interface Mirror {
  do: "mirror";
  piece: number;
}

/** What one option comes to. */
export interface OptionState {
  name: string;
  pieces: string[];
  balloons: number;
  hours: number;
  price?: string;
  cost?: string;
  margin?: string;
}

/** Vertices and normals (float32) and faces (uint16), packed little-endian in base64. */
export interface PackedMesh {
  vertices: string;
  normals: string;
  faces: string;
}

/** Paint a piece: rows are layers from the bottom up; of a wall, its balloons row by row. */
export interface Paint {
  do: "paint";
  piece: number;
  rows: string[][];
}

/** A piece's arrays, one row a balloon, numbers packed little-endian in base64. */
export interface PictureState {
  centre: string;
  axis: string;
  radius: string;
  stock: string;
  shade: string;
  layer: string;
  slot: string;
  role: string;
  cells: CellsState | null;
  stocks: StockState[];
  shades: ShadeState[];
  hardware: HardwareState[];
  strands: StrandState[];
  fabrics: FabricState[];
}

/** A piece. `has_chart`: whether its balloons can be painted one by one. */
export interface PieceState {
  index: number;
  name: string;
  kind: string;
  has_chart: boolean;
  count: number;
  key: string | null;
  spot: SpotState | null;
  places: [number, number, number][];
  balloons?: number;
  layers?: number;
  size?: [number, number, number];
  picture?: PictureState;
  hours?: number;
  mass_kg?: number;
  tally?: [string, number, string, string, number][];
}

/** Write a value: `["pieces", 0, "height"]`, "7 ft". Missing tables on the way are made. */
export interface Put {
  do: "put";
  path: (string | number)[];
  value: JsonValue;
}

/** Another name for a shade of the job, wherever it is named. */
export interface RenameShade {
  do: "rename_shade";
  old: string;
  new: string;
}

/** Put a piece at another place in the list. */
export interface Reorder {
  do: "reorder";
  piece: number;
  to: number;
}

/** Somebody else's change of the same thing. */
export interface Rival {
  what: string;
  actor: string;
  theirs: string | null;
  mine: string | null;
  can_keep: boolean;
}

/** A shade of a picture; `inner` is what is seen through a clear balloon. */
export interface ShadeState {
  name: string;
  colour: string;
  finish: "matte" | "pearl" | "metallic" | "clear";
  inner: string | null;
}

/** Where the first copy was put by hand; `facing` in degrees, anticlockwise from above. */
export interface SpotState {
  x: number;
  y: number;
  facing: number;
}

/** One kind of balloon in a picture: which unit mesh, and what is printed on it. */
export interface StockState {
  shape: string;
  size: string;
  mark: string | null;
  letters: number[][] | null;
}

/** A modelling balloon or a ribbon along a path. */
export interface StrandState {
  path: [number, number, number][];
  across: number;
  colour: string;
}

/** One shade in place of another, in every piece. */
export interface Swap {
  do: "swap";
  old: string;
  new: string;
}

/** A colour of a picture ("#rrggbb"), its share (0 to 1), and the nearest shade in stock. */
export interface Tone {
  colour: string;
  share: number;
  shade: string;
  shade_colour: string;
  finish: string;
  apart: number;
}

/** The figures of the job, or of what the client took. */
export interface TotalsState {
  left_out: string[];
  balloons: number;
  hours: number;
  scope: string[];
  price?: string;
  total?: string;
  cost?: string;
  margin?: string;
}

/** Write a value as typed into a form: the key's record says what the text means. */
export interface Write {
  do: "write";
  path: (string | number)[];
  text: string;
}
