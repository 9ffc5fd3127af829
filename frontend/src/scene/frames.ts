// When to draw: only when something changed, coarser while things move on a slow machine, and as
// fine as the screen can show once they stand still. Where the processor draws, no frame is begun
// before the last one is done: frames in a queue would only hold up the page and the next change.
import type { WebGLRenderer } from "three";
import { Plate } from "./plate";
import type { Figures } from "./types";

const SLOW_MS = 30; // a frame longer than this while moving asks for fewer pixels
const REST_MS = 260; // still for so long: draw it fine
const COARSEST = 0.6;
const MOST_MS = 500; // a fine frame costs about four coarse ones; a longer one would hold up the next change

/** How much time a frame may take: none to lose while things move, some or plenty at rest. */
export type Time = "none" | "some" | "plenty";

export class Frames {
  private readonly canvas: HTMLCanvasElement;
  private readonly gl: WebGLRenderer;
  /** Drawn by the processor, since there is no graphics card. */
  readonly software: boolean;
  private readonly plate: Plate | null;
  private readonly draw: (now: number, time: Time) => boolean;
  private asked = 0;
  private rest = 0;
  private width = 1;
  private height = 1;
  private ratio = 1;
  private live: number;
  /** After a frame slower than this the one at rest is sharp, but not of the finest meshes. */
  private readonly patience: number;
  private spent = 0;
  private begun = 0;
  private took = 0;
  private waiting: (() => void)[] = [];
  /** Changes so far, and the one after which the last fine frame was drawn. */
  private changes = 0;
  private rested = -1;
  private resting: (() => void)[] = [];
  private closed = true;
  /** The graphics are still at the last frame; whether another is wanted after it. */
  private busy = false;
  private next: "none" | "live" | "fine" = "none";
  private sized: (width: number, height: number) => void = () => undefined;
  private told = { calls: 0, triangles: 0 };

  constructor(canvas: HTMLCanvasElement, gl: WebGLRenderer, software: boolean, draw: (now: number, time: Time) => boolean) {
    [this.canvas, this.gl, this.software, this.draw] = [canvas, gl, software, draw];
    this.plate = software ? new Plate(gl) : null;
    this.live = software ? 0.75 : 2;
    this.patience = software ? MOST_MS / 4 : Infinity;
  }

  get aspect(): number {
    return this.width / Math.max(this.height, 1);
  }

  /** A frame is wanted. */
  wake(): void {
    this.changes += 1;
    this.ask(false);
  }

  /** From now on frames are drawn: what the first one needs is there. */
  open(): void {
    if (!this.closed) return;
    this.closed = false;
    this.wake();
  }

  private ask(fine: boolean): void {
    if (this.closed) return;
    if (this.busy) {
      if (!fine || this.next === "none") this.next = fine ? "fine" : "live";
    } else if (!this.asked) this.asked = requestAnimationFrame((now) => this.frame(now, fine));
  }

  /** Note when the answer that the next frame shows came in. */
  shown(since: number): void {
    this.begun = since;
    this.wake();
  }

  drawn(): Promise<void> {
    return new Promise((done) => {
      this.waiting.push(done);
      this.wake();
    });
  }

  /** Settles once a fine frame shows the last change, and nothing moves any more. */
  still(): Promise<void> {
    if (this.rested === this.changes) return Promise.resolve();
    return new Promise((done) => this.resting.push(done));
  }

  resize(width: number, height: number, sized: (width: number, height: number) => void): void {
    [this.width, this.height, this.sized] = [Math.max(width, 1), Math.max(height, 1), sized];
    this.ratio = 0;
    this.wake();
  }

  figures(): Omit<Figures, "balloons"> {
    return { ...this.told, shown: this.took, software: this.software };
  }

  dispose(): void {
    cancelAnimationFrame(this.asked);
    clearTimeout(this.rest);
    for (const done of [...this.waiting, ...this.resting]) done();
    [this.waiting, this.resting] = [[], []];
    this.plate?.dispose();
  }

  private finest(): number {
    return this.software ? Math.max(1.5, devicePixelRatio) : Math.min(Math.max(devicePixelRatio, 1), 2);
  }

  private sharpness(ratio: number): void {
    if (Math.abs(ratio - this.ratio) < 0.01) return;
    this.ratio = ratio;
    if (!this.plate) {
      this.gl.setPixelRatio(ratio);
      this.gl.setSize(this.width, this.height, false);
    }
    this.sized(this.width * ratio, this.height * ratio);
  }

  private frame(now: number, fine: boolean): void {
    this.asked = 0;
    if (!this.canvas.isConnected) return;
    const slow = this.spent > this.patience;
    this.sharpness(!fine ? Math.min(this.live, this.finest()) : slow ? 1 : this.finest());
    const start = performance.now();
    this.plate?.begin(this.width * this.ratio, this.height * this.ratio);
    const more = this.draw(now, !fine ? "none" : slow ? "some" : "plenty");
    this.told = { calls: this.gl.info.render.calls, triangles: this.gl.info.render.triangles };
    void this.finish(start, fine, this.changes);
    if (more) this.wake();
    clearTimeout(this.rest);
    if (!fine) this.rest = window.setTimeout(() => this.ask(true), REST_MS);
  }

  /** Wait until the graphics have really drawn the frame. */
  private async finish(start: number, fine: boolean, change: number): Promise<void> {
    const [since, waiting] = [this.begun, this.waiting];
    [this.begun, this.waiting] = [0, []];
    const context = this.gl.getContext() as WebGL2RenderingContext;
    this.busy = this.software;
    await fenced(context);
    if (this.plate && this.canvas.isConnected) {
      this.plate.lay();
      await fenced(context);
    }
    this.busy = false;
    if (since) this.took = performance.now() - since;
    if (!fine) this.pace(performance.now() - start);
    for (const done of waiting) done();
    if (fine && change === this.changes) this.atRest();
    const wanted = this.next;
    this.next = "none";
    if (wanted !== "none") this.ask(wanted === "fine");
  }

  private atRest(): void {
    const waiting = this.resting;
    [this.rested, this.resting] = [this.changes, []];
    for (const done of waiting) done();
  }

  /** Fewer pixels while moving when frames take long, more when they do not. */
  private pace(spent: number): void {
    this.spent = spent;
    if (spent > SLOW_MS) this.live = Math.max(COARSEST, Math.min(this.live, this.finest()) * 0.88);
    else if (spent < SLOW_MS / 3) this.live = Math.min(this.finest(), this.live * 1.04);
  }
}

/** Until the graphics have done all they were told; the page goes on meanwhile. */
export function fenced(gl: WebGL2RenderingContext): Promise<void> {
  const fence = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
  if (!fence) return Promise.resolve();
  gl.flush();
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    const look = (): void => {
      const state = gl.isContextLost() ? gl.ALREADY_SIGNALED : gl.clientWaitSync(fence, 0, 0);
      if (state === gl.TIMEOUT_EXPIRED) {
        setTimeout(() => port2.postMessage(0), 1);
        return;
      }
      gl.deleteSync(fence);
      port1.close();
      done();
    };
    port1.onmessage = look;
    port2.postMessage(0);
  });
}
