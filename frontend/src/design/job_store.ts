// What is shown of a job, in one place. Answers may come late and in any order: the newest version
// wins, the last choice wins, and a panel is shown only if it is of this very version and choice.
import { ApiError, post, text } from "./api_client";
import type { JobState, PictureState } from "../answers";
import type { Change } from "./api_client";
import { t } from "../words";

/** Changes as a hand made them, and the version it saw while it made them. */
export interface Request {
  changes: Change[];
  version: number;
  /** Versions the hand was told of and goes over. */
  over?: number[];
  /** What is chosen once the change is made; left out, the choice stays. */
  after?: "focus" | "none";
}

export interface Listeners {
  state(state: JobState): void;
  chosen(piece: number | null): void;
  panel(html: string): void;
  failed(problem: ApiError, request: Request | null): void;
  done(state: JobState, request: Request): void;
  /** The picture of the newest state has been drawn, or took too long. */
  drawn(): Promise<void>;
  /** How many requests are on their way. */
  asking(count: number): void;
}

const PICTURES_KEPT = 60; // a few more than are shown, so that undo needs no picture sent again
const OWN_KEPT = 200;

export class JobStore {
  state: JobState | null = null;
  version: number;
  chosen: number | null;
  private readonly pictures = new Map<string, PictureState>();
  private own: number[] = [];
  private queue: Promise<unknown> = Promise.resolve();
  private readonly waiting = new Set<Request>();
  private readonly unsent: Request[] = [];
  private asks = 0;
  private panelAsked: AbortController | null = null;
  private panelShown = "";

  constructor(private readonly job: string, version: number, chosen: number | null, private readonly tell: Listeners) {
    this.version = version;
    this.chosen = chosen;
    this.panelShown = this.panelKey();
  }

  get busy(): boolean {
    return this.asks > 0;
  }

  /** Whether nobody but this hand changed the job between a request and its answer. */
  onlyMine(request: Request, state: JobState): boolean {
    for (let number = request.version + 1; number <= state.version; number++) if (!this.own.includes(number)) return false;
    return true;
  }

  /** Texts on their way to the desk, by the path of their field: a fresh panel must not undo them. */
  get underway(): Set<string> {
    const paths = [...this.waiting].flatMap((request) => request.changes).map((change) => JSON.stringify("path" in change ? change.path : null));
    return new Set(paths);
  }

  /** Whether something that was changed has not reached the desk yet. */
  get unsaved(): boolean {
    return this.unsent.length > 0;
  }

  edit(request: Request): Promise<void> {
    this.sendAgain();
    return this.send(request);
  }

  // What the desk has not taken yet goes out before anything newer.
  private sendAgain(): void {
    for (const request of this.unsent.splice(0)) void this.send(request);
  }

  private send(request: Request): Promise<void> {
    this.waiting.add(request);
    const body = (): object => ({
      version: request.version,
      changes: request.changes,
      mine: [...this.own.filter((number) => number > request.version), ...(request.over ?? [])],
    });
    return this.inTurn("edits", body)
      .then((state) => {
        this.waiting.delete(request);
        if (request.after === "none") this.pick(null);
        if (request.after === "focus" && state.focus !== null) this.pick(state.focus, state);
        this.tell.done(state, request);
      })
      .catch((problem: unknown) => this.fail(this.kept(problem, request), request))
      .finally(() => this.unsent.includes(request) || this.waiting.delete(request));
  }

  refresh(): Promise<void> {
    return this.inTurn("state", () => ({})).then(() => undefined, (problem: unknown) => this.fail(problem, null));
  }

  // What is refused for want of a sign-in was not done. What got no answer may have been: typing it
  // twice does no harm, adding a piece twice does.
  private kept(problem: unknown, request: Request): unknown {
    if (!(problem instanceof ApiError)) return problem;
    if (problem.status === 401) {
      this.unsent.push(request);
      return new ApiError(t("You are signed out."), t("Your change is kept and goes out once you have signed in again."), 401);
    }
    if (problem.status !== 0 || !request.changes.every((change) => change.do === "write")) return problem;
    this.unsent.push(request);
    return new ApiError(problem.what, t("What you typed is kept and goes out once it does."), 0);
  }

  step(forward: boolean): Promise<void> {
    this.sendAgain();
    return this.inTurn(forward ? "redo" : "undo", () => ({})).then(() => undefined, (problem: unknown) => this.fail(problem, null));
  }

