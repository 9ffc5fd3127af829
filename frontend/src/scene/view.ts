// The view itself: what stands on the floor, who is chosen, and the frames that show it.
import { Group, Scene as Stage, Vector2, Vector3, WebGLRenderer } from "three";
import { type Box, Rig } from "./camera";
import { onFloor, pick, rayThrough } from "./choose";
import { Controls, type Wishes } from "./controls";
import { Figures as Scale } from "./figure";
import { Floor } from "./floor";
import { Frames } from "./frames";
import { Materials } from "./materials";
import { Model, refine } from "./model";
import { arrange, ground, snapped, type Standing } from "./place";
import { Shadows } from "./shadow";
import { type Level, Shapes } from "./shapes";
import { readTheme, watchTheme } from "./theme";
import type { Figures, PictureData, PieceData, Scene, SceneData, SceneOptions, Shown, ViewName } from "./types";
import { inWords } from "./words";

/** The browser cannot draw in three dimensions. */
export class NoWebGL extends Error {
  constructor() {
    super("This browser cannot draw the turning picture (WebGL 2 is missing or switched off). The still picture stays.");
    this.name = "NoWebGL";
  }
}

const KEPT = 60; // models kept for undo and redo

export function mount(host: HTMLElement, options: SceneOptions): Scene {
  return new View(host, options);
}

function renderer(canvas: HTMLCanvasElement): { made: WebGLRenderer; software: boolean } {
  const probe = document.createElement("canvas").getContext("webgl2");
  if (!probe) throw new NoWebGL();
  const told = probe.getExtension("WEBGL_debug_renderer_info");
  const name = told ? String(probe.getParameter(told.UNMASKED_RENDERER_WEBGL)) : "";
  probe.getExtension("WEBGL_lose_context")?.loseContext();
  const software = /swiftshader|llvmpipe|software|basic render/i.test(name);
  try {
    const made = new WebGLRenderer({ canvas, antialias: !software, stencil: true, powerPreference: "high-performance" });
    return { made, software };
  } catch {
    throw new NoWebGL();
  }
}

class View implements Scene {
  private readonly canvas = document.createElement("canvas");
  private readonly gl: WebGLRenderer;
  private readonly stage = new Stage();
  private readonly decor = new Group();
  private readonly marks = new Group();
  private readonly materials = new Materials();
  private readonly shapes: Shapes;
  private readonly shadows: Shadows;
  private readonly floor: Floor;
  private readonly people = new Scale();
  private readonly rig = new Rig();
  private readonly controls: Controls;
  private readonly frames: Frames;
  private readonly quit: (() => void)[] = [];
  private readonly models = new Map<string, Model>();
  private readonly calls = {
    choose: [] as Parameters<Scene["onChoose"]>[0][],
    place: [] as Parameters<Scene["onPlace"]>[0][],
    view: [] as Parameters<Scene["onView"]>[0][],
  };
  private standings: Standing[] = [];
  private pieces: PieceData[] = [];
  private chosen: string | null = null;
  private named: ViewName | "free" = "three-quarter";
  private answer = 0;
  private asked = 0;
  private settled: Promise<void> = Promise.resolve();
  private framed = false;
  private gone = false;
  private grabbed: { piece: PieceData; start: Vector3; x: number; y: number } | null = null;
  private readonly options: SceneOptions;
  private readonly host: HTMLElement;

