// The view itself: the canvas, its views and its frames; what stands there is the decor's affair.
import { Scene as Stage, Vector3, WebGLRenderer } from "three";
import { turn } from "./yield_to_browser";
import { type Box, Rig } from "./camera";
import { Controls } from "./controls";
import { Decor } from "./decor";
import { Doorway } from "./doorway";
import { Figures as Scale } from "./figure";
import { Floor } from "./floor";
import { fenced, Frames, type Time } from "./frames";
import { Hands } from "./hands";
import { Materials } from "./materials";
import type { Level } from "./shapes";
import { readTheme, watchTheme } from "./theme";
import type { BalloonPicked, Figures, Scene, SceneData, SceneOptions, Shown, ViewName } from "./types";
import { inWords } from "./words";
import { t } from "../words";

const LONGEST_WALK = 10; // a tap on the floor leads so far at most [m]

/** The browser cannot draw in three dimensions. */
export class NoWebGL extends Error {
  constructor() {
    super(t("This browser cannot draw the turning picture (WebGL 2 is missing or switched off). The still picture stays."));
    this.name = "NoWebGL";
  }
}

/** Put the view into a host once the graphics have started, so that the page need not wait for them. */
export async function mount(host: HTMLElement, options: SceneOptions): Promise<Scene> {
  const canvas = document.createElement("canvas");
  const software = drawnByTheProcessor();
  await turn();
  const context = canvas.getContext("webgl2", { alpha: false, stencil: true, antialias: !software, powerPreference: "high-performance" });
  if (!context) throw new NoWebGL();
  await fenced(context);
  return new View(host, options, canvas, context, software);
}

/** Whether a program stands in for the graphics card; a context's smoothing is chosen before it says so. */
function drawnByTheProcessor(): boolean {
  const asked: WebGLContextAttributes = { antialias: false, depth: false, failIfMajorPerformanceCaveat: true };
  const probe = document.createElement("canvas").getContext("webgl2", asked);
  if (!probe) return true; // or no 3D at all, which is found out next
  const told = probe.getExtension("WEBGL_debug_renderer_info");
  const name = told ? String(probe.getParameter(told.UNMASKED_RENDERER_WEBGL)) : "";
  probe.getExtension("WEBGL_lose_context")?.loseContext();
  return /swiftshader|llvmpipe|software|basic render/i.test(name);
}

function rendererOf(canvas: HTMLCanvasElement, context: WebGL2RenderingContext): WebGLRenderer {
  try {
    const made = new WebGLRenderer({ canvas, context });
    made.info.autoReset = false;
    made.debug.checkShaderErrors = false; // asking holds up the page until the compiler is done
    return made;
  } catch {
    throw new NoWebGL();
  }
}

class View implements Scene {
  private readonly canvas: HTMLCanvasElement;
  private readonly gl: WebGLRenderer;
  private readonly stage = new Stage();
  private readonly materials = new Materials();
  private readonly decor: Decor;
  private readonly doorway = new Doorway();
  private readonly floor: Floor;
  private readonly people = new Scale();
  private readonly rig = new Rig();
  private readonly controls: Controls;
  private readonly frames: Frames;
  private readonly quit: (() => void)[] = [];
  private readonly calls = {
    choose: [] as Parameters<Scene["onChoose"]>[0][],
    place: [] as Parameters<Scene["onPlace"]>[0][],
    view: [] as Parameters<Scene["onView"]>[0][],
  };
  private named: ViewName | "free" = "three-quarter";
  private answer = 0;
  private settled: Promise<void> = Promise.resolve();
  private framed = false;
  private readonly options: SceneOptions;
  private readonly host: HTMLElement;

