import { describe, expect, it } from "vitest";
import type { BoardTold, Edit, SideTold } from "../src/api/types";
import {
  isStrong,
  keyOf,
  spokenShare,
  strokesBeyond,
  tintIn,
  type Tint,
  type Window,
  windowFor,
} from "../src/core/classes";

describe("the part of a board whose classes are asked for", () => {
  it("is what is in view with some margin, on the board alone", () => {
    expect(windowFor([10, 10, 20, 15], [40, 30], null)).toEqual([8.8, 9.4, 21.2, 15.6]);
    expect(windowFor([-50, -50, 90, 80], [40, 30], null)).toEqual([0, 0, 40, 30]);
    expect(windowFor([-50, -50, -10, -10], [40, 30], null)).toBeNull();
  });
  it("stays while the picture is moved within it", () => {
    const last = windowFor([10, 10, 20, 15], [40, 30], null);
    expect(windowFor([10.5, 10.2, 20.5, 15.2], [40, 30], last)).toBe(last);
    expect(windowFor([14, 10, 24, 15], [40, 30], last)).not.toBe(last);
  });
  it("is a finer one once the picture comes much closer", () => {
    const all: Window = [0, 0, 40, 30];
    expect(windowFor([10, 10, 20, 15], [40, 30], all)).not.toBe(all);
    expect(windowFor([1, 1, 36, 27], [40, 30], all)).toBe(all);
  });
});

describe("what classes depend on", () => {
  const stroke = { says: "cut", points_mm: [[1, 2]] as [number, number][], width_mm: 0.4 };
  const side = (strokes: (typeof stroke)[]): SideTold =>
    ({
      side: "front",
      photo: "photos/a.jpg",
      strokes,
      width: 10,
      height: 10,
      px_per_mm: 2,
    }) as unknown as SideTold;
  const board = (pads: number): BoardTold =>
    ({
      parts: [{ package: "0805", side: "front", pads: [{ at_mm: [pads, 1] }] }],
      outline_mm: [],
    }) as unknown as BoardTold;
  const wish = (strokes: (typeof stroke)[]) =>
    ({ board: "main", side: "front", window: [0, 0, 5, 5], strokes }) as const;

  it("a stroke counts the same on its way and kept", () =>
    expect(keyOf(wish([stroke]), board(1), side([]))).toBe(keyOf(wish([]), board(1), side([stroke]))));
  it("strokes, parts and the view tell apart, what merely was told anew does not", () => {
    const before = keyOf(wish([]), board(1), side([]));
    expect(keyOf(wish([]), board(1), side([]))).toBe(before);
    expect(keyOf(wish([stroke]), board(1), side([]))).not.toBe(before);
    expect(keyOf(wish([]), board(2), side([]))).not.toBe(before);
    expect(keyOf({ ...wish([]), window: [0, 0, 5, 6] }, board(1), side([]))).not.toBe(before);
  });
  it("of edits that wait only strokes on this side count", () => {
    const edit: Edit = { kind: "stroke", board: "main", side: "front", ...stroke };
    const others: (Edit | null)[] = [
      null,
      { kind: "unplace", board: "main", reference: "R1" },
      { ...edit, side: "back" },
      { ...edit, board: "other" },
      edit,
    ];
    expect(strokesBeyond(others, "main", "front")).toEqual([stroke]);
  });
});

describe("numbers become tints", () => {
  const tint = (texture: Tint["texture"]): Tint => ({ colour: [1, 2, 3], strong: 1, weak: 0.4, texture });
  it("each in its own colour, and what has no tint leaves the photo", () => {
    const pixels = new Uint8ClampedArray([0, 0, 0, 255, 1, 1, 1, 255, 9, 9, 9, 255]);
    tintIn(pixels, 3, [tint("even"), null]);
    expect([...pixels]).toEqual([1, 2, 3, 255, 1, 1, 1, 0, 9, 9, 9, 0]);
  });
  it("classes differ by texture as well as by colour", () => {
    const seen = (["even", "rising", "level", "dots"] as const).map((texture) =>
      Array.from({ length: 64 }, (_, at) => (isStrong(texture, at % 8, Math.floor(at / 8)) ? "#" : ".")).join(
        "",
      ),
    );
    expect(new Set(seen).size).toBe(4);
    const pixels = new Uint8ClampedArray(8 * 4);
    tintIn(pixels, 2, [tint("level")]);
    expect([pixels[3], pixels[7], pixels[19], pixels[23]]).toEqual([255, 255, 102, 102]);
  });
  it("shares are told in whole percent", () =>
    expect([0, 0.001, 0.014, 1].map(spokenShare)).toEqual(["0 %", "under 1 %", "1 %", "100 %"]));
});
