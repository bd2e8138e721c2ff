import type { Trouble } from "../api/types";

export interface Notice {
  readonly key: number;
  readonly tone: "refused" | "said";
  readonly what: string;
  readonly remedy: string;
  /** Does what was refused on the state as it is now: all that was refused in the same words. */
  readonly again?: (() => void) | undefined;
}

const SHOWN_MS = 6000;

/** What the page has to say; what was refused stays until it is put away. */
class Notices {
  all = $state.raw<readonly Notice[]>([]);
  #count = 0;

  refused(trouble: Trouble, edit?: string, again?: () => void): void {
    const faults = (trouble.faults ?? [])
      .filter((fault) => fault.what !== trouble.what)
      .map((fault) => fault.what);
    const where = trouble.where ? ` (${trouble.where})` : "";
    this.#add({
      tone: "refused",
      what: `${edit ? `Not done: ${edit}. ` : "Not done: "}${trouble.what}${where}`,
      remedy: [...faults.slice(0, 3), trouble.remedy].filter(Boolean).join(". "),
      again,
    });
  }

  failed(what: string, remedy = ""): void {
    this.#add({ tone: "refused", what, remedy });
  }

  say(what: string): void {
    const key = this.#add({ tone: "said", what, remedy: "" });
    window.setTimeout(() => this.drop(key), SHOWN_MS);
  }

  drop(key: number): void {
    this.all = this.all.filter((notice) => notice.key !== key);
  }

  #add(notice: Omit<Notice, "key">): number {
    this.#count += 1;
    const alike = this.all.find((old) => old.what === notice.what);
    const [first, then] = [alike?.again, notice.again];
    const again = first && then ? (): void => (first(), then()) : (then ?? first);
    const fresh = { ...notice, again, key: this.#count };
    this.all = [...this.all.filter((old) => old.what !== notice.what), fresh].slice(-4);
    return fresh.key;
  }
}

export const notices = new Notices();
