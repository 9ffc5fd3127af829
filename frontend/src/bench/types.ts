// What the desk answers about a job. Lengths in metres; x right, y into the depth, z up.

export interface Picture {
  centre: string; // float32, three a balloon, base64
  axis: string; // float32, three a balloon
  radius: string; // float32
  stock: string; // int16, into stocks
  shade: string; // int16, into shades
  layer: string; // int16, -1 for none
  slot: string; // int16
  role: string; // int16; 0 is the body
  stocks: { shape: string; size: string; mark: string | null }[];
  shades: { name: string; colour: string; finish: string; inner: string | null }[];
  hardware: { use: string; path: number[][]; across: number; height: number }[];
  strands: { path: number[][]; across: number; colour: string }[];
  fabrics: { material: string; radius: number; from: number; to: number; colour: string; at: number[] }[];
}

export interface Spot { x: number; y: number; facing: number }

export interface Piece {
  index: number;
  name: string;
  kind: string;
  count: number;
  key: string | null;
  spot: Spot | null;
  balloons?: number;
  layers?: number;
  size?: [number, number, number];
  hours?: number;
  picture?: Picture;
}

export interface Finding {
  code: string;
  severity: "error" | "caution" | "hint";
  place: string;
  what: string;
  mend: string;
  line: number | null;
  standard: string | null;
}

export interface Totals {
  balloons: number;
  hours: number;
  price?: string;
  cost?: string;
  margin?: string;
}

export interface JobState {
  version: number;
  undo: string | null;
  redo: string | null;
  merged: boolean;
  pieces: Piece[];
  shades: Record<string, { colour: string; finish: string }>;
  totals: Totals | null;
  findings: Finding[];
  currency: string;
}

export type Change = Record<string, unknown> & { do: string };

export const floats = (text: string): Float32Array => new Float32Array(bytes(text).buffer);
export const shorts = (text: string): Int16Array => new Int16Array(bytes(text).buffer);
export const words = (text: string): Uint16Array => new Uint16Array(bytes(text).buffer);

function bytes(text: string): Uint8Array<ArrayBuffer> {
  const raw = atob(text);
  const out = new Uint8Array(raw.length);
  for (let at = 0; at < raw.length; at++) out[at] = raw.charCodeAt(at);
  return out;
}
