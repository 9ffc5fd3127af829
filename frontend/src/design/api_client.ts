// Talking to the desk: one change after the other, pictures kept, mishaps in words.
import type { Change, JobState, Picture } from "./types";

const token = document.querySelector<HTMLMetaElement>('meta[name="desk-token"]')?.content ?? "";

export class ApiError extends Error {
  constructor(readonly what: string, readonly mend: string, readonly status: number) {
    super(what);
  }
}

async function post(address: string, body: unknown): Promise<JobState> {
  let answer: Response;
  try {
    answer = await fetch(address, {
      method: "POST",
      headers: { "content-type": "application/json", "x-desk-token": token },
      body: JSON.stringify(body),
    });
  } catch {
    throw new ApiError("The desk does not answer.", "Your change is still in the field; try again.", 0);
  }
  const told: unknown = await answer.json().catch(() => ({}));
  if (!answer.ok) {
    const fault = told as { what?: string; mend?: string };
    throw new ApiError(fault.what ?? "That did not work.", fault.mend ?? "Load the page again.", answer.status);
  }
  return told as JobState;
}

export class ApiClient {
  private readonly pictures = new Map<string, Picture>();
  private queue: Promise<unknown> = Promise.resolve();
  private waiting = 0;
  state: JobState | null = null;
  version: number;

  constructor(private readonly job: string, version: number, private readonly heard: (state: JobState) => void) {
    this.version = version;
  }

  get busy(): boolean {
    return this.waiting > 0;
  }

  refresh(): Promise<void> {
    return this.inTurn("state", () => ({}));
  }

  edit(changes: Change[]): Promise<void> {
    return this.inTurn("edits", () => ({ version: this.version, changes }));
  }

  undo(): Promise<void> {
    return this.inTurn("undo", () => ({}));
  }

  redo(): Promise<void> {
    return this.inTurn("redo", () => ({}));
  }

  async current(): Promise<number> {
    const answer = await fetch(`/api/jobs/${this.job}/version`);
    return answer.ok ? ((await answer.json()) as { version: number }).version : this.version;
  }

  async panel(piece: number | null): Promise<string> {
    const tail = piece === null ? "" : `?piece=${piece}`;
    return (await fetch(`/jobs/${this.job}/panel${tail}`)).text();
  }

  // Changes go out one after the other: each is made from the version the one before came to.
  private inTurn(what: string, body: () => object): Promise<void> {
    this.waiting++;
    const turn = this.queue.then(async () => {
      const state = await post(`/api/jobs/${this.job}/${what}`, { ...body(), have: [...this.pictures.keys()] });
      this.keep(state);
    });
    this.queue = turn.catch(() => undefined).finally(() => this.waiting--);
    return turn;
  }

  private keep(state: JobState): void {
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
    // A few more than are shown, so that undo needs no picture sent again.
    while (this.pictures.size > 60) {
      const oldest = [...this.pictures.keys()].find((key) => !used.has(key));
      if (oldest === undefined) break;
      this.pictures.delete(oldest);
    }
    this.state = state;
    this.version = state.version;
    this.heard(state);
  }
}
