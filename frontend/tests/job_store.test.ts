// What a hand typed outlives a network that goes and returns.
import { beforeEach, describe, expect, test, vi } from "vitest";
import type { Listeners } from "../src/design/job_store";

const meta = { content: "old" };
vi.stubGlobal("document", {
  querySelector: (wanted: string) => (wanted.includes("desk-token") ? meta : null),
  querySelectorAll: () => [],
  getElementById: () => null,
  documentElement: { lang: "en" },
});
vi.stubGlobal("location", { href: "/jobs/j" });
const { JobStore } = await import("../src/design/job_store");

const PATH = ["pieces", 0, "height"];
let reachable = true;
let signedIn = true;
let given = "old"; // the token of this browser
let version = 1;
let arrived: string[] = [];

function refusal(status: number): object {
  return { ok: false, status, json: async () => ({ what: "Refused.", mend: "Sign in." }) };
}

function state(): object {
  return { version, undo: null, redo: null, merged: false, focus: null, made: version, names: ["Column"], pieces: [], findings: [], options: [], totals: null, shades: {}, door: null, currency: "EUR" };
}

async function answer(address: string, sent?: { body?: string; headers?: Record<string, string> }): Promise<object> {
  if (!reachable) throw new TypeError("no network");
  if (address === "/jobs/j") return { ok: true, text: async () => `<meta name="desk-token" content="${given}">` };
  if (sent?.headers && sent.headers["x-desk-token"] !== given) return refusal(403);
  if (!signedIn) return refusal(401);
  if (address.endsWith("/version")) return { ok: true, json: async () => ({ version }) };
  if (address.includes("/panel")) return { ok: true, text: async () => `<div id="side" data-version="${version}">` };
  const { changes } = JSON.parse(sent?.body ?? "{}") as { changes?: { do: string; text?: string }[] };
  if (changes) {
    version += 1;
    arrived.push(...changes.map((change) => change.text ?? change.do));
  }
  return { ok: true, json: async () => state() };
}

function store(failed: (mend: string) => void = () => undefined): InstanceType<typeof JobStore> {
  const nothing = (): void => undefined;
  const listeners: Listeners = { state: nothing, chosen: nothing, panel: nothing, done: nothing, asking: nothing, drawn: async () => undefined, failed: (problem) => failed(problem.mend) };
  return new JobStore("j", 1, 0, listeners);
}

beforeEach(() => {
  [reachable, signedIn, given, version, arrived] = [true, true, "old", 1, []];
  meta.content = given;
  vi.stubGlobal("fetch", answer);
});

describe("typed without a network", () => {
  test("it goes out before the next change, in its order", async () => {
    const told: string[] = [];
    const here = store((mend) => told.push(mend));
    reachable = false;
    await here.edit({ changes: [{ do: "write", path: PATH, text: "1.9 m" }], version: 1 });
    await here.edit({ changes: [{ do: "write", path: ["pieces", 0, "count"], text: "4" }], version: 1 });
    expect(here.unsaved).toBe(true);
    expect(here.underway).toContain(JSON.stringify(PATH)); // a fresh panel leaves the field alone
    expect(told.every((mend) => mend.startsWith("What you typed is kept"))).toBe(true);
    reachable = true;
    await here.edit({ changes: [{ do: "write", path: ["pieces", 0, "price"], text: "88" }], version: 1 });
    expect(arrived).toEqual(["1.9 m", "4", "88"]);
    expect(here.unsaved).toBe(false);
    expect(here.underway.size).toBe(0);
  });

  test("it goes out by itself once the desk answers", async () => {
    const here = store();
    reachable = false;
    await here.edit({ changes: [{ do: "write", path: PATH, text: "1.9 m" }], version: 1 });
    expect(await here.lookRound()).toBe(false);
    reachable = true;
    await here.lookRound();
    await vi.waitFor(() => expect(arrived).toEqual(["1.9 m"]));
  });

  test("a piece that may have been added is not added twice", async () => {
    const here = store();
    reachable = false;
    await here.edit({ changes: [{ do: "add", kind: "column" }], version: 1 });
    expect(here.unsaved).toBe(false);
    reachable = true;
    await here.lookRound();
    expect(arrived).toEqual([]);
  });
});

describe("changed after the session ended", () => {
  const add = { changes: [{ do: "add" as const, kind: "column" }], version: 1 };

  test("it goes out once somebody has signed in again, with the token of the new session", async () => {
    const told: string[] = [];
    const here = store((mend) => told.push(mend));
    signedIn = false;
    await here.edit(add);
    expect(here.unsaved).toBe(true);
    expect(told).toEqual(["Your change is kept and goes out once you have signed in again."]);
    await here.lookRound();
    expect(arrived).toEqual([]);
    [signedIn, given] = [true, "new"];
    await here.lookRound();
    await vi.waitFor(() => expect(arrived).toEqual(["add"]));
    expect(here.unsaved).toBe(false);
  });

  test("a session begun in another tab is taken over without a word", async () => {
    const told: string[] = [];
    given = "new";
    await store((mend) => told.push(mend)).edit(add);
    expect(arrived).toEqual(["add"]);
    expect(told).toEqual([]);
  });

  test("what this person may not do is not tried again", async () => {
    const told: string[] = [];
    vi.stubGlobal("fetch", async (address: string) => (address === "/jobs/j" ? answer(address) : refusal(403)));
    const here = store((mend) => told.push(mend));
    await here.edit(add);
    expect(told).toEqual(["Sign in."]);
    expect(here.unsaved).toBe(false);
  });
});