  constructor(host: HTMLElement, options: SceneOptions) {
    [this.host, this.options] = [host, options];
    const { made, software } = renderer(this.canvas);
    this.gl = made;
    this.gl.info.autoReset = false;
    this.shapes = new Shapes(options.shapes);
    this.shadows = new Shadows();
    this.floor = new Floor(options.grid ?? "metre");
    this.stage.add(this.floor.group, this.decor, this.marks, this.people.person, this.people.door);
    this.canvas.tabIndex = 0;
    this.canvas.setAttribute("role", "img");
    this.canvas.className = "scene-canvas";
    this.canvas.style.outlineOffset = "-3px"; // the ring of the focus would be cut off outside
    host.append(this.canvas);
    this.frames = new Frames(this.canvas, this.gl, software, (now, calm) => this.draw(now, calm));
    this.controls = new Controls(this.canvas, this.rig, this.wishes());
    this.paint();
    this.quit.push(watchTheme(() => this.paint()));
    const sizes = new ResizeObserver(() => this.resize());
    sizes.observe(host);
    this.quit.push(() => sizes.disconnect());
    this.canvas.addEventListener("webglcontextrestored", () => this.frames.wake());
    this.resize();
    this.label();
  }

  // ---- what is shown -------------------------------------------------------------------------

  show(answer: SceneData): void {
    this.answer += 1;
    this.asked = performance.now();
    this.settled = this.build(answer, this.answer);
  }

  private async build(answer: SceneData, number: number): Promise<void> {
    const missing: string[] = [];
    await Promise.all(
      answer.pieces.map(async (piece) => {
        if (piece.key === null || this.models.has(piece.key)) return;
        if (!piece.picture) missing.push(piece.key);
        else await this.hold(piece.key, piece.picture, answer.shades).catch(() => missing.push(piece.key ?? ""));
      }),
    );
    if (missing.length) this.options.onMissing?.(missing);
    if (number !== this.answer || this.gone) return; // a newer answer is on its way
    this.pieces = answer.pieces;
    this.stand();
    this.frames.shown(this.asked);
    await this.frames.drawn();
  }

  private async hold(key: string, picture: PictureData, shades: SceneData["shades"]): Promise<void> {
    const model = await Model.of(picture, shades, this.shapes, this.materials);
    if (this.gone || this.models.has(key)) model.dispose();
    else this.models.set(key, model);
  }

  /** Put every copy where it stands. */
  private stand(): void {
    const ready = this.pieces.flatMap((piece) => {
      const model = piece.key === null ? undefined : this.models.get(piece.key);
      return model ? [{ piece, extent: model.extent }] : [];
    });
    this.standings = arrange(ready);
    this.decor.clear();
    for (const standing of this.standings) {
      const model = this.modelOf(standing);
      if (!model) continue;
      const copy = model.copy("paint");
      copy.add(this.shadows.under(model));
      this.put(copy, standing);
      this.decor.add(copy);
    }
    this.level = 1;
    this.outline();
    this.surround();
    this.tidy();
    if (!this.framed && this.standings.length) {
      this.framed = true;
      this.go(this.named === "free" ? "three-quarter" : this.named, true);
    }
    this.label();
    this.frames.wake();
  }

  private modelOf(standing: Standing): Model | undefined {
    return standing.piece.key === null ? undefined : this.models.get(standing.piece.key);
  }

  private put(copy: Group, standing: Standing): void {
    copy.position.set(standing.x, standing.y, 0);
    copy.rotation.z = standing.turn;
    copy.userData.standing = standing;
  }

  /** Models used longest ago give way; those on the floor stay. */
  private tidy(): void {
    const used = new Set(this.pieces.map((piece) => piece.key));
    for (const key of used) {
      const model = key === null ? undefined : this.models.get(key);
      if (key === null || !model) continue;
      this.models.delete(key);
      this.models.set(key, model);
    }
    for (const [key, model] of this.models) {
      if (this.models.size <= KEPT) break;
      if (used.has(key)) continue;
      this.models.delete(key);
      this.shadows.forget(model);
      model.dispose();
    }
  }

  /** What the decor covers, without and with what stands beside it. */
  private cover(): { low: Vector3; high: Vector3 } {
    const low = new Vector3(Infinity, Infinity, 0);
    const high = new Vector3(-Infinity, -Infinity, 0.5);
    for (const standing of this.standings) {
      const model = this.modelOf(standing);
      if (!model) continue;
      const [left, front, right, back] = ground(standing, model.extent);
      low.set(Math.min(low.x, left), Math.min(low.y, front), 0);
      high.set(Math.max(high.x, right), Math.max(high.y, back), Math.max(high.z, model.extent.high[2]));
    }
    if (low.x > high.x) return { low: new Vector3(-1, -0.5, 0), high: new Vector3(1, 0.5, 1.8) };
    return { low, high };
  }

