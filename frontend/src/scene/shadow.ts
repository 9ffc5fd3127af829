// Soft shadows where pieces meet the floor. Each balloon hides a part of the sky from the floor;
// the parts are summed once per piece into a small picture, which then lies under all its copies.
import {
  AddEquation,
  BufferAttribute,
  Color,
  CustomBlending,
  DoubleSide,
  HalfFloatType,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  LinearFilter,
  Mesh,
  OneFactor,
  OrthographicCamera,
  PlaneGeometry,
  RGBAFormat,
  Scene,
  ShaderMaterial,
  WebGLRenderTarget,
  type WebGLRenderer,
} from "three";
import type { Model } from "./model";

const MARGIN = 0.9; // how far a shadow runs out beyond its piece [m]
const FINEST = 160; // pixels along the longer side

const SPLAT_VERTEX = /* glsl */ `
in vec4 blob; // x, y, height, radius
uniform vec4 field; // left, front, width, depth
out vec2 vAway;
out vec2 vBlob;
void main() {
  float reach = blob.z * 2.6 + blob.w * 1.5 + 0.1;
  vec2 at = blob.xy + position.xy * reach;
  vAway = position.xy * reach;
  vBlob = blob.zw;
  gl_Position = vec4((at - field.xy) / field.zw * 2.0 - 1.0, 0.0, 1.0);
}
`;
// A ball of radius r at height h hides r² h / (h² + d²)^1.5 of the sky of a spot d away.
const SPLAT_FRAGMENT = /* glsl */ `
in vec2 vAway;
in vec2 vBlob;
void main() {
  float h = max(vBlob.x, vBlob.y * 0.75);
  float reach = h * 2.6 + vBlob.y * 1.5 + 0.1;
  float d2 = dot(vAway, vAway);
  float part = min(vBlob.y * vBlob.y * h / pow(h * h + d2, 1.5), 0.96);
  float edge = 1.0 - smoothstep(0.55, 1.0, sqrt(d2) / reach);
  gl_FragColor = vec4(-log(1.0 - part) * edge);
}
`;
const LAY_VERTEX = /* glsl */ `
out vec2 vUv;
void main() {
  vUv = uv;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`;
const LAY_FRAGMENT = /* glsl */ `
in vec2 vUv;
uniform sampler2D laid;
uniform vec3 tone;
uniform float strength;
void main() {
  vec2 edge = min(vUv, 1.0 - vUv);
  float fade = smoothstep(0.0, 0.22, min(edge.x, edge.y));
  float dark = 1.0 - exp(-texture(laid, vUv).r * 0.85);
  gl_FragColor = vec4(tone, dark * fade * strength);
  #include <colorspace_fragment>
}
`;

export class Shadows {
  private readonly renderer: WebGLRenderer;
  private readonly known = new Map<Model, { mesh: Mesh<PlaneGeometry, ShaderMaterial>; target: WebGLRenderTarget }>();
  private readonly tone = { value: new Color(0, 0, 0) };
  private readonly strength = { value: 0.6 };

  constructor(renderer: WebGLRenderer) {
    this.renderer = renderer;
  }

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
    const mesh = new Mesh(found.mesh.geometry, found.mesh.material);
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
    found.mesh.geometry.dispose();
    found.mesh.material.dispose();
    found.target.dispose();
  }

  dispose(): void {
    for (const model of [...this.known.keys()]) this.forget(model);
  }

  private cast(model: Model): { mesh: Mesh<PlaneGeometry, ShaderMaterial>; target: WebGLRenderTarget } {
    const { low, high } = model.extent;
    const [left, front] = [low[0] - MARGIN, low[1] - MARGIN];
    const [wide, deep] = [high[0] + MARGIN - left, high[1] + MARGIN - front];
    const scale = FINEST / Math.max(wide, deep);
    const target = new WebGLRenderTarget(Math.max(16, Math.round(wide * scale)), Math.max(16, Math.round(deep * scale)), {
      format: RGBAFormat,
      type: HalfFloatType,
      minFilter: LinearFilter,
      magFilter: LinearFilter,
      depthBuffer: false,
    });
    this.splat(model, target, [left, front, wide, deep]);
    const sheet = new PlaneGeometry(wide, deep);
    sheet.translate(left + wide / 2, front + deep / 2, 0);
    const material = new ShaderMaterial({
      uniforms: { laid: { value: target.texture }, tone: this.tone, strength: this.strength },
      vertexShader: LAY_VERTEX,
      fragmentShader: LAY_FRAGMENT,
      transparent: true,
      depthWrite: false,
    });
    return { mesh: new Mesh(sheet, material), target };
  }

  private splat(model: Model, target: WebGLRenderTarget, field: [number, number, number, number]): void {
    const quads = new InstancedBufferGeometry();
    quads.setAttribute("position", new BufferAttribute(new Float32Array([-1, -1, 0, 1, -1, 0, 1, 1, 0, -1, 1, 0]), 3));
    quads.setIndex([0, 1, 2, 0, 2, 3]);
    const blobs = blobsOf(model);
    quads.setAttribute("blob", new InstancedBufferAttribute(blobs, 4));
    quads.instanceCount = blobs.length / 4;
    const paint = new ShaderMaterial({
      uniforms: { field: { value: field } },
      vertexShader: SPLAT_VERTEX,
      fragmentShader: SPLAT_FRAGMENT,
      blending: CustomBlending,
      blendEquation: AddEquation,
      blendSrc: OneFactor,
      blendDst: OneFactor,
      depthTest: false,
      depthWrite: false,
      side: DoubleSide,
      transparent: true,
    });
    const mesh = new Mesh(quads, paint);
    mesh.frustumCulled = false;
    const stage = new Scene();
    stage.add(mesh);
    const before = this.renderer.getRenderTarget();
    const clear = this.renderer.getClearColor(new Color());
    const alpha = this.renderer.getClearAlpha();
    this.renderer.setRenderTarget(target);
    this.renderer.setClearColor(0x000000, 0);
    this.renderer.clear();
    this.renderer.render(stage, new OrthographicCamera());
    this.renderer.setRenderTarget(before);
    this.renderer.setClearColor(clear, alpha);
    quads.dispose();
    paint.dispose();
  }
}

/** x, y, height, radius of what shades the floor; the high ones gathered, since they blur anyway. */
function blobsOf(model: Model): Float32Array {
  const out: number[] = [];
  const gathered = new Map<string, [number, number, number, number]>();
  const { centre, shading, count } = model.balloons.balls;
  for (let k = 0; k < count; k += 1) {
    const [x, y, z, r] = [centre[3 * k] ?? 0, centre[3 * k + 1] ?? 0, centre[3 * k + 2] ?? 0, shading[k] ?? 0];
    if (r <= 0) continue;
    if (z < 0.8 || count < 60) {
      out.push(x, y, z, r);
      continue;
    }
    const cell = 0.25 * z;
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
  return new Float32Array(out);
}
