import type { Shows } from "../api/types";

/** What the page shows of the circuit, so that the answer to an edit brings it along, and the drawing that came so. */
class Shown {
  /** null while no drawing is on the page. */
  shows: Shows | null = null;
  drawing: { readonly revision: number; readonly of: string; readonly svg: string } | null = null;

  /** The drawing that came for just this view at this revision, if one did. */
  drawn(shows: Shows, revision: number): string | null {
    return this.drawing?.revision === revision && this.drawing.of === JSON.stringify(shows)
      ? this.drawing.svg
      : null;
  }
}

export const shown = new Shown();