  constructor(host: HTMLElement, options: SceneOptions, canvas: HTMLCanvasElement, context: WebGL2RenderingContext, software: boolean) {
    [this.host, this.options, this.canvas, this.gl] = [host, options, canvas, rendererOf(canvas, context)];
    this.decor = new Decor(options.shapes, this.materials);
    this.floor = new Floor(options.grid ?? "metre");
    this.stage.add(this.floor.group, this.doorway.group, this.decor.group, this.decor.marks, this.people.person, this.people.door);
    this.canvas.tabIndex = 0;
    this.canvas.setAttribute("role", "img");
    this.canvas.className = "scene-canvas";
    this.canvas.style.outlineOffset = "-3px"; // the ring of the focus would be cut off outside
    host.append(this.canvas);
    this.frames = new Frames(this.canvas, this.gl, software, (now, time) => this.draw(now, time));
    this.controls = new Controls(this.canvas, this.rig, this.hands());
    this.paint();
    this.quit.push(watchTheme(() => this.paint()));
    const sizes = new ResizeObserver(() => this.resize());
    sizes.observe(host);
    this.quit.push(() => sizes.disconnect());
    this.canvas.addEventListener("webglcontextrestored", () => this.frames.wake());
    this.resize();
    this.label();
  }

  private hands(): Hands {
    const { canvas, rig, decor } = this;
    return new Hands({
      canvas,
      rig,
      decor,
      named: () => this.named,
      turned: () => this.turned(),
      home: () => this.go(this.named === "free" ? "three-quarter" : this.named, false),
      stroll: (spot) => this.stroll(spot),
      moved: () => this.stood(),
      pointed: (piece, balloon) => this.pointed(piece, balloon),
      placed: (piece, { x, y, facing }) => {
        for (const call of this.calls.place) call(piece, x, y, facing);
      },
    });
  }

  // ---- what is shown -------------------------------------------------------------------------

  show(answer: SceneData): Promise<void> {
    this.answer += 1;
    const number = this.answer;
    const since = performance.now();
    const built = this.decor.load(answer);
    this.settled = built.then((missing) => this.stand(answer, missing, number, since));
    return built.then(() => undefined);
  }

  private async stand(answer: SceneData, missing: string[], number: number, asked: number): Promise<void> {
    if (missing.length) this.options.onMissing?.(missing);
    if (number !== this.answer) return; // a newer answer is on its way
    this.doorway.show(answer.door ?? null);
    this.decor.stand(answer.pieces);
    this.stood();
    if (!this.framed && this.decor.standings.length) {
      this.framed = true;
      this.go(this.named === "free" ? "three-quarter" : this.named, true);
    }
    this.frames.shown(asked);
    await this.compiled();
    this.frames.open();
    await this.frames.drawn();
  }

  /** New materials are compiled beside the page, not in the midst of a frame. */
  private async compiled(): Promise<void> {
    if (!this.materials.fresh) return;
    this.materials.fresh = false;
    if (this.gl.extensions.has("KHR_parallel_shader_compile")) await this.gl.compileAsync(this.stage, this.rig.camera);
    else this.gl.compile(this.stage, this.rig.camera);
    await fenced(this.gl.getContext() as WebGL2RenderingContext);
    for (const program of this.gl.info.programs ?? []) {
      program.getUniforms(); // a question to the graphics each; all at once would hold up the page
      program.getAttributes();
      await turn();
    }
  }

  /** Pieces stand elsewhere than before: so do the floor, the person and the door. */
  private stood(): void {
    const { low, high } = this.decor.cover();
    this.people.stand(high.x, (low.y + high.y) / 2);
    this.floor.lay([low.x, low.y], [this.people.end(high.x), high.y]);
    this.label();
    this.frames.wake();
  }

  /** Everything a view should show: each copy, and what stands beside for scale. */
  private boxes(): Box[] {
    const boxes = this.decor.boxes();
    const { low, high } = this.decor.cover();
    const tall = this.people.door.visible ? 2.1 : 1.72;
    const [end, y] = [this.people.end(high.x), (low.y + high.y) / 2];
    if (end > high.x) boxes.push({ low: new Vector3(high.x, y, 0), high: new Vector3(end, y, tall) });
    return boxes;
  }

  // ---- views ---------------------------------------------------------------------------------

  view(name: ViewName): void {
    this.go(name, false);
  }

  private go(name: ViewName, instantly: boolean): void {
    this.named = name;
    const { clientHeight: height } = this.host;
    const covered = Math.min(Math.max(this.options.covered?.() ?? 0.08 * height, 0) / Math.max(height, 1), 0.5);
    this.rig.go(this.rig.fit(name, this.boxes(), this.frames.aspect, covered), performance.now(), instantly);
    this.frames.wake();
    this.told();
  }

