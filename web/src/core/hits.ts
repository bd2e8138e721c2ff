import type { BoardTold, Point, Side } from "../api/types";
import { apart, inside } from "./geometry";
import type { Lit, Thing } from "./selection";

/** What lies at a place of a board's side. */
export interface Hit {
  readonly thing: Thing;
  /** The pin, where a pad was hit: "R1.2". */
  readonly pin: string;
  readonly net: string;
}

interface Box {
  readonly low: Point;
  readonly high: Point;
}
interface Ring {
  readonly box: Box;
  readonly ring: readonly Point[];
  readonly openings: readonly (readonly Point[])[];
  readonly side: Side;
}

/** A board made ready for asking what lies where: boxes first, rings only where a box is hit. */
export class Places {
  readonly #pads: readonly (Ring & {
    readonly reference: string;
    readonly pin: string;
    readonly net: string;
    readonly at: Point;
  })[];
  readonly #bodies: readonly (Ring & { readonly reference: string })[];
  readonly #copper: readonly (Ring & { readonly net: string; readonly pin: string })[];

  constructor(private readonly told: BoardTold) {
    this.#pads = told.parts.flatMap((part) =>
      part.pads.map((pad) => ({
        ...ring(pad.corners_mm, pad.side),
        reference: part.reference,
        pin: pad.pin,
        net: pad.net,
        at: pad.at_mm,
      })),
    );
    this.#bodies = told.parts.map((part) => ({
      ...ring(part.body_mm, part.side),
      reference: part.reference,
    }));
    this.#copper = told.sides.flatMap((side) =>
      side.copper.map((piece) => ({
        ...ring(piece.outer_mm, side.side),
        openings: piece.holes_mm,
        net: piece.net,
        pin: piece.pin,
      })),
    );
  }

  at(place: Point, side: Side): Hit | null {
    const pad = this.#pads.find((one) => one.side === side && holds(one, place));
    if (pad) {
      const pin = fullPin(pad.reference, pad.pin);
      const thing: Thing = pad.net ? netAt(pad.net, pin) : { kind: "part", name: pad.reference };
      return { thing, pin, net: pad.net };
    }
    const body = this.#bodies.find((one) => one.side === side && holds(one, place));
    if (body) return { thing: { kind: "part", name: body.reference }, pin: "", net: "" };
    const hole = this.told.holes.find((one) => apart(one.at_mm, place) <= one.diameter_mm / 2 + 0.2);
    if (hole?.net) return { thing: netAt(hole.net, hole.pin), pin: "", net: hole.net };
    const piece = this.#copper.find((one) => one.side === side && holds(one, place));
    return piece?.net ? { thing: netAt(piece.net, piece.pin), pin: "", net: piece.net } : null;
  }

  /** The pad nearest to a place on a side, within a distance. */
  padNear(place: Point, side: Side, within_mm: number): { readonly pin: string; readonly at: Point } | null {
    let [best, least]: [{ pin: string; at: Point } | null, number] = [null, within_mm];
    for (const pad of this.#pads) {
      if (pad.side !== side && pad.side !== otherSide(side)) continue;
      const away =
        holds(pad, place) && pad.side === side ? 0 : pad.side === side ? apart(pad.at, place) : Infinity;
      if (away <= least) [best, least] = [{ pin: fullPin(pad.reference, pad.pin), at: pad.at }, away];
    }
    return best;
  }

  /** Where a pin lies, if its part is placed. */
  pin(name: string): { readonly at: Point; readonly side: Side } | null {
    const pad = this.#pads.find((one) => fullPin(one.reference, one.pin) === name);
    return pad ? { at: pad.at, side: pad.side } : null;
  }
}

/** Where what is lit lies on a board; null where it is not on it. */
export function placeOf(told: BoardTold, lit: Lit): { readonly at: Point; readonly side: Side } | null {
  for (const part of told.parts)
    if (lit.parts.has(part.reference)) return { at: middle(part.body_mm), side: part.side };
  for (const part of told.parts)
    for (const pad of part.pads) if (lit.nets.has(pad.net)) return { at: pad.at_mm, side: pad.side };
  return null;
}

function netAt(name: string, pin: string): Thing {
  return pin ? { kind: "net", name, pin } : { kind: "net", name };
}

export function otherSide(side: Side): Side {
  return side === "front" ? "back" : "front";
}

function fullPin(reference: string, pin: string): string {
  return pin.startsWith(`${reference}.`) ? pin : `${reference}.${pin}`;
}

export function middle(ring_: readonly Point[]): Point {
  const count = Math.max(1, ring_.length);
  return [ring_.reduce((sum, [x]) => sum + x, 0) / count, ring_.reduce((sum, [, y]) => sum + y, 0) / count];
}

function ring(points: readonly Point[], side: Side): Ring {
  const low: Point = [Math.min(...points.map(([x]) => x)), Math.min(...points.map(([, y]) => y))];
  const high: Point = [Math.max(...points.map(([x]) => x)), Math.max(...points.map(([, y]) => y))];
  return { box: { low, high }, ring: points, openings: [], side };
}

function holds({ box, ring: points, openings }: Ring, place: Point): boolean {
  const [x, y] = place;
  if (x < box.low[0] || x > box.high[0] || y < box.low[1] || y > box.high[1]) return false;
  return inside(points, place) && !openings.some((opening) => inside(opening, place));
}