  private surround(): void {
    const { low, high } = this.cover();
    this.people.stand(high.x, (low.y + high.y) / 2);
    this.floor.lay([low.x, low.y], [this.people.end(high.x), high.y]);
  }

  /** Everything a view should show: each copy, and what stands beside for scale. */
  private boxes(): Box[] {
    const out = this.standings.flatMap((standing): Box[] => {
      const model = this.modelOf(standing);
      if (!model) return [];
      const [left, front, right, back] = ground(standing, model.extent);
      return [{ low: new Vector3(left, front, 0), high: new Vector3(right, back, model.extent.high[2]) }];
    });
    const { low, high } = this.cover();
    const tall = this.people.door.visible ? 2.1 : 1.72;
    const [end, y] = [this.people.end(high.x), (low.y + high.y) / 2];
    if (end > high.x) out.push({ low: new Vector3(high.x, y, 0), high: new Vector3(end, y, tall) });
    return out.length ? out : [{ low, high }];
  }

  // ---- views ---------------------------------------------------------------------------------

  view(name: ViewName): void {
    this.go(name, false);
  }

  private go(name: ViewName, instantly: boolean): void {
    this.named = name;
    this.rig.go(this.rig.fit(name, this.boxes(), this.frames.aspect), performance.now(), instantly);
    this.frames.wake();
    this.told();
  }

  scale(what: { person?: boolean; door?: boolean }): void {
    if (what.person !== undefined) this.people.person.visible = what.person;
    if (what.door !== undefined) this.people.door.visible = what.door;
    this.surround();
    if (this.named !== "free" && this.named !== "eye") this.go(this.named, false);
    this.frames.wake();
  }

  private told(): void {
    this.label();
    for (const call of this.calls.view) call(this.named);
  }

  // ---- choosing and placing ------------------------------------------------------------------

  choose(piece: string | null): void {
    this.chosen = piece;
    this.outline();
    this.label();
    this.frames.wake();
  }

  private piece(): PieceData | null {
    return this.pieces.find((piece) => this.isChosen(piece)) ?? null;
  }

  private isChosen(piece: PieceData): boolean {
    return this.chosen !== null && (String(piece.index) === this.chosen || piece.name === this.chosen);
  }

  private outline(): void {
    this.marks.clear();
    for (const standing of this.standings) {
      if (!this.isChosen(standing.piece)) continue;
      for (const pass of ["mask", "line"] as const) {
        const copy = this.modelOf(standing)?.copy(pass);
        if (!copy) continue;
        this.put(copy, standing);
        this.marks.add(copy);
      }
    }
  }

  private wishes(): Wishes {
    return {
      grab: (at) => this.grab(at),
      drag: (at) => this.drag(at),
      drop: (moved) => this.drop(moved),
      tap: (at) => this.tap(at),
      hover: (at) => this.hover(at),
      turned: () => {
        if (this.named !== "eye" && this.named !== "free") {
          this.named = "free";
          this.told();
        }
        this.frames.wake();
      },
      home: () => this.go(this.named === "free" ? "three-quarter" : this.named, false),
      walking: () => this.named === "eye",
      nudge: (dx, dy, turn) => this.nudge(dx, dy, turn),
      next: (by) => this.next(by),
      none: () => this.pointed("", null),
    };
  }

  private under(at: Vector2): ReturnType<typeof pick> {
    return pick(rayThrough(this.rig.camera, at), this.standings, this.models);
  }