  private turned(): void {
    if (this.named !== "eye" && this.named !== "free") {
      this.named = "free";
      this.told();
    }
    this.frames.wake();
  }

  /** Walk towards a spot of the floor. */
  private stroll(spot: Vector3): void {
    const { pose } = this.rig;
    const way = spot.clone().sub(this.rig.camera.position).setZ(0).clampLength(0, LONGEST_WALK);
    this.rig.go({ ...pose, target: pose.target.clone().add(way) }, performance.now());
    this.frames.wake();
  }

  scale(what: { person?: boolean; door?: boolean }): void {
    if (what.person !== undefined) this.people.person.visible = what.person;
    if (what.door !== undefined) this.people.door.visible = what.door;
    this.stood();
    if (this.framed && this.named !== "free" && this.named !== "eye") this.go(this.named, false);
  }

  private told(): void {
    this.label();
    for (const call of this.calls.view) call(this.named);
  }

  // ---- choosing and placing ------------------------------------------------------------------

  choose(piece: string | null): void {
    this.decor.choose(piece);
    this.label();
    this.frames.wake();
  }

  private pointed(piece: string, balloon: BalloonPicked | null): void {
    this.choose(piece || null);
    for (const call of this.calls.choose) call(piece, balloon);
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

  private draw(now: number, time: Time): boolean {
    const more = this.rig.step(now);
    this.decor.refine(this.levelFor(time));
    this.people.face(this.rig.pose.azimuth);
    this.floor.seen(this.rig.pose);
    this.gl.info.reset();
    this.gl.render(this.stage, this.rig.camera);
    return more;
  }

  /** How fine the meshes may be in the time there is. */
  private levelFor(time: Time): Level {
    const many = this.decor.balloons();
    if (!this.frames.software) return many <= 500 ? 3 : 2;
    if (time === "plenty") return many <= 30 ? 3 : many <= 150 ? 2 : 1;
    if (time === "some") return many <= 80 ? 2 : 1;
    return many <= 20 ? 2 : many <= 200 ? 1 : 0;
  }

  private resize(): void {
    this.frames.resize(this.host.clientWidth, this.host.clientHeight, (width, height) => {
      this.materials.shared.frame.value.set(width, height);
      this.materials.shared.width.value = Math.max(2, (3 * width) / Math.max(this.host.clientWidth, 1));
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
    this.decor.shadows.theme(theme.sheet.clone().multiplyScalar(0.02), theme.dark ? 0.72 : 0.5);
    this.people.paint(theme.sheet, theme.ink);
    this.floor.paint(theme);
    this.stood();
  }

  private label(): void {
    const { decor } = this;
    const shown: Shown = {
      view: this.named,
      chosen: decor.pieces.find((piece) => decor.isChosen(piece))?.name ?? null,
      pieces: decor.pieces
        .filter((piece) => piece.key !== null)
        .map(({ name, kind, count, key }) => ({ name, kind, count, balloons: decor.models.get(key ?? "")?.rows.count ?? 0 })),
    };
    this.canvas.setAttribute("aria-label", (this.options.words ?? inWords)(shown));
  }

  held(): string[] {
    return [...this.decor.models.keys()];
  }

  async drawn(): Promise<void> {
    let last: Promise<void> | null = null;
    while (last !== this.settled) {
      last = this.settled;
      await last;
    }
  }

  async still(): Promise<void> {
    await this.drawn();
    await this.frames.still();
  }

  figures(): Figures {
    return { balloons: this.decor.balloons(), ...this.frames.figures() };
  }

  dispose(): void {
    this.answer += 1;
    for (const end of this.quit) end();
    this.controls.dispose();
    this.frames.dispose();
    this.decor.dispose();
    this.doorway.dispose();
    this.floor.dispose();
    this.people.dispose();
    this.materials.dispose();
    this.gl.dispose();
    this.gl.forceContextLoss();
    this.canvas.remove();
  }
}
