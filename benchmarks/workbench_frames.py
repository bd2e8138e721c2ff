"""How smoothly a photo moves under the hand: ``python -m benchmarks.workbench_frames``.

Needs Chromium and the built pages. A hand made of script drags a photo about and turns the wheel over it, one small move a
frame, and the time between frames, as the page's script is told of them, is printed: its median, the 95th of a hundred, the
longest, and the share of frames that came later than two of the screen's. Two photos: one of 24 megapixels of which nothing was
traced, and a demo's board with its copper, pads and parts over it.

Floor: the same number of frames of the same page while nothing moves. A browser without a graphics card draws every frame by
processor; where other work shares the machine, run it ahead of that (``chrt -r 10 python -m benchmarks.workbench_frames``), or
the table tells of the other work.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from benchmarks.workbench import large_photo
from benchmarks.workbench_server import served

if TYPE_CHECKING:
    from playwright.sync_api import Page

__all__ = ["main"]

FRAMES = 180
MOVED = 20
"""Frames after which the hand is away from where it began."""
SCREEN_MS = 1000 / 60
DEMO = Path(__file__).parent.parent / "demos" / "insect-lure"

MOVE = """async ([frames, what]) => {
    const surface = document.querySelector("[role=application] .ol-viewport");
    const box = surface.getBoundingClientRect();
    const middle = [box.x + box.width / 2, box.y + box.height / 2];
    const told = (x, y, more) => ({
        clientX: x, clientY: y, bubbles: true, cancelable: true, pointerId: 1, isPrimary: true, pointerType: "mouse", ...more,
    });
    const hand = (type, x, y, buttons, on = surface) =>
        on.dispatchEvent(new PointerEvent(type, told(x, y, { buttons, button: type === "pointermove" ? -1 : 0 })));
    const place = (number) => {
        const turn = (number / 60) * 2 * Math.PI;
        return [middle[0] + Math.sin(turn) * box.width * 0.25, middle[1] + Math.sin(2 * turn) * box.height * 0.2];
    };
    const acts = {
        rest: () => undefined,
        drag: (number) => hand("pointermove", ...place(number), 1, document),
        wheel: (number) => {
            if (number % 6 === 0)
                surface.dispatchEvent(new WheelEvent("wheel", told(...middle, { deltaY: number % 60 < 30 ? -120 : 120 })));
        },
    };
    if (what === "drag") hand("pointerdown", ...place(0), 1);
    const times = [];
    await new Promise((done) => {
        const frame = (now) => {
            times.push(now);
            if (times.length > frames) return done();
            acts[what](times.length);
            requestAnimationFrame(frame);
        };
        requestAnimationFrame(frame);
    });
    if (what === "drag") hand("pointerup", ...place(frames), 0, document);
    return times.slice(1).map((time, number) => time - times[number]);
}"""
"""Moves a hand over the photo, a step a frame, and tells the time between frames."""


def told(between: Sequence[float]) -> str:
    """Frame times as they are printed."""
    times = np.asarray(between)
    late = float((times > 2 * SCREEN_MS).mean())
    return f"{np.median(times):6.1f} {np.percentile(times, 95):6.1f} {times.max():6.1f} ms {late:6.1%} late"


def moved(page: Page, title: str) -> None:
    """Print the lines of one photo."""
    page.wait_for_selector("[role=application] .ol-viewport canvas", timeout=120_000)
    page.wait_for_timeout(4000)
    for _ in range(4):
        page.get_by_role("button", name="closer", exact=True).click()
        page.wait_for_timeout(300)
    page.evaluate(
        MOVE, [FRAMES, "drag"]
    )  # tiles are there from now on, as they are for a hand that looks round
    floor = np.median(page.evaluate(MOVE, [FRAMES, "rest"]))
    print(title)
    for what, words in (
        ("rest", "floor: nothing moves"),
        ("drag", "dragged about"),
        ("wheel", "zoomed by wheel"),
    ):
        times = page.evaluate(MOVE, [FRAMES, what])
        print(f"  {words:24} {told(times)}, {np.median(times) / floor:4.2f} of the floor")


def main() -> None:
    """Print the table."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    if chromium is None:
        sys.exit("no Chromium on the PATH")
    print(f"time between frames: median, 95th of a hundred, longest; a screen's frame is {SCREEN_MS:.1f} ms")
    with tempfile.TemporaryDirectory() as temporary, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        large = Path(temporary) / "large"
        (large / "photos").mkdir(parents=True)
        large_photo(large / "photos" / "board.jpg")
        (large / "dossier.toml").write_text(
            'format = 2\n[device]\ntitle = "A large photo"\n[boards.main]\nwidth = "60 mm"\nheight = "40 mm"\n'
            '[[photos]]\nfile = "photos/board.jpg"\nboard = "main"\nside = "front"\n',
            encoding="utf-8",
        )
        traced = Path(temporary) / "traced"
        shutil.copytree(DEMO, traced)
        for folder, title, side in (
            (large, "24 megapixels, nothing traced", "front"),
            (traced, "a demo's board, copper, pads and parts over it", "back"),
        ):
            with served(folder) as address:
                page = browser.new_page(viewport={"width": 1440, "height": 900})
                page.goto(address)
                page.goto(address.split("/enter")[0] + "/boards")
                page.get_by_role("group", name="Side").get_by_role("button", name=side, exact=True).click()
                moved(page, title)
                page.close()
        browser.close()


if __name__ == "__main__":
    main()
