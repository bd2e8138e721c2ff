import Feature from "ol/Feature";
import Map from "ol/Map";
import type MapBrowserEvent from "ol/MapBrowserEvent";
import View from "ol/View";
import { containsCoordinate, getCenter } from "ol/extent";
import Circle from "ol/geom/Circle";
import LineString from "ol/geom/LineString";
import PointShape from "ol/geom/Point";
import Polygon from "ol/geom/Polygon";
import DoubleClickZoom from "ol/interaction/DoubleClickZoom";
import MouseWheelZoom from "ol/interaction/MouseWheelZoom";
import PinchZoom from "ol/interaction/PinchZoom";
import PointerInteraction from "ol/interaction/Pointer";
import TileLayer from "ol/layer/Tile";
import VectorLayer from "ol/layer/Vector";
import Projection from "ol/proj/Projection";
import TileImage from "ol/source/TileImage";
import VectorSource from "ol/source/Vector";
import { getRenderPixel } from "ol/render";
import type RenderEvent from "ol/render/Event";
import TileGrid from "ol/tilegrid/TileGrid";
import type { BoardTold, Point, Side, SideTold, TilePicture } from "../api/types";
import { otherSide } from "../core/hits";
import type { Lit } from "../core/selection";
import type { Sketch } from "../core/tools";
import { looksOf, type Look, type Looks } from "./looks";
import { type ClassPicture, tinted } from "./tints";

const TILE_PX = 256;

/** A picture in tiles, laid on the plane: where tiles come from, and how long a pixel is in the plane's unit. */
export interface Plane extends TilePicture {
  readonly address: string;
  readonly unit_per_px: number;
}

/** What the page wants to hear of the hand. Places are in the plane's unit, y down. */
export interface Hooks {
  /** Whether a drag now draws; else it moves the picture. */
  draws(): boolean;
  moved(at: Point | null): void;
  pointed(at: Point): void;
  drawn(line: readonly Point[]): void;
  sketching(line: readonly Point[]): void;
  /** The picture rests: left, top, right and lower edge of what is in view. */
  rested(view: readonly [number, number, number, number]): void;
}

/** A map whose picture may be shown as in a mirror: events are taken from the mirrored place. */
class MirrorMap extends Map {
  mirrored = false;
  override getEventPixel(event: UIEvent | { clientX: number; clientY: number }): number[] {
    const [x = 0, y = 0] = super.getEventPixel(event);
    return this.mirrored ? [(this.getSize()?.[0] ?? 0) - x, y] : [x, y];
  }
}

const inPlane = (coordinate: readonly number[]): Point => [coordinate[0] ?? 0, -(coordinate[1] ?? 0)];
const inMap = ([x, y]: Point): number[] => [x, -y];
const ringInMap = (points: readonly Point[]): number[][] => points.map(inMap);

