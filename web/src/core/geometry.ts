import type { Amount, Point, Understood } from "../api/types";

/** Straight distance of two places, in their own unit. */
export function apart(one: Point, other: Point): number {
  return Math.hypot(other[0] - one[0], other[1] - one[1]);
}

/** Length of a line through places. */
export function lengthOf(line: readonly Point[]): number {
  return line.slice(1).reduce((sum, point, number) => sum + apart(line[number] ?? point, point), 0);
}

/** Whether a place lies inside a ring, by counting crossings of a ray. */
export function inside(ring: readonly Point[], [x, y]: Point): boolean {
  let within = false;
  for (let one = 0, other = ring.length - 1; one < ring.length; other = one, one += 1) {
    const [ax, ay] = ring[one] ?? [0, 0];
    const [bx, by] = ring[other] ?? [0, 0];
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) within = !within;
  }
  return within;
}

/** A freehand line without the points that add nothing: none moves it by more than `tolerance` (Douglas and Peucker, 1973). */
export function simplified(line: readonly Point[], tolerance: number): readonly Point[] {
  const [first, last] = [line[0], line.at(-1)];
  if (line.length < 3 || !first || !last) return line;
  let [far, place] = [tolerance, -1];
  for (let number = 1; number < line.length - 1; number += 1) {
    const off = fromLine(line[number] ?? first, first, last);
    if (off > far) [far, place] = [off, number];
  }
  if (place < 0) return [first, last];
  return [
    ...simplified(line.slice(0, place + 1), tolerance).slice(0, -1),
    ...simplified(line.slice(place), tolerance),
  ];
}

function fromLine(point: Point, from: Point, to: Point): number {
  const length = apart(from, to);
  if (length === 0) return apart(point, from);
  const along =
    ((point[0] - from[0]) * (to[0] - from[0]) + (point[1] - from[1]) * (to[1] - from[1])) / (length * length);
  const share = Math.min(1, Math.max(0, along));
  return apart(point, [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]);
}

/** A length that was understood [mm], to the micrometre; none where nothing was. */
export function inMillimetres(answer: Understood | null): number | null {
  const value = answer?.value ?? null;
  return value === null ? null : Math.round(value * 1e6) / 1e3;
}

/** How well a photo shows lengths: what the server tells of a side. */
export interface Sharpness {
  readonly photo_px_per_mm: number;
  readonly scale_uncertainty: number;
}

/** A distance between two clicks with its expanded uncertainty (k = 2), and what that is made of. */
export interface Measured {
  readonly length: Amount;
  readonly from: string;
}

/**
 * Each click is taken to be off by one pixel of the photo along the line (one standard uncertainty; our choice), and the scale by
 * what laying the photo on the board told of it.
 */
export function measured(one: Point, other: Point, side: Sharpness): Measured {
  const length_mm = apart(one, other);
  const pixel_mm = side.photo_px_per_mm > 0 ? 1 / side.photo_px_per_mm : 0;
  const standard_mm = Math.hypot(side.scale_uncertainty * length_mm, Math.SQRT2 * pixel_mm);
  return {
    length: { value: length_mm / 1e3, unit: "m", uncertainty: (2 * standard_mm) / 1e3 },
    from:
      `k = 2, from the scale (${(side.scale_uncertainty * 100).toFixed(2)} %) and a pixel of the photo (${pixel_mm.toFixed(3)} mm) ` +
      "for each click; the board’s size counts as told",
  };
}
