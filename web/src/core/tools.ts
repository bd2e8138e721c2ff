import type { Edit, PackageTold, PlacedTold, Point, Side } from "../api/types";
import { apart, simplified } from "./geometry";
import { clicksTrouble, isPlacedByOne, whereabouts } from "./placing";

/** What the hand does on a photo. Each turns places into one edit, or into nothing; none changes anything itself. */
export type ToolName =
  "look" | "paint" | "follow" | "place" | "hole" | "measure" | "probe" | "outline" | "fit";

export interface Sketch {
  readonly points: readonly Point[];
  readonly closed: boolean;
  readonly width_mm: number;
}
export const NO_SKETCH: Sketch = { points: [], closed: false, width_mm: 0 };

/** What a tool knows of the page while it is in hand. */
export interface Grip {
  readonly board: string;
  readonly side: Side;
  /** Whether places on the picture are millimetres on the board; else they are pixels of a photo that is not laid on it yet. */
  readonly laid: boolean;
  readonly says: string;
  /** Of the brush and of the hole; none while what was typed is not understood. */
  readonly width_mm: number | null;
  readonly reference: string;
  readonly body: PackageTold | null;
  /** The part of that reference, where it lies on the board already. */
  readonly placed: PlacedTold | null;
  readonly diameter_mm: number | null;
  readonly plated: boolean;
  readonly size_mm: Point | null;
}

/** Points set so far, and what comes of them. */
export interface Held {
  readonly points: readonly Point[];
  readonly edit: Edit | null;
  /** Why a point was not taken; empty where it was. */
  readonly refused: string;
}

export const EMPTY: Held = { points: [], edit: null, refused: "" };

/** Points that a tool asks for before it has an edit; none for those that make none, or end by hand. */
export function pointsAsked(tool: ToolName): number {
  switch (tool) {
    case "place":
    case "measure":
    case "probe":
      return 2;
    case "hole":
    case "follow":
    case "look":
      return 1;
    case "fit":
      return 4;
    case "outline":
    case "paint":
      return Infinity;
    default: {
      const never: never = tool;
      return never;
    }
  }
}

/** After one more point: the points held, and the edit once there are enough. */
export function pointed(tool: ToolName, points: readonly Point[], at: Point, grip: Grip): Held {
  const missing = stillToSay(tool, grip);
  if (missing) return { ...EMPTY, refused: `Nothing was set. ${missing}` };
  const now = points.length >= pointsAsked(tool) ? [at] : [...points, at];
  if (tool === "outline" && closes(now)) return { ...EMPTY, edit: outlineEdit(now.slice(0, -1), grip) };
  if (now.length < pointsAsked(tool)) return { ...EMPTY, points: now };
  switch (tool) {
    case "place": {
      const [first, second] = now;
      const { board, side, reference, body, placed } = grip;
      if (!first || !second || !body) return EMPTY;
      const refused = clicksTrouble(body, first, second);
      if (refused) return { ...EMPTY, refused };
      return {
        ...EMPTY,
        edit: {
          kind: "place",
          board,
          reference,
          package: body.name,
          side,
          first_mm: first,
          second_mm: second,
          ...(placed ? { title: `${reference} moved from ${whereabouts(placed)}` } : {}),
        },
      };
    }
    case "hole": {
      const { board, diameter_mm, plated } = grip;
      if (diameter_mm === null) return EMPTY;
      return { ...EMPTY, edit: { kind: "hole", board, at_mm: at, diameter_mm, plated } };
    }
    case "fit":
      return { ...EMPTY, points: now, edit: fitEdit(now, grip) };
    case "look":
    case "follow":
    case "measure":
    case "probe":
    case "outline":
    case "paint":
      return { ...EMPTY, points: now };
    default: {
      const never: never = tool;
      return never;
    }
  }
}

/** What has to be said before the hand can set a point; empty where all is said. */
export function stillToSay(tool: ToolName, grip: Grip): string {
  if (!grip.laid && tool !== "look" && tool !== "fit")
    return "Lay the photo on the board first, by finding its outline or by “fit the photo”.";
  if (tool === "fit" && !grip.size_mm)
    return "Tell the board's width and height first; they give the photo its scale.";
  if (tool === "hole" && grip.diameter_mm === null)
    return "Say first how wide the hole is, such as 0.8 mm; then click its middle.";
  if (tool === "paint" && grip.width_mm === null)
    return "Say first how wide the brush is, such as 0.4 mm; then draw.";
  if (tool !== "place") return "";
  if (!grip.reference)
    return `Say first which part it is${grip.body ? "" : ", and in which body"}; then click two of its pads.`;
  return grip.body ? "" : `Say first in which body ${grip.reference} comes; then click two of its pads.`;
}

