/** Whether the server answers, and what happens there. */
export type ServerEvent = { readonly type: string; readonly data: { readonly [key: string]: unknown } };
type Listener = (event: ServerEvent) => void;

const TYPES = [
  "changed",
  "analysis",
  "working",
  "job",
  "files",
  "outside",
  "phone",
  "recording",
  "closing",
  "resync",
] as const;
const FIRST_PAUSE_MS = 400;
const LONGEST_PAUSE_MS = 5000;

class Connection {
  /** null until the first answer. */
  online = $state<boolean | null>(null);
  /** The server was started anew since this page was opened, and wants its new key. */
  locked = $state(false);
  working = $state<{ task: string; text: string; share: number | null } | null>(null);
  #source: EventSource | null = null;
  #listeners = new Set<Listener>();
  #pause = FIRST_PAUSE_MS;
  #again: number | undefined;

  open(page: string): void {
    this.#source?.close();
    const source = new EventSource(`/api/events?page=${encodeURIComponent(page)}`);
    this.#source = source;
    source.onopen = () => {
      this.#pause = FIRST_PAUSE_MS;
      const was = this.online;
      this.online = true;
      this.locked = false;
      if (was === false) this.#tell({ type: "resync", data: {} });
    };
    source.onerror = () => {
      this.online = false;
      // The browser gives up for good on some failures; a fresh source does not.
      source.close();
      this.#tell({ type: "lost", data: {} });
      window.clearTimeout(this.#again);
      this.#again = window.setTimeout(() => this.open(page), this.#pause);
      this.#pause = Math.min(this.#pause * 2, LONGEST_PAUSE_MS);
    };
    for (const type of TYPES)
      source.addEventListener(type, (event) => {
        const data = parsed((event as MessageEvent<string>).data);
        if (type === "closing") this.online = false;
        this.#tell({ type, data });
      });
  }

  /** The next try comes at once: the machine woke up, or the network came back. */
  retry(page: string): void {
    if (this.online) return;
    window.clearTimeout(this.#again);
    this.#pause = FIRST_PAUSE_MS;
    this.open(page);
  }

  listen(listener: Listener): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  #tell(event: ServerEvent): void {
    for (const listener of this.#listeners) listener(event);
  }
}

function parsed(text: string): { readonly [key: string]: unknown } {
  try {
    const told: unknown = JSON.parse(text);
    return typeof told === "object" && told !== null ? (told as { readonly [key: string]: unknown }) : {};
  } catch {
    return {};
  }
}

export const connection = new Connection();
