import type { ClassesTold } from "../api/types";
import { tintIn, type Texture, type Tint } from "../core/classes";
import { colourOf } from "./colours";

/** Classes of a view, decoded: a number for each pixel, and where they lie [mm]. */
export interface ClassPicture {
  readonly numbers: ImageData;
  readonly says: readonly string[];
  readonly corner: readonly [number, number];
  readonly px_per_mm: number;
}

type Look = readonly [token: string, strong: number, weak: number, texture: Texture];
/**
 * Laminate takes most of a board, so it is tinted least; what lies beside the board is left as it is. Cuts and bridges are no
 * classes, and stand here for what a stroke says.
 */
const LOOKS: Readonly<Record<string, Look>> = {
  "covered copper": ["--copper", 0.58, 0.58, "even"],
  "bare copper": ["--class-bare", 0.8, 0.45, "rising"],
  laminate: ["--class-laminate", 0.26, 0.26, "even"],
  legend: ["--class-print", 0.75, 0.35, "level"],
  body: ["--class-body", 0.55, 0.25, "dots"],
  hole: ["--class-hole", 0.8, 0.55, "dots"],
  cut: ["--not-borne-out", 1, 0.2, "rising"],
  bridge: ["--copper", 1, 1, "even"],
};

export async function decoded(told: ClassesTold): Promise<ClassPicture> {
  const bytes = Uint8Array.from(atob(told.picture), (letter) => letter.charCodeAt(0));
  // The numbers are no colours: nothing may be matched to a screen.
  const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/png" }), {
    colorSpaceConversion: "none",
    premultiplyAlpha: "none",
  });
  const { context } = canvasOf(bitmap.width, bitmap.height);
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  return {
    numbers: context.getImageData(0, 0, told.width, told.height),
    says: told.classes.map((one) => one.says),
    corner: told.corner_mm,
    px_per_mm: told.px_per_mm,
  };
}

/** The picture in the page's colours. */
export function tinted(place: HTMLElement, picture: ClassPicture): HTMLCanvasElement {
  const { canvas, context } = canvasOf(picture.numbers.width, picture.numbers.height);
  const pixels = new ImageData(picture.numbers.data.slice(), picture.numbers.width);
  tintIn(
    pixels.data,
    pixels.width,
    picture.says.map((says) => tintOf(place, says)),
  );
  context.putImageData(pixels, 0, 0);
  return canvas;
}

/** One class alone, for the legend. */
export function swatch(canvas: HTMLCanvasElement, says: string): void {
  const context = canvas.getContext("2d");
  if (!context) return;
  const pixels = new ImageData(canvas.width, canvas.height);
  tintIn(pixels.data, pixels.width, [tintOf(canvas.parentElement ?? document.body, says)]);
  context.putImageData(pixels, 0, 0);
}

function tintOf(place: HTMLElement, says: string): Tint | null {
  const look = LOOKS[says];
  if (!look) return null;
  const [token, strong, weak, texture] = look;
  const [red = 0, green = 0, blue = 0] = (/\d+(\.\d+)?/g[Symbol.match](colourOf(place, token)) ?? []).map(
    Number,
  );
  return { colour: [red, green, blue], strong, weak, texture };
}

function canvasOf(
  width: number,
  height: number,
): { readonly canvas: HTMLCanvasElement; readonly context: CanvasRenderingContext2D } {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [width, height];
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (!context) throw new Error("this browser has no canvas");
  return { canvas, context };
}
