/** How a drawing is to be taken away. */
export interface DrawingWish {
  readonly format: string;
  readonly situation: string;
  readonly theme: string;
  readonly width: string;
  readonly ticked: Readonly<Record<string, boolean>>;
}

const LEAST_PX = 16;
const MOST_PX = 20_000;

/** Width of a picture as typed, in pixels; nothing where it is none. */
export function pixels(typed: string): number | null {
  const count = Number(typed.trim().replace(/\s*(px|pixels?)$/, ""));
  return Number.isInteger(count) && count >= LEAST_PX && count <= MOST_PX ? count : null;
}

/** Address of the drawing as wished; what is left as usual is left out. */
export function drawingAddress(wish: DrawingWish): string {
  const told = new URLSearchParams();
  if (wish.situation) told.set("situation", wish.situation);
  if (wish.theme) told.set("theme", wish.theme);
  const width = pixels(wish.width);
  if (wish.format === "png" && width !== null) told.set("width", String(width));
  for (const [key, on] of Object.entries(wish.ticked)) if (on) told.set(key, "true");
  const query = told.toString();
  return `/api/exports/schematic.${wish.format}${query ? `?${query}` : ""}`;
}

/** Address of the stills as wished. */
export function stillsAddress(size: string, dark: boolean, transparent: boolean): string {
  const told = new URLSearchParams({ size });
  if (dark) told.set("dark", "true");
  if (transparent) told.set("transparent", "true");
  return `/api/exports/stills.zip?${told}`;
}
