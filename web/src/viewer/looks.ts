import type Feature from "ol/Feature";
import CircleStyle from "ol/style/Circle";
import Fill from "ol/style/Fill";
import RegularShape from "ol/style/RegularShape";
import Stroke from "ol/style/Stroke";
import Style from "ol/style/Style";
import Text from "ol/style/Text";
import { colourOf } from "./colours";

/** Layers over a photo, the lowest first. */
export type Look =
  | "beneath"
  | "copper"
  | "outline"
  | "bodies"
  | "pads"
  | "holes"
  | "strokes"
  | "lit"
  | "marks"
  | "sketch"
  | "cross";

export interface Looks {
  style(look: Look, feature: Feature): Style | Style[];
}

/** Styles of everything over a photo, in the page's colours. Photos are neither light nor dark, so lines over them have a rim. */
export function looksOf(place: HTMLElement, mirrored = false, hollow = false): Looks {
  const colour = (token: string, share = 1): string => colourOf(place, token, share);
  const rim = "rgba(255, 253, 248, 0.9)";
  const shade = "rgba(18, 20, 22, 0.75)";
  const accent = colour("--accent");
  // Words over a photo keep step with those of the page, which grow on very large screens.
  const font = `600 ${Math.round(parseFloat(getComputedStyle(place).fontSize) * 0.87)}px "Open Sans", sans-serif`;
  // Above tints of their own, found pieces of copper are outlined alone.
  const copper = hollow
    ? new Style({ stroke: new Stroke({ color: rim, width: 1.2 }) })
    : new Style({
        fill: new Fill({ color: colour("--copper", 0.45) }),
        stroke: new Stroke({ color: colour("--copper"), width: 1 }),
      });
  const beneath = new Style({
    stroke: new Stroke({ color: colour("--copper"), width: 1, lineDash: [4, 3] }),
  });
  const outline = new Style({ stroke: new Stroke({ color: accent, width: 1.5, lineDash: [10, 5] }) });
  const pad = new Style({
    stroke: new Stroke({ color: rim, width: 1.4 }),
    fill: new Fill({ color: "rgba(255, 253, 248, 0.12)" }),
  });
  const plated = new Style({
    stroke: new Stroke({ color: shade, width: 2 }),
    fill: new Fill({ color: "rgba(255, 253, 248, 0.5)" }),
  });
  const bare = new Style({ stroke: new Stroke({ color: shade, width: 1.4, lineDash: [3, 3] }) });
  const lit = new Style({
    fill: new Fill({ color: colour("--accent", 0.55) }),
    stroke: new Stroke({ color: rim, width: 1.5 }),
  });
  const through = new Style({
    fill: new Fill({ color: colour("--accent", 0.22) }),
    stroke: new Stroke({ color: accent, width: 1.5, lineDash: [5, 4] }),
  });
  const mark = [
    new Style({ image: new CircleStyle({ radius: 11, stroke: new Stroke({ color: rim, width: 5 }) }) }),
    new Style({
      image: new CircleStyle({
        radius: 11,
        stroke: new Stroke({ color: colour("--not-borne-out"), width: 2.5 }),
        fill: new Fill({ color: "rgba(168, 65, 47, 0.15)" }),
      }),
    }),
  ];
  const cross = [
    new Style({
      image: new RegularShape({
        points: 4,
        radius: 15,
        radius2: 0,
        stroke: new Stroke({ color: rim, width: 5 }),
      }),
    }),
    new Style({
      image: new RegularShape({
        points: 4,
        radius: 15,
        radius2: 0,
        stroke: new Stroke({ color: shade, width: 1.6 }),
      }),
    }),
  ];
  const label = (text: string, always: boolean): Text =>
    new Text({
      text,
      font,
      fill: new Fill({ color: "#fffdf8" }),
      stroke: new Stroke({ color: shade, width: 3.5 }),
      overflow: always,
      scale: mirrored ? [-1, 1] : 1,
    });
  const strokeColours: Readonly<Record<string, string>> = {
    "covered copper": colour("--copper", 0.75),
    "bare copper": colour("--accent", 0.75),
    cut: colour("--not-borne-out"),
    bridge: colour("--copper"),
  };

  return {
    style(look, feature) {
      switch (look) {
        case "copper":
          return copper;
        case "beneath":
          return beneath;
        case "outline":
          return outline;
        case "bodies":
          return new Style({
            stroke: new Stroke({ color: rim, width: 1.2, lineDash: [2, 2] }),
            text: label(String(feature.get("label") ?? ""), false),
          });
        case "pads":
          return pad;
        case "holes":
          return feature.get("plated") ? plated : bare;
        case "strokes": {
          const says = String(feature.get("says") ?? "");
          return new Style({
            stroke: new Stroke({
              color: strokeColours[says] ?? shade,
              width: says === "cut" || says === "bridge" ? 3 : 2,
              lineCap: "round",
              ...(says === "cut" ? { lineDash: [2, 4] } : {}),
            }),
          });
        }
        case "lit": {
          const far = feature.get("through") === true;
          if (feature.get("body") !== true) return far ? through : lit;
          return new Style({
            stroke: new Stroke({ color: accent, width: 2.5, ...(far ? { lineDash: [5, 4] } : {}) }),
            text: label(String(feature.get("label") ?? ""), true),
          });
        }
        case "marks":
          return mark;
        case "cross":
          return cross;
        case "sketch":
          if (feature.get("reached") === true) return lit;
          return [
            new Style({
              stroke: new Stroke({ color: rim, width: 4.5, lineCap: "round" }),
              image: new CircleStyle({ radius: 5.5, fill: new Fill({ color: rim }) }),
            }),
            new Style({
              stroke: new Stroke({ color: accent, width: 2.2, lineCap: "round" }),
              image: new CircleStyle({ radius: 4, fill: new Fill({ color: accent }) }),
            }),
          ];
        default: {
          const never: never = look;
          return never;
        }
      }
    },
  };
}