/** A stroke from a line drawn by hand or by points; nothing without a point, without a width, or beside the board's frame. */
export function strokeEdit(line: readonly Point[], grip: Grip): Edit | null {
  const { width_mm } = grip;
  if (!grip.laid || !line.length || width_mm === null) return null;
  const points_mm = simplified(line, Math.max(0.02, width_mm / 12)).map(([x, y]): Point => [
    toMicrometre(x),
    toMicrometre(y),
  ]);
  return {
    kind: "stroke",
    board: grip.board,
    side: grip.side,
    says: grip.says,
    points_mm,
    width_mm,
  };
}

const toMicrometre = (length_mm: number): number => Math.round(length_mm * 1000) / 1000;

export function outlineEdit(corners: readonly Point[], grip: Grip): Edit | null {
  return corners.length < 3 ? null : { kind: "outline", board: grip.board, outline_mm: corners };
}

/** The photo's four corners of the board, clockwise from the upper left as the photo shows it, laid on the board's own. */
export function fitEdit(corners_px: readonly Point[], grip: Grip): Edit | null {
  if (!grip.size_mm || corners_px.length !== 4) return null;
  const [width, height] = grip.size_mm;
  const clockwise: readonly Point[] = [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ];
  // The back is seen from behind: its left is the board's right.
  const corners_mm = grip.side === "front" ? clockwise : clockwise.map(([x, y]): Point => [width - x, y]);
  const points = corners_px.flatMap((photo_px, number) => {
    const board_mm = corners_mm[number];
    return board_mm ? [{ photo_px, board_mm }] : [];
  });
  return { kind: "register", board: grip.board, side: grip.side, points };
}

const CLOSES_MM = 0.6;

/** Whether the last point comes back to the first, so that the outline is whole. */
function closes(points: readonly Point[]): boolean {
  const [first, last] = [points[0], points.at(-1)];
  return points.length > 3 && first !== undefined && last !== undefined && apart(first, last) < CLOSES_MM;
}

/** What is to be done next, in words, while a tool is in hand. */
export function instruction(tool: ToolName, set: number, body: PackageTold | null = null): string {
  switch (tool) {
    case "look":
      return "Point at copper, a pad or a part; click to hold it.";
    case "paint":
      return "Draw along a track, and once over bare laminate. A cut or a bridge always wins.";
    case "follow":
      return "Click on copper to see how far it reaches.";
    case "place":
      if (set > 0 && body && isPlacedByOne(body)) return "Click where its right-hand side points to.";
      return `Click the middle of ${set > 0 ? "" : "its "}pad ${body?.clicks[set > 0 ? 1 : 0] ?? ""}${set > 0 ? " now" : ""}.`;
    case "hole":
      return "Click the middle of the hole.";
    case "measure":
      return set === 1 ? "Click where to measure to." : "Click where to measure from.";
    case "probe":
      return set === 1
        ? "Click the pad that the other probe stands on."
        : "Click the pad that one probe stands on.";
    case "outline":
      return set < 3
        ? "Click the board's corners one after the other."
        : "Go on, or click the first corner again to close the outline.";
    case "fit":
      return (
        [
          "Click the board's upper left corner in the photo.",
          "Now its upper right corner.",
          "Now its lower right corner.",
          "Now its lower left corner.",
        ][set % 4] ?? ""
      );
    default: {
      const never: never = tool;
      return never;
    }
  }
}

/** Whether what is set so far is shown as a closed ring. */
export function closedSketch(tool: ToolName, points: readonly Point[]): boolean {
  return (tool === "outline" || tool === "fit") && points.length > 2;
}

/** Why copper is to be found again, by what has changed since it was found. */
export function foundBefore(changed: readonly string[]): string {
  const said = (sort: string, words: string): string => (changed.includes(sort) ? words : "");
  return [
    said(
      "size",
      "The board’s size is stated otherwise than its outline has it: find outline and holes anew.",
    ),
    said("photos", "The photo or the outline was laid anew since copper was found."),
    said(
      "parts",
      "Parts were placed, moved or taken off since copper was found: until it is found again, solder and bodies may pass for " +
        "copper, and pads may hang together that do not.",
    ),
    said(
      "strokes",
      "Your strokes hold where they lie; what they teach about the rest counts once copper is found again.",
    ),
  ]
    .filter(Boolean)
    .join(" ");
}
