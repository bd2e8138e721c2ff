/**
 * What crosses the border between page and server: the server's own description of itself, and what it leaves open, which are the
 * dossier and the analysis. Lengths are millimetres, electrical quantities SI.
 */
import type { components } from "./schema";

type Told = components["schemas"];
/** A told thing with some of its fields known more closely. */
type With<Thing, Fields> = Omit<Thing, keyof Fields> & Readonly<Fields>;

export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };
export type Path = readonly (string | number)[];
export type Point = readonly [number, number];

export type NamedThing =
  | "part"
  | "net"
  | "reading"
  | "instrument"
  | "situation"
  | "claim"
  | "board"
  | "log"
  | "wire"
  | "trial"
  | "distance"
  | "light"
  | "log";

type Titled<T> = T & { readonly title?: string };

/** One change of the dossier, as a value; the server makes it true, and keeps it for taking back. */
export type Edit = Titled<
  | { readonly kind: "set"; readonly file?: string; readonly path: Path; readonly value: Json }
  | {
      readonly kind: "add";
      readonly file?: string;
      readonly path: Path;
      readonly value: Json;
      readonly before?: string;
    }
  | { readonly kind: "remove"; readonly file?: string; readonly path: Path }
  | { readonly kind: "move"; readonly file?: string; readonly path: Path; readonly to: number }
  | {
      readonly kind: "rename";
      readonly what: NamedThing;
      readonly name: string;
      readonly to: string;
      readonly join?: boolean;
    }
  | {
      readonly kind: "pin";
      readonly part: string;
      readonly x: number;
      readonly y: number;
      readonly turn?: number;
    }
  | { readonly kind: "unpin"; readonly part: string }
  | {
      readonly kind: "decide";
      readonly finding: string;
      readonly says: "accepted" | "dismissed" | "open";
      readonly reason: string;
      readonly about: string;
    }
  | {
      readonly kind: "attach";
      readonly file_path: string;
      readonly board?: string;
      readonly side?: Side;
      readonly caption?: string;
    }
  | { readonly kind: "detach"; readonly file_path: string }
  | {
      readonly kind: "stroke";
      readonly board: string;
      readonly side: Side;
      readonly says: string;
      readonly points_mm: readonly Point[];
      readonly width_mm: number;
    }
  | { readonly kind: "unstroke"; readonly board: string; readonly side: Side; readonly number: number }
  | {
      readonly kind: "place";
      readonly board: string;
      readonly reference: string;
      readonly package: string;
      readonly side: Side;
      readonly first_mm: Point;
      readonly second_mm: Point;
    }
  | { readonly kind: "unplace"; readonly board: string; readonly reference: string }
  | {
      readonly kind: "hole";
      readonly board: string;
      readonly at_mm: Point;
      readonly diameter_mm: number;
      readonly plated: boolean;
      readonly filled?: boolean;
    }
  | { readonly kind: "unhole"; readonly board: string; readonly number: number }
  | {
      readonly kind: "beep";
      readonly board: string;
      readonly first: string;
      readonly second: string;
      readonly joined: boolean;
      readonly source?: string;
    }
  | { readonly kind: "unbeep"; readonly board: string; readonly number: number }
  | {
      readonly kind: "board";
      readonly board: string;
      readonly caption?: string;
      readonly size_mm?: Point;
      readonly outline_mm?: readonly Point[];
    }
  | { readonly kind: "side"; readonly board: string; readonly side: Side; readonly photo: string }
  | {
      readonly kind: "register";
      readonly board: string;
      readonly side: Side;
      readonly points: readonly { readonly photo_px: Point; readonly board_mm: Point }[];
    }
  | { readonly kind: "outline"; readonly board: string; readonly outline_mm: readonly Point[] }
  | { readonly kind: "wire"; readonly board: string; readonly first: string; readonly second: string }
  | { readonly kind: "unwire"; readonly board: string; readonly number: number }
  | {
      readonly kind: "name_net";
      readonly board: string;
      readonly pin: string;
      readonly net: string;
      readonly join?: boolean;
      readonly alone?: boolean;
    }
  | { readonly kind: "several"; readonly title: string; readonly edits: readonly Edit[] }
