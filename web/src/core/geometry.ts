import type { Point } from "../api/types";

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

/** Millimetres as they are spoken: "12.3 mm". */
export function spokenLength(length_mm: number): string {
  return `${length_mm.toFixed(length_mm < 10 ? 2 : 1)} mm`;
}