  private grab(at: Vector2): boolean {
    const hit = this.under(at);
    if (!hit || !(this.isChosen(hit.standing.piece) || this.named === "top")) return false;
    const start = onFloor(rayThrough(this.rig.camera, at), this.heightOf(hit.distance, at));
    if (!start) return false;
    const { x, y } = this.middle(hit.standing.piece);
    this.grabbed = { piece: hit.standing.piece, start, x, y };
    return true;
  }

  private grip = 0;
  private heightOf(distance: number, at: Vector2): number {
    const ray = rayThrough(this.rig.camera, at);
    this.grip = Math.max(0, ray.from.z + ray.way.z * distance);
    // seen from the side a plane at the hand's height is a line; the floor then leads further
    if (Math.abs(ray.way.z) < 0.12) this.grip = 0;
    return this.grip;
  }

  /** Where a piece's spot is: the middle of its copies. */
  private middle(piece: PieceData): { x: number; y: number } {
    const own = this.standings.filter((standing) => standing.piece === piece);
    const sum = own.reduce((a, b) => ({ x: a.x + b.x, y: a.y + b.y }), { x: 0, y: 0 });
    return { x: sum.x / Math.max(own.length, 1), y: sum.y / Math.max(own.length, 1) };
  }

  private drag(at: Vector2): void {
    const held = this.grabbed;
    const now = onFloor(rayThrough(this.rig.camera, at), this.grip);
    if (!held || !now) return;
    const clamp = (v: number): number => Math.min(Math.max(v, -100), 100);
    const x = snapped(clamp(held.x + now.x - held.start.x));
    const y = snapped(clamp(held.y + now.y - held.start.y));
    this.shift(held.piece, { x, y, facing: held.piece.spot?.facing ?? 0 });
    this.canvas.classList.add("is-dragging");
  }

  /** Show a piece at a spot before the desk has answered. */
  private shift(piece: PieceData, spot: NonNullable<PieceData["spot"]>): void {
    const next = { ...piece, spot };
    this.pieces = this.pieces.map((other) => (other === piece ? next : other));
    if (this.grabbed?.piece === piece) this.grabbed.piece = next;
    this.stand();
  }

  private drop(moved: boolean): void {
    const piece = this.grabbed?.piece;
    this.grabbed = null;
    this.canvas.classList.remove("is-dragging");
    if (moved && piece?.spot) this.placed(piece);
  }

  private nudge(dx: number, dy: number, turn: number): boolean {
    const piece = this.piece();
    if (!piece) return false;
    const { x, y } = piece.spot ?? this.middle(piece);
    const facing = ((((piece.spot?.facing ?? 0) + turn + 180) % 360) + 360) % 360 - 180;
    this.shift(piece, { x: snapped(x + dx), y: snapped(y + dy), facing });
    const now = this.piece();
    if (now) this.placed(now);
    return true;
  }

  private placed(piece: PieceData): void {
    if (!piece.spot) return;
    this.label();
    for (const call of this.calls.place) call(String(piece.index), piece.spot.x, piece.spot.y, piece.spot.facing);
  }

  private tap(at: Vector2): void {
    const hit = this.under(at);
    if (this.named === "eye" && !hit) {
      const spot = onFloor(rayThrough(this.rig.camera, at));
      if (spot) this.stroll(spot);
      return;
    }
    this.pointed(hit ? String(hit.standing.piece.index) : "", hit?.balloon ?? null);
  }

  /** Walk towards a spot of the floor, at most ten metres. */
  private stroll(spot: Vector3): void {
    const { pose } = this.rig;
    const from = this.rig.camera.position;
    const way = spot.clone().sub(from).setZ(0).clampLength(0, 10);
    this.rig.go({ ...pose, target: pose.target.clone().add(way) }, performance.now());
    this.frames.wake();
  }

  private pointed(piece: string, balloon: Parameters<Parameters<Scene["onChoose"]>[0]>[1]): void {
    this.choose(piece || null);
    for (const call of this.calls.choose) call(piece, balloon);
  }

