import type { KindTold, PackageTold, PlacedTold, Point } from "../api/types";
import { apart } from "./geometry";

/** Pin of a kind that lies on a land of the same name, or of the name that the trade abbreviates so; none where that must be said. */
export function pinOnLand(
  pins: readonly string[],
  land: string,
  writtenOut: Readonly<Record<string, string>>,
): string | null {
  if (!pins.length || pins.includes(land)) return land;
  const whole = writtenOut[land];
  return whole !== undefined && pins.includes(whole) ? whole : null;
}

/** A part's lands by its pins, as the dossier keeps them; what was left open is left out. */
export function landsByPin(
  chosen: Readonly<Record<string, string>>,
): Readonly<Record<string, string | readonly string[]>> {
  const found: Record<string, string[]> = {};
  for (const [land, pin] of Object.entries(chosen)) if (pin) (found[pin] ??= []).push(land);
  return Object.fromEntries(
    Object.entries(found).map(([pin, lands]) => [pin, lands.length === 1 ? (lands[0] ?? "") : lands]),
  );
}

/** Values that a form asks for: the main one, and all without which the part cannot be. */
export function valuesAsked(kind: KindTold | undefined): KindTold["parameters"] {
  return (kind?.parameters ?? []).filter((one) => one.main || one.needed);
}

/** Titles of the needed values that are not typed yet. */
export function valuesMissing(kind: KindTold | undefined, typed: Readonly<Record<string, string>>): string[] {
  return valuesAsked(kind)
    .filter((one) => one.needed && !(typed[one.name] ?? "").trim())
    .map((one) => one.title);
}

/** Typed values as the dossier keeps them: the main one as the part's value. */
export function valuesRow(
  kind: KindTold | undefined,
  typed: Readonly<Record<string, string>>,
): Readonly<Record<string, string>> {
  return Object.fromEntries(
    valuesAsked(kind)
      .map((one) => [one.main ? "value" : one.name, (typed[one.name] ?? "").trim()] as const)
      .filter(([, value]) => value),
  );
}

/** Whether one click says where a body lies, and a second only how it is turned. */
export function isPlacedByOne(body: PackageTold): boolean {
  return body.clicks[0] === body.clicks[1];
}

/** Why two clicks cannot place a body; empty where they can. */
export function clicksTrouble(body: PackageTold, first: Point, second: Point): string {
  if (isPlacedByOne(body)) return "";
  const [one = "", other = ""] = body.clicks;
  const seen = apart(first, second);
  if (seen >= body.least_mm && seen <= body.most_mm) return "";
  const own = body.bent ? "are bent to" : `lie ${millimetres(body.span_mm)} apart, clicked at`;
  return (
    `Not placed: the clicks lie ${millimetres(seen)} apart, and pads ${one} and ${other} of ${body.name} ${own} ` +
    `${millimetres(body.least_mm)} to ${millimetres(body.most_mm)}. ` +
    "Click the middles of these two pads again, or choose another body."
  );
}

const millimetres = (length_mm: number): string => `${length_mm.toFixed(2)} mm`;

/** Where a placed part lies, in words: the middle of its pads. */
export function whereabouts(part: PlacedTold): string {
  const count = Math.max(part.pads.length, 1);
  const [x, y] = [0, 1].map(
    (axis) => part.pads.reduce((sum, pad) => sum + (pad.at_mm[axis] ?? 0), 0) / count,
  );
  return `${(x ?? 0).toFixed(1)} mm, ${(y ?? 0).toFixed(1)} mm on the ${part.side}`;
}
