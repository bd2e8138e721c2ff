"""Truth of a fabricated board for measuring: copper, flashes and drills from RS-274X and drill files.

Only what the files of plain two-layer boards hold: circle, rectangle, obround apertures, lines, arcs, regions, polarity. The
format is public: *Gerber Layer Format Specification*, Ucamco, revision 2022.02.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray


@dataclass
class Aperture:
    """Shape of a flash or pen: "C", "R" or "O", width and height [mm]."""

    shape: str
    width: float
    height: float


@dataclass
class Item:
    """One drawn thing: "line", "flash" or "region"; points in [mm], y upwards."""

    kind: str
    points: list[tuple[float, float]]
    aperture: Aperture | None
    dark: bool


@dataclass
class Layer:
    """All items of a file, in order."""

    items: list[Item] = field(default_factory=list)

    def points(self) -> NDArray[np.float64]:
        """Every place that is drawn."""
        return np.array([p for item in self.items for p in item.points])


def read_layer(path: Path) -> Layer:
    """Read one layer."""
    text = path.read_text(encoding="latin-1")
    unit, decimals = 1.0, (5, 5)
    apertures: dict[int, Aperture] = {}
    layer = Layer()
    state = {"x": 0.0, "y": 0.0, "mode": 1, "multi": True, "region": False, "dark": True, "draw": 2}
    tool: Aperture | None = None
    contour: list[tuple[float, float]] = []
    for block in re.findall(r"%[^%]*%|[^*%]+\*", text.replace("\n", "").replace("\r", "")):
        if block.startswith("%"):
            for command in block.strip("%").split("*"):
                if command.startswith("FS"):
                    found = re.match(r"FS[LT]?[AI]?X(\d)(\d)Y(\d)(\d)", command)
                    decimals = (int(found[2]), int(found[4])) if found else decimals
                elif command.startswith("MO"):
                    unit = 25.4 if "IN" in command else 1.0
                elif command.startswith("LP"):
                    state["dark"] = command[2] == "D"
                elif command.startswith("AD"):
                    found = re.match(r"ADD(\d+)([CRO]),([\d.X]+)", command)
                    if found:
                        sizes = [float(value) * unit for value in found[3].split("X")]
                        high = sizes[1] if found[2] != "C" and len(sizes) > 1 else sizes[0]
                        apertures[int(found[1])] = Aperture(found[2], sizes[0], high)
            continue
        word = block.rstrip("*")
        for code in re.findall(r"G(\d+)", word):
            number = int(code)
            if number in (1, 2, 3):
                state["mode"] = number
            elif number == 36:
                state["region"], contour = True, []
            elif number == 37:
                if len(contour) > 2:
                    layer.items.append(Item("region", contour, None, bool(state["dark"])))
                state["region"], contour = False, []
            elif number in (74, 75):
                state["multi"] = number == 75
        chosen = re.search(r"D(\d+)$", word)
        if chosen and int(chosen[1]) >= 10:
            tool = apertures[int(chosen[1])]
            continue
        if chosen:
            state["draw"] = int(chosen[1])
        values = dict(re.findall(r"([XYIJ])([+-]?\d+)", word))
        if not values and not chosen:
            continue
        scale_x, scale_y = unit / 10 ** decimals[0], unit / 10 ** decimals[1]
        x = int(values["X"]) * scale_x if "X" in values else float(state["x"])
        y = int(values["Y"]) * scale_y if "Y" in values else float(state["y"])
        start = (float(state["x"]), float(state["y"]))
        if state["draw"] == 1 and (values or chosen):
            path_points = [start, (x, y)]
            if state["mode"] in (2, 3) and ("I" in values or "J" in values):
                offset = (int(values.get("I", 0)) * scale_x, int(values.get("J", 0)) * scale_y)
                path_points = _arc(start, (x, y), offset, state["mode"] == 2, bool(state["multi"]))
            if state["region"]:
                contour.extend(path_points if not contour else path_points[1:])
            else:
                layer.items.append(Item("line", path_points, tool, bool(state["dark"])))
        elif state["draw"] == 2 and state["region"]:
            if len(contour) > 2:
                layer.items.append(Item("region", contour, None, bool(state["dark"])))
            contour = []
        elif state["draw"] == 3 and values:
            layer.items.append(Item("flash", [(x, y)], tool, bool(state["dark"])))
        state["x"], state["y"] = x, y
    return layer


def _arc(
    start: tuple[float, float],
    end: tuple[float, float],
    offset: tuple[float, float],
    clockwise: bool,
    multi: bool,
) -> list[tuple[float, float]]:
    candidates = [offset]
    if not multi:  # one quadrant: the offsets carry no sign
        candidates = [(sx * abs(offset[0]), sy * abs(offset[1])) for sx in (1, -1) for sy in (1, -1)]
    best: list[tuple[float, float]] = []
    best_error = math.inf
    for dx, dy in candidates:
        centre = (start[0] + dx, start[1] + dy)
        radius = math.hypot(dx, dy)
        error = abs(math.dist(centre, end) - radius)
        first = math.atan2(start[1] - centre[1], start[0] - centre[0])
        last = math.atan2(end[1] - centre[1], end[0] - centre[0])
        sweep = (first - last) % (2 * math.pi) if clockwise else (last - first) % (2 * math.pi)
        if sweep < 1e-9:
            sweep = 2 * math.pi if multi else 0.0
        if not multi and sweep > math.pi / 2 + 1e-3:
            error += 1.0
        if error < best_error:
            count = max(2, math.ceil(sweep / 0.15) + 1)
            angles = first + np.linspace(0, -sweep if clockwise else sweep, count)
            best = [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]
            best_error = error
    return best


@dataclass
class Frame:
    """Where the board frame lies in the files: left and top [mm], size [mm]."""

    left: float
    top: float
    size: tuple[float, float]

    def place(self, point: tuple[float, float]) -> tuple[float, float]:
        """Board frame, y downwards."""
        return point[0] - self.left, self.top - point[1]


def frame_of(outline: Layer) -> Frame:
    """Frame from the outline's middle lines."""
    points = outline.points()
    low, high = points.min(axis=0), points.max(axis=0)
    return Frame(float(low[0]), float(high[1]), (float(high[0] - low[0]), float(high[1] - low[1])))