  private next(by: 1 | -1): void {
    const shown = this.pieces.filter((piece) => piece.key !== null);
    if (!shown.length) return;
    const at = shown.findIndex((piece) => this.isChosen(piece));
    const next = shown[(at < 0 ? (by > 0 ? 0 : shown.length - 1) : at + by + shown.length) % shown.length];
    if (next) this.pointed(String(next.index), null);
  }

  private hover(at: Vector2 | null): void {
    const hit = at ? this.under(at) : null;
    const movable = hit !== null && (this.isChosen(hit.standing.piece) || this.named === "top");
    this.canvas.classList.toggle("is-movable", movable);
    this.canvas.classList.toggle("is-over", hit !== null && !movable);
  }

  onChoose(call: Parameters<Scene["onChoose"]>[0]): void {
    this.calls.choose.push(call);
  }

  onPlace(call: Parameters<Scene["onPlace"]>[0]): void {
    this.calls.place.push(call);
  }

  onView(call: Parameters<Scene["onView"]>[0]): void {
    this.calls.view.push(call);
  }

  // ---- frames --------------------------------------------------------------------------------

  private level: Level = 1;
  private draw(now: number, calm: boolean): boolean {
    const more = this.rig.step(now);
    const level = this.levelFor(calm);
    if (level !== this.level) refine(this.decor, level);
    this.level = level;
    this.people.face(this.rig.pose.azimuth);
    this.floor.seen(this.rig.pose);
    this.gl.info.reset();
    this.gl.render(this.stage, this.rig.camera);
    return more;
  }

  /** How fine the meshes may be; `calm` when there is time for it. */
  private levelFor(calm: boolean): Level {
    const many = this.balloons();
    if (!this.frames.software) return many <= 500 ? 2 : 1;
    return calm ? (many <= 200 ? 2 : 1) : many <= 150 ? 1 : 0;
  }

  private balloons(): number {
    return this.standings.reduce((sum, standing) => sum + (this.modelOf(standing)?.rows.count ?? 0), 0);
  }

  private resize(): void {
    this.frames.resize(this.host.clientWidth, this.host.clientHeight, (width, height) => {
      this.materials.shared.frame.value.set(width, height);
    });
    this.rig.frame(this.frames.aspect);
    if (this.framed && this.named !== "free" && this.named !== "eye") this.go(this.named, true);
  }

  private paint(): void {
    const theme = readTheme(this.host);
    const { shared } = this.materials;
    this.gl.setClearColor(theme.sheet, 1);
    shared.paper.value.copy(theme.sheet);
    shared.ambient.value = theme.dark ? 0.42 : 1;
    shared.pen.value.copy(theme.pen);
    this.shadows.theme(theme.sheet.clone().multiplyScalar(0.02), theme.dark ? 0.72 : 0.5);
    this.people.paint(theme.sheet, theme.ink);
    this.floor.paint(theme);
    this.surround();
    this.frames.wake();
  }

  private label(): void {
    const shown: Shown = {
      view: this.named,
      chosen: this.piece()?.name ?? null,
      pieces: this.pieces
        .filter((piece) => piece.key !== null)
        .map(({ name, kind, count, key }) => ({ name, kind, count, balloons: this.models.get(key ?? "")?.rows.count ?? 0 })),
    };
    this.canvas.setAttribute("aria-label", (this.options.words ?? inWords)(shown));
  }

  held(): string[] {
    return [...this.models.keys()];
  }

  async drawn(): Promise<void> {
    let last: Promise<void> | null = null;
    while (last !== this.settled) {
      last = this.settled;
      await last;
    }
  }

  figures(): Figures {
    return { balloons: this.balloons(), ...this.frames.figures() };
  }

  dispose(): void {
    this.gone = true;
    for (const end of this.quit) end();
    this.controls.dispose();
    this.frames.dispose();
    this.shadows.dispose();
    for (const model of this.models.values()) model.dispose();
    this.floor.dispose();
    this.people.dispose();
    this.materials.dispose();
    this.gl.dispose();
    this.gl.forceContextLoss();
    this.canvas.remove();
  }
}
