// The bench: every change goes to the desk, and picture, counts, price and findings come back.
import { Chart } from "./design/chart";
import { showFacts, showFindings } from "./design/facts";
import { FloorPlan } from "./design/floor";
import { HoursBox } from "./design/hours";
import { type Lengths, lengths, type Tongue } from "./design/lengths";
import { armSide, replaceSide } from "./design/side";
import { ApiError, ApiClient } from "./design/api_client";
import type { Change, JobState } from "./design/types";
import { turn } from "./scene/yield_to_browser";
import type { Scene, ViewName } from "./scene/index";

const LOOK_EVERY_MS = 5000;
const THINKING_MS = 200; // an answer that takes longer is worth a sign
const TOGETHER_MS = 150; // counts and price wait so long for their picture, and no longer
const SEEN_BY_MS = 600; // the panel waits so long for the picture
const STEADY_MS = 30;
const SEEN_AT_LAST_MS = 3000; // a page in the background is not painted at all

class Bench {
  private readonly talk: ApiClient;
  private readonly stage = must("stage");
  private readonly tally = must("tally");
  private readonly findings = must("findings");
  private readonly said = document.querySelector<HTMLElement>(".said");
  private readonly rooms: Record<"decor" | "chart" | "floor", HTMLElement>;
  private readonly chart: Chart;
  private readonly floor: FloorPlan;
  private readonly hours: HoursBox;
  private readonly tongue: Tongue;
  private readonly lengths: Lengths;
  private side = must("side");
  private scene: Scene | null = null;
  private flat = false; // no 3D here
  private views: HTMLElement | null = null;
  private chosen: number | null;
  private thinking = 0;
  private room: "decor" | "chart" | "floor" = "decor";

  constructor(root: HTMLElement) {
    const piece = root.dataset["piece"];
    this.chosen = piece ? Number(piece) : null;
    this.talk = new ApiClient(root.dataset["job"] ?? "", Number(root.dataset["version"]), (state) => this.heard(state));
    this.tongue = root.dataset["grid"] === "foot" ? "foot" : "metre";
    this.lengths = lengths(this.tongue);
    this.rooms = { decor: this.roomFor("decor"), chart: this.roomFor("chart"), floor: this.roomFor("floor") };
    this.chart = new Chart(this.rooms.chart, (changes) => this.edit(changes));
    this.floor = new FloorPlan(this.rooms.floor, this.lengths, (changes) => this.edit(changes), (index) => void this.choose(index));
    this.hours = new HoursBox(must("hours") as HTMLDetailsElement, root.dataset["job"] ?? "");
    this.tools();
    this.arm();
    this.armSteps();
    this.enter("decor");
    void this.start();
  }

  private async start(): Promise<void> {
    const asked = this.talk.refresh();
    try {
      // The page with its drawing first: where no graphics card helps, starting 3D holds it up.
      await painted();
      const { mountScene } = await import("./scene/index");
      await turn();
      const bar = must("scene-tools");
      this.scene = await mountScene(this.rooms.decor, {
        shapes: must("bench").dataset["shapes"] ?? "/api/shapes/",
        grid: this.tongue,
        covered: () => bar.offsetTop + bar.offsetHeight,
      });
      this.scene.onChoose((piece) => void this.choose(piece === "" ? null : Number(piece)));
      this.scene.onPlace((piece, x, y, facing) => this.place(Number(piece), x, y, facing));
      this.scene.onView((view) => press(this.views, view));
      this.scene.choose(this.chosen === null ? null : String(this.chosen));
      this.stage.classList.add("is-live");
    } catch {
      this.flat = true;
      this.say("This browser shows no 3D; the drawing stands in.", false);
    }
    await turn();
    await asked.catch((problem: unknown) => this.mishap(problem));
    if (this.talk.state) this.heard(this.talk.state);
    setInterval(() => void this.lookRound(), LOOK_EVERY_MS);
  }

  // Picture, counts, price and findings change in one frame, unless the picture takes its time.
  private heard(state: JobState): void {
    void atMost(TOGETHER_MS, this.draw(state)).then(() => {
      if (state !== this.talk.state) return; // a newer one came meanwhile
      clearTimeout(this.thinking);
      showFacts(this.tally, state);
      showFindings(this.findings, state.findings, (piece) => void this.choose(piece));
      this.steps(state);
      this.hours.heard(state.version);
      this.tally.dataset["version"] = String(state.version); // for measurements: told
    });
  }

