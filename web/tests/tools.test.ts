import { describe, expect, it } from "vitest";
import type { Edit, Point } from "../src/api/types";
import { fitEdit, type Grip, pointed, strokeEdit, type ToolName } from "../src/core/tools";

const grip: Grip = {
  board: "main",
  side: "front",
  says: "cut",
  width_mm: 0.4,
  reference: "R1",
  package: "chip 0805",
  diameter_mm: 0.9,
  plated: true,
  size_mm: [40, 20],
};
const after = (
  tool: ToolName,
  clicks: readonly Point[],
  held: Grip = grip,
): { points: readonly Point[]; edit: Edit | null } =>
  clicks.reduce<{ points: readonly Point[]; edit: Edit | null }>(
    (now, at) => pointed(tool, now.points, at, held),
    { points: [], edit: null },
  );

describe("places of the hand become edits", () => {
  it("two pads place a part", () =>
    expect(
      after("place", [
        [1, 2],
        [3, 2],
      ]).edit,
    ).toEqual({
      kind: "place",
      board: "main",
      side: "front",
      reference: "R1",
      package: "chip 0805",
      first_mm: [1, 2],
      second_mm: [3, 2],
    }));
  it("the same place twice is no part, nor is one without a name", () => {
    expect(
      after("place", [
        [1, 2],
        [1, 2],
      ]).edit,
    ).toBeNull();
    expect(
      after(
        "place",
        [
          [1, 2],
          [3, 2],
        ],
        { ...grip, reference: "" },
      ).edit,
    ).toBeNull();
  });
  it("one click sets a hole", () =>
    expect(after("hole", [[5, 6]]).edit).toEqual({
      kind: "hole",
      board: "main",
      at_mm: [5, 6],
      diameter_mm: 0.9,
      plated: true,
    }));
  it("an outline closes at its first corner, with no corner twice", () =>
    expect(
      after("outline", [
        [0, 0],
        [10, 0],
        [10, 10],
        [0.1, 0.2],
      ]).edit,
    ).toEqual({
      kind: "outline",
      board: "main",
      outline_mm: [
        [0, 0],
        [10, 0],
        [10, 10],
      ],
    }));
  it.each(["measure", "probe", "follow"] as const)("%s changes nothing by itself", (tool) =>
    expect(
      after(tool, [
        [0, 0],
        [1, 1],
      ]).edit,
    ).toBeNull(),
  );
  it("a third point begins the next measure", () =>
    expect(
      after("measure", [
        [0, 0],
        [1, 1],
        [2, 2],
      ]).points,
    ).toEqual([[2, 2]]));
});

describe("laying a photo on the board", () => {
  const corners: readonly Point[] = [
    [100, 100],
    [900, 110],
    [890, 500],
    [90, 510],
  ];
  const landed = (side: "front" | "back"): readonly Point[] => {
    const edit = fitEdit(corners, { ...grip, side });
    return edit?.kind === "register" ? edit.points.map((pair) => pair.board_mm) : [];
  };
  it("takes the front as it is seen", () =>
    expect(landed("front")).toEqual([
      [0, 0],
      [40, 0],
      [40, 20],
      [0, 20],
    ]));
  it("takes the back mirrored, as it is seen from behind", () =>
    expect(landed("back")).toEqual([
      [40, 0],
      [0, 0],
      [0, 20],
      [40, 20],
    ]));
  it("needs the board's size and all four corners", () => {
    expect(fitEdit(corners, { ...grip, size_mm: null })).toBeNull();
    expect(fitEdit(corners.slice(1), grip)).toBeNull();
  });
});

it("a stroke without a point is none", () => {
  expect(strokeEdit([], grip)).toBeNull();
  expect(strokeEdit([[1, 1]], grip)).toMatchObject({ kind: "stroke", says: "cut", points_mm: [[1, 1]] });
});
