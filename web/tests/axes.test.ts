import { expect, it } from "vitest";
import { lonely, marks, STEPS } from "../src/core/axes";

it("writes the marks of an axis with the digits of their step, and with their unit", () =>
  expect(marks([5.01, 5.012, 5.014], 0.002, "V")).toEqual(["5.010\u2009V", "5.012\u2009V", "5.014\u2009V"]));

it("writes whole steps without digits behind the point, and no minus before nothing", () => {
  expect(marks([-20, 0, 20], 20, "mA")).toEqual(["−20\u2009mA", "0\u2009mA", "20\u2009mA"]);
  expect(marks([-1e-17, 0.5], 0.5, "")).toEqual(["0.0", "0.5"]);
});

it("steps by one, two or five of a decade, upwards", () => {
  expect(STEPS).toEqual([...STEPS].sort((one, other) => one - other));
  expect(STEPS).toContain(0.002);
  expect(STEPS).not.toContain(0.0025);
});

it("finds the values that stand between two gaps", () =>
  expect(lonely([1, 2, null, 3, null, 4])).toEqual([3, 5]));
