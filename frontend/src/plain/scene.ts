// The decor in space: one instanced draw a shape and finish, drawn only when something changed.
import {
  AmbientLight, Box3, Color, DirectionalLight, DoubleSide, Group, HemisphereLight, InstancedMesh, Matrix4, Mesh,
  MeshPhysicalMaterial, PCFShadowMap, PerspectiveCamera, PlaneGeometry, Raycaster, Scene, ShadowMaterial,
  SRGBColorSpace, Vector2, Vector3, WebGLRenderer,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
import type { Stand } from "../bench/layout";
import { floats, type Picture, shorts } from "../bench/types";
import { door, person, props } from "./props";
import { shape } from "./shapes";
import type { Eye, SceneView } from "./view";

const EYE_M = 1.6;
const UP = new Vector3(0, 0, 1);

const FINISHES: Record<string, () => MeshPhysicalMaterial> = {
  matte: () => new MeshPhysicalMaterial({ roughness: 0.42, clearcoat: 0.3, clearcoatRoughness: 0.3 }),
  pearl: () => new MeshPhysicalMaterial({ roughness: 0.28, metalness: 0.15, clearcoat: 0.6, clearcoatRoughness: 0.2 }),
  metallic: () => new MeshPhysicalMaterial({ roughness: 0.22, metalness: 0.55, clearcoat: 0.8, clearcoatRoughness: 0.1 }),
  clear: () => new MeshPhysicalMaterial({ roughness: 0.06, transparent: true, opacity: 0.32, side: DoubleSide, depthWrite: false }),
};

interface Heap { matrices: Matrix4[]; colours: Color[]; owners: number[] }

export class DecorScene implements SceneView {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(26, 1, 0.05, 400);
  private readonly controls: OrbitControls;
  private readonly decor = new Group();
  private readonly sun = new DirectionalLight(0xfff6ea, 1.75);
  private readonly extras = { person: person(), door: door() };
  private readonly materials = new Map<string, MeshPhysicalMaterial>();
  private bounds = new Box3(new Vector3(-1, -0.5, 0), new Vector3(1, 0.5, 2));
  private from: Eye = "front";
  private onPick: (index: number) => void = () => undefined;
  private asked = false;
  private shown = 0;

  constructor(private readonly host: HTMLElement) {
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true, powerPreference: "low-power" });
    this.renderer.outputColorSpace = SRGBColorSpace;
    this.renderer.shadowMap.enabled = true;
    this.renderer.shadowMap.type = PCFShadowMap;
    this.renderer.shadowMap.autoUpdate = false;
    const canvas = this.renderer.domElement;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", "The decor in space. Arrow keys walk round it, plus and minus go nearer and farther.");
    host.append(canvas);
    this.camera.up.copy(UP);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.maxPolarAngle = Math.PI / 2 - 0.01;
    this.controls.zoomSpeed = 0.8;
    this.controls.addEventListener("change", () => this.draw());
    this.light();
    this.scene.add(this.decor, this.floor());
    for (const extra of Object.values(this.extras)) {
      extra.visible = false;
      this.scene.add(extra);
    }
    canvas.addEventListener("keydown", (event) => this.key(event));
    this.listenForPicks(canvas);
    this.resize();
  }

  async show(stands: Stand[], chosen: number | null): Promise<void> {
    const turn = ++this.shown;
    const heaps = new Map<string, Heap>();
    const group = new Group();
    for (const stand of stands) this.pile(stand, heaps, group);
    const meshes = await Promise.all(
      [...heaps].map(async ([key, heap]) => {
        const [name, finish] = key.split("|") as [string, string];
        return this.instanced(await shape(name), finish, heap);
      }),
    );
    if (turn !== this.shown) return;
    for (const mesh of meshes) group.add(mesh);
    this.clear();
    this.decor.add(group);
    this.measure(stands);
    this.placeExtras();
    this.ring(stands, chosen);
    this.renderer.shadowMap.needsUpdate = true;
    this.renderNow();
  }

  look(from: Eye): void {
    this.from = from;
    const box = this.withExtras();
    const middle = box.getCenter(new Vector3());
    const size = box.getSize(new Vector3());
    const half = Math.tan(((this.camera.fov / 2) * Math.PI) / 180);
    const fit = (wide: number, high: number): number => (Math.max(high, wide / this.camera.aspect) / 2 / half) * 1.12;
    this.controls.maxPolarAngle = from === "top" ? Math.PI : Math.PI / 2 - 0.01;
    if (from === "top") {
      this.camera.position.set(middle.x, middle.y - 0.01, middle.z + size.z / 2 + fit(size.x, size.y));
    } else if (from === "side") {
      this.camera.position.set(middle.x + size.x / 2 + fit(size.y, size.z), middle.y, middle.z);
    } else if (from === "eye") {
      const away = Math.max(3, size.x * 0.9);
      this.camera.position.set(middle.x + away * 0.25, box.min.y - away, EYE_M);
      middle.z = Math.min(EYE_M, middle.z + 0.2);
    } else {
      this.camera.position.set(middle.x, box.min.y - fit(size.x, size.z), middle.z + size.z * 0.06);
    }
    this.camera.fov = from === "eye" ? 50 : 26;
    this.camera.updateProjectionMatrix();
    this.controls.target.copy(middle);
    this.controls.update();
    this.draw();
  }

  scale(what: "person" | "door", on: boolean): void {
    this.extras[what].visible = on;
    this.placeExtras();
    this.renderer.shadowMap.needsUpdate = true;
    this.look(this.from);
  }

  picked(call: (index: number) => void): void {
    this.onPick = call;
  }

  resize(): void {
    const { clientWidth: wide, clientHeight: high } = this.host;
    if (!wide || !high) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(wide, high, false);
    this.camera.aspect = wide / high;
    this.camera.updateProjectionMatrix();
    this.look(this.from);
  }

  dispose(): void {
    this.clear();
    this.controls.dispose();
    this.renderer.dispose();
    this.renderer.domElement.remove();
  }

  private light(): void {
    this.scene.add(new HemisphereLight(0xffffff, 0xe6dfd4, 2.15), new AmbientLight(0xffffff, 0.3));
    this.sun.castShadow = true;
    this.sun.shadow.mapSize.set(1024, 1024);
    this.sun.shadow.radius = 5;
    this.sun.shadow.bias = -0.0006;
    this.sun.shadow.normalBias = 0.03;
    const fill = new DirectionalLight(0xdfe4ff, 0.55);
    fill.position.set(-4, -3, 2);
    this.scene.add(this.sun, this.sun.target, fill);
  }

  private floor(): Mesh {
    const plane = new Mesh(new PlaneGeometry(200, 200), new ShadowMaterial({ opacity: 0.2 }));
    plane.receiveShadow = true;
    plane.name = "floor";
    return plane;
  }

  private pile(stand: Stand, heaps: Map<string, Heap>, group: Group): void {
    const picture = stand.piece.picture;
    if (!picture) return;
    const place = new Matrix4().makeRotationZ(stand.turn).setPosition(stand.x, stand.y, 0);
    const things = props(picture);
    things.applyMatrix4(place);
    things.userData["index"] = stand.piece.index;
    group.add(things);
    const own = balloons(picture);
    for (let row = 0; row < own.matrices.length; row++) {
      const key = own.keys[row] as string;
      let heap = heaps.get(key);
      if (!heap) heaps.set(key, (heap = { matrices: [], colours: [], owners: [] }));
      heap.matrices.push(new Matrix4().multiplyMatrices(place, own.matrices[row] as Matrix4));
      heap.colours.push(own.colours[row] as Color);
      heap.owners.push(stand.piece.index);
    }
  }

  private instanced(geometry: Parameters<typeof shape> extends [string] ? Awaited<ReturnType<typeof shape>> : never, finish: string, heap: Heap): InstancedMesh {
    let material = this.materials.get(finish);
    if (!material) this.materials.set(finish, (material = (FINISHES[finish] ?? FINISHES["matte"])!()));
    const mesh = new InstancedMesh(geometry, material, heap.matrices.length);
    heap.matrices.forEach((matrix, row) => mesh.setMatrixAt(row, matrix));
    heap.colours.forEach((colour, row) => mesh.setColorAt(row, colour));
    mesh.castShadow = finish !== "clear";
    mesh.receiveShadow = finish !== "clear";
    mesh.userData["owners"] = heap.owners;
    mesh.frustumCulled = false;
    return mesh;
  }

  private clear(): void {
    for (const group of [...this.decor.children]) {
      group.traverse((part) => {
        if (part instanceof InstancedMesh) part.dispose();
        else if (part instanceof Mesh) part.geometry.dispose();
      });
      this.decor.remove(group);
    }
  }

  private measure(stands: Stand[]): void {
    const first = this.bounds.isEmpty() || !this.decor.userData["seen"];
    const box = new Box3();
    for (const { piece, x, y } of stands) {
      const [wide, deep, high] = piece.size ?? [0.5, 0.5, 1];
      const reach = Math.max(wide, deep) / 2;
      box.expandByPoint(new Vector3(x - wide / 2, y - reach, 0)).expandByPoint(new Vector3(x + wide / 2, y + reach, high));
    }
    if (box.isEmpty()) box.set(new Vector3(-1, -0.5, 0), new Vector3(1, 0.5, 2));
    const grown = this.bounds.getSize(new Vector3()).distanceTo(box.getSize(new Vector3())) > 0.15;
    this.bounds = box;
    const size = box.getSize(new Vector3()).length();
    const middle = box.getCenter(new Vector3());
    this.sun.position.copy(middle).add(new Vector3(size * 0.5, -size * 0.9, size * 1.1));
    this.sun.target.position.copy(middle);
    const shadow = this.sun.shadow.camera;
    shadow.left = shadow.bottom = -size * 0.75;
    shadow.right = shadow.top = size * 0.75;
    shadow.far = size * 4;
    shadow.updateProjectionMatrix();
    if (first || grown) {
      this.decor.userData["seen"] = true;
      this.look(this.from);
    }
  }

  private placeExtras(): void {
    const { min, max } = this.bounds;
    this.extras.person.position.set(min.x - 0.5, (min.y + max.y) / 2, 0);
    this.extras.door.position.set(max.x + 0.8, (min.y + max.y) / 2 + 0.2, 0);
  }

  private withExtras(): Box3 {
    const box = this.bounds.clone();
    if (this.extras.person.visible) box.expandByPoint(new Vector3(box.min.x - 0.8, 0, 1.7));
    if (this.extras.door.visible) box.expandByPoint(new Vector3(box.max.x + 1.35, 0, 2.1));
    return box;
  }

  private ring(stands: Stand[], chosen: number | null): void {
    this.renderer.domElement.dataset["balloons"] = String(
      stands.reduce((sum, stand) => sum + (stand.piece.balloons ?? 0), 0),
    );
    this.renderer.domElement.dataset["chosen"] = chosen === null ? "" : String(chosen);
  }

  private listenForPicks(canvas: HTMLCanvasElement): void {
    let down = { x: 0, y: 0 };
    canvas.addEventListener("pointerdown", (event) => (down = { x: event.clientX, y: event.clientY }));
    canvas.addEventListener("pointerup", (event) => {
      if (Math.hypot(event.clientX - down.x, event.clientY - down.y) > 4) return;
      const box = canvas.getBoundingClientRect();
      const at = new Vector2(((event.clientX - box.left) / box.width) * 2 - 1, 1 - ((event.clientY - box.top) / box.height) * 2);
      const ray = new Raycaster();
      ray.setFromCamera(at, this.camera);
      const hit = ray.intersectObjects(this.decor.children, true)[0];
      const owners = hit?.object.userData["owners"] as number[] | undefined;
      const index = owners && hit?.instanceId !== undefined ? owners[hit.instanceId] : undefined;
      if (index !== undefined) this.onPick(index);
    });
  }

  private key(event: KeyboardEvent): void {
    const turn = { ArrowLeft: -0.14, ArrowRight: 0.14 }[event.key];
    const lift = { ArrowUp: 0.14, ArrowDown: -0.14 }[event.key];
    const near = { "+": 0.88, "=": 0.88, "-": 1.14 }[event.key];
    if (turn === undefined && lift === undefined && near === undefined) return;
    event.preventDefault();
    const away = this.camera.position.clone().sub(this.controls.target);
    if (this.from === "eye" && lift !== undefined) {
      const step = away.clone().setZ(0).normalize().multiplyScalar(-0.35 * Math.sign(lift));
      this.camera.position.add(step);
      this.controls.target.add(step);
    } else {
      if (turn !== undefined) away.applyAxisAngle(UP, turn);
      if (near !== undefined) away.multiplyScalar(near);
      if (lift !== undefined) {
        const flat = Math.hypot(away.x, away.y);
        const up = Math.min(1.5, Math.max(0.01, Math.atan2(away.z, flat) + lift));
        const far = away.length();
        away.set((away.x / flat) * far * Math.cos(up), (away.y / flat) * far * Math.cos(up), far * Math.sin(up));
      }
      this.camera.position.copy(this.controls.target).add(away);
    }
    this.controls.update();
    this.draw();
  }

  private draw(): void {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => this.renderNow());
  }

  private renderNow(): void {
    this.asked = false;
    this.renderer.render(this.scene, this.camera);
  }
}

