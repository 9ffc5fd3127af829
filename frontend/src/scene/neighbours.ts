// Who touches and who shades whom. Contact planes go to the vertex stage as attributes of each
// balloon; what neighbours hide and throw back goes into a small map of directions a balloon
// (an octahedron unfolded to a square), all maps of a piece in one picture.
import { ClampToEdgeWrapping, DataTexture, LinearFilter, RGBAFormat, UnsignedByteType } from "three";

/** Contact planes kept a balloon: the deepest. */
export const CONTACTS = 8;
/** Texels along a map's side, and with the rim that lets it be read smoothly. */
export const SIDE = 10;
export const TILE = SIDE + 2;
/** Maps in one line of the picture. */
export const LINE = 64;
const SHADING = 12; // neighbours that shade a balloon, at most
const DEEPEST = 0.3; // no contact plane comes nearer to a centre [radii]
const REACH = 1.9; // a neighbour further than this many summed radii shades nothing worth seeing
const LOOSE = 0.0015; // overlap that is no contact [m]
const NO_PLANE = 9;

export interface Balls {
  count: number;
  centre: Float32Array;
  radius: Float32Array;
  /** Radius as an obstacle [m], 0 for none (ties). */
  shading: Float32Array;
  /** Whether a ball presses and is pressed. */
  soft: Uint8Array;
  colour: Float32Array;
}

export interface Around {
  /** (N, CONTACTS, 4): unit direction and height of each contact plane [radii]. */
  planes: Float32Array;
  /** RGB what neighbours throw back, A the share of free sky, by direction. */
  map: DataTexture;
}

export function around(balls: Balls): Around {
  const planes = new Float32Array(balls.count * CONTACTS * 4);
  const lines = Math.max(1, Math.ceil(balls.count / LINE));
  const wide = TILE * Math.min(LINE, Math.max(balls.count, 1));
  const pixels = new Uint8Array(wide * TILE * lines * 4);
  const grid = new Grid(balls);
  const weight = new Float32Array(balls.count);
  const found: number[] = [];
  const near = new Float32Array(SHADING * 7);
  for (let i = 0; i < balls.count; i += 1) {
    found.length = 0;
    grid.around(i, found, weight);
    if (found.length > SHADING) found.sort((a, b) => (weight[b] ?? 0) - (weight[a] ?? 0));
    contacts(balls, i, found, planes);
    const many = gather(balls, i, found, near);
    shadeMap(near, many, pixels, wide, (i % LINE) * TILE, Math.floor(i / LINE) * TILE);
  }
  const map = new DataTexture(pixels, wide, TILE * lines, RGBAFormat, UnsignedByteType);
  map.minFilter = map.magFilter = LinearFilter;
  map.wrapS = map.wrapT = ClampToEdgeWrapping;
  map.needsUpdate = true;
  return { planes, map };
}

/** Planes of the circles that overlapping balls share, the deepest first. */
function contacts(balls: Balls, i: number, found: readonly number[], planes: Float32Array): void {
  const { centre, radius, soft } = balls;
  const base = i * CONTACTS * 4;
  for (let k = 0; k < CONTACTS; k += 1) planes[base + 4 * k + 3] = NO_PLANE;
  if (!soft[i]) return;
  const own = radius[i] ?? 1;
  let many = 0;
  for (const j of found) {
    if (!soft[j]) continue;
    const x = (centre[3 * j] ?? 0) - (centre[3 * i] ?? 0);
    const y = (centre[3 * j + 1] ?? 0) - (centre[3 * i + 1] ?? 0);
    const z = (centre[3 * j + 2] ?? 0) - (centre[3 * i + 2] ?? 0);
    const gap = Math.hypot(x, y, z);
    const other = radius[j] ?? 0;
    if (gap < 1e-6 || own + other - gap <= LOOSE) continue;
    const height = (gap * gap + own * own - other * other) / (2 * gap) / own;
    if (height >= 0.995) continue;
    let at = Math.min(many, CONTACTS - 1);
    if (many >= CONTACTS && height >= (planes[base + 4 * at + 3] ?? 0)) continue;
    for (; at > 0 && (planes[base + 4 * at - 1] ?? 0) > height; at -= 1) {
      planes.copyWithin(base + 4 * at, base + 4 * at - 4, base + 4 * at);
    }
    planes.set([x / gap, y / gap, z / gap, Math.max(height, DEEPEST)], base + 4 * at);
    many += 1;
  }
}

/** Neighbours as seen from a ball, in its own radii: offset, radius, colour. */
function gather(balls: Balls, i: number, found: readonly number[], near: Float32Array): number {
  const own = balls.radius[i] ?? 1;
  const many = Math.min(found.length, SHADING);
  for (let k = 0; k < many; k += 1) {
    const j = found[k] ?? 0;
    for (let d = 0; d < 3; d += 1) {
      near[7 * k + d] = ((balls.centre[3 * j + d] ?? 0) - (balls.centre[3 * i + d] ?? 0)) / own;
      near[7 * k + 4 + d] = balls.colour[3 * j + d] ?? 0;
    }
    near[7 * k + 3] = (balls.shading[j] ?? 0) / own;
  }
  return many;
}

