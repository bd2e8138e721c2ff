/**
 * Holds the edits that pages send against the server's description of itself, when types are checked; there is nothing here to run.
 * The description calls a field that has a default required, so an edit need not have all fields, but none of another type.
 * What a tracing found goes into the dossier as an edit of the server's own.
 */
import type { components } from "./schema";
import type { Edit } from "./types";

type Taken = components["schemas"]["EditAsked"]["edit"];
type Misfit<Kind extends Taken["kind"]> =
  Extract<Edit, { kind: Kind }> extends Partial<Omit<Extract<Taken, { kind: Kind }>, "edits" | "value">>
    ? never
    : Kind;
type Misfits = { [Kind in Taken["kind"]]: Misfit<Kind> }[Taken["kind"]];
type None<Names> = [Names] extends [never] ? true : Names;

export const EVERY_EDIT_FITS: None<Misfits> = true;
export const EVERY_KIND_IS_TAKEN: None<Exclude<Edit["kind"], Taken["kind"]>> = true;
export const EVERY_KIND_IS_KNOWN: None<Exclude<Taken["kind"], Edit["kind"] | "traced">> = true;
