// The floor: a sheet of graph paper, a line every metre (or foot) with its figures in front.
import { CanvasTexture, Color, Group, LinearFilter, Mesh, PlaneGeometry, ShaderMaterial, Vector2 } from "three";
import type { Pose } from "./camera";
import type { Theme } from "./theme";

const VERTEX = /* glsl */ `
out vec2 vAt;
void main() {
  vec4 world = modelMatrix * vec4(position, 1.0);
  vAt = world.xy;
  gl_Position = projectionMatrix * viewMatrix * world;
}
`;
const FRAGMENT = /* glsl */ `
in vec2 vAt;
uniform vec3 pen;
uniform vec2 middle;
uniform vec2 size;   // half of what the decor covers
uniform float step_; // between strong lines
uniform float strength;
float line(vec2 at, float every, float thick) {
  vec2 g = abs(fract(at / every - 0.5) - 0.5) * every;
  vec2 w = fwidth(at);
  vec2 on = 1.0 - smoothstep(w * (thick - 0.5), w * (thick + 0.5), g);
  on *= 1.0 - smoothstep(0.12, 0.5, w / every); // too fine to tell apart: let it go
  return max(on.x, on.y);
}
void main() {
  vec2 out_ = max(abs(vAt - middle) - size, 0.0);
  float fade = 1.0 - smoothstep(0.2, 2.6, length(out_));
  float fine = line(vAt, step_ / 5.0, 0.5) * 0.38;
  float bold = line(vAt, step_, 0.75);
  gl_FragColor = vec4(pen, max(fine, bold) * fade * strength);
  if (gl_FragColor.a < 0.003) discard;
  #include <colorspace_fragment>
}
`;
const LABEL_VERTEX = /* glsl */ `
out vec2 vUv;
void main() {
  vUv = uv;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`;
const LABEL_FRAGMENT = /* glsl */ `
in vec2 vUv;
uniform sampler2D words;
uniform vec3 ink;
void main() {
  gl_FragColor = vec4(ink, texture(words, vUv).r * 0.85);
  #include <colorspace_fragment>
}
`;

const FOOT = 0.3048;
const MOST_LABELS = 40;

export class Floor {
  readonly group = new Group();
  private readonly sheet: Mesh<PlaneGeometry, ShaderMaterial>;
  private readonly step: number;
  private readonly unit: string;
  private labels: Mesh<PlaneGeometry, ShaderMaterial>[] = [];
  private laid = "";
  private front = 0;
  private theme: Theme | null = null;

  constructor(grid: "metre" | "foot") {
    this.step = grid === "foot" ? FOOT * 2 : 1;
    this.unit = grid === "foot" ? "ft" : "m";
    const material = new ShaderMaterial({
      uniforms: {
        pen: { value: new Color() },
        middle: { value: new Vector2() },
        size: { value: new Vector2(1, 1) },
        step_: { value: this.step },
        strength: { value: 0.2 },
      },
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      transparent: true,
      depthWrite: false,
    });
    this.sheet = new Mesh(new PlaneGeometry(1, 1), material);
    this.sheet.renderOrder = -10;
    this.group.add(this.sheet);
  }

  paint(theme: Theme): void {
    const { uniforms } = this.sheet.material;
    (uniforms.pen?.value as Color | undefined)?.copy(theme.pen);
    if (uniforms.strength) uniforms.strength.value = theme.dark ? 0.3 : 0.24;
    this.theme = theme;
    this.laid = "";
  }

  /** Lay the paper under what stands from `low` to `high` (x, y) [m]. */
  lay(low: [number, number], high: [number, number]): void {
    const { uniforms } = this.sheet.material;
    const [w, d] = [high[0] - low[0], high[1] - low[1]];
    const middle = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2] as const;
    (uniforms.middle?.value as Vector2 | undefined)?.set(...middle);
    (uniforms.size?.value as Vector2 | undefined)?.set(w / 2, d / 2);
    this.sheet.position.set(middle[0], middle[1], 0);
    this.sheet.scale.set(w + 6, d + 6, 1);
    const from = Math.floor(low[0] / this.step);
    const to = Math.ceil(high[0] / this.step);
    const front = (Math.floor((low[1] - 0.25) / (this.step / 5)) * this.step) / 5;
    const key = `${from},${to},${front}`;
    if (key === this.laid || !this.theme) return;
    this.laid = key;
    this.front = front;
    this.letter(from, to, front, this.theme);
  }

  /** From below the floor is not there; along it, its figures could not be read. */
  seen(pose: Pose): void {
    this.group.visible = pose.polar < 1.6;
    const size = Math.min(Math.max((pose.distance * pose.opening) / 170, 0.8), 3);
    for (const label of this.labels) {
      label.visible = pose.polar < 1.42;
      label.scale.setScalar(size);
      label.position.y = this.front - 0.1 * size;
    }
  }

  dispose(): void {
    this.clear();
    this.sheet.geometry.dispose();
    this.sheet.material.dispose();
  }

  private clear(): void {
    for (const label of this.labels) {
      this.group.remove(label);
      label.geometry.dispose();
      (label.material.uniforms.words?.value as CanvasTexture | undefined)?.dispose();
      label.material.dispose();
    }
    this.labels = [];
  }

  /** Figures along the front: how far from the middle of the floor. */
  private letter(from: number, to: number, front: number, theme: Theme): void {
    this.clear();
    const every = Math.max(1, Math.ceil((to - from) / MOST_LABELS));
    const per = this.unit === "ft" ? 2 : 1;
    for (let k = Math.ceil(from / every) * every; k <= to; k += every) {
      const words = k === 0 ? `0 ${this.unit}` : `${k * per}`.replace("-", "−");
      this.labels.push(label(words, k * this.step, front, theme));
    }
    for (const made of this.labels) this.group.add(made);
  }
}

function label(words: string, x: number, y: number, theme: Theme): Mesh<PlaneGeometry, ShaderMaterial> {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [128, 64];
  const pen = canvas.getContext("2d");
  if (pen) {
    pen.fillStyle = "#000";
    pen.fillRect(0, 0, 128, 64);
    pen.fillStyle = "#fff";
    pen.font = `500 44px ${theme.font}`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.fillText(words, 64, 34);
  }
  const texture = new CanvasTexture(canvas);
  texture.minFilter = LinearFilter;
  texture.generateMipmaps = true;
  texture.anisotropy = 8;
  const material = new ShaderMaterial({
    uniforms: { words: { value: texture }, ink: { value: theme.quiet } },
    vertexShader: LABEL_VERTEX,
    fragmentShader: LABEL_FRAGMENT,
    transparent: true,
    depthWrite: false,
  });
  const made = new Mesh(new PlaneGeometry(0.24, 0.12), material);
  made.position.set(x, y, 0.002);
  made.renderOrder = -4;
  return made;
}
