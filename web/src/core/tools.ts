import type { Edit, Point, Side } from "../api/types";
import { apart, simplified } from "./geometry";

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
  readonly says: string;
  readonly width_mm: number;
  readonly reference: string;
  readonly package: string;
  readonly diameter_mm: number;
  readonly plated: boolean;
  readonly size_mm: Point | null;
}

/** Points set so far, and what comes of them. */
export interface Held {
  readonly points: readonly Point[];
  readonly edit: Edit | null;
}

export const EMPTY: Held = { points: [], edit: null };

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
  const now = points.length >= pointsAsked(tool) ? [at] : [...points, at];
  if (tool === "outline" && closes(now)) return { points: [], edit: outlineEdit(now.slice(0, -1), grip) };
  if (now.length < pointsAsked(tool)) return { points: now, edit: null };
  switch (tool) {
    case "place": {
      const [first, second] = now;
      if (!first || !second || !grip.reference || !grip.package || apart(first, second) === 0)
        return { points: [], edit: null };
      const { board, side, reference } = grip;
      return {
        points: [],
        edit: {
          kind: "place",
          board,
          reference,
          package: grip.package,
          side,
          first_mm: first,
          second_mm: second,
        },
      };
    }
    case "hole":
      return {
        points: [],
        edit: {
          kind: "hole",
          board: grip.board,
          at_mm: at,
          diameter_mm: grip.diameter_mm,
          plated: grip.plated,
        },
      };
    case "fit":
      return { points: now, edit: fitEdit(now, grip) };
    case "look":
    case "follow":
    case "measure":
    case "probe":
    case "outline":
    case "paint":
      return { points: now, edit: null };
    default: {
      const never: never = tool;
      return never;
    }
  }
}

/** A stroke from a line drawn by hand or by points; nothing without a point. */
export function strokeEdit(line: readonly Point[], grip: Grip): Edit | null {
  if (!line.length) return null;
  const points_mm = simplified(line, Math.max(0.02, grip.width_mm / 12)).map(([x, y]): Point => [
    toMicrometre(x),
    toMicrometre(y),
  ]);
  return {
    kind: "stroke",
    board: grip.board,
    side: grip.side,
    says: grip.says,
    points_mm,
    width_mm: grip.width_mm,
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
export function instruction(tool: ToolName, set: number): string {
  switch (tool) {
    case "look":
      return "Point at copper, a pad or a part; click to hold it.";
    case "paint":
      return "Draw along the middle of a track, and once over bare laminate: both together teach most. A cut or a bridge always wins.";
    case "follow":
      return "Click on copper to see how far it reaches.";
    case "place":
      return set === 0 ? "Click the centre of its first pad." : "Click the centre of its second pad.";
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
