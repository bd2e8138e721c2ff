import type { Comparison, Finding, Hazard, SituationResult } from "../api/types";
import { counted } from "./format";

/** The gravest first, as the analysis tells them. */
export const SEVERITIES = ["fault", "caution", "note"] as const;

/** How a severity is spoken of as a heading over those findings. */
export function severityTitle(severity: string): string {
  switch (severity) {
    case "fault":
      return "Wrong, or beyond a limit";
    case "caution":
      return "To be careful about";
    default:
      return "Worth knowing";
  }
}

export type Standing = "open" | "accepted" | "dismissed";

export function standingOf(finding: Finding): Standing {
  return finding.decision?.says ?? "open";
}

/** Findings by severity, the gravest first, those already decided left out unless asked for. */
export function grouped(
  findings: readonly Finding[],
  shown: Standing | "all",
): readonly { readonly severity: string; readonly findings: readonly Finding[] }[] {
  const rank = (severity: string): number => {
    const place = (SEVERITIES as readonly string[]).indexOf(severity);
    return place < 0 ? SEVERITIES.length : place;
  };
  const chosen = findings.filter((finding) => shown === "all" || standingOf(finding) === shown);
  return [...new Set(chosen.map((finding) => finding.severity))]
    .sort((one, other) => rank(one) - rank(other))
    .map((severity) => ({ severity, findings: chosen.filter((finding) => finding.severity === severity) }));
}

/** Comparisons that do not fit, the worst first. */
export function misfits(comparisons: readonly Comparison[]): readonly Comparison[] {
  return comparisons
    .filter((one) => one.fit !== "agrees")
    .sort((one, other) => (other.score ?? 0) - (one.score ?? 0));
}

/** Hazard checks by what came out: what is beyond a limit first, then what could not be told, then the rest. */
export function hazardsInOrder(hazards: readonly Hazard[]): readonly Hazard[] {
  const rank = (one: Hazard): number =>
    one.outcome.startsWith("beyond") ? 0 : one.outcome.startsWith("within") ? 2 : 1;
  return hazards
    .map((one, place) => ({ one, place }))
    .sort((a, b) => rank(a.one) - rank(b.one) || a.place - b.place)
    .map(({ one }) => one);
}

/** The situation in which the supplies give most: the one to look at first, where none was chosen. */
export function busiest(situations: { readonly [name: string]: SituationResult }): string | null {
  let [found, most]: [string | null, number] = [null, 0];
  for (const [name, told] of Object.entries(situations)) {
    const given = Object.values(told.supplies ?? {}).reduce(
      (sum, supply) => sum + Math.abs(supply.power.value),
      0,
    );
    if (told.solved && given > most) [found, most] = [name, given];
  }
  return found;
}

/** How many findings are open, in words; null while nothing is worked out, which is not the same as none. */
export function openInWords(findings: readonly Finding[] | null): string {
  if (findings === null) return "not known yet";
  const open = findings.filter((finding) => standingOf(finding) === "open").length;
  return `${counted(open, "finding")} open`;
}
