import type { Json } from "../api/types";
import { isTable, list, text } from "./paths";

/** One line of a search's result: a reading to take, or a slip that may have happened. */
export interface Proposal {
  readonly title: string;
  readonly why: string;
  readonly more: string;
  readonly parts: readonly string[];
  readonly nets: readonly string[];
  readonly readings: readonly string[];
}

const words = (told: Json | undefined): readonly string[] => (Array.isArray(told) ? told.map(String) : []);

/** What a search for readings or slips came to, in its order. */
export function proposalsOf(result: Json | undefined): readonly Proposal[] {
  const found = Array.isArray(result)
    ? (result as readonly Json[])
    : [...list(result, "readings"), ...list(result, "slips")];
  return found.filter(isTable).map((one) => ({
    title: text(one, "title") || text(one, "what"),
    why: text(one, "why"),
    more: text(one, "more"),
    parts: words(one["parts"]),
    nets: words(one["nets"]),
    readings: words(one["readings"]),
  }));
}
