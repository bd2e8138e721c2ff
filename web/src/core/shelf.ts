import type { Difference, ShelfRecord } from "../api/types";

/** What a dossier of the shelf must have to be found; what is empty does not count. */
export interface Sought {
  readonly words: string;
  readonly part: string;
  readonly marking: string;
  readonly value: string;
  readonly block: string;
  readonly claim: string;
  readonly verdict: string;
}

export const NOTHING_SOUGHT: Sought = {
  words: "",
  part: "",
  marking: "",
  value: "",
  block: "",
  claim: "",
  verdict: "",
};

/** The question as an address takes it; empty where nothing is asked. */
export function questionOf(sought: Sought): string {
  const told = Object.entries(sought).flatMap(([key, value]: readonly [string, string]) =>
    value.trim() ? [[key, value.trim()]] : [],
  );
  return new URLSearchParams(told).toString();
}

/** A kind's name as words: "series_resistor_led" is read "series resistor led". */
export function inWords(name: string): string {
  return name.replaceAll("_", " ");
}

/** Where a dossier was found: what it is about, and the words there. */
export function placeInWords(place: string): { readonly where: string; readonly says: string } {
  const colon = /^([a-z]+)(?:\.([^:]+))?: (.*)$/.exec(place);
  if (!colon) return { where: "", says: place };
  const [, group = "", name = "", says = ""] = colon;
  const one: Readonly<Record<string, string>> = {
    claims: "claim",
    parts: "part",
    findings: "finding",
    readings: "reading",
    trials: "trial",
    blocks: "block",
  };
  // A finding is counted, not named; its number says nothing to a reader.
  const named = name && !/^\d+$/.test(name) ? ` ${name}` : "";
  return { where: `${one[group] ?? group}${named}`, says };
}

/** Where times stand on a logarithmic line from `low` to `high`, 0…1. */
export function onLine(times: number, low: number, high: number): number {
  return Math.min(1, Math.max(0, Math.log(times / low) / Math.log(high / low)));
}

export interface TimesLine {
  readonly low: number;
  readonly high: number;
  readonly marks: readonly number[];
}

/** A line that has room for every claim, with marks at 1, 2 and 5 times powers of ten. */
export function timesLine(records: readonly ShelfRecord[]): TimesLine {
  const all = records.flatMap((record) => record.overstated).filter((times) => times > 0);
  const low = Math.min(0.5, ...all);
  const high = Math.max(2, ...all);
  const marks: number[] = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.ceil(Math.log10(high)); power += 1)
    for (const step of [1, 2, 5]) {
      const mark = Number((step * 10 ** power).toPrecision(1));
      if (mark >= low && mark <= high) marks.push(mark);
    }
  // Many marks stand too close for their words; powers of ten always stay.
  const few =
    marks.length > 9
      ? marks.filter((mark) => Number.isInteger(Math.round(Math.log10(mark) * 1e6) / 1e6))
      : marks;
  return { low, high, marks: few };
}

/** How many times as good as found a claim is: "3.8 ×". */
export function timesInWords(times: number | null): string {
  return times === null ? "–" : `${times.toPrecision(2)} ×`;
}

/** Sort of difference that each part stands in, by circuit. */
export function sortsOf(
  differences: readonly Difference[],
  which: "first" | "second",
): ReadonlyMap<string, string> {
  const sorts = new Map<string, string>();
  for (const difference of differences)
    for (const part of difference[which]) if (!sorts.has(part)) sorts.set(part, difference.sort);
  return sorts;
}

/** How a sort of difference is spoken of. */
export function sortInWords(sort: string): string {
  switch (sort) {
    case "left out":
      return "only in the first";
    case "added":
      return "only in the second";
    case "changed":
      return "of another value";
    case "moved":
      return "connected otherwise";
    default:
      return "what it does";
  }
}
