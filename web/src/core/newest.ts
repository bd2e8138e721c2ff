/** How long to wait, and for what: the clock of the page, or a test's. */
export interface Clock {
  start(then: () => void, after_ms: number): number;
  stop(timer: number): void;
}

export interface Asks<Question, Answer> {
  ask(question: Question, signal: AbortSignal): Promise<Answer>;
  told(answer: Answer, question: Question): void;
  /** Hears why there is no answer; gives the pause after which to ask once more, or null to leave it. */
  failed(error: unknown): number | null;
}

/** Asks the newest question alone: an older one is given up as soon as there is another, and its answer is never told. */
export class Newest<Question, Answer> {
  #key = "";
  #timer: number | null = null;
  #asking: AbortController | null = null;

  constructor(
    private readonly asks: Asks<Question, Answer>,
    private readonly clock: Clock,
  ) {}

  get isAsking(): boolean {
    return this.#timer !== null || this.#asking !== null;
  }

  /** Asks, after a pause in which further questions may come; the question that was asked last is not asked again. */
  want(key: string, question: Question, pause_ms: number): void {
    if (key === this.#key) return;
    this.drop();
    this.#key = key;
    this.#start(question, pause_ms);
  }

  /** Gives up what is asked; the same question may be asked anew. */
  drop(): void {
    if (this.#timer !== null) this.clock.stop(this.#timer);
    this.#asking?.abort();
    this.#timer = this.#asking = null;
    this.#key = "";
  }

  #start(question: Question, pause_ms: number): void {
    this.#timer = this.clock.start(() => {
      this.#timer = null;
      void this.#ask(question);
    }, pause_ms);
  }

  async #ask(question: Question): Promise<void> {
    const mine = (this.#asking = new AbortController());
    try {
      const answer = await this.asks.ask(question, mine.signal);
      if (mine.signal.aborted) return;
      this.#asking = null;
      this.asks.told(answer, question);
    } catch (error) {
      if (mine.signal.aborted) return;
      this.#asking = null;
      const again = this.asks.failed(error);
      if (again !== null) this.#start(question, again);
      else this.#key = "";
    }
  }
}
