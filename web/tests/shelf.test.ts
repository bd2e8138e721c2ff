import { describe, expect, it } from "vitest";
import type { Difference, ShelfRecord } from "../src/api/types";
import {
  NOTHING_SOUGHT,
  onLine,
  placeInWords,
  questionOf,
  sortsOf,
  timesInWords,
  timesLine,
} from "../src/core/shelf";

const record = (...overstated: number[]): ShelfRecord => ({
  kind: "power_input",
  count: overstated.length,
  verdicts: {},
  overstated,
  middle: null,
  low: null,
  high: null,
});

describe("what is looked for", () => {
  it("asks for nothing while nothing is filled in", () => expect(questionOf(NOTHING_SOUGHT)).toBe(""));
  it("leaves out what is empty, and what is blank", () =>
    expect(questionOf({ ...NOTHING_SOUGHT, words: " brown lens ", part: "  ", value: "4k7" })).toBe(
      "words=brown+lens&value=4k7",
    ));
  it.each([
    ["claims.area: clears 60 m² of …", { where: "claim area", says: "clears 60 m² of …" }],
    ["findings.20: … says 60 m²", { where: "finding", says: "… says 60 m²" }],
    ["device: A lantern", { where: "device", says: "A lantern" }],
    ["R14: resistance 47 Ω", { where: "", says: "R14: resistance 47 Ω" }],
    ["D1 diode M7", { where: "", says: "D1 diode M7" }],
  ])("reads the place %s", (place, told) => expect(placeInWords(place)).toEqual(told));
});

describe("how far claims overstate", () => {
  it("puts 1 × in the middle of a line from a half to twice", () =>
    expect(onLine(1, 0.5, 2)).toBeCloseTo(0.5));
  it("keeps what lies beyond on the line's ends", () => {
    expect(onLine(0.001, 0.5, 2)).toBe(0);
    expect(onLine(1000, 0.5, 2)).toBe(1);
  });
  it("has room for every claim, and marks 1", () => {
    const line = timesLine([record(0.25, 3.8), record(12)]);
    expect([line.low, line.high]).toEqual([0.25, 12]);
    expect(line.marks).toEqual([0.5, 1, 2, 5, 10]);
  });
  it("thins its marks where they would stand too close, and keeps 1", () => {
    const line = timesLine([record(0.0011, 990)]);
    expect(line.marks).toEqual([0.01, 0.1, 1, 10, 100]);
  });
  it("says nothing where nothing was measured", () => {
    expect(timesInWords(null)).toBe("–");
    expect(timesInWords(3.785)).toBe("3.8 ×");
  });
});

it("a part stands in the first difference that names it", () => {
  const differences: readonly Difference[] = [
    { sort: "changed", says: "", first: ["R1"], second: ["R7"] },
    { sort: "moved", says: "", first: ["R1", "C1"], second: [] },
  ];
  expect([...sortsOf(differences, "first")]).toEqual([
    ["R1", "changed"],
    ["C1", "moved"],
  ]);
  expect([...sortsOf(differences, "second")]).toEqual([["R7", "changed"]]);
});
