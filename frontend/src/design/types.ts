// What the desk answers about a job. Lengths in metres; x right, y into the depth, z up.
import type { PictureData } from "../scene/types";

export type Picture = PictureData;

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
  left_out: string[];
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
  focus: number | null;
  made: number | null;
  names: string[];
  pieces: Piece[];
  shades: Record<string, { colour: string; finish: string }>;
  totals: Totals | null;
  findings: Finding[];
  currency: string;
}

export type Change = Record<string, unknown> & { do: string };
