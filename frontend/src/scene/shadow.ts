// Soft shadows where pieces meet the floor. Each balloon hides a part of the sky from the floor;
// the parts are summed once per piece into a small picture, which then lies under all its copies.
import { Color, DataTexture, DataUtils, HalfFloatType, LinearFilter, Mesh, PlaneGeometry, RedFormat, ShaderMaterial } from "three";
import type { Model } from "./model";

const MARGIN = 1.1; // how far a shadow runs out beyond its piece [m]
const FINEST = 72; // texels along the longer side

const VERTEX = /* glsl */ `
out vec2 vUv;
void main() {
  vUv = uv;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`;
const FRAGMENT = /* glsl */ `
in vec2 vUv;
uniform sampler2D laid;
uniform vec3 tone;
uniform float strength;
void main() {
  // read between texels along a smooth curve, so that no lattice shows
  vec2 size = vec2(textureSize(laid, 0));
  vec2 at = vUv * size + 0.5;
  vec2 whole = floor(at);
  vec2 part = at - whole;
  float dark = texture(laid, (whole + part * part * (3.0 - 2.0 * part) - 0.5) / size).r;
  gl_FragColor = vec4(tone, dark * strength);
  #include <colorspace_fragment>
}
`;

interface Cast {
  sheet: PlaneGeometry;
  material: ShaderMaterial;
  laid: DataTexture;
}

export class Shadows {
  private readonly known = new Map<Model, Cast>();
  private readonly tone = { value: new Color(0, 0, 0) };
  private readonly strength = { value: 0.6 };

  theme(tone: Color, strength: number): void {
    this.tone.value.copy(tone);
    this.strength.value = strength;
  }

  /** A sheet of shadow to lie under one copy. */
  under(model: Model): Mesh {
    let found = this.known.get(model);
    if (!found) {
      found = this.cast(model);
      this.known.set(model, found);
    }
    const mesh = new Mesh(found.sheet, found.material);
    mesh.renderOrder = -5;
    mesh.position.z = 0.001;
    mesh.updateMatrix();
    mesh.matrixAutoUpdate = false;
    return mesh;
  }

  forget(model: Model): void {
    const found = this.known.get(model);
    if (!found) return;
    this.known.delete(model);
    found.sheet.dispose();
    found.material.dispose();
    found.laid.dispose();
  }

  dispose(): void {
    for (const model of [...this.known.keys()]) this.forget(model);
  }

  private cast(model: Model): Cast {
    const { low, high } = model.extent;
    const [left, front] = [low[0] - MARGIN, low[1] - MARGIN];
    const [wide, deep] = [high[0] + MARGIN - left, high[1] + MARGIN - front];
    const laid = summed(model, left, front, wide, deep);
    const sheet = new PlaneGeometry(wide, deep);
    sheet.translate(left + wide / 2, front + deep / 2, 0);
    const material = new ShaderMaterial({
      uniforms: { laid: { value: laid }, tone: this.tone, strength: this.strength },
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      transparent: true,
      depthWrite: false,
    });
    return { sheet, material, laid };
  }
}

/** A ball of radius r at height h hides r² h / (h² + d²)^1.5 of the sky of a spot d away. */
function summed(model: Model, left: number, front: number, wide: number, deep: number): DataTexture {
  const step = Math.max(wide, deep) / FINEST;
  const [columns, lines] = [Math.max(8, Math.round(wide / step)), Math.max(8, Math.round(deep / step))];
  const hidden = new Float32Array(columns * lines);
  const blobs = blobsOf(model);
  for (let b = 0; b < blobs.length; b += 4) {
    const [x, y, h, r] = [blobs[b] ?? 0, blobs[b + 1] ?? 0, Math.max(blobs[b + 2] ?? 0, (blobs[b + 3] ?? 0) * 0.75), blobs[b + 3] ?? 0];
    for (let v = 0; v < lines; v += 1) {
      const dy = front + ((v + 0.5) / lines) * deep - y;
      for (let u = 0; u < columns; u += 1) {
        const dx = left + ((u + 0.5) / columns) * wide - x;
        const d2 = h * h + dx * dx + dy * dy;
        const part = Math.min((r * r * h) / (d2 * Math.sqrt(d2)), 0.96);
        const at = v * columns + u;
        hidden[at] = (hidden[at] ?? 0) + part * (1 + 0.5 * part);
      }
    }
  }
  const data = new Uint16Array(columns * lines);
  const { low, high } = model.extent;
  for (let v = 0; v < lines; v += 1) {
    for (let u = 0; u < columns; u += 1) {
      // dies away round the piece before the sheet ends
      const x = left + ((u + 0.5) / columns) * wide;
      const y = front + ((v + 0.5) / lines) * deep;
      const out = Math.hypot(Math.max(low[0] - x, x - high[0], 0), Math.max(low[1] - y, y - high[1], 0));
      const near = Math.max(1 - out / (MARGIN * 0.95), 0);
      const dark = 1 - Math.exp(-0.85 * (hidden[v * columns + u] ?? 0));
      data[v * columns + u] = DataUtils.toHalfFloat(dark * near * near * (3 - 2 * near));
    }
  }
  const laid = new DataTexture(data, columns, lines, RedFormat, HalfFloatType);
  laid.minFilter = laid.magFilter = LinearFilter;
  laid.needsUpdate = true;
  return laid;
}

/** x, y, height, radius of what shades the floor; the high ones gathered, since they blur anyway. */
function blobsOf(model: Model): number[] {
  const out: number[] = [];
  const gathered = new Map<string, [number, number, number, number]>();
  const { centre, shading, count } = model.balloons.balls;
  for (let k = 0; k < count; k += 1) {
    const [x, y, z, r] = [centre[3 * k] ?? 0, centre[3 * k + 1] ?? 0, centre[3 * k + 2] ?? 0, shading[k] ?? 0];
    if (r <= 0) continue;
    if (z < 0.45) {
      out.push(x, y, z, r);
      continue;
    }
    const cell = 0.3 * z;
    const key = `${Math.round(x / cell)},${Math.round(y / cell)},${Math.floor(z / cell)}`;
    const seen = gathered.get(key) ?? [0, 0, 0, 0];
    const weight = r * r;
    gathered.set(key, [seen[0] + weight * x, seen[1] + weight * y, seen[2] + weight * z, seen[3] + weight]);
  }
  for (const [x, y, z, weight] of gathered.values()) out.push(x / weight, y / weight, z / weight, Math.sqrt(weight));
  for (const part of model.picture.hardware) {
    const [at] = part.path;
    if (part.path.length === 1 && at && part.height > 0) out.push(at[0], at[1], Math.max(part.height, part.across * 0.3), part.across * 0.5);
  }
  return out;
}
