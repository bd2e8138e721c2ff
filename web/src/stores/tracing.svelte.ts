import { readBoard, readPhoto, Refused } from "../api/client";
import type { BoardTold, PackageTold, PhotoTold, PlacedTold, Point, Side, SideTold } from "../api/types";
import { Places } from "../core/hits";
import { isTable, list, rows, text } from "../core/paths";
import type { Window } from "../core/classes";
import type { Grip, ToolName } from "../core/tools";
import { dossier } from "./dossier.svelte";
import { insight } from "./insight.svelte";
import { vocabulary } from "./vocabulary.svelte";

/** One board being traced: what the server told of it, which side is in view, and what the hand holds. */
class Tracing {
  #chosen = $state("");
  #told = $state.raw<BoardTold | null>(null);
  problem = $state("");
  side = $state<Side>("front");
  fade = $state(0);
  /** The back as it lies under the hand when the board is turned over; else as seen through from the front. */
  turned = $state(true);
  shows = $state({ copper: true, parts: true, strokes: true });
  tool = $state<ToolName>("look");
  points = $state.raw<readonly Point[]>([]);
  /** What the hand draws in one go, as far as it has come. */
  line = $state.raw<readonly Point[]>([]);
  /** What is in view [mm], once the picture rests. */
  seen = $state.raw<Window | null>(null);
  says = $state("covered copper");
  /** Lengths as they were typed, and as they were understood [mm]. */
  width = $state("0.4 mm");
  width_mm = $state<number | null>(0.4);
  reference = $state("");
  package = $state("");
  /** Why the last click was not taken, or what a part's new place means. */
  refused = $state("");
  /** Title of the change that moved a part, as long as it can be put back from here. */
  moved = $state("");
  /** A place to be brought into view on the photo, until it is. */
  sought = $state.raw<Point | null>(null);
  diameter = $state("0.8 mm");
  diameter_mm = $state<number | null>(0.8);
  plated = $state(true);
  #asking: AbortController | undefined;

  readonly names = $derived(
    rows(dossier.state?.document, "boards").map(([name, row]) => ({
      value: name,
      title: text(row, "title") || name,
    })),
  );
  readonly name = $derived(
    this.names.some((one) => one.value === this.#chosen) ? this.#chosen : (this.names[0]?.value ?? ""),
  );
  /** What the server told of just this board; null until it has. */
  readonly told: BoardTold | null = $derived(this.#told?.board === this.name ? this.#told : null);
  readonly places = $derived(this.told ? new Places(this.told) : null);
  readonly here: SideTold | undefined = $derived(this.told?.sides.find((one) => one.side === this.side));
  /** Whether places on the picture are places on the board: the board is known, and this photo is laid on it. */
  readonly laid: boolean = $derived(this.here?.registered ?? false);
  readonly mirrored = $derived(this.side === "back" && this.turned && this.tool !== "fit");
  /** The photo that shows the side, whether it is laid on the board yet or not. */
  readonly photo = $derived(this.here?.photo || photoFor(this.name, this.side));
  /** The stroke that is being put down, in one go or by points. */
  readonly drawing: readonly Point[] = $derived(
    this.tool !== "paint" ? [] : this.line.length ? this.line : this.points,
  );
  readonly body: PackageTold | null = $derived(
    vocabulary.told?.packages.find((one) => one.name === this.package) ?? null,
  );
  /** The part in hand, where it lies on this board already. */
  readonly placed: PlacedTold | null = $derived(
    this.told?.parts.find((part) => part.reference === this.reference) ?? null,
  );
  readonly size_mm: Point | null = $derived(this.told?.size_mm ?? null);
  readonly grip: Grip = $derived({
    board: this.name,
    side: this.side,
    laid: this.laid,
    says: this.says,
    width_mm: this.width_mm,
    reference: this.reference,
    body: this.body,
    placed: this.placed,
    diameter_mm: this.diameter_mm,
    plated: this.plated,
    size_mm: this.size_mm,
  });

  choose(name: string): void {
    this.#chosen = name;
    this.take("look");
  }

  show(side: Side): void {
    this.side = side;
    this.#letGo();
  }

  /** Goes to a place on a side of the board. */
  seek(side: Side, at: Point): void {
    this.take(this.tool === "fit" ? "look" : this.tool);
    this.show(side);
    this.sought = at;
  }

  take(tool: ToolName): void {
    this.tool = tool;
    this.#letGo();
  }

  /** Names the part or the body that is placed next; clicks made for another are let go. */
  nameIt(what: "reference" | "package", said: string): void {
    if (this[what] !== said) this.#letGo();
    this[what] = said;
  }

  #letGo(): void {
    this.points = [];
    this.refused = "";
    this.moved = "";
  }

  /** Reads the board afresh; an older answer never overtakes a newer one. */
  async refresh(): Promise<void> {
    const name = this.name;
    this.#asking?.abort();
    if (!name) {
      this.#told = null;
      return;
    }
    const mine = (this.#asking = new AbortController());
    try {
      const told = await readBoard(name, mine.signal);
      if (mine.signal.aborted || name !== this.name) return;
      this.#told = told;
      this.problem = told.problem ? `${told.problem.what} ${told.problem.remedy}` : "";
    } catch (error) {
      if (mine.signal.aborted) return;
      this.problem = error instanceof Refused ? `${error.trouble.what} ${error.trouble.remedy}` : "";
    }
  }

  async photoTold(): Promise<PhotoTold | null> {
    if (!this.photo) return null;
    try {
      return await readPhoto(this.photo);
    } catch {
      return null;
    }
  }
}

function photoFor(board: string, side: Side): string {
  const shown = list(dossier.state?.document, "photos").filter(isTable);
  const found = shown.find((row) => text(row, "side") === side && text(row, "board") === board);
  return found ? text(found, "file") : "";
}

/** Counts up whenever what is told of a board may have changed. */
export function boardMayHaveChanged(): number {
  return dossier.revision + insight.tick / 1e6;
}

export const tracing = new Tracing();