/** One surface with a photo and what was traced over it. Knows neither dossier nor page. */
export class PhotoSurface {
  readonly #map: MirrorMap;
  readonly #target: HTMLElement;
  readonly #pictures = {
    main: new TileLayer<TileImage>(),
    through: new TileLayer<TileImage>({ visible: false }),
  };
  readonly #layers: Record<Look, VectorLayer<VectorSource>>;
  #looks: Looks;
  #told: BoardTold | null = null;
  #side: Side = "front";
  #cross: Point | null = null;
  #addresses = "";
  #fitted = "";
  #classes: ClassPicture | null = null;
  #tints: HTMLCanvasElement | null = null;
  #fresh = false;

  constructor(
    target: HTMLElement,
    private readonly hooks: Hooks,
  ) {
    this.#target = target;
    this.#looks = looksOf(target);
    const layer = (look: Look): VectorLayer<VectorSource> =>
      new VectorLayer({
        source: new VectorSource(),
        style: (feature) => this.#looks.style(look, feature as Feature),
        updateWhileInteracting: true,
      });
    this.#layers = {
      beneath: layer("beneath"),
      copper: layer("copper"),
      outline: layer("outline"),
      bodies: layer("bodies"),
      pads: layer("pads"),
      holes: layer("holes"),
      strokes: layer("strokes"),
      lit: layer("lit"),
      marks: layer("marks"),
      sketch: layer("sketch"),
      cross: layer("cross"),
    };
    this.#map = new MirrorMap({
      target,
      controls: [],
      interactions: [
        new DoubleClickZoom({ duration: reducedMotion() ? 0 : 200 }),
        new MouseWheelZoom({ duration: reducedMotion() ? 0 : 120, constrainResolution: false }),
        new PinchZoom({ duration: 0 }),
        this.#hand(),
      ],
      layers: [this.#pictures.main, this.#pictures.through, ...Object.values(this.#layers)],
    });
    this.#pictures.main.on("postrender", (event) => this.#drawTints(event));
    this.#map.on("moveend", () => {
      const [left = 0, bottom = 0, right = 0, top = 0] = this.#map.getView().calculateExtent();
      this.hooks.rested([left, -top, right, -bottom]);
    });
    this.#map.on("click", (event) => this.hooks.pointed(inPlane(event.coordinate)));
    this.#map.on("pointermove", (event) => event.dragging || this.hooks.moved(inPlane(event.coordinate)));
    target.addEventListener("pointerleave", this.#left);
  }

  readonly #left = (): void => this.hooks.moved(null);

  destroy(): void {
    this.#target.removeEventListener("pointerleave", this.#left);
    this.#map.setTarget(undefined);
    this.#map.dispose();
  }

  /** One finger or the mouse: draws where the tool wants that, else moves the picture. */
  #hand(): PointerInteraction {
    let line: Point[] | null = null;
    let last: readonly number[] = [0, 0];
    const hand: PointerInteraction = new PointerInteraction({
      handleDownEvent: (event: MapBrowserEvent) => {
        if (hand.getPointerCount() > 1) return false;
        last = event.pixel;
        const primary = event.originalEvent instanceof PointerEvent && event.originalEvent.button === 0;
        line = primary && this.hooks.draws() ? [inPlane(event.coordinate)] : null;
        return true;
      },
      handleDragEvent: (event: MapBrowserEvent) => {
        if (line && hand.getPointerCount() === 1) {
          line.push(inPlane(event.coordinate));
          this.hooks.sketching(line);
          return;
        }
        line = null;
        this.#moveBy([event.pixel[0] ?? 0, event.pixel[1] ?? 0], last);
        last = event.pixel;
      },
      handleUpEvent: () => {
        if (line && line.length > 1) this.hooks.drawn(line);
        line = null;
        return false;
      },
    });
    return hand;
  }

  #moveBy([x, y]: readonly [number, number], from: readonly number[]): void {
    const view = this.#map.getView();
    const resolution = view.getResolution() ?? 1;
    view.adjustCenter([-(x - (from[0] ?? 0)) * resolution, (y - (from[1] ?? 0)) * resolution]);
  }

  /** Lays a picture down; a second one may lie over it, to be seen through. */
  show(main: Plane | null, through: Plane | null): void {
    const addresses = JSON.stringify([main, through]);
    if (addresses === this.#addresses) return;
    this.#addresses = addresses;
    // The last tiles of a row reach beyond the picture; what they hold there is no part of it.
    this.#pictures.main.setSource(main ? tiles(main) : null);
    this.#pictures.main.setExtent(main ? extentOf(main) : undefined);
    this.#pictures.through.setSource(through ? tiles(through) : null);
    this.#pictures.through.setExtent(through ? extentOf(through) : undefined);
    if (!main) return;
    const extent = extentOf(main);
    const size = `${extent.map((edge) => edge.toFixed(1)).join(" ")}`;
    if (size === this.#fitted) return;
    this.#fitted = size;
    const projection = new Projection({ code: "plane", units: "pixels", extent });
    this.#map.setView(
      new View({
        projection,
        center: getCenter(extent),
        extent: grown(extent),
        showFullExtent: true,
        constrainOnlyCenter: true,
        minResolution: main.unit_per_px / 8,
        maxResolution: main.unit_per_px * 2 ** main.levels,
        resolution: main.unit_per_px,
        constrainResolution: false,
        enableRotation: false,
      }),
    );
    this.fit();
  }

  fit(): void {
    this.#map.updateSize();
    const extent = this.#map.getView().getProjection().getExtent() as number[] | null;
    if (extent) this.#map.getView().fit(extent, { padding: [16, 16, 16, 16] });
  }

  /** Shares of the two pictures: 0 shows the first alone, 1 the second. */
  fade(share: number): void {
    this.#pictures.through.setVisible(share > 0);
    this.#pictures.through.setOpacity(share);
    this.#layers.beneath.setVisible(share > 0 && this.#layers.copper.getVisible());
    this.#layers.beneath.setOpacity(share);
  }

  mirror(on: boolean): void {
    this.#map.mirrored = on;
    this.#target.style.transform = on ? "scaleX(-1)" : "";
    this.#looks = looksOf(this.#target, on, this.#classes !== null);
    for (const layer of Object.values(this.#layers)) layer.changed();
  }

  /** Fresh colours, after the ground was changed. */
  repaint(): void {
    this.mirror(this.#map.mirrored);
    this.#tints = this.#classes && tinted(this.#target, this.#classes);
    this.#map.render();
  }

  /** Lays what the pixels are taken for over the photo, below all that was traced; copper is then outlined alone. */
  tint(classes: ClassPicture | null): void {
    if (classes === this.#classes) return;
    const copperChanges = (classes === null) !== (this.#classes === null);
    this.#classes = classes;
    this.#tints = classes && tinted(this.#target, classes);
    this.#fresh = classes !== null;
    if (copperChanges) this.mirror(this.#map.mirrored);
    this.#map.render();
  }

  #drawTints(event: RenderEvent): void {
    const context = event.context;
    if (!this.#tints || !this.#classes || !(context instanceof CanvasRenderingContext2D)) return;
    const { corner, px_per_mm, numbers } = this.#classes;
    const across = (at: Point): number[] =>
      getRenderPixel(event, this.#map.getPixelFromCoordinate(inMap(at)));
    const [left = 0, top = 0] = across(corner);
    const [right = 0, lower = 0] = across([
      corner[0] + numbers.width / px_per_mm,
      corner[1] + numbers.height / px_per_mm,
    ]);
    context.drawImage(this.#tints, left, top, right - left, lower - top);
    if (this.#fresh) performance.mark("lidoff.classes");
    this.#fresh = false;
  }

  visible(looks: Readonly<Partial<Record<Look, boolean>>>): void {
    for (const [look, on] of Object.entries(looks)) this.#layers[look as Look].setVisible(on);
  }

  /** Draws what was traced on a side. */
  trace(told: BoardTold | null, side: Side): void {
    if (told === this.#told && side === this.#side) return;
    this.#told = told;
    this.#side = side;
    const here = told?.sides.find((one) => one.side === side);
    const there = told?.sides.find((one) => one.side === otherSide(side));
    this.#fill("copper", copper(here));
    this.#fill("beneath", copper(there));
    this.#fill(
      "outline",
      told?.outline_mm.length ? [new Feature(new Polygon([ringInMap(told.outline_mm)]))] : [],
    );
    const all = told?.parts ?? [];
    const parts = all.filter((part) => part.side === side);
    const padsHere = all.flatMap((part) => part.pads.filter((pad) => pad.side === side));
    this.#fill(
      "bodies",
      parts.flatMap((part) =>
        part.body_mm.length ? [named(new Polygon([ringInMap(part.body_mm)]), { label: part.reference })] : [],
      ),
    );
    this.#fill(
      "pads",
      padsHere.map((pad) => named(new Polygon([ringInMap(pad.corners_mm)]), { net: pad.net })),
    );
    this.#fill(
      "holes",
      (told?.holes ?? []).map((hole) =>
        named(new Circle(inMap(hole.at_mm), hole.diameter_mm / 2), { plated: hole.plated }),
      ),
    );
    this.#fill(
      "strokes",
      (here?.strokes ?? []).map((stroke) =>
        named(line(stroke.points_mm), { says: stroke.says, width: stroke.width_mm }),
      ),
    );
    this.#fill(
      "marks",
      (told?.contradictions ?? []).flatMap((one) =>
        one.at_mm.map((at) => named(new PointShape(inMap(at)), { what: one.what })),
      ),
    );
  }

  /** Lights things up: on the side in view in full, those on the other side as if seen through the board. */
  light(lit: Lit): void {
    const told = this.#told;
    if (!told) return this.#fill("lit", []);
    const pieces = told.sides.flatMap((side) =>
      side.copper
        .filter((piece) => piece.net && lit.nets.has(piece.net))
        .map((piece) =>
          named(polygon(piece.outer_mm, piece.holes_mm), { through: side.side !== this.#side }),
        ),
    );
    const pads = told.parts.flatMap((part) =>
      part.pads
        .filter((pad) => (pad.net && lit.nets.has(pad.net)) || lit.parts.has(part.reference))
        .map((pad) => named(new Polygon([ringInMap(pad.corners_mm)]), { through: pad.side !== this.#side })),
    );
    const bodies = told.parts
      .filter((part) => lit.parts.has(part.reference) && part.body_mm.length)
      .map((part) =>
        named(new Polygon([ringInMap(part.body_mm)]), {
          through: part.side !== this.#side,
          label: part.reference,
          body: true,
        }),
      );
    const holes = told.holes
      .filter((hole) => hole.net && lit.nets.has(hole.net))
      .map((hole) => named(new Circle(inMap(hole.at_mm), hole.diameter_mm / 2 + 0.15), {}));
    return this.#fill("lit", [...pieces, ...pads, ...holes, ...bodies]);
  }

  /** What is being drawn or measured. */
  sketch({ points, closed, width_mm }: Sketch, rings: readonly (readonly Point[])[] = []): void {
    const features = points.map((at) => named(new PointShape(inMap(at)), {}));
    if (points.length > 1)
      features.push(named(closed ? new Polygon([ringInMap(points)]) : line(points), { width: width_mm }));
    for (const ring of rings)
      if (ring.length > 2) features.push(named(new Polygon([ringInMap(ring)]), { reached: true }));
    this.#fill("sketch", features);
  }

  /** Moves the keyboard's cross by pixels of the screen; the picture follows where it would leave it. */
  step(dx: number, dy: number): void {
    const view = this.#map.getView();
    if (!view.isDef()) return; // no picture lies here yet
    const resolution = view.getResolution() ?? 1;
    const [x, y] = this.#cross ?? inPlane(view.getCenter() ?? [0, 0]);
    const way = this.#map.mirrored ? -1 : 1;
    this.#cross = [x + dx * way * resolution, y + dy * resolution];
    this.#fill("cross", [new Feature(new PointShape(inMap(this.#cross)))]);
    if (!containsCoordinate(view.calculateExtent(), inMap(this.#cross))) view.setCenter(inMap(this.#cross));
    this.hooks.moved(this.#cross);
  }

  /** Brings a place into view and sets the cross on it. */
  seek(at: Point): void {
    this.#cross = at;
    this.#fill("cross", [new Feature(new PointShape(inMap(at)))]);
    this.goTo(at);
  }

  pointAtCross(): void {
    if (this.#cross) this.hooks.pointed(this.#cross);
    else this.step(0, 0);
  }

  dropCross(): void {
    this.#cross = null;
    this.#fill("cross", []);
  }

  zoom(by: number): void {
    const view = this.#map.getView();
    if (!view.isDef()) return;
    if (this.#cross) view.setCenter(inMap(this.#cross));
    view.animate({ zoom: (view.getZoom() ?? 0) + by, duration: reducedMotion() ? 0 : 150 });
  }

  goTo(at: Point): void {
    const view = this.#map.getView();
    if (!view.isDef()) return;
    const close = Math.min(view.getResolution() ?? 1, (view.getMinResolution() || 0.01) * 24);
    if (!containsCoordinate(view.calculateExtent(), inMap(at)) || close < (view.getResolution() ?? 1))
      view.animate({ center: inMap(at), resolution: close, duration: reducedMotion() ? 0 : 250 });
  }

  /** Length of a pixel of the screen in the plane's unit, for how near a click must be. */
  get unitPerScreenPx(): number {
    return this.#map.getView().getResolution() ?? 1;
  }

  #fill(look: Look, features: Feature[]): void {
    const source = this.#layers[look].getSource();
    source?.clear(true);
    source?.addFeatures(features);
  }
}

function copper(side: SideTold | undefined): Feature[] {
  return (side?.copper ?? []).map((piece) =>
    named(polygon(piece.outer_mm, piece.holes_mm), { net: piece.net }),
  );
}

function polygon(outer: readonly Point[], openings: readonly (readonly Point[])[]): Polygon {
  return new Polygon([ringInMap(outer), ...openings.map(ringInMap)]);
}

function line(points: readonly Point[]): LineString {
  const places = ringInMap(points);
  return new LineString(places.length === 1 ? [...places, ...places] : places);
}

function named(
  geometry: Polygon | LineString | Circle | PointShape,
  told: Readonly<Record<string, unknown>>,
): Feature {
  return new Feature({ geometry, ...told });
}

function extentOf(plane: Plane): number[] {
  return [0, -plane.height * plane.unit_per_px, plane.width * plane.unit_per_px, 0];
}

function tiles(plane: Plane): TileImage {
  const extent = extentOf(plane);
  const resolutions = Array.from(
    { length: plane.levels },
    (_, level) => plane.unit_per_px * 2 ** (plane.levels - 1 - level),
  );
  return new TileImage({
    projection: new Projection({ code: "plane", units: "pixels", extent }),
    tileGrid: new TileGrid({ extent, origin: [0, 0], resolutions, tileSize: TILE_PX }),
    tileUrlFunction: ([z = 0, x = 0, y = 0]) =>
      plane.address.replace("{z}", String(z)).replace("{x}", String(x)).replace("{y}", String(y)),
    transition: 0,
    wrapX: false,
  });
}

function grown([left = 0, bottom = 0, right = 0, top = 0]: readonly number[]): number[] {
  const by = Math.max(right - left, top - bottom) / 2;
  return [left - by, bottom - by, right + by, top + by];
}

function reducedMotion(): boolean {
  return window.matchMedia("(prefers-reduced-motion: reduce)").matches;
}
