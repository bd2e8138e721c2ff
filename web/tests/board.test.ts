import { describe, expect, it } from "vitest";
import type { BoardTold, Point } from "../src/api/types";
import { Places, placeOf } from "../src/core/hits";

const box = (x: number, y: number, width: number, height: number): readonly Point[] => [
  [x, y],
  [x + width, y],
  [x + width, y + height],
  [x, y + height],
];
const told = {
  name: "main",
  size_mm: [20, 10],
  sides: [
    {
      side: "front",
      strokes: [],
      copper: [
        { piece: 1, net: "gate", pin: "R1.1", outer_mm: box(0, 0, 10, 6), holes_mm: [box(4, 2, 1, 1)] },
      ],
    },
    {
      side: "back",
      strokes: [],
      copper: [{ piece: 1, net: "drain", pin: "R1.2", outer_mm: box(0, 0, 10, 6), holes_mm: [] }],
    },
  ],
  parts: [
    {
      reference: "R1",
      side: "front",
      body_mm: box(6, 1, 4, 2),
      pads: [
        { pin: "1", side: "front", net: "gate", at_mm: [6.5, 2], corners_mm: box(6, 1, 1, 2) },
        { pin: "2", side: "front", net: "", at_mm: [9.5, 2], corners_mm: box(9, 1, 1, 2) },
      ],
    },
  ],
  holes: [{ at_mm: [15, 5], diameter_mm: 1, plated: true, net: "gnd", pin: "J1.2" }],
} as unknown as BoardTold;

describe("what lies under the hand", () => {
  const places = new Places(told);
  it("is the pad before the body, the body before the copper", () => {
    expect(places.at([6.5, 2], "front")).toMatchObject({ pin: "R1.1", net: "gate" });
    expect(places.at([8, 2], "front")?.thing).toEqual({ kind: "part", name: "R1" });
    expect(places.at([1, 1], "front")?.thing).toEqual({ kind: "net", name: "gate", pin: "R1.1" });
  });
  it("is the part, where a pad's net is not known", () =>
    expect(places.at([9.5, 2], "front")?.thing).toEqual({ kind: "part", name: "R1" }));
  it("is nothing in an opening of the copper, nor beside the board", () => {
    expect(places.at([4.5, 2.5], "front")).toBeNull();
    expect(places.at([19, 9], "front")).toBeNull();
  });
  it("is of the side in view, but a plated hole is of both", () => {
    expect(places.at([6.5, 2], "back")?.thing).toEqual({ kind: "net", name: "drain", pin: "R1.2" });
    expect(places.at([15, 5], "back")?.thing).toEqual({ kind: "net", name: "gnd", pin: "J1.2" });
  });
  it("gives the pad that a probe stands nearest to", () => {
    expect(places.padNear([6.8, 3.4], "front", 2)?.pin).toBe("R1.1");
    expect(places.padNear([6.8, 3.4], "front", 0.5)).toBeNull();
    expect(places.padNear([6.8, 3.4], "back", 2)).toBeNull();
  });
  it("can be found again by name", () => {
    expect(places.pin("R1.2")?.at).toEqual([9.5, 2]);
    expect(placeOf(told, { parts: new Set(["R1"]), nets: new Set() })?.at).toEqual([8, 2]);
    expect(placeOf(told, { parts: new Set(["Q9"]), nets: new Set() })).toBeNull();
  });
});