/** Directions of the texels of a map, its rim included. */
const WAYS = ((): Float32Array => {
  const out = new Float32Array(TILE * TILE * 3);
  for (let v = 0; v < TILE; v += 1) {
    for (let u = 0; u < TILE; u += 1) {
      let [x, y] = [((u - 0.5) / SIDE) * 2 - 1, ((v - 0.5) / SIDE) * 2 - 1];
      // beyond an edge the unfolded octahedron goes on mirrored along that edge
      if (Math.abs(x) > 1) [x, y] = [Math.sign(x) * (2 - Math.abs(x)), -y];
      if (Math.abs(y) > 1) [x, y] = [-x, Math.sign(y) * (2 - Math.abs(y))];
      const z = 1 - Math.abs(x) - Math.abs(y);
      if (z < 0) [x, y] = [(1 - Math.abs(y)) * (x < 0 ? -1 : 1), (1 - Math.abs(x)) * (y < 0 ? -1 : 1)];
      const size = Math.hypot(x, y, z) || 1;
      out.set([x / size, y / size, z / size], 3 * (v * TILE + u));
    }
  }
  return out;
})();

function shadeMap(near: Float32Array, many: number, pixels: Uint8Array, wide: number, left: number, top: number): void {
  for (let k = 0; k < TILE * TILE; k += 1) {
    const [px, py, pz] = [WAYS[3 * k] ?? 0, WAYS[3 * k + 1] ?? 0, WAYS[3 * k + 2] ?? 0];
    let [open, red, green, blue] = [1, 0, 0, 0];
    for (let j = 0; j < 7 * many; j += 7) {
      const dx = (near[j] ?? 0) - px;
      const dy = (near[j + 1] ?? 0) - py;
      const dz = (near[j + 2] ?? 0) - pz;
      const gap = Math.sqrt(dx * dx + dy * dy + dz * dz) || 1e-4;
      const far = Math.max(gap / (near[j + 3] ?? 1), 1);
      const facing = ((dx * px + dy * py + dz * pz) / gap) * far + 1;
      if (facing <= 0) continue;
      const part = Math.min((0.5 * facing) / (far * far), 1);
      const cover = part * Math.sqrt(part);
      red += (near[j + 4] ?? 0) * cover * open;
      green += (near[j + 5] ?? 0) * cover * open;
      blue += (near[j + 6] ?? 0) * cover * open;
      open *= 1 - 0.94 * cover;
    }
    const at = 4 * ((top + Math.floor(k / TILE)) * wide + left + (k % TILE));
    pixels[at] = 255 * Math.min(red, 1);
    pixels[at + 1] = 255 * Math.min(green, 1);
    pixels[at + 2] = 255 * Math.min(blue, 1);
    pixels[at + 3] = 255 * open;
  }
}

/** Balls sorted into cubes as wide as the furthest that two of them can matter to each other. */
class Grid {
  private readonly cells = new Map<number, number[]>();
  private readonly step: number;
  private readonly balls: Balls;

  constructor(balls: Balls) {
    this.balls = balls;
    let widest = 0.05;
    for (let k = 0; k < balls.count; k += 1) widest = Math.max(widest, balls.radius[k] ?? 0);
    this.step = widest * 2 * REACH;
    for (let k = 0; k < balls.count; k += 1) {
      const key = this.key(this.cell(k, 0), this.cell(k, 1), this.cell(k, 2));
      const cell = this.cells.get(key);
      if (cell) cell.push(k);
      else this.cells.set(key, [k]);
    }
  }

  private cell(k: number, d: number): number {
    return Math.floor((this.balls.centre[3 * k + d] ?? 0) / this.step) + 4096;
  }

  private key(x: number, y: number, z: number): number {
    return (x * 8192 + y) * 8192 + z;
  }

  around(i: number, found: number[], weight: Float32Array): void {
    const { centre, radius, shading } = this.balls;
    const [cx, cy, cz] = [this.cell(i, 0), this.cell(i, 1), this.cell(i, 2)];
    for (let x = cx - 1; x <= cx + 1; x += 1) {
      for (let y = cy - 1; y <= cy + 1; y += 1) {
        for (let z = cz - 1; z <= cz + 1; z += 1) {
          for (const j of this.cells.get(this.key(x, y, z)) ?? []) {
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
    const dx = (balls.centre[3 * j] ?? 0) - (at[0] ?? 0);
    const dy = (balls.centre[3 * j + 1] ?? 0) - (at[1] ?? 0);
    const dz = (balls.centre[3 * j + 2] ?? 0) - (at[2] ?? 0);
    const gap = Math.sqrt(dx * dx + dy * dy + dz * dz) || 1e-6;
    const h = Math.max(gap / Math.max(balls.shading[j] ?? 0, 1e-4), 1.001);
    const facing = (dx * (normal[0] ?? 0) + dy * (normal[1] ?? 0) + dz * (normal[2] ?? 0)) / gap;
    const part = Math.min(Math.max((0.5 * (facing * h + 1)) / (h * h), 0), 1);
    open *= 1 - part * Math.sqrt(part);
  }
  return 1 - open;
}
