import { describe, expect, it } from "vitest";
import { Newest } from "../src/core/newest";

interface Going {
  readonly question: string;
  readonly signal: AbortSignal;
  readonly answer: (told: string) => void;
  readonly fail: (why: string) => void;
}

/** A clock whose timers go off when told to. */
function bench(again: (why: string) => number | null = () => null) {
  const going: Going[] = [];
  const told: string[] = [];
  const failed: string[] = [];
  const timers = new Map<number, { readonly then: () => void; readonly after: number }>();
  let number = 0;
  const newest = new Newest<string, string>(
    {
      ask: (question, signal) =>
        new Promise((answer, fail) => going.push({ question, signal, answer, fail })),
      told: (answer) => told.push(answer),
      failed: (error) => {
        failed.push(String(error));
        return again(String(error));
      },
    },
    {
      start: (then, after) => {
        timers.set(++number, { then, after });
        return number;
      },
      stop: (timer) => timers.delete(timer),
    },
  );
  const ring = (): void => {
    const due = [...timers.values()];
    timers.clear();
    for (const one of due) one.then();
  };
  const settle = (): Promise<void> => new Promise((done) => setTimeout(done));
  return { newest, going, told, failed, timers, ring, settle };
}

describe("only the newest question is answered", () => {
  it("an older one is given up, and its late answer is not told", async () => {
    const { newest, going, told, ring, settle } = bench();
    newest.want("a", "a", 0);
    ring();
    newest.want("b", "b", 0);
    ring();
    expect(going.map((one) => [one.question, one.signal.aborted])).toEqual([
      ["a", true],
      ["b", false],
    ]);
    going[1]?.answer("B");
    going[0]?.answer("A");
    await settle();
    expect(told).toEqual(["B"]);
    expect(newest.isAsking).toBe(false);
  });
  it("what comes within the pause is asked once", () => {
    const { newest, going, timers, ring } = bench();
    for (const key of ["a", "b", "c"]) newest.want(key, key, 150);
    expect([...timers.values()].map((one) => one.after)).toEqual([150]);
    ring();
    expect(going.map((one) => one.question)).toEqual(["c"]);
  });
  it("the same question is not asked twice, unless it was dropped between", () => {
    const { newest, going, ring } = bench();
    newest.want("a", "a", 0);
    newest.want("a", "a", 0);
    ring();
    newest.want("a", "a", 0);
    ring();
    expect(going.length).toBe(1);
    newest.drop();
    expect(newest.isAsking).toBe(false);
    newest.want("a", "a", 0);
    ring();
    expect(going.map((one) => one.signal.aborted)).toEqual([true, false]);
  });
  it("one that failed is asked once more where that helps, else it may be wanted anew", async () => {
    const { newest, going, failed, timers, ring, settle } = bench((why) => (why === "busy" ? 400 : null));
    newest.want("a", "a", 0);
    ring();
    going[0]?.fail("busy");
    await settle();
    expect([...timers.values()].map((one) => one.after)).toEqual([400]);
    ring();
    going[1]?.fail("gone");
    await settle();
    expect(failed).toEqual(["busy", "gone"]);
    newest.want("a", "a", 0);
    ring();
    expect(going.length).toBe(3);
  });
  it("the failure of one that was given up is not told", async () => {
    const { newest, going, failed, ring, settle } = bench();
    newest.want("a", "a", 0);
    ring();
    newest.drop();
    going[0]?.fail("aborted");
    await settle();
    expect(failed).toEqual([]);
  });
});