  private draw(state: JobState): Promise<void> {
    if (this.room === "chart") this.chart.show(state, this.chosen);
    else if (this.room === "floor") this.floor.show(state, this.chosen);
    else if (this.scene) {
      const stands = this.scene.show(state);
      void this.scene.drawn().then(() => this.mark());
      return stands;
    } else if (this.flat) this.still();
    return Promise.resolve();
  }

  // The picture first, where the processor draws both: the panel tells what is known already.
  private async seen(): Promise<void> {
    if (this.room === "decor" && this.scene) await atMost(SEEN_BY_MS, this.scene.drawn());
  }

  // Tests and measurements wait for this: the picture of this version has been drawn.
  private mark(): void {
    document.body.dataset["drawn"] = String(this.talk.version);
    document.body.dataset["balloons"] = String(this.scene?.figures().balloons ?? 0);
  }

  private place(piece: number, x: number, y: number, facing: number): void {
    const { write } = this.lengths;
    this.edit([{ do: "put", path: ["pieces", piece, "spot"], value: { x: write(x), y: write(y), facing: Math.round(facing) } }]);
  }

  private still(): void {
    const image = document.createElement("img");
    image.alt = "The pieces, drawn from the front";
    image.src = `/jobs/${must("bench").dataset["job"]}/picture.svg?v=${this.talk.version}`;
    this.stage.querySelector(".still")?.replaceChildren(image);
  }

  private edit(changes: Change[], then?: "choose-last" | "choose-none"): void {
    clearTimeout(this.thinking);
    this.thinking = window.setTimeout(() => this.tally.classList.add("is-thinking"), THINKING_MS);
    void this.talk
      .edit(changes)
      .then(async () => {
        if (then === "choose-last") this.chosen = Math.max(-1, ...(this.talk.state?.pieces.map((piece) => piece.index) ?? []));
        if (then === "choose-none") this.chosen = null;
        if (then) {
          this.remember();
          this.scene?.choose(this.chosen === null ? null : String(this.chosen));
        }
        this.say(this.talk.state?.merged ? "Somebody else changed other pieces; both are kept." : "", false);
        await this.seen();
        await this.panel();
        if (then && this.talk.state) this.draw(this.talk.state);
      })
      .catch((problem: unknown) => this.mishap(problem));
  }

  private async choose(piece: number | null): Promise<void> {
    this.chosen = piece;
    this.scene?.choose(piece === null ? null : String(piece));
    this.remember();
    await this.panel();
    if (this.talk.state && this.room !== "decor") this.draw(this.talk.state);
  }

  private remember(): void {
    const address = new URL(location.href);
    address.searchParams.delete("said");
    if (this.chosen === null) address.searchParams.delete("piece");
    else address.searchParams.set("piece", String(this.chosen));
    history.replaceState(null, "", address);
  }

  private async panel(): Promise<void> {
    this.side = replaceSide(this.side, await this.talk.panel(this.chosen));
    this.arm();
  }

  private arm(): void {
    armSide(this.side, { edit: (changes, then) => this.edit(changes, then), choose: (piece) => void this.choose(piece) });
  }

  private mishap(problem: unknown): void {
    clearTimeout(this.thinking);
    this.tally.classList.remove("is-thinking");
    if (!(problem instanceof ApiError)) throw problem;
    if (problem.status === 401) location.assign("/sign-in");
    this.say(`${problem.what} ${problem.mend}`, true);
    if (problem.status === 409) void this.talk.refresh().catch(() => undefined);
  }

  private say(text: string, problem: boolean): void {
    if (!this.said) return;
    this.said.textContent = text;
    this.said.classList.toggle("is-problem", problem);
  }

  private async lookRound(): Promise<void> {
    if (document.hidden || this.talk.busy) return;
    const current = await this.talk.current().catch(() => this.talk.version);
    if (this.talk.busy) return;
    // A panel that could not be fetched last time is asked for again.
    const news = current !== this.talk.version;
    if (!news && this.side.dataset["version"] === String(current)) return;
    if (news) await this.talk.refresh();
    await this.panel();
    if (news) this.say("Somebody else changed the job; this is how it stands now.", false);
  }

  // ---- tools over the stage ------------------------------------------------------------------

