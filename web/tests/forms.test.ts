import { describe, expect, it } from "vitest";
import { addRow, setText } from "../src/core/edits";
import { fieldsOf, mixed, rowSchema, textFromValues, unitOfReading, valuesFromText } from "../src/core/forms";
import { anchor, at, rows, text } from "../src/core/paths";

const schema = {
  properties: {
    claims: {
      type: "object",
      additionalProperties: {
        required: ["says"],
        properties: {
          says: { type: "string", description: "as printed" },
          value: { type: ["string", "number"] },
          shown: { anyOf: [{ type: ["string", "number"] }, { type: "array" }] },
          sense: { enum: ["at least", "at most"] },
          counts: { type: "boolean" },
          from: { type: "object" },
        },
      },
    },
  },
};

describe("forms follow the published schema", () => {
  it("each field in its form, in the schema's order", () =>
    expect(fieldsOf(rowSchema(schema, "claims")).map(({ name, form }) => [name, form])).toEqual([
      ["says", "prose"],
      ["value", "value"],
      ["shown", "values"],
      ["sense", "choice"],
      ["counts", "yes"],
      ["from", "other"],
    ]));
  it("with the words of the bench in place of bare keys, and what is required", () =>
    expect(fieldsOf(rowSchema(schema, "claims"))[0]).toMatchObject({
      label: "Words as printed",
      help: "as printed",
      required: true,
    }));
  it("and none where the schema tells nothing", () => expect(fieldsOf(undefined)).toEqual([]));
});

it("several values stand in one line, parted by semicolons", () => {
  expect(valuesFromText(" 4.52 V ; 4.54 V;")).toEqual(["4.52 V", "4.54 V"]);
  expect(valuesFromText("4.52 V")).toBe("4.52 V");
  expect(valuesFromText("  ")).toBeNull();
  expect(textFromValues(["4.52 V", "4.54 V"])).toBe("4.52 V; 4.54 V");
});

it("an emptied field is taken out, not kept empty", () => {
  expect(setText(["device", "title"], "  ")).toEqual({ kind: "set", path: ["device", "title"], value: null });
  expect(addRow("claims", "power", { says: "0.5 W", where: "", note: null })).toEqual({
    kind: "add",
    path: ["claims", "power"],
    value: { says: "0.5 W" },
  });
});

it("finds its way in a document, and nothing where there is nothing", () => {
  const document = { readings: { a: { shown: ["1 V", "2 V"] }, b: 3 } };
  expect(at(document, ["readings", "a", "shown", 1])).toBe("2 V");
  expect(at(document, ["readings", "c", "shown"])).toBeUndefined();
  expect(rows(document, "readings").map(([name]) => name)).toEqual(["a", "b"]);
  expect(text(document, "readings", "b")).toBe("3");
  expect(anchor(["claims", "power"])).toBe("claims.power");
});

describe("what a reading is about tells its unit", () => {
  const unit = (row: Readonly<Record<string, string>>): string | undefined =>
    unitOfReading((field) => row[field] ?? "");
  it("by its target", () => {
    expect(unit({ voltage: "out" })).toBe("V");
    expect(unit({ current: "R1.1" })).toBe("A");
    expect(unit({ power: "BT1" })).toBe("W");
    expect(unit({ power: "BT1", measures: "apparent power" })).toBe("VA");
    expect(unit({ quantity: "LEDs counted" })).toBeUndefined();
  });
  it("and repeats in one line are of one unit", () => {
    const volts = { understood: true, said: "5.02 V", value: 5.02, unit: "V", meanings: [] };
    expect(mixed(["5.02 V", "5.03 V"], [volts, volts])).toBeUndefined();
    expect(mixed(["5.02 V", "5.03 A"], [volts, { ...volts, unit: "A" }])?.problem?.what).toBe(
      "“5.03 A” is of another unit than “5.02 V”",
    );
  });
});
