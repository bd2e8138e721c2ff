import type { BoardTold, Edit, Point, Side, SideTold, StrokeTold } from "../api/types";

/** Left, top, right and lower edge [mm]. */
export type Window = readonly [number, number, number, number];

/** What the classes of a view depend on. */
export interface ClassesWish {
  readonly board: string;
  readonly side: Side;
  readonly window: Window;
  /** Strokes that the board as told does not hold yet. */
  readonly strokes: readonly StrokeTold[];
}

const MARGIN = 0.12;
const WIDEST = 2.2;

/**
 * The part of the board to ask for: what is in view with some margin. As long as the one asked for last holds all that is in view,
 * and not much more, it stays, so that a picture that is moved a little asks for nothing.
 */
export function windowFor(view: Window, size: Point, last: Window | null): Window | null {
  const seen = within(view, size);
  if (!seen) return null;
  const grown = within(
    [
      seen[0] - MARGIN * (seen[2] - seen[0]),
      seen[1] - MARGIN * (seen[3] - seen[1]),
      seen[2] + MARGIN * (seen[2] - seen[0]),
      seen[3] + MARGIN * (seen[3] - seen[1]),
    ],
    size,
  );
  if (last && holds(last, seen) && grown && area(last) <= WIDEST * area(grown)) return last;
  return grown;
}

function within(window: Window, [width, height]: Point): Window | null {
  const [left, top] = [Math.max(0, tenth(window[0])), Math.max(0, tenth(window[1]))];
  const [right, lower] = [Math.min(width, tenth(window[2])), Math.min(height, tenth(window[3]))];
  return left < right && top < lower ? [left, top, right, lower] : null;
}
const tenth = (length: number): number => Math.round(length * 10) / 10;
const area = (one: Window): number => (one[2] - one[0]) * (one[3] - one[1]);
const holds = (outer: Window, inner: Window): boolean =>
  outer[0] <= inner[0] && outer[1] <= inner[1] && outer[2] >= inner[2] && outer[3] >= inner[3];

/** Strokes on a side among edits that still wait to be sent, and one that is still drawn. */
export function strokesBeyond(
  edits: readonly (Edit | null)[],
  board: string,
  side: Side,
): readonly StrokeTold[] {
  return edits.flatMap((edit) =>
    edit?.kind === "stroke" && edit.board === board && edit.side === side
      ? [{ says: edit.says, points_mm: edit.points_mm, width_mm: edit.width_mm ?? 0.3 }]
      : [],
  );
}

/** Text that is the same as long as the same classes would be told. */
export function keyOf(wish: ClassesWish, told: BoardTold, here: SideTold): string {
  const parts = told.parts.map((part) => [part.package, part.side, part.pads.map((pad) => pad.at_mm)]);
  const laid = [
    here.photo,
    here.width,
    here.height,
    here.px_per_mm,
    here.uncertainty_mm,
    told.outline_mm.length,
  ];
  return JSON.stringify([
    wish.board,
    wish.side,
    wish.window,
    laid,
    parts,
    [...here.strokes, ...wish.strokes].map((one) => [one.says, one.points_mm, one.width_mm]),
  ]);
}

/** How a class lies over the photo: colour 0…255, and its share where the texture is strong and where it is weak. */
export interface Tint {
  readonly colour: readonly [number, number, number];
  readonly strong: number;
  readonly weak: number;
  readonly texture: Texture;
}
export type Texture = "even" | "rising" | "level" | "dots";

/** Whether a texture is strong at a pixel. Classes differ by it as well as by colour. */
export function isStrong(texture: Texture, x: number, y: number): boolean {
  switch (texture) {
    case "even":
      return true;
    case "rising":
      return (x + y) % 4 < 2;
    case "level":
      return y % 4 < 2;
    case "dots":
      return x % 3 === 0 && y % 3 === 0;
    default: {
      const never: never = texture;
      return never;
    }
  }
}

/** Turns a picture of class numbers (in its red) into tints, in place; a class without a tint leaves the photo as it is. */
export function tintIn(pixels: Uint8ClampedArray, width: number, tints: readonly (Tint | null)[]): void {
  for (let at = 0, pixel = 0; at < pixels.length; at += 4, pixel += 1) {
    const tint = tints[pixels[at] ?? 0];
    if (!tint) {
      pixels[at + 3] = 0;
      continue;
    }
    const strong = isStrong(tint.texture, pixel % width, Math.floor(pixel / width));
    [pixels[at], pixels[at + 1], pixels[at + 2]] = tint.colour;
    pixels[at + 3] = Math.round(255 * (strong ? tint.strong : tint.weak));
  }
}

/** Share of a view in words. */
export function spokenShare(share: number): string {
  if (share > 0 && share < 0.005) return "under 1 %";
  return `${(100 * share).toFixed(0)} %`;
}
