// Lengths as the studio speaks: written into the job file, said aloud, and snapped to.

export type Tongue = "metre" | "foot";

export interface Lengths {
  /** As the job file holds it. */
  write(metres: number): string;
  /** The same in the other system, for whoever measures with the other tape. */
  other(metres: number): string;
  /** Steps to move by [m]. */
  coarse: number;
  fine: number;
  /** Between the lines of the floor [m]. */
  grid: number;
}

const INCH_M = 0.0254;

const metric = (value: number): string => `${Math.round(value * 100) / 100} m`;

const imperial = (value: number): string => {
  const inches = Math.round(Math.abs(value) / INCH_M);
  const [feet, rest] = [Math.floor(inches / 12), inches % 12];
  const sign = value < 0 && inches ? "-" : "";
  if (!feet) return `${sign}${rest} in`;
  return rest ? `${sign}${feet} ft ${rest} in` : `${sign}${feet} ft`;
};

export function lengths(tongue: Tongue): Lengths {
  if (tongue === "foot") return { write: imperial, other: metric, coarse: 12 * INCH_M, fine: 2 * INCH_M, grid: 24 * INCH_M };
  return { write: metric, other: imperial, coarse: 0.25, fine: 0.05, grid: 1 };
}

/** The nearest whole number of steps, free of what the floating point adds. */
export function snapped(value: number, step: number): number {
  return Math.round(Math.round(value / step) * step * 10000) / 10000;
}
