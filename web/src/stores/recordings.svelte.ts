import { ask, read, Refused, send } from "../api/client";
import type { Recording } from "../api/types";
import { type Column, withRecording } from "../core/recording";
import { connection } from "./connection.svelte";
import { notices } from "./notices.svelte";

/** Records of live meters of this start of the server. */
class Recordings {
  all = $state.raw<readonly Recording[]>([]);

  /** Hears of records until the returned function is called. */
  open(): () => void {
    const stop = connection.listen((event) => {
      if (event.type === "recording") this.all = withRecording(this.all, event.data as unknown as Recording);
      else if (event.type === "resync") void this.#refresh();
    });
    void this.#refresh();
    return stop;
  }

  /** Begins a record; resolves to whether it began. */
  async start(
    name: string,
    reads: readonly Column[],
    every: string,
    lasts: string,
    until: string,
  ): Promise<boolean> {
    try {
      const told = await send<Recording>("/api/recordings", { name, reads, every, lasts, until });
      this.all = withRecording(this.all, told);
      return true;
    } catch (error) {
      this.#complain(error);
      return false;
    }
  }

  async stop(recording: string): Promise<void> {
    try {
      const answer = await ask(`/api/recordings/${encodeURIComponent(recording)}`, { method: "DELETE" });
      this.all = withRecording(this.all, (await answer.json()) as Recording);
    } catch (error) {
      this.#complain(error);
    }
  }

  async #refresh(): Promise<void> {
    try {
      this.all = await read<readonly Recording[]>("/api/recordings");
    } catch (error) {
      if (error instanceof Refused) notices.refused(error.trouble);
    }
  }

  #complain(error: unknown): void {
    if (error instanceof Refused) notices.refused(error.trouble);
    else notices.failed("The server does not answer.", "Try again once it does.");
  }
}

export const recordings = new Recordings();
