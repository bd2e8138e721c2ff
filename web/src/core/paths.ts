import type { Json, Path } from "../api/types";

export type Table = { readonly [key: string]: Json };

export function isTable(value: Json | undefined): value is Table {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** What stands at a path, or nothing. */
export function at(document: Json | undefined, path: Path): Json | undefined {
  let here = document;
  for (const key of path) {
    if (Array.isArray(here)) here = (here as readonly Json[])[Number(key)];
    else if (isTable(here)) here = here[String(key)];
    else return undefined;
  }
  return here;
}

export function table(document: Json | undefined, ...path: Path): Table {
  const found = at(document, path);
  return isTable(found) ? found : {};
}

export function list(document: Json | undefined, ...path: Path): readonly Json[] {
  const found = at(document, path);
  return Array.isArray(found) ? (found as readonly Json[]) : [];
}

export function text(document: Json | undefined, ...path: Path): string {
  const found = at(document, path);
  return typeof found === "string" ? found : typeof found === "number" ? String(found) : "";
}

/** Rows of a table of named entries, in their order. */
export function rows(document: Json | undefined, ...path: Path): readonly (readonly [string, Table])[] {
  return Object.entries(table(document, ...path)).map(
    ([name, value]) => [name, isTable(value) ? value : {}] as const,
  );
}

/** An address inside the page for something in the dossier: ["claims", "power"] gives "claims.power". */
export function anchor(path: Path): string {
  return path.map(String).join(".");
}
