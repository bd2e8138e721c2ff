import type { CircuitBlock } from "../api/types";
import { blockName } from "./selection";

/** A block with the name that tells it from its like. */
export interface NamedBlock extends CircuitBlock {
  readonly name: string;
}

/** Blocks that do the same in the same way, told once. */
export interface BlockGroup {
  readonly first: NamedBlock;
  readonly others: readonly NamedBlock[];
}

/** Blocks in their order, those of one kind and size with the same remarks gathered under the first of them. */
export function gathered(blocks: readonly CircuitBlock[]): readonly BlockGroup[] {
  const groups = new Map<string, { first: NamedBlock; others: NamedBlock[] }>();
  for (const block of blocks) {
    const named = { ...block, name: blockName(block) };
    const likeness = JSON.stringify([block.kind, block.title, block.parts.length, block.unusual ?? []]);
    const group = groups.get(likeness);
    if (group) group.others.push(named);
    else groups.set(likeness, { first: named, others: [] });
  }
  return [...groups.values()];
}
