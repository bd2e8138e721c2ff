import type { Trouble } from "../api/types";

export interface Notice {
  readonly key: number;
  readonly tone: "refused" | "said";
  readonly what: string;
  readonly remedy: string;
}

const SHOWN_MS = 6000;

/** What the page has to say; what was refused stays until it is put away. */
class Notices {
  all = $state.raw<readonly Notice[]>([]);
  #count = 0;

  refused(trouble: Trouble, edit?: string): void {
    const faults = (trouble.faults ?? [])
      .filter((fault) => fault.what !== trouble.what)
      .map((fault) => fault.what);
    const where = trouble.where ? ` (${trouble.where})` : "";
    this.#add({
      tone: "refused",
      what: `${edit ? `Not done: ${edit}. ` : "Not done: "}${trouble.what}${where}`,
      remedy: [...faults.slice(0, 3), trouble.remedy].filter(Boolean).join(". "),
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
    const fresh = { ...notice, key: this.#count };
    this.all = [...this.all.filter((old) => old.what !== notice.what), fresh].slice(-4);
    return fresh.key;
  }
}

export const notices = new Notices();
