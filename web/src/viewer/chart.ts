import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { lonely, marks, STEPS } from "../core/axes";
import { colourOf } from "./colours";

export interface Line {
  readonly title: string;
  readonly unit: string;
  readonly values: readonly (number | null)[];
}

const DASHES: readonly (readonly number[])[] = [[], [7, 4], [2, 3], [9, 3, 2, 3]];
const TONES = ["--borne-out", "--accent", "--supply", "--ground", "--ink"] as const;

/** A chart of lines over one shared x, in the page's own colours; lines differ by dashes as well as by colour. */
export function chart(
  place: HTMLElement,
  x: readonly number[],
  xTitle: string,
  lines: readonly Line[],
): () => void {
  const style = getComputedStyle(place);
  const colour = (token: string): string => colourOf(place, token);
  const font = `${Math.round(parseFloat(style.fontSize) * 0.85)}px "Open Sans", sans-serif`;
  const units = [...new Set(lines.map((line) => line.unit))];
  const axis = {
    stroke: colour("--quiet"),
    font,
    labelFont: font,
    grid: { stroke: colour("--hairline"), width: 1 },
    ticks: { stroke: colour("--hairline"), width: 1 },
  };
  const plot = new uPlot(
    {
      width: Math.max(280, place.clientWidth),
      height: 260,
      scales: { x: { time: false }, ...Object.fromEntries(units.map((unit) => [unit || "plain", {}])) },
      axes: [
        {
          ...axis,
          label: xTitle,
          incrs: [...STEPS],
          values: (_: uPlot, splits: number[], __: number, ___: number, step: number) =>
            marks(splits, step, ""),
        },
        ...units.map((unit, number) => ({
          ...axis,
          scale: unit || "plain",
          incrs: [...STEPS],
          values: (_: uPlot, splits: number[], __: number, ___: number, step: number) =>
            marks(splits, step, unit),
          side: (number % 2 ? 1 : 3) as 1 | 3,
          size: (_: uPlot, values: string[] | null) =>
            16 + 8 * Math.max(4, ...(values ?? []).map((value) => value.length)),
          grid: number ? { show: false } : axis.grid,
        })),
      ],
      series: [
        { label: xTitle },
        ...lines.map((line, number) => ({
          label: line.unit ? `${line.title} [${line.unit}]` : line.title,
          scale: line.unit || "plain",
          stroke: colour(TONES[number % TONES.length] ?? "--ink"),
          width: 1.6,
          dash: [...(DASHES[Math.floor(number / TONES.length + number) % DASHES.length] ?? [])],
          points: {
            show: true,
            size: 6,
            filter: (_: uPlot, place: number) => lonely(lines[place - 1]?.values ?? []),
          },
        })),
      ],
      cursor: { drag: { x: true, y: false } },
    },
    [x as number[], ...lines.map((line) => line.values as (number | null)[])],
    place,
  );
  const watch = new ResizeObserver(() =>
    plot.setSize({ width: Math.max(280, place.clientWidth), height: 260 }),
  );
  watch.observe(place);
  return () => {
    watch.disconnect();
    plot.destroy();
  };
}
