import { readSchema, readVocabulary } from "../api/client";
import type { Json, KindTold, Vocabulary } from "../api/types";

/** The words that the server knows: kinds, claims, packages, and the schema that the forms are made of. Never changes while the page is open. */
class VocabularyStore {
  told = $state.raw<Vocabulary | null>(null);
  schema = $state.raw<{ readonly [key: string]: Json } | null>(null);

  async open(): Promise<void> {
    for (let pause = 300; ; pause = Math.min(pause * 2, 5000)) {
      try {
        [this.told, this.schema] = await Promise.all([readVocabulary(), readSchema()]);
        return;
      } catch {
        await new Promise((done) => window.setTimeout(done, pause));
      }
    }
  }

  kind(name: string): KindTold | undefined {
    return this.told?.kinds.find((kind) => kind.name === name);
  }
}

export const vocabulary = new VocabularyStore();
