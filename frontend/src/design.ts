// The design page: every change goes to the desk, and picture, counts, price and findings come back.
import type { ApiError } from "./design/api_client";
import { press, segment, toggles } from "./design/buttons";
import { Chart } from "./design/chart";
import { showConflict } from "./design/conflicts";
import { showFacts, showFindings } from "./design/facts";
import { FloorPlan } from "./design/floor";
import { HoursBox } from "./design/hours";
import { JobStore, type Request } from "./design/job_store";
import { type Lengths, lengths, type Tongue } from "./design/lengths";
import { changesOf, Side } from "./design/side";
import type { JobState } from "./answers";
import type { Change } from "./design/api_client";
import { atMost, painted } from "./design/waiting";
import type { Scene, ViewName } from "./scene/index";
import { turn } from "./scene/yield_to_browser";
import { t } from "./words";

const LOOK_EVERY_MS = 5000;
const THINKING_MS = 200; // an answer that takes longer is worth a sign
const TOGETHER_MS = 150; // counts and price wait so long for their picture, and no longer
const SEEN_BY_MS = 600; // the panel waits so long for the picture

type Room = "decor" | "chart" | "floor";

class DesignPage {
  private readonly store: JobStore;
  private readonly stage = must("stage");
  private readonly tally = must("tally");
  private readonly findings = must("findings");
  private readonly conflicts = must("conflicts");
  private readonly said = document.querySelector<HTMLElement>(".said");
  private readonly rooms: Record<Room, HTMLElement>;
  private readonly chart: Chart;
  private readonly floor: FloorPlan;
  private readonly hours: HoursBox;
  private readonly tongue: Tongue;
  private readonly lengths: Lengths;
  private readonly side: Side;
  private scene: Scene | null = null;
  private flat = false; // no 3D here
  private views: HTMLElement | null = null;
  private thinking = 0;
  private room: Room = "decor";
  private seenFrom: ViewName = "three-quarter";

  constructor(private readonly root: HTMLElement) {
    const piece = root.dataset["piece"];
    this.store = new JobStore(root.dataset["job"] ?? "", Number(root.dataset["version"]), piece ? Number(piece) : null, {
      state: (state) => this.heard(state),
      chosen: (chosen) => this.chosen(chosen),
      panel: (html) => this.side.merge(html),
      failed: (problem, request) => this.failed(problem, request),
      done: (state, request) => this.done(state, request),
      drawn: () => this.seen(),
      asking: (count) => (root.dataset["asking"] = String(count)),
    });
    this.tongue = root.dataset["grid"] === "foot" ? "foot" : "metre";
    this.lengths = lengths(this.tongue);
    this.rooms = { decor: this.roomFor("decor"), chart: this.roomFor("chart"), floor: this.roomFor("floor") };
    const edit = (changes: Change[], version: number): Promise<void> => this.edit({ changes, version });
    this.chart = new Chart(this.rooms.chart, edit);
    this.floor = new FloorPlan(this.rooms.floor, this.lengths, (changes, version) => void edit(changes, version), (index) => this.store.choose(index));
    this.hours = new HoursBox(must("hours") as HTMLDetailsElement, root.dataset["job"] ?? "");
    this.side = new Side(must("side"), {
      edit: (changes, version, after) => void this.edit({ changes, version, ...(after ? { after } : {}) }),
      choose: (chosen, name) => this.store.choose(chosen, name),
      underway: () => this.store.underway,
    }, this.lengths);
    this.tools();
    this.armSteps();
    this.armGallery();
    this.enter("decor");
    void this.start();
  }

