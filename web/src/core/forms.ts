import type { Json, Understood } from "../api/types";
import { at, isTable, list, type Table } from "./paths";

/** One thing that may be told in a row, as the published schema of the dossier says it. */
export interface FormField {
  readonly name: string;
  readonly label: string;
  readonly help: string;
  readonly form: "text" | "prose" | "value" | "values" | "choice" | "yes" | "other";
  readonly choices: readonly string[];
  readonly required: boolean;
}

/** Words that stand at a field, where the key's own name is not plain English. */
const LABELS: Readonly<Record<string, string>> = {
  says: "Words as printed",
  where: "Where it is printed",
  value: "Value",
  sense: "Read as",
  tolerance: "Granted",
  shown: "The display showed",
  across: "Voltage across the part",
  voltage: "Voltage of the net",
  against: "Against the net",
  current: "Current through",
  power: "Power of",
  resistance: "Resistance, power off, from the net",
  diode: "Diode range, power off, red probe on the net",
  quantity: "Something else measured",
  measures: "Measured as",
  range: "Range used, full scale",
  up_to: "Full scale",
  input_resistance: "Input resistance",
  does: "What it does here",
  what: "What was tried",
  seen: "What was seen",
  bought: "Bought",
  numbers: "Decimal sign",
};
const PROSE = new Set(["note", "summary", "does", "what", "seen", "caption", "says"]);

export function labelOf(name: string): string {
  const words = LABELS[name] ?? name.replaceAll("_", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function formOf(name: string, schema: Table): Pick<FormField, "form" | "choices"> {
  const choices = list(schema, "enum").filter((choice): choice is string => typeof choice === "string");
  if (choices.length) return { form: "choice", choices };
  const type = schema["type"];
  if (Array.isArray(type) && type.includes("number")) return { form: "value", choices };
  if (type === "string") return { form: PROSE.has(name) ? "prose" : "text", choices };
  if (type === "boolean") return { form: "yes", choices };
  const either = list(schema, "anyOf");
  const takesOne = either.some(
    (one) => isTable(one) && Array.isArray(one["type"]) && one["type"].includes("number"),
  );
  const takesMany = either.some((one) => isTable(one) && one["type"] === "array");
  return { form: takesOne && takesMany ? "values" : "other", choices };
}

/** Fields of one table of the schema, in its order. */
export function fieldsOf(schema: Json | undefined): readonly FormField[] {
  const required = new Set(list(schema, "required").map(String));
  const properties = at(schema, ["properties"]);
  if (!isTable(properties)) return [];
  return Object.entries(properties).map(([name, told]) => {
    const field = isTable(told) ? told : {};
    const help = field["description"];
    return {
      name,
      label: labelOf(name),
      help: typeof help === "string" ? help : "",
      required: required.has(name),
      ...formOf(name, field),
    };
  });
}

/** The schema of one row of a table of named rows, such as a claim. */
export function rowSchema(schema: Json | undefined, group: string): Json | undefined {
  return (
    at(schema, ["properties", group, "additionalProperties"]) ?? at(schema, ["properties", group, "items"])
  );
}

/** Several values in one line: what a person parts by semicolons. */
export function valuesFromText(text: string): string | readonly string[] | null {
  const values = text
    .split(";")
    .map((one) => one.trim())
    .filter(Boolean);
  if (values.length === 0) return null;
  return values.length === 1 ? (values[0] ?? null) : values;
}

export function textFromValues(value: Json | undefined): string {
  if (Array.isArray(value)) return value.map(String).join("; ");
  return value === undefined || value === null || typeof value === "object" ? "" : String(value);
}

/** What stands against values in one line that were understood one by one: repeats are of one unit. */
export function mixed(texts: readonly string[], answers: readonly Understood[]): Understood | undefined {
  const [first, ...others] = answers;
  const odd = others.findIndex((answer) => answer.unit !== first?.unit);
  if (!first || odd < 0) return undefined;
  const what = `“${texts[odd + 1] ?? ""}” is of another unit than “${texts[0] ?? ""}”`;
  const remedy = "several values in one line are repeats of one reading; write others down apart";
  return { ...first, understood: false, problem: { code: "", what, where: "", remedy, faults: [] } };
}

/** Fields whose unit hangs on what else was told. */
export const MEASURED: ReadonlySet<string> = new Set(["value", "shown"]);

/** Unit of what a reading is about, as far as its target says it. */
export function unitOfReading(told: (field: string) => string): string | undefined {
  const units = { voltage: "V", across: "V", diode: "V", current: "A", power: "W", resistance: "Ω" };
  const found = Object.entries(units).find(([field]) => told(field).trim());
  return found && found[0] === "power" && told("measures") === "apparent power" ? "VA" : found?.[1];
}