>;

export type Side = "front" | "back";

export type Amount = Told["Amount"];
export interface PartState {
  readonly power: Amount;
  readonly voltage?: Amount;
  readonly current?: Amount;
}
export interface SituationResult {
  readonly title: string;
  readonly solved: boolean;
  readonly nets?: { readonly [net: string]: { readonly voltage: Amount } };
  readonly undetermined?: readonly string[];
  readonly parts?: { readonly [part: string]: PartState };
  readonly supplies?: { readonly [part: string]: { readonly power: Amount; readonly current?: Amount } };
  readonly what?: string;
  readonly remedy?: string;
}
export interface MeasuredReading {
  readonly name: string;
  readonly situation: string;
  readonly target: string;
  readonly instrument: string;
  readonly read: Amount;
}
export interface Comparison {
  readonly reading: string;
  readonly situation: string;
  readonly target: string;
  readonly read: Amount;
  readonly predicted: Amount;
  readonly difference: Amount;
  readonly score: number | null;
  readonly fit: string;
  readonly meter_load_included?: boolean;
}
export interface ClaimResult {
  readonly name: string;
  readonly kind: string;
  readonly says: string;
  readonly where: string;
  readonly sense: string;
  readonly printed?: string;
  readonly claimed: Amount | null;
  readonly shown?: string;
  readonly found: Amount | null;
  readonly verdict: string;
  readonly probability: number | null;
  readonly why: string;
  readonly needs: string;
  readonly sum: string;
  readonly notes: readonly string[];
}
export interface Decision {
  readonly says: "accepted" | "dismissed" | "open";
  readonly reason: string;
}
export interface Finding {
  readonly key?: string;
  readonly decision?: Decision | null;
  readonly name: string;
  readonly title: string;
  readonly severity: string;
  readonly what: string;
  readonly evidence: string;
  readonly remedy: string;
  readonly source: string;
  readonly parts: readonly string[];
  readonly nets: readonly string[];
  readonly claims: readonly string[];
  readonly readings: readonly string[];
  readonly situations: readonly string[];
}
export interface Hazard {
  readonly check: string;
  readonly title: string;
  readonly outcome: string;
  readonly severity: string;
  readonly what: string;
  readonly value: Amount | null;
  readonly limit: Amount | null;
  readonly limit_says: string;
  readonly source: string;
  readonly from_memory: boolean;
  readonly assumed: readonly string[];
  readonly not_checked: readonly string[];
  readonly parts: readonly string[];
  readonly nets: readonly string[];
  readonly situations: readonly string[];
  readonly remedy: string;
}
export interface Stress {
  readonly part: string;
  readonly situation: string;
  readonly rating: string;
  readonly load: Amount;
  readonly limit: Amount;
  readonly share: number | null;
  readonly told: boolean;
}
export interface Check {
  readonly title: string;
  readonly against: string;
  readonly outcome: string;
  readonly left_out: string;
}
export interface Economy {
  readonly title: string;
  readonly what: string;
  readonly consequence: string;
  readonly perhaps_because: string;
  readonly parts: readonly string[];
  readonly source: string;
}
/** What a part of unknown kind may be, the likeliest first. */
export interface Unnamed {
  readonly part: string;
  readonly guesses: readonly {
    readonly kind: string;
    readonly title: string;
    readonly share: number;
    readonly reasons: readonly string[];
    readonly against: readonly string[];
  }[];
}
export interface Analysis {
  readonly situations: { readonly [name: string]: SituationResult };
  readonly readings: readonly MeasuredReading[];
  readonly comparisons: readonly Comparison[];
  readonly uncompared: readonly { readonly reading: string; readonly why: string }[];
  readonly claims: readonly ClaimResult[];
  readonly stresses: readonly Stress[];
  readonly hazards: readonly Hazard[];
  readonly findings: readonly Finding[];
  readonly checks: readonly Check[];
  readonly economies?: readonly Economy[];
  readonly unnamed?: readonly Unnamed[];
}
export interface CircuitBlock {
  readonly kind: string;
  readonly title: string;
  readonly parts: readonly string[];
  readonly nets: readonly string[] | { readonly [role: string]: string };
  readonly purpose: string;
  readonly sums?: readonly BlockSum[];
  readonly unusual?: readonly string[];
  readonly if_it_fails?: readonly string[];
}
/** One sum over a block: what it tells, how, with which numbers, and what comes out. */
export interface BlockSum {
  readonly says: string;
  readonly formula: string;
  readonly numbers: string;
  readonly result: Amount;
  readonly source?: string;
}

