import { read, Refused, send, ask } from "../api/client";
import type { Job } from "../api/types";
import { connection } from "./connection.svelte";

/** One piece of longer work on the server: started, followed, ended. */
export class Work {
  job = $state.raw<Job | null>(null);
  problem = $state("");
  readonly busy = $derived(this.job?.state === "waiting" || this.job?.state === "working");
  #stop: (() => void) | null = null;

  constructor(private readonly ondone: (job: Job) => void = () => undefined) {}

  async start(path: string, body: object = {}): Promise<void> {
    this.problem = "";
    try {
      this.#follow(await send<Job>(path, body));
    } catch (error) {
      this.problem = told(error);
    }
  }

  async cancel(): Promise<void> {
    if (this.job && this.busy)
      await ask(`/api/jobs/${this.job.job}`, { method: "DELETE" }).catch(() => undefined);
  }

  #follow(job: Job): void {
    this.#stop?.();
    this.#take(job);
    if (!this.busy) return;
    this.#stop = connection.listen((event) => {
      const mine = event.data["job"] === this.job?.job;
      if (this.job && mine && event.type === "working") {
        this.job = {
          ...this.job,
          state: "working",
          text: String(event.data["text"] ?? ""),
          share: Number(event.data["share"] ?? 0),
        };
      } else if ((mine && event.type === "job") || event.type === "resync") void this.#refresh();
    });
    // It may have ended before the listener stood.
    void this.#refresh();
  }

  async #refresh(): Promise<void> {
    if (!this.job) return;
    try {
      this.#take(await read<Job>(`/api/jobs/${this.job.job}`));
    } catch (error) {
      if (error instanceof Refused) {
        this.problem = error.trouble.what;
        this.job = null;
        this.#stop?.();
      }
    }
  }

  #take(job: Job): void {
    const ended =
      this.job?.state !== job.state &&
      (job.state === "done" || job.state === "failed" || job.state === "cancelled");
    this.job = job;
    if (!ended) return;
    this.#stop?.();
    this.#stop = null;
    if (job.problem) this.problem = `${job.problem.what} ${job.problem.remedy}`.trim();
    if (job.state === "done") this.ondone(job);
  }
}

function told(error: unknown): string {
  return error instanceof Refused
    ? `${error.trouble.what} ${error.trouble.remedy}`.trim()
    : "The server does not answer.";
}
