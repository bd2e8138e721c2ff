import { readAnalysis, readCircuit, Refused } from "../api/client";
import type {
  Analysis,
  AnalysisAnswer,
  CircuitAnswer,
  ClaimResult,
  Comparison,
  Shown,
  SituationResult,
  Trouble,
} from "../api/types";
import { connection } from "./connection.svelte";
import { dossier } from "./dossier.svelte";
import { notices } from "./notices.svelte";
import { shown } from "./shown.svelte";

type Stage = "quick" | "full";
const LONGEST_WAIT_MS = 3000;

/**
 * What the server works out from the dossier: at once the circuit with its voltages, currents and powers, a while later all that
 * follows from them, with uncertainties. Read only.
 */
class InsightStore {
  quick = $state.raw<AnalysisAnswer | null>(null);
  answer = $state.raw<AnalysisAnswer | null>(null);
  circuit = $state.raw<CircuitAnswer | null>(null);
  /** Counts up whenever a drawing or a number may have changed. */
  tick = $state(0);
  readonly #reading = new Set<Stage>();
  readonly #again = new Set<Stage>();
  /** Revision whose numbers were told of while an answer was awaited that may bring them. */
  #told = -1;

  open(): void {
    connection.listen((event) => {
      if (event.type === "resync") this.both();
      if (event.type !== "analysis") return;
      const revision = Number(event.data["revision"]);
      if (event.data["stage"] === "full") void this.refresh("full");
      else if (dossier.isSending) this.#told = revision;
      else this.#follow(revision);
    });
    dossier.onAcknowledged((answer) =>
      answer.shown ? this.#take(answer.shown) : void this.refresh("quick"),
    );
    dossier.onEnded(() => this.#follow(this.#told));
    this.both();
  }

  /** Reads both stages, whatever was read before. */
  both(): void {
    void this.refresh("quick");
    void this.refresh("full");
  }

  get analysis(): Analysis | null {
    return this.answer?.analysis ?? null;
  }

  get problem(): Trouble | null {
    return (this.quickIsNewer ? this.quick?.problem : this.answer?.problem) ?? null;
  }

  get fresh(): boolean {
    return this.answer !== null && this.answer.revision >= dossier.revision;
  }

  /** Whether the numbers at hand stand for a later state than all that follows from them. */
  get quickIsNewer(): boolean {
    return (this.quick?.revision ?? -1) > (this.answer?.revision ?? -1);
  }

  claim(name: string): ClaimResult | undefined {
    return this.analysis?.claims.find((claim) => claim.name === name);
  }

  comparison(reading: string): Comparison | undefined {
    return this.analysis?.comparisons.find((one) => one.reading === reading);
  }

  get situations(): { readonly [name: string]: SituationResult } {
    return (this.quickIsNewer ? this.quick?.analysis?.situations : this.analysis?.situations) ?? {};
  }

  situation(name: string): SituationResult | undefined {
    return this.situations[name];
  }

  /** The answer to an edit brought the numbers and, if it was ready, the drawing. */
  #take({ quick, svg }: Shown): void {
    shown.drawing = svg === null ? null : { revision: quick.revision, of: JSON.stringify(shown.shows), svg };
    this.#takeQuick(quick);
    // Lists of parts and nets follow once the drawing and the numbers are on the screen.
    requestAnimationFrame(() => window.setTimeout(() => void this.#readCircuit()));
  }

  #takeQuick(quick: AnalysisAnswer): void {
    if (quick.revision < (this.quick?.revision ?? -1)) return;
    this.quick = quick;
    this.tick += 1;
    performance.mark("lidoff.quick");
  }

  async #readCircuit(): Promise<void> {
    try {
      this.circuit = await readCircuit();
    } catch (error) {
      if (error instanceof Refused && error.status >= 500) notices.refused(error.trouble);
    }
  }

  #follow(revision: number): void {
    if ((this.quick?.revision ?? -1) < revision) void this.refresh("quick");
  }

  /** Reads a stage; while one is read, wishes for it are gathered into one more reading. */
  async refresh(stage: Stage): Promise<void> {
    if (this.#reading.has(stage)) {
      this.#again.add(stage);
      return;
    }
    this.#reading.add(stage);
    try {
      do {
        this.#again.delete(stage);
        if (!dossier.state?.begun) return;
        await (stage === "quick" ? this.#readQuick() : this.#readFull());
        this.tick += 1;
      } while (this.#again.has(stage));
    } catch (error) {
      if (error instanceof Refused && error.status >= 500) notices.refused(error.trouble);
    } finally {
      this.#reading.delete(stage);
    }
  }

  async #readQuick(): Promise<void> {
    this.#takeQuick(await readAnalysis("quick", LONGEST_WAIT_MS));
    // Lists of parts and nets may follow a moment later; the numbers are what is waited for.
    this.circuit = await readCircuit();
  }

  async #readFull(): Promise<void> {
    const [circuit, answer] = await Promise.all([readCircuit(), readAnalysis("full")]);
    this.circuit = circuit;
    this.answer = answer;
  }
}

export const insight = new InsightStore();
