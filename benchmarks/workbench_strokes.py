"""How soon a stroke's new classes are seen: ``python -m benchmarks.workbench_strokes``.

Needs Chromium and the built pages. Invented dossiers with a traced board are served as ``lidoff bench`` does it, and a mouse
paints on the photo: from the release of the button until the end of the first frame that shows what all in view is taken for by
then. Promise: half a second, median of the strokes. Beside it stands in what time the side was made ready, once after a start.

Floor: learning and classing alone, in a process that does nothing else. The server takes the same stroke in meanwhile and works
the circuit out again. Where other work shares the machine, run it ahead of that (``chrt -r 10``), or the table tells of that.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from benchmarks.workbench_server import served

if TYPE_CHECKING:
    from playwright.sync_api import Page

__all__ = ["main"]

ROOT = Path(__file__).parents[1]
STROKES = 9
LIMIT_MS = 500.0
SHOWN = """() => {
    performance.clearMarks("lidoff.classes");
    window.released = 0;
    addEventListener("pointerup", () => (window.released = performance.now()), { once: true, capture: true });
    const marked = () => performance.getEntriesByName("lidoff.classes").some((one) => one.startTime > window.released);
    window.shown = new Promise((done, failed) => {
        setTimeout(() => failed(new Error("no classes came")), 20000);
        const look = () => requestAnimationFrame(
            window.released && marked() ? () => setTimeout(() => done(performance.now() - window.released)) : look);
        look();
    });
}"""
"""Looks at each frame whether classes asked for after the button's release were laid on the photo, then waits for the paint."""


def floor(demo: str, side: str) -> float:
    """Learning and classing of a stroke without a server or a page [ms]."""
    from lidoff.board import LAMINATE, Stroke, classes_in_view, learn_for_view, with_parts
    from lidoff.dossier import load_dossier
    from lidoff.dossier.side_in_hand import ready_side, side_in_hand

    folder = ROOT / "demos" / demo
    dossier = load_dossier(folder)
    hand = side_in_hand(dossier.traced[0], side, dossier.photos)
    ready = with_parts(ready_side(hand, folder), hand.parts)
    took = []
    for number in range(STROKES):
        strokes = (*hand.side.strokes, Stroke(says=LAMINATE, points=((6.0 + number, 6.0),)))
        begun = time.perf_counter()
        classes_in_view(ready, learn_for_view(ready, strokes), strokes, (0.0, 0.0, *hand.size))
        took.append(1e3 * (time.perf_counter() - begun))
    return statistics.median(took)


def drawn(page: Page, side: str, line: tuple[tuple[float, float], tuple[float, float]]) -> None:
    """Draw from one place to another, as shares of the photo's frame."""
    box = page.get_by_role("application", name=f"Photo of the {side}").bounding_box()
    assert box is not None
    first, last = ((box["x"] + x * box["width"], box["y"] + y * box["height"]) for x, y in line)
    page.mouse.move(*first)
    page.mouse.down()
    page.mouse.move(*last, steps=6)
    page.mouse.up()


def measure(page: Page, address: str, side: str) -> tuple[float, list[float]]:
    """Time until a side is ready, and of each stroke [ms]."""
    page.goto(address)
    page.goto(address.split("/enter")[0] + "/boards")
    page.get_by_role("group", name="Side").get_by_role("button", name=side, exact=True).click()
    page.get_by_role("application", name=f"Photo of the {side}").wait_for()
    time.sleep(5.0)  # what a start works out is over
    begun = time.perf_counter()
    page.get_by_role("button", name="say what is there", exact=True).click()
    page.get_by_role("group", name="What everything in view is taken for").get_by_role(
        "listitem"
    ).first.wait_for(timeout=120_000)
    ready = 1e3 * (time.perf_counter() - begun)
    page.get_by_label("What is there", exact=True).select_option("laminate")
    taken = []
    for number in range(STROKES):
        time.sleep(3.0)
        page.evaluate(SHOWN)
        across = 0.3 + 0.04 * number
        drawn(page, side, ((across, 0.45), (across + 0.03, 0.47)))
        taken.append(float(page.evaluate("window.shown")))
    return ready, taken


def main() -> None:
    """Print the table."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    if chromium is None:
        sys.exit("no Chromium on the PATH")
    print("stroke → classes painted       median   worst   alone   made ready [ms]")
    for demo, side in (("crumb-vacuum", "front"), ("insect-lure", "back")):
        alone = floor(demo, side)
        with tempfile.TemporaryDirectory() as temporary:
            folder = Path(temporary) / demo
            shutil.copytree(ROOT / "demos" / demo, folder)
            with served(folder) as address, sync_playwright() as playwright:
                browser = playwright.chromium.launch(
                    executable_path=chromium, args=["--no-sandbox", "--disable-gpu"]
                )
                page = browser.new_page(viewport={"width": 1440, "height": 900})
                ready, taken = measure(page, address, side)
                browser.close()
        median = statistics.median(taken)
        told = "" if median <= LIMIT_MS else f"   above {LIMIT_MS:.0f}"
        print(
            f"{demo + ', ' + side:30} {median:6.0f} {max(taken):7.0f} {alone:7.0f} {ready:12.0f}{told}",
            flush=True,
        )


if __name__ == "__main__":
    main()