  private async start(): Promise<void> {
    const asked = this.store.refresh();
    try {
      // The page with its drawing first: where no graphics card helps, starting 3D holds it up.
      await painted();
      const { mountScene } = await import("./scene/index");
      await turn();
      const bar = must("scene-tools");
      this.scene = await mountScene(this.rooms.decor, {
        shapes: this.root.dataset["shapes"] ?? "/api/shapes/",
        grid: this.tongue,
        covered: () => bar.offsetTop + bar.offsetHeight,
      });
      this.scene.onChoose((piece) => this.store.choose(piece === "" ? null : Number(piece)));
      this.scene.onPlace((piece, x, y, facing) => this.place(Number(piece), x, y, facing));
      this.scene.onView((view) => {
        press(this.views, view);
        if (view !== "free") this.seenFrom = view;
      });
      this.showChoice();
      this.stage.classList.add("is-live");
    } catch {
      this.flat = true;
      this.say(t("This browser shows no 3D; the drawing stands in."), false);
    }
    await turn();
    await asked;
    if (this.store.state) this.heard(this.store.state);
    document.addEventListener("desk:news", (event) => {
      event.preventDefault();
      void this.lookRound();
    });
    setInterval(() => void this.lookRound(), LOOK_EVERY_MS);
    window.addEventListener("online", () => void this.lookRound());
    window.addEventListener("beforeunload", (event) => this.store.unsaved && event.preventDefault());
  }

  // Picture, counts, price and findings change in one frame, unless the picture takes its time.
  private heard(state: JobState): void {
    void atMost(TOGETHER_MS, this.draw(state)).then(() => {
      if (state !== this.store.state) return; // a newer one came meanwhile
      this.thought();
      showFacts(this.tally, state);
      showFindings(this.findings, state.findings, (piece) => this.store.choose(piece));
      this.steps(state);
      this.hours.heard(state.version);
      this.tally.dataset["version"] = String(state.version); // for measurements: told
    });
  }

  private draw(state: JobState): Promise<void> {
    if (this.room === "chart") this.chart.show(state, this.store.chosen);
    else if (this.room === "floor") this.floor.show(state, this.store.chosen);
    else if (this.scene) {
      const stands = this.scene.show(state);
      void this.scene.drawn().then(() => state === this.store.state && this.mark());
      return stands;
    } else if (this.flat) this.still();
    return Promise.resolve();
  }

  private async seen(): Promise<void> {
    if (this.room === "decor" && this.scene) await atMost(SEEN_BY_MS, this.scene.drawn());
  }

  // Tests and measurements wait for this: the picture of this version has been drawn.
  private mark(): void {
    document.body.dataset["drawn"] = String(this.store.version);
    document.body.dataset["balloons"] = String(this.scene?.figures().balloons ?? 0);
  }

  private place(piece: number, x: number, y: number, facing: number): void {
    const { write } = this.lengths;
    const value = { x: write(x), y: write(y), facing: Math.round(facing) };
    void this.edit({ changes: [{ do: "put", path: ["pieces", piece, "spot"], value }], version: this.store.version });
  }

  private still(): void {
    const image = document.createElement("img");
    image.alt = t("The pieces, drawn from the front");
    image.src = `/jobs/${this.root.dataset["job"]}/picture.svg?v=${this.store.version}`;
    this.stage.querySelector(".still")?.replaceChildren(image);
  }

  private edit(request: Request): Promise<void> {
    clearTimeout(this.thinking);
    this.thinking = window.setTimeout(() => this.tally.classList.add("is-thinking"), THINKING_MS);
    return this.store.edit(request).finally(() => this.thought());
  }

  private done(state: JobState, request: Request): void {
    this.say(state.merged && !this.store.onlyMine(request, state) ? t("Somebody else changed something, too; both are kept.") : "", false);
    if (request.after !== "focus") return;
    this.stage.querySelector(".first-piece")?.remove();
    // All in view, the new one among them, once it stands.
    if (this.room === "decor") void this.scene?.drawn().then(() => this.scene?.view(this.seenFrom));
  }

  private thought(): void {
    if (this.store.busy) return;
    clearTimeout(this.thinking);
    this.tally.classList.remove("is-thinking");
  }

