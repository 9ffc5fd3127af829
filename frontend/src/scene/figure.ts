// A person of 1.70 m and a door for scale: flat cards, our own outline, turned to the viewer.
import { Color, Group, Mesh, Path, Shape, ShaderMaterial, ShapeGeometry, type BufferGeometry } from "three";
import table from "../../../src/airwright/pictures/person.json";

// Right half of a standing person, (half width, height) [m], from the crown down the outside to
// the crotch: the table that drawings and photographs are made from, too.
const HALF = table.half.map(([x, y]) => [x ?? 0, y ?? 0] as const);
const ARMPIT = table.armpit;
export const PERSON_WIDE = 2 * Math.max(...HALF.map(([x]) => x));
export const DOOR_WIDE = 1.01;

const VERTEX = /* glsl */ `
void main() {
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`;
const FRAGMENT = /* glsl */ `
uniform vec3 tone;
void main() {
  gl_FragColor = vec4(tone, 1.0);
  #include <colorspace_fragment>
}
`;

export class Figures {
  readonly person = new Group();
  readonly door = new Group();
  private readonly tones = { body: { value: new Color() }, leaf: { value: new Color() }, dark: { value: new Color() } };
  private readonly made: { geometry: BufferGeometry; material: ShaderMaterial }[] = [];

  constructor() {
    this.card(this.person, new ShapeGeometry(outline(), 10), this.tones.body, 0);
    const [w, h] = [0.9, 2.03];
    const frame = box(-w / 2 - 0.055, 0, w + 0.11, h + 0.055);
    frame.holes.push(new Path(box(-w / 2, -0.01, w, h + 0.01).getPoints()));
    this.card(this.door, new ShapeGeometry(frame), this.tones.body, 0);
    this.card(this.door, new ShapeGeometry(box(-w / 2 + 0.006, 0.006, w - 0.012, h - 0.012)), this.tones.leaf, 0.001);
    const panels = [box(-0.34 * w, 0.08 * h, 0.68 * w, 0.41 * h), box(-0.34 * w, 0.55 * h, 0.68 * w, 0.38 * h)];
    for (const panel of panels) {
      panel.holes.push(new Path(inner(panel, 0.014)));
      this.card(this.door, new ShapeGeometry(panel), this.tones.body, 0.002);
    }
    this.card(this.door, new ShapeGeometry(box(-0.43 * w, 1.04, 0.1, 0.018)), this.tones.dark, 0.003);
    this.person.visible = this.door.visible = false;
  }

  paint(sheet: Color, ink: Color): void {
    this.tones.body.value.copy(sheet).lerp(ink, 0.21);
    this.tones.leaf.value.copy(sheet).lerp(ink, 0.06);
    this.tones.dark.value.copy(sheet).lerp(ink, 0.4);
  }

  /** Stand to the right of what ends at `right`, on a line `y` away [m]. */
  stand(right: number, y: number): void {
    let edge = right + 0.28;
    if (this.person.visible) {
      this.person.position.set(edge + PERSON_WIDE / 2, y, 0);
      edge += PERSON_WIDE + 0.28;
    }
    if (this.door.visible) this.door.position.set(edge + DOOR_WIDE / 2, y, 0);
  }

  /** Where they end on the right [m], or `right` when none is shown. */
  end(right: number): number {
    const shown = [this.person.visible ? PERSON_WIDE + 0.28 : 0, this.door.visible ? DOOR_WIDE + 0.28 : 0];
    return right + (shown[0] ?? 0) + (shown[1] ?? 0);
  }

  face(azimuth: number): void {
    this.person.rotation.z = this.door.rotation.z = azimuth;
  }

  dispose(): void {
    for (const { geometry, material } of this.made) {
      geometry.dispose();
      material.dispose();
    }
  }

  private card(group: Group, geometry: BufferGeometry, tone: { value: Color }, forward: number): void {
    geometry.rotateX(Math.PI / 2); // shapes are drawn x right, y up
    const material = new ShaderMaterial({ uniforms: { tone }, vertexShader: VERTEX, fragmentShader: FRAGMENT, side: 2 });
    const mesh = new Mesh(geometry, material);
    mesh.position.y = -forward * 4;
    group.add(mesh);
    this.made.push({ geometry, material });
  }
}

function outline(): Shape {
  const left = HALF.slice(1, -1).reverse().map(([x, y]) => [-x, y] as const);
  const ring = [...HALF, ...left];
  const crotch = HALF.length - 1;
  const sharp = new Set([ARMPIT, crotch, 2 * crotch - ARMPIT]);
  const shape = new Shape();
  const first = ring[0] ?? [0, 0];
  shape.moveTo(first[0], first[1]);
  for (let k = 0; k < ring.length; k += 1) {
    const [p, q, r, s] = [-1, 0, 1, 2].map((d) => ring[(k + d + ring.length) % ring.length] ?? first);
    if (!p || !q || !r || !s) continue;
    // a smooth curve through the points, straight into and out of the sharp ones
    const a = sharp.has(k) ? 0 : 1 / 6;
    const b = sharp.has((k + 1) % ring.length) ? 0 : 1 / 6;
    shape.bezierCurveTo(q[0] + a * (r[0] - p[0]), q[1] + a * (r[1] - p[1]), r[0] - b * (s[0] - q[0]), r[1] - b * (s[1] - q[1]), r[0], r[1]);
  }
  return shape;
}

function box(x: number, y: number, wide: number, high: number): Shape {
  const shape = new Shape();
  return shape.moveTo(x, y).lineTo(x + wide, y).lineTo(x + wide, y + high).lineTo(x, y + high).closePath() as Shape;
}

function inner(shape: Shape, by: number): import("three").Vector2[] {
  const points = shape.getPoints();
  const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)];
  return box(Math.min(...xs) + by, Math.min(...ys) + by, Math.max(...xs) - Math.min(...xs) - 2 * by, Math.max(...ys) - Math.min(...ys) - 2 * by).getPoints();
}
