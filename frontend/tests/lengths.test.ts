// Lengths as the studio speaks.
import { describe, expect, it } from "vitest";
import { lengths, snapped } from "../src/design/lengths";

const FOOT_M = 0.3048; // exact: international yard and pound agreement, 1959

describe("feet and inches", () => {
  const feet = lengths("foot");
  it.each([
    [0, "0 in"],
    [FOOT_M, "1 ft"],
    [2 * FOOT_M + 6 * 0.0254, "2 ft 6 in"],
    [-3 * FOOT_M, "-3 ft"],
    [11 * 0.0254, "11 in"],
  ])("%f m", (metres, written) => {
    expect(feet.write(metres)).toBe(written);
  });

  it("never writes twelve inches", () => {
    for (let k = 0; k < 500; k += 1) expect(feet.write(k * 0.0127)).not.toContain("12 in");
  });
});

describe("metres", () => {
  it("are written to the centimetre", () => {
    expect(lengths("metre").write(1.234)).toBe("1.23 m");
  });

  it("snap without a tail of digits", () => {
    expect(snapped(0.29999, 0.05)).toBe(0.3);
    expect(snapped(-1.13, 0.25)).toBe(-1.25);
  });
});
