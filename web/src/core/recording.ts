import type { LogTold, Recording } from "../api/types";

/** One column of a record as it is being asked for. */
export interface Column {
  readonly meter: string;
  readonly read: string;
}

/** Columns that say both what is asked and whom; the others are not asked for. */
export function wholeColumns(columns: readonly Column[]): readonly Column[] {
  return columns
    .map(({ meter, read }) => ({ meter: meter.trim(), read: read.trim() }))
    .filter(({ meter, read }) => meter !== "" && read !== "");
}

/** The newest word of a record takes the place of an older one; an unknown record stands first. */
export function withRecording(all: readonly Recording[], told: Recording): readonly Recording[] {
  return all.some((one) => one.recording === told.recording)
    ? all.map((one) => (one.recording === told.recording ? told : one))
    : [told, ...all];
}

/** How a record stands, in words. */
export function recordingInWords(one: Recording): string {
  switch (one.state) {
    case "starting":
      return "reaching the meters …";
    case "silent":
      return one.word || "the meter does not answer; it is asked again and again";
    case "recording":
      return one.word || "recording";
    case "ended":
      return one.why ? `ended: ${one.why}` : "ended";
  }
}

/** Time, and the columns of numbers over it, of a record as it is drawn. */
export function channels(log: LogTold): {
  readonly x: readonly number[];
  readonly xTitle: string;
  readonly lines: readonly {
    readonly title: string;
    readonly unit: string;
    readonly values: readonly (number | null)[];
  }[];
} | null {
  const [first, ...others] = log.columns;
  if (!first || !others.length || first.values.length < 2) return null;
  return {
    x: first.values.map((value) => value ?? NaN),
    xTitle: first.unit ? `${first.name} [${first.unit}]` : first.name,
    lines: others.map((column) => ({ title: column.name, unit: column.unit, values: column.values })),
  };
}
