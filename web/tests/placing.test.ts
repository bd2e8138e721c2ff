import { expect, it } from "vitest";
import type { KindTold } from "../src/api/types";
import { landsByPin, pinOnLand, valuesMissing, valuesRow } from "../src/core/placing";

const writtenOut = { K: "cathode", A: "anode", "+": "plus", "-": "minus" };

it("a land tells its pin by the pin's own name or by the trade's abbreviation, and else it has to be said", () => {
  expect(pinOnLand(["1", "2"], "2", writtenOut)).toBe("2");
  expect(pinOnLand(["anode", "cathode"], "K", writtenOut)).toBe("cathode");
  expect(pinOnLand(["gate", "drain", "source"], "3", writtenOut)).toBeNull();
  expect(pinOnLand(["1", "2"], "K", writtenOut)).toBeNull();
});

it("a kind without pins of its own has its lands for pins", () =>
  expect(pinOnLand([], "7", writtenOut)).toBe("7"));

it("lands are kept by their pins, several in a list, and what was left open is left out", () =>
  expect(landsByPin({ "1": "gate", "2": "drain", tab: "drain", "3": "" })).toEqual({
    gate: "1",
    drain: ["2", "tab"],
  }));

const pulse: KindTold = {
  name: "pulse_supply",
  title: "pulse supply",
  pins: ["plus", "minus"],
  prefix: "V",
  says: "",
  parameters: [
    { name: "high", title: "upper level", unit: "V", main: true, needed: true, words: [] },
    { name: "period", title: "period", unit: "s", main: false, needed: true, words: [] },
    { name: "low", title: "lower level", unit: "V", main: false, needed: false, words: [] },
  ],
};

it("what a kind cannot do without is asked for by its title until it is typed", () => {
  expect(valuesMissing(pulse, { high: "5 V", period: " " })).toEqual(["period"]);
  expect(valuesMissing(pulse, { high: "5 V", period: "1 ms" })).toEqual([]);
});

it("the main value is kept as the part's value, others by their names", () =>
  expect(valuesRow(pulse, { high: " 5 V ", period: "1 ms" })).toEqual({ value: "5 V", period: "1 ms" }));
