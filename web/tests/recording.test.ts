import { expect, it } from "vitest";
import type { Recording } from "../src/api/types";
import { channels, recordingInWords, wholeColumns, withRecording } from "../src/core/recording";

const record = (told: Partial<Recording>): Recording => ({
  recording: "record-1",
  name: "charging",
  state: "recording",
  file: "",
  rows: 0,
  lost: 0,
  seconds: 0,
  cells: {},
  units: {},
  word: "",
  why: "",
  problem: null,
  ...told,
});

it("asks for the columns that are whole, without blanks round them", () =>
  expect(
    wholeColumns([
      { meter: " a ", read: "voltage " },
      { meter: "b", read: "" },
      { meter: "", read: "current" },
    ]),
  ).toEqual([{ meter: "a", read: "voltage" }]));

it("keeps the newest word of each record, new ones first", () => {
  const [one, other] = [record({ rows: 1 }), record({ recording: "record-2" })];
  const later = record({ rows: 5 });
  expect(withRecording([one], other)).toEqual([other, one]);
  expect(withRecording([other, one], later)).toEqual([other, later]);
});

it("says how a record stands", () => {
  expect(recordingInWords(record({ state: "starting" }))).toBe("reaching the meters …");
  expect(recordingInWords(record({ state: "silent" }))).toContain("does not answer");
  expect(recordingInWords(record({ state: "ended", why: "the current fell" }))).toBe(
    "ended: the current fell",
  );
});

it("draws nothing of a log with one row, and every column over the first of one with two", () => {
  const column = (
    name: string,
    values: number[],
    unit = "",
  ): { name: string; unit: string; values: number[] } => ({
    name,
    unit,
    values,
  });
  expect(channels({ rows: 1, columns: [column("time", [0]), column("u", [5])] } as never)).toBeNull();
  const drawn = channels({
    rows: 2,
    columns: [column("time", [0, 1], "s"), column("u", [5, 4], "V"), column("i", [1, 2], "A")],
  } as never);
  expect(drawn?.xTitle).toBe("time [s]");
  expect(drawn?.lines.map((line) => line.title)).toEqual(["u", "i"]);
});
