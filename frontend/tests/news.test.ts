import { expect, test } from "vitest";
import { concerns } from "../src/news_rules";

const news = (tables: string[], jobs: string[] = [], everything = false) => ({ tables, jobs, everything });

test("a list hears of its tables, a job's page of its job", () => {
  const list = new Set(["jobs"]);
  expect(concerns(news(["jobs"], ["a"]), list, "")).toBe(true);
  expect(concerns(news(["ticks"], ["a"]), list, "")).toBe(false);
  expect(concerns(news(["ticks"], ["a"]), new Set(), "a")).toBe(true);
  expect(concerns(news(["ticks"], ["a"]), new Set(), "b")).toBe(false);
  expect(concerns(news([], [], true), new Set(), "b")).toBe(true);
});
