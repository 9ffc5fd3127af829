// What a hand typed outlives a network that goes and returns.
import { beforeEach, describe, expect, test, vi } from "vitest";
import type { Listeners } from "../src/design/job_store";

vi.stubGlobal("document", { querySelector: () => null, getElementById: () => null, documentElement: { lang: "en" } });
const { JobStore } = await import("../src/design/job_store");

const PATH = ["pieces", 0, "height"];
let reachable = true;
let version = 1;
let arrived: string[] = [];

function state(): object {
  return { version, undo: null, redo: null, merged: false, focus: null, made: version, names: ["Column"], pieces: [], findings: [], options: [], totals: null, shades: {}, door: null, currency: "EUR" };
}

async function answer(address: string, sent?: { body?: string }): Promise<object> {
  if (!reachable) throw new TypeError("no network");
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
  [reachable, version, arrived] = [true, 1, []];
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
