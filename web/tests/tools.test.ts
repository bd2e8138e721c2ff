import { describe, expect, it } from "vitest";
import type { PackageTold, PlacedTold, Point } from "../src/api/types";
import {
  EMPTY,
  fitEdit,
  foundBefore,
  type Grip,
  type Held,
  instruction,
  pointed,
  strokeEdit,
  type ToolName,
} from "../src/core/tools";

const body: PackageTold = {
  name: "0805",
  title: "0805, chip",
  pins: ["1", "2"],
  clicks: ["1", "2"],
  span_mm: 1.9,
  least_mm: 0.9,
  most_mm: 2.9,
  bent: false,
};

const grip: Grip = {
  board: "main",
  side: "front",
  says: "cut",
  width_mm: 0.4,
  reference: "R1",
  body,
  placed: null,
  diameter_mm: 0.9,
  plated: true,
  laid: true,
  size_mm: [40, 20],
};
const after = (tool: ToolName, clicks: readonly Point[], held: Grip = grip): Held =>
  clicks.reduce<Held>((now, at) => pointed(tool, now.points, at, held), EMPTY);

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
      package: "0805",
      first_mm: [1, 2],
      second_mm: [3, 2],
    }));
  it("a hole is set as wide as was understood, and none where nothing was", () => {
    expect(after("hole", [[1, 2]]).edit).toEqual({
      kind: "hole",
      board: "main",
      at_mm: [1, 2],
      diameter_mm: 0.9,
      plated: true,
    });
    expect(after("hole", [[1, 2]], { ...grip, diameter_mm: null })).toEqual({
      ...EMPTY,
      refused: "Nothing was set. Say first how wide the hole is, such as 0.8 mm; then click its middle.",
    });
  });
  it("nothing is said of a photo that is not laid on the board yet, whose places are pixels", () => {
    const raw = { ...grip, laid: false };
    expect(strokeEdit([[872, 845]], raw)).toBeNull();
    for (const tool of ["paint", "follow", "place", "hole", "measure", "probe", "outline"] as const)
      expect(pointed(tool, [], [872, 845], raw)).toMatchObject({
        points: [],
        edit: null,
        refused: expect.stringContaining("Lay the photo on the board first"),
      });
    expect(pointed("fit", [], [872, 845], raw)).toMatchObject({ points: [[872, 845]], refused: "" });
  });
  it("a line of a brush whose width was not understood is no stroke", () =>
    expect(strokeEdit([[1, 2]], { ...grip, width_mm: null })).toBeNull());
  it("a click is not taken before part and body are named, and says so", () => {
    expect(after("place", [[1, 2]], { ...grip, reference: "", body: null })).toEqual({
      points: [],
      edit: null,
      refused: "Nothing was set. Say first which part it is, and in which body; then click two of its pads.",
    });
    expect(after("place", [[1, 2]], { ...grip, body: null }).refused).toBe(
      "Nothing was set. Say first in which body R1 comes; then click two of its pads.",
    );
  });
  it.each([
    ["30 mm apart", [31, 2], "30.00"],
    ["on one place", [1, 2], "0.00"],
  ] as const)("clicks %s place no part, and both distances are told", (_, second, apart) =>
    expect(after("place", [[1, 2], second])).toEqual({
      points: [],
      edit: null,
      refused:
        `Not placed: the clicks lie ${apart} mm apart, and pads 1 and 2 of 0805 lie 1.90 mm apart, clicked at ` +
        "0.90 mm to 2.90 mm. Click the middles of these two pads again, or choose another body.",
    }),
  );
  it("leads that are bent have no distance of their own", () =>
    expect(
      after(
        "place",
        [
          [0, 0],
          [70, 0],
        ],
        { ...grip, body: { ...body, name: "AXIAL-SMALL", most_mm: 53, bent: true } },
      ).refused,
    ).toContain("pads 1 and 2 of AXIAL-SMALL are bent to 0.90 mm to 53.00 mm"));
  it("a body of one land is turned to wherever the second click lies", () =>
    expect(
      after(
        "place",
        [
          [0, 0],
          [70, 0],
        ],
        { ...grip, body: { ...body, clicks: ["1", "1"], span_mm: 0, most_mm: 0 } },
      ).edit,
    ).not.toBeNull());
  it("a part that lies on the board already is moved, and the change says from where", () => {
    const pad = { pin: "R1.1", net: "", side: "back" as const, corners_mm: [], at_mm: [4, 5] as const };
    const placed: PlacedTold = {
      reference: "R1",
      package: "0805",
      side: "back",
      body_mm: [],
      pads: [pad, { ...pad, at_mm: [6, 5] }],
      misfit_mm: 0,
    };
    expect(
      after(
        "place",
        [
          [1, 2],
          [3, 2],
        ],
        { ...grip, placed },
      ).edit?.title,
    ).toBe("R1 moved from 5.0 mm, 5.0 mm on the back");
  });
  it("the pads that place a body are called by their names", () => {
    expect(instruction("place", 0, { ...body, clicks: ["1", "5"] })).toBe("Click the middle of its pad 1.");
    expect(instruction("place", 1, { ...body, clicks: ["1", "5"] })).toBe("Click the middle of pad 5 now.");
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

describe("copper that is to be found again", () => {
  it("says nothing as long as nothing has changed", () => expect(foundBefore([])).toBe(""));
  it("says what has changed, the photos first", () => {
    expect(foundBefore(["strokes", "photos"])).toMatch(
      /^The photo .* since copper was found\. Your strokes hold/,
    );
    expect(foundBefore(["parts"])).toContain("pads may hang together that do not");
  });
});
