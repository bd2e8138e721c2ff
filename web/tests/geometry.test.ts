import { describe, expect, it } from "vitest";
import type { Point } from "../src/api/types";
import { apart, inMillimetres, inside, lengthOf, measured, simplified } from "../src/core/geometry";

const square: readonly Point[] = [
  [0, 0],
  [10, 0],
  [10, 10],
  [0, 10],
];

it("knows inside from outside, in a hollow too", () => {
  const hook: readonly Point[] = [
    [0, 0],
    [10, 0],
    [10, 10],
    [6, 10],
    [6, 4],
    [4, 4],
    [4, 10],
    [0, 10],
  ];
  expect(inside(square, [5, 5])).toBe(true);
  expect(inside(square, [11, 5])).toBe(false);
  expect(inside(hook, [5, 7])).toBe(false);
  expect(inside(hook, [2, 7])).toBe(true);
});

it("adds lengths up", () => {
  expect(apart([0, 0], [3, 4])).toBe(5);
  expect(lengthOf(square)).toBe(30);
});

describe("a line drawn by hand", () => {
  const wavy = Array.from({ length: 200 }, (_, step): Point => [step / 10, Math.sin(step / 9) * 2]);
  it("keeps its ends", () => {
    const thin = simplified(wavy, 0.05);
    expect([thin[0], thin.at(-1)]).toEqual([wavy[0], wavy.at(-1)]);
    expect(thin.length).toBeLessThan(wavy.length / 3);
  });
  it("is never moved by more than was granted", () => {
    const thin = simplified(wavy, 0.05);
    const away = (point: Point): number =>
      Math.min(...thin.slice(1).map((to, number) => fromSegment(point, thin[number] ?? to, to)));
    expect(Math.max(...wavy.map(away))).toBeLessThanOrEqual(0.05 + 1e-12);
  });
  it("of one point or none stays as it is", () => {
    expect(simplified([], 1)).toEqual([]);
    expect(simplified([[1, 2]], 1)).toEqual([[1, 2]]);
  });
});

/** Distance to a stretch, by walking it in small steps. */
function fromSegment(point: Point, from: Point, to: Point): number {
  const steps = 400;
  let least = Infinity;
  for (let step = 0; step <= steps; step += 1) {
    const share = step / steps;
    least = Math.min(
      least,
      apart(point, [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]),
    );
  }
  return least;
}

describe("a distance between two clicks", () => {
  const side = { photo_px_per_mm: 20, scale_uncertainty: 0.004 };
  it("has the uncertainty of the scale and of a pixel for each click", () => {
    const { length } = measured([0, 0], [30, 40], side);
    expect([length.value, length.unit]).toEqual([0.05, "m"]);
    // The scale is off by 0.2 mm, two clicks by 0.05 mm each.
    expect(length.uncertainty).toBeCloseTo((2 * Math.hypot(0.2, Math.SQRT2 * 0.05)) / 1e3, 12);
  });
  it("says what its uncertainty is made of", () =>
    expect(measured([0, 0], [30, 40], side).from).toBe(
      "k = 2, from the scale (0.40 %) and a pixel of the photo (0.050 mm) for each click; the board’s size counts as told",
    ));
});

it("a length that was understood is told in millimetres, and one that was not is none", () => {
  expect(inMillimetres({ understood: true, said: "460 mm", value: 0.46, unit: "m", meanings: [] })).toBe(460);
  expect(inMillimetres({ understood: false, said: "", value: null, unit: "", meanings: [] })).toBeNull();
  expect(inMillimetres(null)).toBeNull();
});