  /** Whether somebody changed the job elsewhere, or a panel failed to come. */
  async lookRound(): Promise<boolean> {
    if (this.busy) return false;
    const answer = await fetch(`/api/jobs/${this.job}/version`).catch(() => null);
    if (!answer?.ok || this.busy) return false;
    if (this.unsaved) {
      this.sendAgain();
      return false;
    }
    const { version } = (await answer.json()) as { version: number };
    if (version === this.version) {
      if (this.panelShown !== this.panelKey()) this.askPanel();
      return false;
    }
    if (version < this.version) this.version = version - 1; // an older copy of the desk was put back
    await this.refresh();
    return true;
  }

  /** Choose a piece; `name` says which one is meant where the list it was picked from is older. */
  choose(piece: number | null, name?: string): void {
    const names = this.state?.names;
    if (piece !== null && name !== undefined && names && names[piece] !== name) piece = found(names, name) ?? piece;
    this.pick(piece);
  }

  private pick(piece: number | null, state?: JobState): void {
    // The answer to a change may be older than what is shown by now: the piece keeps its name.
    const name = piece === null ? null : state?.names[piece];
    if (name !== undefined && name !== null && this.state && this.state !== state) piece = found(this.state.names, name);
    if (piece === this.chosen && this.panelShown === this.panelKey()) { this.tell.chosen(piece); return; }
    this.chosen = piece;
    this.tell.chosen(piece);
    this.askPanel();
  }

  // Requests go out one after the other; each says itself which version it was made from.
  private inTurn(what: string, body: () => object): Promise<JobState> {
    this.tell.asking(++this.asks);
    const turn = this.queue.then(async () => {
      const state = await post(`/api/jobs/${this.job}/${what}`, { ...body(), have: [...this.pictures.keys()] });
      if (state.made !== null) this.own = [...this.own, state.made].slice(-OWN_KEPT);
      this.receive(state);
      return state;
    });
    this.queue = turn.catch(() => undefined).finally(() => this.tell.asking(--this.asks));
    return turn;
  }

  private receive(state: JobState): void {
    this.keepPictures(state);
    if (state.version < this.version && this.state) return; // something newer is shown already
    const before = this.state?.names;
    this.state = state;
    this.version = state.version;
    if (before && this.chosen !== null) this.follow(before, state.names);
    this.tell.state(state);
    this.askPanel(true);
  }

  // The chosen piece stays chosen wherever it stands now.
  private follow(before: string[], now: string[]): void {
    const name = this.chosen === null ? undefined : before[this.chosen];
    let next = name === undefined ? null : found(now, name);
    if (next === null && before.length === now.length) next = this.chosen; // renamed in its place
    if (next !== this.chosen) {
      this.chosen = next;
      this.tell.chosen(next);
    }
  }

  private panelKey(): string {
    return `${this.version} ${this.chosen ?? "job"}`;
  }

  private askPanel(afterPicture = false): void {
    const key = this.panelKey();
    this.panelAsked?.abort();
    if (key === this.panelShown) return;
    const asked = new AbortController();
    this.panelAsked = asked;
    const tail = this.chosen === null ? "" : `?piece=${this.chosen}`;
    const address = `/jobs/${this.job}/panel${tail}`;
    // The picture first, where the processor draws both: the panel tells what is known already.
    void (afterPicture ? this.tell.drawn() : Promise.resolve())
      .then(() => (asked.signal.aborted ? "" : text(address, asked.signal)))
      .then((html) => {
        if (asked.signal.aborted || key !== this.panelKey()) return;
        const version = Number(/id="side" data-version="(\d+)"/.exec(html)?.[1]);
        if (version > this.version) return void this.refresh(); // the job moved on meanwhile
        if (version !== this.version) return;
        this.panelShown = key;
        this.tell.panel(html);
      })
      .catch(() => undefined); // asked for again when somebody looks round
  }

  private fail(problem: unknown, request: Request | null): void {
    if (!(problem instanceof ApiError)) throw problem;
    this.tell.failed(problem, request);
  }

  private keepPictures(state: JobState): void {
    const used = new Set<string>();
    for (const piece of state.pieces) {
      if (piece.key === null) continue;
      used.add(piece.key);
      if (piece.picture) this.pictures.set(piece.key, piece.picture);
      else {
        const known = this.pictures.get(piece.key);
        if (known) piece.picture = known;
      }
    }
    while (this.pictures.size > PICTURES_KEPT) {
      const oldest = [...this.pictures.keys()].find((key) => !used.has(key));
      if (oldest === undefined) break;
      this.pictures.delete(oldest);
    }
  }
}

function found(names: string[], name: string): number | null {
  const at = names.indexOf(name);
  return at < 0 ? null : at;
}
