import { Refused, send } from "../api/client";
import type { BoardTold, ClassesTold, SideTold } from "../api/types";
import { type ClassesWish, keyOf, type Window } from "../core/classes";
import { Newest } from "../core/newest";
import { type ClassPicture, decoded } from "../viewer/tints";
import { dossier } from "./dossier.svelte";

const KEPT_UNDER = "lidoff.classes";
const ONCE_MORE_MS = 400;
const SLOW_MS = 1500;

interface Shown {
  readonly told: ClassesTold;
  readonly picture: ClassPicture;
}

/** What the pixels in view are taken for, as the strokes stand now. Follows the newest wish; nothing of it is kept. */
class ClassView {
  #on = $state(localStorage.getItem(KEPT_UNDER) !== "off");
  shown = $state.raw<Shown | null>(null);
  problem = $state("");
  /** Whether newer classes than those shown are on their way, and whether that takes unusually long. */
  busy = $state(false);
  slow = $state(false);
  window = $state.raw<Window | null>(null);
  #timer = 0;
  readonly #newest = new Newest<ClassesWish, Shown>(
    {
      ask: async (wish, signal) => {
        const told = await send<ClassesTold>(
          `/api/boards/${encodeURIComponent(wish.board)}/${wish.side}/classes`,
          { page: dossier.page, window_mm: wish.window, strokes: wish.strokes },
          "POST",
          signal,
        );
        return { told, picture: await decoded(told) };
      },
      told: (shown) => {
        this.shown = shown;
        this.problem = "";
        this.#rest();
      },
      failed: (error) => {
        // Another page took this one's place in the server's queue: the same is asked once more.
        if (error instanceof Refused && error.trouble.code === "superseded") return ONCE_MORE_MS;
        this.shown = null;
        this.problem =
          error instanceof Refused
            ? [error.trouble.what, error.trouble.remedy].filter(Boolean).join(": ")
            : "The server does not answer.";
        this.#rest();
        return null;
      },
    },
    { start: (then, after) => window.setTimeout(then, after), stop: (timer) => window.clearTimeout(timer) },
  );

  get on(): boolean {
    return this.#on;
  }
  set on(on: boolean) {
    this.#on = on;
    localStorage.setItem(KEPT_UNDER, on ? "on" : "off");
  }

  want(wish: ClassesWish, told: BoardTold, here: SideTold, pause_ms: number): void {
    const before = this.#newest.isAsking;
    this.#newest.want(keyOf(wish, told, here), wish, pause_ms);
    this.busy = this.#newest.isAsking;
    if (!this.busy || before) return;
    this.#timer = window.setTimeout(() => (this.slow = this.busy), SLOW_MS);
  }

  /** Takes everything away: another side, another tool, or not wanted. */
  drop(): void {
    this.#newest.drop();
    this.shown = null;
    this.problem = "";
    this.window = null;
    this.#rest();
  }

  #rest(): void {
    window.clearTimeout(this.#timer);
    this.busy = this.slow = false;
  }
}

export const classes = new ClassView();
