import type { Edit } from "../api/types";

/**
 * One change on its way to the server; its id makes sending it twice harmless. It goes under the page that made it, even from a
 * page opened anew: changes of one hand do not cross each other.
 */
export type Waiting = { readonly id: string; readonly base: number; readonly page?: string } & (
  { readonly act: "edit"; readonly edit: Edit } | { readonly act: "undo" | "redo" }
);

/** Where unsent changes outlive a closed page. */
export interface Keep {
  read(): string | null;
  write(text: string): void;
}

export interface Outcome {
  readonly sent: "acknowledged" | "refused" | "unreachable";
  readonly error?: unknown;
}

/**
 * Sends changes one after the other, in the order in which they were made. A change that no answer came to stays at the head
 * and is sent again; one that was refused is dropped, and so are those after it that were made without knowing of the refusal
 * only if they are refused themselves: the server judges each.
 */
export class Outbox {
  #waiting: Waiting[];
  #sending: Promise<void> | null = null;

  constructor(
    private readonly keep: Keep,
    private readonly deliver: (change: Waiting) => Promise<Outcome>,
    private readonly changed: (waiting: readonly Waiting[]) => void = () => undefined,
  ) {
    this.#waiting = restored(keep.read());
  }

  get waiting(): readonly Waiting[] {
    return this.#waiting;
  }

  /** Whether an answer is awaited. */
  get isSending(): boolean {
    return this.#sending !== null;
  }

  put(change: Waiting): Promise<void> {
    this.#store([...this.#waiting, change]);
    return this.flush();
  }

  /** Sends what waits; resolves when nothing is left, or when the server is away. */
  flush(): Promise<void> {
    this.#sending ??= this.#run().finally(() => (this.#sending = null));
    return this.#sending;
  }

  async #run(): Promise<void> {
    for (let head = this.#waiting[0]; head; head = this.#waiting[0]) {
      const outcome = await this.deliver(head);
      if (outcome.sent === "unreachable") return;
      this.#store(this.#waiting.slice(1));
    }
  }

  #store(waiting: Waiting[]): void {
    this.#waiting = waiting;
    this.keep.write(JSON.stringify(waiting));
    this.changed(waiting);
  }
}

function restored(text: string | null): Waiting[] {
  if (!text) return [];
  try {
    const told: unknown = JSON.parse(text);
    return Array.isArray(told) ? told.filter(isWaiting) : [];
  } catch {
    return [];
  }
}

function isWaiting(told: unknown): told is Waiting {
  return typeof told === "object" && told !== null && "id" in told && "base" in told && "act" in told;
}