interface Own { matrices: Matrix4[]; colours: Color[]; keys: string[] }
const kept = new WeakMap<Picture, Own>();

// Where each balloon is, within its piece: a unit mesh turned, scaled and moved.
function balloons(picture: Picture): Own {
  const found = kept.get(picture);
  if (found) return found;
  const centre = floats(picture.centre);
  const axis = floats(picture.axis);
  const radius = floats(picture.radius);
  const stock = shorts(picture.stock);
  const shade = shorts(picture.shade);
  const colours = picture.shades.map((entry) => new Color(entry.colour));
  const own: Own = { matrices: [], colours: [], keys: [] };
  const [x, y, z] = [new Vector3(), new Vector3(), new Vector3()];
  for (let row = 0; row < radius.length; row++) {
    z.set(axis[row * 3]!, axis[row * 3 + 1]!, axis[row * 3 + 2]!).normalize();
    // Its own -y side looks to the viewer, as far as its axis lets it.
    y.set(0, 1, 0).addScaledVector(z, -z.y);
    if (y.length() < 0.05) y.set(0, 0, 1).addScaledVector(z, -z.z);
    y.normalize();
    x.crossVectors(y, z);
    const r = radius[row]!;
    own.matrices.push(
      new Matrix4()
        .makeBasis(x.clone().multiplyScalar(r), y.clone().multiplyScalar(r), z.clone().multiplyScalar(r))
        .setPosition(centre[row * 3]!, centre[row * 3 + 1]!, centre[row * 3 + 2]!),
    );
    own.colours.push(colours[shade[row]!] ?? new Color("#9a9a9a"));
    own.keys.push(`${picture.stocks[stock[row]!]?.shape ?? "pear-88"}|${picture.shades[shade[row]!]?.finish ?? "matte"}`);
  }
  kept.set(picture, own);
  return own;
}
