import type { UntoldPart } from "../api/types";
import { rows, text } from "../core/paths";
import { dossier } from "./dossier.svelte";
import { insight } from "./insight.svelte";

type Choice = { readonly value: string; readonly title: string };

const NETS = new Set(["voltage", "against", "net", "ground", "resistance", "diode"]);

/** Names that the dossier knows, offered where one is to be told. */
class Known {
  situations: readonly Choice[] = $derived(named("situations"));
  instruments: readonly Choice[] = $derived(named("instruments"));
  boards: readonly Choice[] = $derived(named("boards"));
  readings: readonly string[] = $derived(rows(dossier.state?.document, "readings").map(([name]) => name));
  parts: readonly string[] = $derived(rows(dossier.state?.document, "parts").map(([name]) => name));
  /** Parts that lie on boards, and of which is not told yet what they are. */
  untold: readonly UntoldPart[] = $derived(
    (insight.circuit?.untold ?? []).filter((one) => !this.parts.includes(one.reference)),
  );
  nets: readonly string[] = $derived((insight.circuit?.nets ?? []).map((net) => net.name));

  choices(field: string): readonly Choice[] | undefined {
    if (field === "situation") return this.situations;
    if (field === "instrument") return this.instruments;
    if (field === "board") return this.boards;
    return undefined;
  }

  suggestions(field: string): readonly string[] {
    if (NETS.has(field)) return this.nets;
    if (field === "across" || field === "current" || field === "power") return this.parts;
    return [];
  }
}

function named(group: string): readonly Choice[] {
  return rows(dossier.state?.document, group).map(([value, row]) => ({
    value,
    title: text(row, "title") || value,
  }));
}

export const known = new Known();
