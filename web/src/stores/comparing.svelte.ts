import { Refused, send } from "../api/client";
import type { Compared } from "../api/types";

/** What the circuit is held against: a dossier of the shelf, an earlier state, or a block as textbooks have it. */
export type Against =
  { readonly shelf: string } | { readonly revision: number } | { readonly textbook: string };

/** Two circuits held against each other. */
class Comparing {
  told = $state.raw<Compared | null>(null);
  problem = $state("");
  busy = $state(false);
  #asking: AbortController | undefined;

  async ask(against: Against): Promise<void> {
    this.#asking?.abort();
    const mine = (this.#asking = new AbortController());
    this.busy = true;
    this.problem = "";
    try {
      const told = await send<Compared>("/api/compare", against, "POST", mine.signal);
      if (!mine.signal.aborted) this.told = told;
    } catch (error) {
      if (mine.signal.aborted) return;
      this.told = null;
      this.problem =
        error instanceof Refused
          ? `${error.trouble.what}: ${error.trouble.remedy}`
          : "The server does not answer.";
    } finally {
      if (!mine.signal.aborted) this.busy = false;
    }
  }

  leave(): void {
    this.#asking?.abort();
    this.told = null;
    this.busy = false;
    this.problem = "";
  }
}

export const comparing = new Comparing();