  private chosen(piece: number | null): void {
    this.showChoice();
    const address = new URL(location.href);
    address.searchParams.delete("said");
    if (piece === null) address.searchParams.delete("piece");
    else address.searchParams.set("piece", String(piece));
    history.replaceState(null, "", address);
    if (this.store.state && this.room !== "decor") void this.draw(this.store.state);
  }

  private showChoice(): void {
    this.scene?.choose(this.store.chosen === null ? null : String(this.store.chosen));
  }

  private failed(problem: ApiError, request: Request | null): void {
    this.say(`${problem.what} ${problem.mend}`, true);
    if (problem.status === 401) this.said?.append(" ", door());
    if (problem.status !== 409) return;
    if (request && problem.rivals.length) showConflict(this.conflicts, problem, request, (again) => void this.edit(again));
    void this.store.refresh();
  }

  private say(text: string, problem: boolean): void {
    if (!this.said) return;
    this.said.textContent = text;
    this.said.classList.toggle("is-problem", problem);
  }

  private async lookRound(): Promise<void> {
    if (document.hidden) return;
    if (await this.store.lookRound()) this.say(t("Somebody else changed the job; this is how it stands now."), false);
  }

  // ---- tools over the stage ------------------------------------------------------------------

  private roomFor(name: string): HTMLElement {
    const room = document.createElement("div");
    room.className = `room room-${name}`;
    room.hidden = true;
    this.stage.append(room);
    return room;
  }

  private enter(name: Room): void {
    this.room = name;
    for (const [key, room] of Object.entries(this.rooms)) room.hidden = key !== name;
    this.stage.dataset["room"] = name;
    if (this.store.state) void this.draw(this.store.state);
  }

  private tools(): void {
    const bar = must("scene-tools");
    const views = segment(t("Look from"), [["three-quarter", t("Corner")], ["front", t("Front")], ["side", t("Side")], ["top", t("Top")], ["eye", t("Eye level")]], "three-quarter", (key) => this.scene?.view(key as ViewName));
    this.views = views;
    const scale = toggles(t("For scale"), [["person", t("Person")], ["door", t("Door")]], (key, on) => this.scene?.scale({ [key]: on }));
    bar.append(
      segment(t("Show"), [["decor", t("Decor")], ["floor", t("Floor")], ["chart", t("Chart")]], "decor", (key) => {
        this.enter(key as Room);
        views.hidden = scale.hidden = key !== "decor";
      }),
      views,
      scale,
    );
  }

  // A piece picked from the gallery is added, chosen, and in view.
  private armGallery(): void {
    const gallery = must("gallery");
    gallery.querySelector("form")?.addEventListener("submit", (event) => {
      event.preventDefault();
      const form = event.currentTarget as HTMLFormElement;
      const changes = changesOf(form, new FormData(form, event.submitter));
      gallery.hidePopover();
      if (changes?.length) void this.edit({ changes, version: this.store.version, after: "focus" });
    });
  }

  private armSteps(): void {
    for (const form of document.querySelectorAll<HTMLFormElement>(".steps-back form")) {
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        void this.store.step(String(new FormData(form).get("do")) === "redo");
      });
    }
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || (event.target as Element).matches("input, textarea, select")) return;
      const key = event.key.toLowerCase();
      if (key !== "z" && key !== "y") return;
      event.preventDefault();
      void this.store.step(key === "y" || event.shiftKey);
    });
  }

  private steps(state: JobState): void {
    const [undo, redo] = document.querySelectorAll<HTMLButtonElement>(".steps-back button");
    if (undo) undo.title = state.undo ?? t("Nothing to undo");
    if (redo) redo.title = state.redo ?? t("Nothing to redo");
  }
}

// The page stays open with what was changed on it.
function door(): HTMLElement {
  const link = document.createElement("a");
  link.href = "/sign-in";
  link.target = "_blank";
  link.textContent = t("Sign in in another tab");
  return link;
}

function must(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (!found) throw new Error(`#${id} is missing`);
  return found;
}

const root = document.getElementById("bench");
if (root) new DesignPage(root);
