import type { Edit, Json, Path } from "../api/types";

/** Puts what was typed at a path; an emptied field is taken out. */
export function setText(path: Path, typed: string, file?: string): Edit {
  const value = typed.trim();
  return { kind: "set", path, value: value === "" ? null : value, ...(file ? { file } : {}) };
}

/** Whether what a hand said on a photo means the same on whatever became of the board meanwhile: it adds, and counts nothing. */
export function standsAnywhere(edit: Edit): boolean {
  return ["stroke", "place", "hole", "beep", "wire"].includes(edit.kind);
}

export function setValue(path: Path, value: Json): Edit {
  return { kind: "set", path, value };
}

/** A named row from a filled form; what was left empty is left out. */
export function addRow(group: string, name: string, filled: { readonly [key: string]: Json }): Edit {
  const value = Object.fromEntries(Object.entries(filled).filter(([, told]) => told !== "" && told !== null));
  return { kind: "add", path: [group, name], value };
}