def raster(
    layer: Layer, frame: Frame, px_per_mm: float, drills: list[tuple[float, float, float, bool]]
) -> NDArray[np.bool_]:
    """Copper of a layer with the drills taken out; shape of the board frame's raster."""
    import cv2

    fine = 2
    scale = px_per_mm * fine
    shape = (round(frame.size[1] * px_per_mm) * fine, round(frame.size[0] * px_per_mm) * fine)
    canvas = np.zeros(shape, np.uint8)

    def pixels(points: list[tuple[float, float]]) -> NDArray[np.int32]:
        return np.round((np.array([frame.place(p) for p in points]) * scale - 0.5) * 16).astype(np.int32)

    for item in layer.items:
        value = [1 if item.dark else 0]
        if item.kind == "region":
            cv2.fillPoly(canvas, [pixels(item.points)], value, cv2.LINE_8, 4)
        elif item.kind == "line" and item.aperture:
            width = max(item.aperture.width, 0.01)
            cv2.polylines(
                canvas, [pixels(item.points)], False, value, max(1, round(width * scale)), cv2.LINE_8, 4
            )
        elif item.aperture:
            x, y = item.points[0]
            w, h = item.aperture.width / 2, item.aperture.height / 2
            if item.aperture.shape == "C":
                centre = pixels([(x, y)])[0]
                cv2.circle(
                    canvas, (int(centre[0]), int(centre[1])), round(w * scale * 16), value, -1, cv2.LINE_8, 4
                )
            elif item.aperture.shape == "R":
                box = [(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)]
                cv2.fillPoly(canvas, [pixels(box)], value, cv2.LINE_8, 4)
            else:
                short = min(w, h)
                ends = [(x - w + short, y - h + short), (x + w - short, y + h - short)]
                cv2.polylines(
                    canvas, [pixels(ends)], False, value, max(1, round(2 * short * scale)), cv2.LINE_8, 4
                )
    for x, y, diameter, _ in drills:
        column, row = (int(v * 16) for v in (np.array([x, y]) * scale - 0.5))
        cv2.circle(canvas, (column, row), round(diameter / 2 * scale * 16), [0], -1, cv2.LINE_8, 4)
    blocks = canvas.reshape(shape[0] // fine, fine, shape[1] // fine, fine).mean(axis=(1, 3))
    return np.asarray(blocks >= 0.5)


def read_drills(path: Path, frame: Frame, plated: bool) -> list[tuple[float, float, float, bool]]:
    """Drills as (x, y, diameter, plated) in the board frame [mm]; a slot gives its two ends."""
    tools: dict[int, float] = {}
    found: list[tuple[float, float, float, bool]] = []
    unit, tool, x, y = 1.0, 0.0, 0.0, 0.0
    for line in path.read_text(encoding="latin-1").splitlines():
        if line.startswith("INCH"):
            unit = 25.4
        define = re.match(r"T(\d+)C([\d.]+)", line)
        if define:
            tools[int(define[1])] = float(define[2]) * unit
            continue
        pick = re.match(r"T(\d+)$", line.strip())
        if pick:
            tool = tools.get(int(pick[1]), 0.0)
            continue
        for part in line.split("G85"):
            values = dict(re.findall(r"([XY])([+-]?[\d.]+)", part))
            if not values:
                continue
            # Without a point the numbers hold three decimals, leading zeros kept.
            x = (
                (float(values["X"]) if "." in values["X"] else int(values["X"]) / 1000) * unit
                if "X" in values
                else x
            )
            y = (
                (float(values["Y"]) if "." in values["Y"] else int(values["Y"]) / 1000) * unit
                if "Y" in values
                else y
            )
            found.append((*frame.place((x, y)), tool, plated))
    return found
