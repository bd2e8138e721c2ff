import { readState, Refused, sendEdit, sendKeepOwn, sendRedo, sendUndo, Unreachable } from "../api/client";
import type { Acknowledged, Edit, State } from "../api/types";
import { standsAnywhere } from "../core/edits";
import { freshId } from "../core/ids";
import { Outbox, type Outcome, type Waiting } from "../core/queue";
import { connection } from "./connection.svelte";
import { notices } from "./notices.svelte";
import { shown } from "./shown.svelte";

const BUSY_PAUSE_MS = 1500;
const KEPT_UNDER = "lidoff.unsent";

/** The dossier as the server last told it. Nothing here is changed by the page; changes go out as edits and come back. */
class DossierStore {
  state = $state.raw<State | null>(null);
  waiting = $state.raw<readonly Waiting[]>([]);
  readonly page = freshId();
  readonly #outbox: Outbox;
  #told = new Set<(answer: Acknowledged) => void>();
  #ended = new Set<() => void>();

  constructor() {
    this.#outbox = new Outbox(
      {
        read: () => localStorage.getItem(KEPT_UNDER),
        write: (text) => localStorage.setItem(KEPT_UNDER, text),
      },
      (change) => this.#deliver(change),
      (waiting) => (this.waiting = waiting),
    );
    this.waiting = this.#outbox.waiting;
  }

  get revision(): number {
    return this.state?.revision ?? 0;
  }

  /** Whether an answer is awaited that brings the state along. */
  get isSending(): boolean {
    return this.#outbox.isSending;
  }

  async open(): Promise<void> {
    connection.listen((event) => {
      // The answer to an edit of one's own tells all that its event does.
      const own = event.type === "changed" && event.data["page"] === this.page;
      if (own && (this.isSending || Number(event.data["revision"]) <= this.revision)) return;
      if (["changed", "files", "outside", "resync", "lost"].includes(event.type)) void this.refresh();
      if (event.type === "resync") void this.#outbox.flush();
    });
    window.addEventListener("online", () => connection.retry(this.page));
    document.addEventListener("visibilitychange", () => document.hidden || connection.retry(this.page));
    await this.refresh();
    connection.open(this.page);
    await this.#outbox.flush();
  }

  async refresh(): Promise<void> {
    try {
      this.take(await readState());
      connection.online ??= true;
    } catch (error) {
      if (error instanceof Refused && error.status === 401) connection.locked = true;
      else if (error instanceof Refused) notices.refused(error.trouble);
      else connection.online = false;
    }
  }

  /** Takes a state in, unless a newer one is there already. */
  take(state: State): void {
    if (this.state && state.revision < this.state.revision && state.folder === this.state.folder) return;
    this.state = state;
  }

  /** Sends an edit; resolves to whether it became true. */
  async edit(edit: Edit): Promise<boolean> {
    const id = freshId();
    let acknowledged = false;
    const stop = this.onAcknowledged((answer) => (acknowledged ||= answer.id === id));
    await this.#outbox.put({ id, base: this.revision, page: this.page, act: "edit", edit });
    stop();
    return acknowledged;
  }

  async undo(): Promise<void> {
    if (this.state?.history.can_undo)
      await this.#outbox.put({ id: freshId(), base: this.revision, act: "undo" });
  }

  async redo(): Promise<void> {
    if (this.state?.history.can_redo)
      await this.#outbox.put({ id: freshId(), base: this.revision, act: "redo" });
  }

  /** Lets the workbench's own state stand over files that another program changed. */
  async keepOwn(): Promise<void> {
    try {
      this.take(await sendKeepOwn());
    } catch (error) {
      if (error instanceof Refused) notices.refused(error.trouble, "the workbench’s own state is kept");
      else connection.online = false;
    }
  }

  wish(): { id: string; base: number; page: string } {
    return { id: freshId(), base: this.revision, page: this.page };
  }

  acknowledged(answer: Acknowledged): void {
    if (answer.state) this.take(answer.state);
    for (const listener of this.#told) listener(answer);
  }

  onAcknowledged(listener: (answer: Acknowledged) => void): () => void {
    this.#told.add(listener);
    return () => this.#told.delete(listener);
  }

  /** Hears of each sending that is over, whatever came of it. */
  onEnded(listener: () => void): void {
    this.#ended.add(listener);
  }

  async #deliver(change: Waiting): Promise<Outcome> {
    try {
      return await this.#sent(change);
    } finally {
      for (const listener of this.#ended) listener();
    }
  }

  /** Makes what crossed another page's change on the state as it is now, where it still means the same there. */
  #again(change: Waiting, refused: Refused): (() => void) | undefined {
    if (refused.status !== 409 || change.act !== "edit" || !standsAnywhere(change.edit)) return undefined;
    const { edit } = change;
    return () => void this.edit(edit);
  }

  async #sent(change: Waiting): Promise<Outcome> {
    // What was made on top of a change that still waited stands on what that change led to, by this page's own hand.
    const wish = { id: change.id, base: change.base, page: change.page ?? this.page, shows: shown.shows };
    try {
      if (change.act === "edit") this.acknowledged(await sendEdit({ ...wish, edit: change.edit }));
      else if (change.act === "undo") this.acknowledged(await sendUndo({ ...wish, base: this.revision }));
      else this.acknowledged(await sendRedo({ ...wish, base: this.revision }));
      return { sent: "acknowledged" };
    } catch (error) {
      if (error instanceof Unreachable) {
        connection.online = false;
        connection.retry(this.page);
        return { sent: "unreachable", error };
      }
      if (error instanceof Refused && [401, 502, 503].includes(error.status)) {
        // Nothing is wrong with the change: the server is busy, or was started anew and knows this page no more.
        if (error.status === 401) connection.locked = true;
        else window.setTimeout(() => void this.#outbox.flush(), BUSY_PAUSE_MS);
        return { sent: "unreachable", error };
      }
      if (error instanceof Refused)
        notices.refused(
          error.trouble,
          change.act === "edit" ? change.edit.title : undefined,
          this.#again(change, error),
        );
      void this.refresh();
      return { sent: "refused", error };
    }
  }
}

export const dossier = new DossierStore();
