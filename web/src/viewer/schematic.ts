/** The drawing, taken in safely: what the server drew is read as XML, and only shapes and words are let onto the page. */

const SHAPES = new Set([
  "svg",
  "g",
  "path",
  "circle",
  "ellipse",
  "rect",
  "line",
  "polyline",
  "polygon",
  "text",
  "tspan",
  "title",
  "desc",
]);
const TELLS = new Set([
  "class",
  "id",
  "role",
  "aria-labelledby",
  "aria-label",
  "viewBox",
  "width",
  "height",
  "transform",
  "d",
  "x",
  "y",
  "x1",
  "y1",
  "x2",
  "y2",
  "cx",
  "cy",
  "r",
  "rx",
  "ry",
  "points",
  "dx",
  "dy",
  "text-anchor",
  "font-size",
  "font-weight",
  "fill-opacity",
  "fill-rule",
  "stroke-width",
  "stroke-dasharray",
  "dominant-baseline",
  "rotate",
]);
const SVG = "http://www.w3.org/2000/svg";

export function isLetIn(element: string): boolean {
  return SHAPES.has(element);
}

export function isTold(attribute: string): boolean {
  return TELLS.has(attribute) || attribute.startsWith("data-");
}

/** Reads a drawing and builds it anew from what may stand in one; null where the text is no drawing. */
export function readDrawing(text: string): SVGSVGElement | null {
  const told = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = told.documentElement;
  if (root.namespaceURI !== SVG || root.localName !== "svg") return null;
  return rebuilt(root) as SVGSVGElement | null;
}

function rebuilt(source: Element): SVGElement | null {
  if (source.namespaceURI !== SVG || !isLetIn(source.localName)) return null;
  const made = document.createElementNS(SVG, source.localName);
  for (const attribute of source.attributes)
    if (isTold(attribute.name)) made.setAttribute(attribute.name, attribute.value);
  for (const child of source.childNodes) {
    if (child.nodeType === Node.TEXT_NODE) made.append(document.createTextNode(child.textContent ?? ""));
    else if (child.nodeType === Node.ELEMENT_NODE) {
      const inner = rebuilt(child as Element);
      if (inner) made.append(inner);
    }
  }
  return made;
}

/** Lays a drawing into its place, which belongs to drawings alone. */
export function putDrawing(place: HTMLElement, drawing: SVGSVGElement): void {
  place.replaceChildren(drawing);
  const parts = [...drawing.querySelectorAll<SVGGElement>("g[data-part]")];
  // All are measured before anything is put in: each change would have the next one measured from the start.
  const boxes = parts.map((part) => part.getBBox());
  parts.forEach((part, number) => part.prepend(areaOf(boxes[number] ?? new DOMRect())));
  for (const wire of drawing.querySelectorAll<SVGElement>(".net-group .wire")) wire.before(reachOf(wire));
}

/** Tints grounds behind parts by the sort of difference that they stand in. */
export function tint(drawing: SVGSVGElement, sorts: ReadonlyMap<string, string>): void {
  for (const area of drawing.querySelectorAll<SVGElement>(".area[data-parts]")) {
    const first = (area.dataset["parts"] ?? "").split(/[ ,]+/)[0] ?? "";
    area.setAttribute("class", `area differs-${(sorts.get(first) ?? "otherwise").replaceAll(" ", "-")}`);
  }
}

/** Gives a part its name for the ear: what stands at it, as the eye reads it, then what it is. */
export function nameAloud(part: SVGElement): void {
  const texts = [...part.querySelectorAll("text")];
  const seen = texts.map((one) => one.textContent.trim()).filter(Boolean);
  const title = part.querySelector("title");
  const told = (title?.textContent ?? "").replace(`${part.dataset["part"] ?? ""}: `, "");
  part.setAttribute("aria-label", [seen.join(" "), told].filter(Boolean).join(", "));
  // Two names would be read out both; and words that stand apart for the eye stand apart for the ear.
  title?.remove();
  for (const text of texts) text.before(" ");
}

/** A wire is too thin for a hand to hit, so an unseen broad one lies under it. */
function reachOf(wire: SVGElement): SVGElement {
  const broad = wire.cloneNode() as SVGElement;
  broad.removeAttribute("id");
  broad.setAttribute("class", "reach");
  return broad;
}

/** A symbol is mostly empty; the hand means all of it. */
function areaOf(box: DOMRect): SVGElement {
  const area = document.createElementNS(SVG, "rect");
  const told = {
    x: box.x - 2,
    y: box.y - 2,
    width: box.width + 4,
    height: box.height + 4,
    class: "reach-area",
  };
  for (const [name, value] of Object.entries(told)) area.setAttribute(name, String(value));
  return area;
}

export interface PlacedPart {
  readonly reference: string;
  readonly element: SVGGElement;
  readonly x: number;
  readonly y: number;
}

/** Parts of a drawing with their middles, in the drawing's own units. */
export function partsOf(drawing: SVGSVGElement): readonly PlacedPart[] {
  return [...drawing.querySelectorAll<SVGGElement>("g[data-part]")].map((element) => {
    const box = element.getBBox();
    return {
      reference: element.dataset["part"] ?? "",
      element,
      x: box.x + box.width / 2,
      y: box.y + box.height / 2,
    };
  });
}

export type Direction = "ArrowLeft" | "ArrowRight" | "ArrowUp" | "ArrowDown";

/** The nearest part in a direction; a part straight ahead goes before one off to the side. */
export function neighbour<T extends { readonly x: number; readonly y: number }>(
  parts: readonly T[],
  from: T,
  direction: Direction,
): T | null {
  let best: T | null = null;
  let least = Infinity;
  for (const part of parts) {
    const [dx, dy] = [part.x - from.x, part.y - from.y];
    const ahead = { ArrowLeft: -dx, ArrowRight: dx, ArrowUp: -dy, ArrowDown: dy }[direction];
    const aside = Math.abs(direction === "ArrowLeft" || direction === "ArrowRight" ? dy : dx);
    const cost = ahead + 2 * aside;
    if (part !== from && ahead > 1 && cost < least) [best, least] = [part, cost];
  }
  return best;
}

/** Size of a grid step of the drawing, in its own units. */
export const STEP = 10;

/** Marks what is lit and what is held. */
export function light(
  drawing: SVGSVGElement,
  parts: ReadonlySet<string>,
  nets: ReadonlySet<string>,
  held: string | null,
): void {
  for (const element of drawing.querySelectorAll<SVGGElement>("g[data-part]")) {
    const reference = element.dataset["part"] ?? "";
    element.classList.toggle("lit", parts.has(reference));
    element.classList.toggle("held", held === reference);
  }
  for (const element of drawing.querySelectorAll<SVGGElement>("g[data-net]"))
    element.classList.toggle("lit", nets.has(element.dataset["net"] ?? ""));
}