export type Trouble = Told["Trouble"];
export type Fault = Told["Fault"];
export type DossierFile = Told["DossierFile"];
export type State = With<Told["State"], { document: { readonly [key: string]: Json } }>;
export type Shows = Told["Shows"];
export type Shown = With<Told["Shown"], { quick: AnalysisAnswer }>;
export type Acknowledged = With<Told["Acknowledged"], { state: State | null; shown: Shown | null }>;
export type HistoryEntry = Told["HistoryEntry"];
export type Beginning = Told["Beginning"];
export type AnalysisAnswer = With<Told["AnalysisAnswer"], { analysis: Analysis | null }>;

export type PhotoTold = Told["PhotoTold"];
export type TilePicture = Pick<PhotoTold, "width" | "height" | "levels">;
export type SideTold = With<Told["SideTold"], { side: Side }>;
export type PadTold = With<Told["PadTold"], { side: Side }>;
export type PlacedTold = With<Told["PlacedTold"], { side: Side; pads: readonly PadTold[] }>;
export type BoardTold = With<Told["BoardTold"], { sides: readonly SideTold[]; parts: readonly PlacedTold[] }>;
export type StrokeTold = Told["StrokeTold"];
export type ClassesTold = Told["ClassesTold"];
export type Probe = Told["ProbeTold"];
export type ProbePlan = Told["ProbePlanTold"];
export type Way = Told["WayTold"];
export type Distance = Told["DistanceTold"];
export type Followed = Told["Followed"];
export type PhoneTold = Told["PhoneTold"];
export type PhoneBoards = Told["PhoneBoards"];
export type PhoneBoard = PhoneBoards["boards"][number];

export type Job = With<Told["Job"], { result: Json }>;
export type CircuitPart = Told["PartTold"];
export type CircuitNet = Told["NetTold"];
export type UntoldPart = Told["UntoldPart"];
export type CircuitAnswer = With<Told["CircuitTold"], { blocks: readonly CircuitBlock[] }>;
export type WhatIfClaims = Told["WhatIfClaims"];
export type WhatIfAnswer = Told["WhatIfAnswer"];
export type WaveformAnswer = Told["WaveformAnswer"];
export type LogOffer = With<Told["LogOffer"], { row: { readonly [key: string]: Json } }>;
export type LogTold = With<Told["LogTold"], { offers: readonly LogOffer[] }>;
export type Understood = Told["Understood"];
export type KindTold = Told["KindWord"];
export type Vocabulary = Told["Vocabulary"];
export type PackageTold = Told["PackageWord"];
export type Still = Told["StillTold"];
export type Export = Told["ExportTold"];
export type ShelfTold = Told["ShelfTold"];
export type ShelfDossier = Told["ShelfDossier"];
export type ShelfFound = Told["ShelfFound"];
export type ShelfHit = Told["ShelfHit"];
export type ShelfLikeness = Told["ShelfLikeness"];
export type ShelfAlike = Told["ShelfAlike"];
export type ShelfRecords = Told["ShelfRecords"];
export type ShelfRecord = Told["ShelfRecord"];
export type Recording = Told["Recording"];
export type Compared = Told["Compared"];
export type Difference = Told["Difference"];