  private roomFor(name: string): HTMLElement {
    const room = document.createElement("div");
    room.className = `room room-${name}`;
    room.hidden = true;
    this.stage.append(room);
    return room;
  }

  private enter(name: "decor" | "chart" | "floor"): void {
    this.room = name;
    for (const [key, room] of Object.entries(this.rooms)) room.hidden = key !== name;
    this.stage.dataset["room"] = name;
    if (this.talk.state) this.draw(this.talk.state);
  }

  private tools(): void {
    const bar = must("scene-tools");
    const views = segment("Look from", [["three-quarter", "Corner"], ["front", "Front"], ["side", "Side"], ["top", "Top"], ["eye", "Eye level"]], "three-quarter", (key) => this.scene?.view(key as ViewName));
    this.views = views;
    const scale = toggles("For scale", [["person", "Person"], ["door", "Door"]], (key, on) => this.scene?.scale({ [key]: on }));
    bar.append(
      segment("Show", [["decor", "Decor"], ["floor", "Floor"], ["chart", "Chart"]], "decor", (key) => {
        this.enter(key as "decor" | "chart" | "floor");
        views.hidden = scale.hidden = key !== "decor";
      }),
      views,
      scale,
    );
  }

  private armSteps(): void {
    for (const form of document.querySelectorAll<HTMLFormElement>(".steps-back form")) {
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        this.step(String(new FormData(form).get("do")) === "redo");
      });
    }
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || (event.target as Element).matches("input, textarea, select")) return;
      const key = event.key.toLowerCase();
      if (key !== "z" && key !== "y") return;
      event.preventDefault();
      this.step(key === "y" || event.shiftKey);
    });
  }

  private step(forward: boolean): void {
    void (forward ? this.talk.redo() : this.talk.undo())
      .then(() => this.seen())
      .then(() => this.panel())
      .catch((problem: unknown) => this.mishap(problem));
  }

  private steps(state: JobState): void {
    const [undo, redo] = document.querySelectorAll<HTMLButtonElement>(".steps-back button");
    if (undo) undo.title = state.undo ?? "Nothing to undo";
    if (redo) redo.title = state.redo ?? "Nothing to redo";
  }
}

function atMost(time: number, work: Promise<void>): Promise<void> {
  return Promise.race([work, new Promise<void>((done) => setTimeout(done, time))]);
}

// Until the page was not only laid out but seen, and frames come at a steady pace: whoever asks
// the graphics for more while they still paint the page holds it up.
function painted(): Promise<void> {
  return new Promise((done) => {
    const begun = performance.now();
    let last = 0;
    const look = (now: number): void => {
      const pace = now - last;
      last = now;
      if (pace < STEADY_MS || performance.now() - begun > SEEN_AT_LAST_MS) done();
      else requestAnimationFrame(look);
    };
    setTimeout(done, SEEN_AT_LAST_MS);
    new PerformanceObserver((list) => {
      if (list.getEntriesByName("first-contentful-paint").length) requestAnimationFrame(look);
    }).observe({ type: "paint", buffered: true });
  });
}

function segment(name: string, rows: [string, string][], first: string, pick: (key: string) => void): HTMLElement {
  const box = document.createElement("div");
  box.className = "segment";
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", name);
  for (const [key, word] of rows) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = word;
    button.dataset["key"] = key;
    button.setAttribute("aria-pressed", String(key === first));
    button.addEventListener("click", () => {
      for (const other of box.children) other.setAttribute("aria-pressed", String(other === button));
      pick(key);
    });
    box.append(button);
  }
  return box;
}

function press(box: HTMLElement | null, key: string): void {
  for (const button of box?.querySelectorAll("button") ?? []) button.setAttribute("aria-pressed", String(button.dataset["key"] === key));
}

function toggles(name: string, rows: [string, string][], flip: (key: string, on: boolean) => void): HTMLElement {
  const box = document.createElement("div");
  box.className = "segment";
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", name);
  for (const [key, word] of rows) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = word;
    button.setAttribute("aria-pressed", "false");
    button.addEventListener("click", () => {
      const on = button.getAttribute("aria-pressed") !== "true";
      button.setAttribute("aria-pressed", String(on));
      flip(key, on);
    });
    box.append(button);
  }
  return box;
}

function must(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (!found) throw new Error(`#${id} is missing`);
  return found;
}

const root = document.getElementById("bench");
if (root) new Bench(root);
