// Who touches or shades whom: for each balloon its nearest neighbours, packed into a texture
// that the vertex stage reads to press contacts flat, darken grooves and carry colour across.
import { DataTexture, FloatType, NearestFilter, RGBAFormat } from "three";

/** Neighbours kept a balloon: the ones that fill most of its sky. */
export const NEIGHBOURS = 12;
/** Balloons in one line of the texture. */
export const LINE = 32;
const DEEPEST = 0.3; // no contact plane comes nearer to a centre [radii]
const REACH = 1.9; // a neighbour further than this many summed radii shades nothing worth seeing
const LOOSE = 0.0015; // overlap that is no contact [m]

export interface Balls {
  count: number;
  centre: Float32Array;
  radius: Float32Array;
  /** Radius as an obstacle [m], 0 for none (ties, clear latex). */
  shading: Float32Array;
  /** Whether a ball presses and is pressed. */
  soft: Uint8Array;
  colour: Float32Array;
}

/** Two texels a neighbour: offset and radius in own radii; colour and height of the contact plane. */
export function neighbourTexture(balls: Balls): DataTexture {
  const lines = Math.max(1, Math.ceil(balls.count / LINE));
  const wide = LINE * NEIGHBOURS * 2;
  const data = new Float32Array(wide * lines * 4);
  const grid = new Grid(balls);
  const found: number[] = [];
  const weight = new Float32Array(balls.count);
  for (let i = 0; i < balls.count; i += 1) {
    found.length = 0;
    grid.around(i, found, weight);
    if (found.length > NEIGHBOURS) found.sort((a, b) => (weight[b] ?? 0) - (weight[a] ?? 0));
    const base = 4 * (Math.floor(i / LINE) * wide + (i % LINE) * NEIGHBOURS * 2);
    for (let k = 0; k < Math.min(found.length, NEIGHBOURS); k += 1) write(balls, i, found[k] ?? 0, data, base + 8 * k);
  }
  const texture = new DataTexture(data, wide, lines, RGBAFormat, FloatType);
  texture.minFilter = texture.magFilter = NearestFilter;
  texture.needsUpdate = true;
  return texture;
}

function write(balls: Balls, i: number, j: number, data: Float32Array, at: number): void {
  const { centre, radius, shading, soft, colour } = balls;
  const own = radius[i] ?? 1;
  let gap2 = 0;
  for (let d = 0; d < 3; d += 1) {
    const off = (centre[3 * j + d] ?? 0) - (centre[3 * i + d] ?? 0);
    gap2 += off * off;
    data[at + d] = off / own;
    data[at + 4 + d] = colour[3 * j + d] ?? 0;
  }
  data[at + 3] = Math.max(shading[j] ?? 0, 1e-4) / own;
  const gap = Math.sqrt(gap2);
  const other = radius[j] ?? 0;
  let height = 9;
  if (soft[i] && soft[j] && gap > 1e-6 && own + other - gap > LOOSE) {
    const plane = (gap2 + own * own - other * other) / (2 * gap) / own;
    if (plane < 1) height = Math.max(plane, DEEPEST);
  }
  data[at + 7] = height;
}

/** Balls sorted into cubes as wide as the furthest that two of them can matter to each other. */
class Grid {
  private readonly cells = new Map<string, number[]>();
  private readonly step: number;
  private readonly balls: Balls;

  constructor(balls: Balls) {
    this.balls = balls;
    let widest = 0.05;
    for (let k = 0; k < balls.count; k += 1) widest = Math.max(widest, balls.radius[k] ?? 0);
    this.step = widest * 2 * REACH;
    for (let k = 0; k < balls.count; k += 1) {
      const key = this.cell(k).join();
      const cell = this.cells.get(key);
      if (cell) cell.push(k);
      else this.cells.set(key, [k]);
    }
  }

  private cell(k: number): [number, number, number] {
    const at = (d: number): number => Math.floor((this.balls.centre[3 * k + d] ?? 0) / this.step);
    return [at(0), at(1), at(2)];
  }

  around(i: number, found: number[], weight: Float32Array): void {
    const { centre, radius, shading } = this.balls;
    const [cx, cy, cz] = this.cell(i);
    for (let x = cx - 1; x <= cx + 1; x += 1) {
      for (let y = cy - 1; y <= cy + 1; y += 1) {
        for (let z = cz - 1; z <= cz + 1; z += 1) {
          for (const j of this.cells.get(`${x},${y},${z}`) ?? []) {
            if (j === i || !shading[j]) continue;
            const dx = (centre[3 * j] ?? 0) - (centre[3 * i] ?? 0);
            const dy = (centre[3 * j + 1] ?? 0) - (centre[3 * i + 1] ?? 0);
            const dz = (centre[3 * j + 2] ?? 0) - (centre[3 * i + 2] ?? 0);
            const gap2 = dx * dx + dy * dy + dz * dz;
            const far = REACH * ((radius[i] ?? 0) + (radius[j] ?? 0));
            if (gap2 > far * far) continue;
            weight[j] = (radius[j] ?? 0) ** 2 / Math.max(gap2, 1e-9);
            found.push(j);
          }
        }
      }
    }
  }
}

/** How much of the sky the balls hide from a point that looks along a normal: 0 none, 1 all. */
export function shadeAt(balls: Balls, rows: readonly number[], at: readonly number[], normal: readonly number[]): number {
  let open = 1;
  for (const j of rows) {
    const off = [0, 1, 2].map((d) => (balls.centre[3 * j + d] ?? 0) - (at[d] ?? 0));
    const gap = Math.hypot(...off);
    const h = Math.max(gap / Math.max(balls.shading[j] ?? 0, 1e-4), 1.001);
    const facing = off.reduce((sum, v, d) => sum + (v / gap) * (normal[d] ?? 0), 0);
    const covered = Math.min(Math.max((0.5 * (facing * h + 1)) / (h * h), 0), 1) ** 1.5;
    open *= 1 - covered;
  }
  return 1 - open;
}
