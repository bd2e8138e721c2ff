import type { CircuitAnswer, CircuitBlock } from "../api/types";

/** Something in the circuit that can be pointed at from any view. */
export interface Thing {
  readonly kind: "part" | "net" | "block";
  readonly name: string;
  /** Of a net: the pin on the copper that was pointed at, by which just that copper is known. */
  readonly pin?: string;
}

export interface Lit {
  readonly parts: ReadonlySet<string>;
  readonly nets: ReadonlySet<string>;
}

/** What tells a block from another of the same title: the parts in it. */
export function blockName(block: CircuitBlock): string {
  return `${block.title}: ${block.parts.join(", ")}`;
}

export const NOTHING_LIT: Lit = { parts: new Set(), nets: new Set() };

export function same(one: Thing | null, other: Thing | null): boolean {
  return one?.kind === other?.kind && one?.name === other?.name;
}

/** What lights up when a thing is pointed at: a part alone, a net alone, a block with all that is in it. */
export function litBy(thing: Thing | null, circuit: CircuitAnswer | null): Lit {
  if (!thing) return NOTHING_LIT;
  switch (thing.kind) {
    case "part":
      return { parts: new Set([thing.name]), nets: new Set() };
    case "net":
      return { parts: new Set(), nets: new Set([thing.name]) };
    case "block": {
      const block = circuit?.blocks.find((candidate) => blockName(candidate) === thing.name);
      if (!block) return NOTHING_LIT;
      const nets = Array.isArray(block.nets)
        ? (block.nets as readonly string[])
        : Object.values(block.nets as { readonly [role: string]: string });
      return { parts: new Set(block.parts), nets: new Set(nets) };
    }
    default: {
      const never: never = thing.kind;
      return never;
    }
  }
}
