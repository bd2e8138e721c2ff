import { describe, expect, it } from "vitest";
import {
  bytes,
  counted,
  nameFrom,
  nextReference,
  percent,
  plain,
  spoken,
  withSpread,
} from "../src/core/format";

describe("numbers are printed as people write them", () => {
  it.each([
    [{ value: 1.58, unit: "A" }, "1.58 A"],
    [{ value: 0.0047, unit: "A" }, "4.70 mA"],
    [{ value: 4700, unit: "Ω" }, "4.70 kΩ"],
    [{ value: -0.65, unit: "V" }, "−650 mV"],
    [{ value: 0, unit: "V" }, "0 V"],
    [{ value: 0.5, unit: "°C" }, "0.500 °C"],
  ])("%o", (amount, text) => expect(spoken(amount)).toBe(text));

  it("says nothing where nothing is known", () => expect(spoken(null)).toBe("–"));
  it("takes the solver's noise for zero", () => expect(plain(3e-16, "A")).toBe("0 A"));
  it("never prints an endless number as digits", () => expect(plain(Infinity, "V")).toBe("without limit"));
  it("keeps value and uncertainty in one unit, to the same place", () =>
    expect(withSpread({ value: 4.5234, unit: "V", uncertainty: 0.031 })).toBe("4.523 ± 0.031 V"));
  it("prints a value that is smaller than its uncertainty in the uncertainty's unit", () =>
    expect(withSpread({ value: 0.0001, unit: "V", uncertainty: 0.02 })).toBe("0 ± 20 mV"));
  it("tells long times by hours, days and years, with their spread", () => {
    expect(withSpread({ value: 461e6, unit: "s", uncertainty: 319e6 })).toBe("15 ± 10 years");
    expect(withSpread({ value: 10 * 86400, unit: "s", uncertainty: 86400 })).toBe("10.0 ± 1.0 days");
    expect(plain(7200, "s")).toBe("2.00 h");
  });
  it.each([
    [0.004, "under 1 %"],
    [0.5, "50 %"],
    [0.999, "over 99 %"],
    [1, "100 %"],
    [null, "–"],
  ])("share %s", (share, text) => expect(percent(share)).toBe(text));
});

it("counts in words", () => {
  expect([0, 1, 2].map((count) => counted(count, "claim"))).toEqual(["no claims", "one claim", "2 claims"]);
  expect(bytes(7_900_000)).toBe("7.9 MB");
});

describe("names for new rows", () => {
  it("come from the first words, plainly spelt", () =>
    expect(nameFrom("Läuft voll, Lüfter an!", [], "row")).toBe("lauft_voll_lufter_an"));
  it("never take one that is taken", () =>
    expect(nameFrom("Idle", ["idle", "idle_2"], "row")).toBe("idle_3"));
  it("fall back where no letter is left", () => expect(nameFrom("…", [], "claim")).toBe("claim"));
  it("fill the gap among references", () => expect(nextReference("R", ["R1", "R3"])).toBe("R2"));
});
