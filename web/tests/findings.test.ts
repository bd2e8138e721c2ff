import { expect, it } from "vitest";
import type { CircuitAnswer, CircuitBlock, Comparison, Finding, Hazard } from "../src/api/types";
import { gathered } from "../src/core/blocks";
import { busiest, grouped, hazardsInOrder, misfits, openInWords } from "../src/core/findings";
import { proposalsOf } from "../src/core/proposals";
import { litBy } from "../src/core/selection";

const finding = (name: string, severity: string, says?: "accepted" | "dismissed"): Finding =>
  ({ name, severity, decision: says ? { says, reason: "" } : null }) as Finding;

it("the gravest findings come first, decided ones only where asked for", () => {
  const all = [
    finding("a", "note"),
    finding("b", "fault"),
    finding("c", "fault", "dismissed"),
    finding("d", "odd"),
  ];
  const named = (shown: "open" | "dismissed" | "all"): unknown =>
    grouped(all, shown).map(({ severity, findings }) => [severity, findings.map((one) => one.name)]);
  expect(named("open")).toEqual([
    ["fault", ["b"]],
    ["note", ["a"]],
    ["odd", ["d"]],
  ]);
  expect(named("dismissed")).toEqual([["fault", ["c"]]]);
  expect(named("all")).toEqual([
    ["fault", ["b", "c"]],
    ["note", ["a"]],
    ["odd", ["d"]],
  ]);
});

it("tells open findings, and that nothing is known while nothing is worked out", () => {
  expect(openInWords([finding("a", "note"), finding("b", "fault", "accepted")])).toBe("one finding open");
  expect(openInWords([])).toBe("no findings open");
  expect(openInWords(null)).toBe("not known yet");
});

it("the worst misfit comes first, and what agrees not at all", () => {
  const told = [
    { reading: "a", fit: "agrees", score: 0.2 },
    { reading: "b", fit: "does not fit", score: 3 },
    { reading: "c", fit: "does not fit", score: 9 },
  ] as Comparison[];
  expect(misfits(told).map((one) => one.reading)).toEqual(["c", "b"]);
});

it("what is beyond a limit stands before what could not be told", () => {
  const told = ["within the limit", "cannot tell", "beyond the limit"].map(
    (outcome) => ({ outcome }) as Hazard,
  );
  expect(hazardsInOrder(told).map((one) => one.outcome)).toEqual([
    "beyond the limit",
    "cannot tell",
    "within the limit",
  ]);
});

it("a search may tell its lines alone or under a name", () => {
  const line = { title: "Measure across R3", why: "splits two causes", parts: ["R3"] };
  expect(proposalsOf([line])).toEqual(proposalsOf({ readings: [line] }));
  expect(proposalsOf([line])[0]).toMatchObject({ title: "Measure across R3", parts: ["R3"], nets: [] });
  expect(proposalsOf(undefined)).toEqual([]);
});

it("a block lights all that is in it", () => {
  const circuit = {
    blocks: [{ title: "LED string", parts: ["R1", "D1"], nets: { supply: "v5" } }],
  } as unknown as CircuitAnswer;
  expect(litBy({ kind: "block", name: "LED string: R1, D1" }, circuit)).toEqual({
    parts: new Set(["R1", "D1"]),
    nets: new Set(["v5"]),
  });
  expect(litBy({ kind: "block", name: "gone" }, circuit).parts.size).toBe(0);
});

it("the situation to begin with is the one in which most power flows", () => {
  const at = (power: number, solved = true): unknown => ({
    solved,
    supplies: { J1: { power: { value: power, unit: "W" } } },
  });
  const told = { off: at(0), idle: at(0.1), running: at(-2.6), wild: at(90, false) };
  expect(busiest(told as Parameters<typeof busiest>[0])).toBe("running");
  expect(busiest({})).toBeNull();
});

it("blocks that are alike are told once, in the order of the first of each", () => {
  const block = (title: string, parts: readonly string[], unusual: readonly string[] = []): unknown => ({
    kind: title,
    title,
    parts,
    nets: [],
    unusual,
  });
  const told = [
    block("pair", ["LED1", "LED2"]),
    block("switch", ["S1"]),
    block("pair", ["LED3", "LED4"]),
    block("pair", ["LED5", "LED6"], ["carries too much"]),
  ];
  const groups = gathered(told as CircuitBlock[]);
  expect(groups.map(({ first, others }) => [first.name, others.map((one) => one.name)])).toEqual([
    ["pair: LED1, LED2", ["pair: LED3, LED4"]],
    ["switch: S1", []],
    ["pair: LED5, LED6", []],
  ]);
});
