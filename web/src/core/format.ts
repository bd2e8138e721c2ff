import type { Amount } from "../api/types";

const PREFIXES: readonly (readonly [number, string])[] = [
  [1e9, "G"],
  [1e6, "M"],
  [1e3, "k"],
  [1, ""],
  [1e-3, "m"],
  [1e-6, "µ"],
  [1e-9, "n"],
  [1e-12, "p"],
];
/** Units that take no prefix, since nobody writes them so. */
const BARE = new Set(["", "%", "°", "°C", "K", "lx", "h", "min", "dB", "days", "years"]);

/** A number as it is printed: three or four digits, a prefix of ten to the third, a true minus. */
export function spoken(amount: Amount | null | undefined, digits = 3): string {
  if (!amount) return "–";
  return plain(amount.value, amount.unit, digits);
}

export function plain(told: number, unitTold: string, digits = 3): string {
  const [value, unit] = familiar(told, unitTold);
  if (!Number.isFinite(value)) return value > 0 ? "without limit" : "–";
  const size = Math.abs(value);
  // What is a thousandth of a billionth is noise of the solver.
  if (size < 1e-13) return joined("0", unit);
  if (unit === "%") return joined(rounded(value, digits), "%");
  const [factor, prefix] = prefixOf(size, unit);
  return joined(rounded(value / factor, digits), prefix + unit);
}

const HOUR_S = 3600;
const DAY_S = 24 * HOUR_S;
const YEAR_S = 365.25 * DAY_S;

/** Counts go without a unit, masses by the gram, which takes prefixes where the kilogram does not, long times by hours, days and years. */
function familiar(value: number, unit: string): readonly [number, string] {
  if (unit === "1") return [value, ""];
  if (unit === "s" && Math.abs(value) >= 2 * YEAR_S) return [value / YEAR_S, "years"];
  if (unit === "s" && Math.abs(value) >= 2 * DAY_S) return [value / DAY_S, "days"];
  if (unit === "s" && Math.abs(value) >= 2 * HOUR_S) return [value / HOUR_S, "h"];
  return unit === "kg" ? [value * 1e3, "g"] : [value, unit];
}

/** A chance in words: what was worked out from readings is never wholly sure. */
export function chance(share: number): string {
  if (share < 0.01) return "under 1 %";
  return share > 0.99 ? "over 99 %" : `${(share * 100).toFixed(0)} %`;
}

/** Value with its uncertainty in the same prefix: "4.52 V ± 0.03 V". */
export function withSpread(amount: Amount | null | undefined): string {
  if (!amount) return "–";
  const told = amount.uncertainty ?? 0;
  if (!(told > 0) || !Number.isFinite(told)) return spoken(amount);
  const [value, unit] = familiar(amount.value, amount.unit);
  const spread = (told * value) / amount.value || familiar(told, amount.unit)[0];
  const size = Math.max(Math.abs(value), spread);
  const [factor, prefix] = prefixOf(size, unit);
  const places = Math.max(0, Math.min(6, 1 - Math.floor(Math.log10(spread / factor))));
  return `${signed((value / factor).toFixed(places))} ± ${joined((spread / factor).toFixed(places), prefix + unit)}`;
}

function prefixOf(size: number, unit: string): readonly [number, string] {
  return BARE.has(unit) ? [1, ""] : (PREFIXES.find(([factor]) => size >= factor * 0.9995) ?? [1e-12, "p"]);
}

function rounded(value: number, digits: number): string {
  if (value === 0) return "0";
  const places = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
  return signed(value.toFixed(Math.min(places, 12)));
}

/** With a true minus. */
export function signed(text: string): string {
  return text.replace("-", "−");
}

function joined(number: string, unit: string): string {
  return unit ? `${number} ${unit}` : number;
}

export function percent(share: number | null | undefined): string {
  if (share === null || share === undefined || Number.isNaN(share)) return "–";
  if (!Number.isFinite(share)) return "without limit";
  const hundredths = share * 100;
  if (hundredths > 0 && hundredths < 1) return "under 1 %";
  if (hundredths > 99 && hundredths < 100) return "over 99 %";
  return `${hundredths.toFixed(0)} %`;
}

export function bytes(count: number): string {
  if (count < 1e3) return `${count} B`;
  return count < 1e6 ? `${(count / 1e3).toFixed(0)} kB` : `${(count / 1e6).toFixed(1)} MB`;
}

/** Words as a sentence: a capital before them, and a full stop behind where none stands. */
export function sentence(words: string): string {
  return words && `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? "" : "."}`;
}

/** "one claim", "3 claims". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return count === 1 ? `one ${one}` : `${count === 0 ? "no" : count} ${many}`;
}

/** A name for a new row, from words that a person typed: "Running full!" gives "running_full". */
export function nameFrom(words: string, taken: readonly string[], fallback: string): string {
  const plainWords = words
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "_")
    .replace(/^_+|_+$/g, "")
    .split("_")
    .slice(0, 5)
    .join("_")
    .slice(0, 40);
  const base = plainWords || fallback;
  if (!taken.includes(base)) return base;
  for (let number = 2; ; number += 1) if (!taken.includes(`${base}_${number}`)) return `${base}_${number}`;
}

/** Next free reference with that letter: after R1 and R3 comes R2. */
export function nextReference(prefix: string, taken: readonly string[]): string {
  for (let number = 1; ; number += 1) if (!taken.includes(`${prefix}${number}`)) return `${prefix}${number}`;
}
