"""Speed of the workbench as a person meets it: ``python -m benchmarks.workbench``.

Needs Chromium and the built pages. A dossier of fifty parts is served as ``lidoff bench`` serves it, and a browser edits it:

- first paint: from the request for the page to its first words;
- drawing: from the key that makes the edit until drawing, nets and numbers of the new state are on the screen: the end of the
  first frame that shows them, median of the edits;
- photo: from the click that sends 24 megapixels until the first tile of it is on the page.

Floor: the same request for the server's bare state, which every edit costs at least. Where other work shares the machine, run
it ahead of that (``chrt -r 10 python -m benchmarks.workbench``), or the table tells of the other work.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from benchmarks.workbench_server import served

__all__ = ["fifty_parts", "main"]

EDITS = 31


WATCH = """(value) => {
    performance.clearMarks();
    performance.clearResourceTimings();
    let begun = 0;
    document.addEventListener("keydown", () => (begun = performance.now()), { once: true, capture: true });
    const shows = () => document.querySelector("g[data-part=R3]")?.textContent.includes(value)
        && performance.getEntriesByName("lidoff.quick").length > 0;
    window.painted = new Promise((done) => {
        const tell = () => done([performance.now() - begun, performance.getEntriesByType("resource").length]);
        const look = () => requestAnimationFrame(begun && shows() ? () => setTimeout(tell) : look);
        look();
    });
}"""
"""Looks at each frame whether the new value is in the drawing and the numbers are there, then waits for that to be painted."""


def fifty_parts() -> str:
    """Dossier of a USB lamp with twenty-four strings, each an LED and its resistor, and a switch."""
    lines = ["format = 2", 'ground = "gnd"', "[device]", 'title = "Lamp of fifty parts"']
    lines += ["[situations.on]", 'title = "switched on"', 'set = { S1 = "closed" }']
    lines += ["[parts.V1]", 'kind = "dc_supply"', 'value = "5 V"', 'pins = { plus = "usb", minus = "gnd" }']
    lines += ["[parts.S1]", 'kind = "switch"', 'pins = { 1 = "usb", 2 = "rail" }']
    for number in range(1, 25):
        value = 47 + 3 * number  # no two strings alike, so that each is drawn
        lines += [f"[parts.R{number}]", 'kind = "resistor"', f'value = "{value} Ω"']
        lines += [f'pins = {{ 1 = "rail", 2 = "anode_{number}" }}']
        lines += [f"[parts.LED{number}]", 'kind = "led"']
        lines += [f'pins = {{ anode = "anode_{number}", cathode = "gnd" }}']
    return "\n".join(lines) + "\n"


def large_photo(file: Path) -> None:
    """Write 6000 × 4000 pixels of something like a board: areas, edges, and the noise of a camera."""
    from PIL import Image

    rng = np.random.default_rng(24)
    areas = rng.integers(30, 200, (40, 60, 3)).astype(np.uint8).repeat(100, axis=0).repeat(100, axis=1)
    noise = rng.integers(0, 24, (4000, 6000, 1), dtype=np.uint8)
    Image.fromarray(areas + noise).save(file, quality=90)


def main() -> None:
    """Print the table."""
    from playwright.sync_api import Page, sync_playwright

    def until(page: Page, told: str) -> None:
        page.evaluate(
            f"new Promise((done) => {{ const look = () => ({told}) ? done() : requestAnimationFrame(look); look(); }})"
        )

    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    if chromium is None:
        sys.exit("no Chromium on the PATH")
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary) / "lamp"
        folder.mkdir()
        (folder / "dossier.toml").write_text(fifty_parts(), encoding="utf-8")
        photo = Path(temporary) / "board.jpg"
        large_photo(photo)
        with served(folder) as address, sync_playwright() as playwright:
            browser = playwright.chromium.launch(
                executable_path=chromium, args=["--no-sandbox", "--disable-gpu"]
            )
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.goto(address)
            page.goto(address.split("/enter")[0] + "/circuit")
            page.wait_for_selector("g[data-part=R24]", timeout=120_000)
            paint = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
            print(f"first paint                  {paint:7.0f} ms (at most 1000)")

            floor = page.evaluate(
                "async () => { const took = []; for (let n = 0; n < 9; n += 1) { const begun = performance.now();"
                " await (await fetch('/api/state')).text(); took.push(performance.now() - begun); }"
                " return took.sort((a, b) => a - b)[4]; }"
            )
            print(f"floor: the bare state        {floor:7.0f} ms")

            page.locator("g[data-part=R3]").click()
            field = page.get_by_label("resistance between the pins")
            field.wait_for()
            time.sleep(3)
            taken, requests = [], []
            for number in range(EDITS):
                value = f"{101 + 7 * number} Ω"
                field.fill(value)
                page.get_by_text("understood:").wait_for()
                time.sleep(0.4)
                page.evaluate(WATCH, value)
                field.press("Enter")
                took, asked = page.evaluate("window.painted")
                taken.append(took)
                requests.append(asked)
                time.sleep(1.2)
            median = statistics.median(taken)
            print(f"edit → drawing and numbers   {median:7.0f} ms (at most 150), worst {max(taken):.0f}")
            print(f"  requests until then        {statistics.median(requests):7.0f}")
            print(f"  as a multiple of the floor {median / floor:7.1f}")

            page.goto(address.split("/enter")[0] + "/boards")
            page.get_by_label("What board is it?").fill("main")
            page.get_by_label("Width in mm, front").fill("60")
            page.get_by_label("Height in mm").fill("40")
            page.get_by_role("button", name="Begin the board").click()
            page.get_by_text("Drop the photo of the front here").wait_for()
            page.evaluate("performance.clearResourceTimings(); window.begun = performance.now()")
            page.locator(".half input[type=file]").set_input_files(photo)
            until(
                page,
                "performance.getEntriesByType('resource').some((one) => one.name.includes('/tiles/') && one.responseEnd > 0)",
            )
            took = page.evaluate("performance.now() - window.begun")
            print(f"24 MP photo → on the page    {took:7.0f} ms (at most 2000)")
            browser.close()


if __name__ == "__main__":
    main()
