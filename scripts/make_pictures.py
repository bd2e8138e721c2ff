"""Make the README's pictures from a demo: ``.venv/bin/python scripts/make_pictures.py``. Needs pdftoppm (poppler-utils)."""

from __future__ import annotations

import io
import subprocess
import tempfile
from pathlib import Path

from PIL import Image, ImageOps

from lidoff.dossier import analyse, load_dossier
from lidoff.report import stage_of, still_svg, stills_of, stills_png, story_of, write_report
from lidoff.schematic import DrawingOptions, draw

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "docs" / "pictures"
DEMO = ROOT / "demos" / "crumb-vacuum"
STILLS = ("sum-motor_power", "block-Q1", "budget-stalled", "verdicts")


def first_pages(pdf: Path, folder: Path, pages: tuple[int, ...]) -> Image.Image:
    """Chosen pages of a PDF side by side."""
    shown = []
    for page in pages:
        stem = folder / f"page{page}"
        subprocess.run(
            [
                "pdftoppm",
                "-r",
                "100",
                "-f",
                str(page),
                "-l",
                str(page),
                "-singlefile",
                "-png",
                str(pdf),
                str(stem),
            ],
            check=True,
        )
        shown.append(ImageOps.expand(Image.open(stem.with_suffix(".png")).convert("RGB"), 2, "#d9d4c7"))
    width = sum(image.width for image in shown) + 24 * (len(shown) - 1)
    sheet = Image.new("RGB", (width, shown[0].height), "white")
    left = 0
    for image in shown:
        sheet.paste(image, (left, 0))
        left += image.width + 24
    return sheet


def chosen_stills(names: tuple[str, ...]) -> Image.Image:
    """Stills of those names, two beside each other."""
    story = story_of(analyse(load_dossier(DEMO)), DEMO)
    stage = stage_of("wide")
    found = {still.name: still for still in stills_of(story)}
    pngs = stills_png([still_svg(found[name], stage) for name in names], stage, enlarged=0.5)
    shown = [ImageOps.expand(Image.open(io.BytesIO(png)).convert("RGB"), 2, "#d9d4c7") for png in pngs]
    width, height = shown[0].size
    sheet = Image.new("RGB", (2 * width + 20, -(-len(shown) // 2) * (height + 20) - 20), "white")
    for number, image in enumerate(shown):
        sheet.paste(image, (number % 2 * (width + 20), number // 2 * (height + 20)))
    return sheet


def main() -> None:
    """Write the pictures."""
    PICTURES.mkdir(exist_ok=True)
    analysis = analyse(load_dossier(DEMO))
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        write_report(analysis, folder, dossier_folder=DEMO)
        sheet = first_pages(folder / "report.pdf", folder, (1, 2))
        sheet.save(PICTURES / "report.png", optimize=True)
    chosen_stills(STILLS).save(PICTURES / "stills.png", optimize=True)
    drawing = draw(analysis.circuit, options=DrawingOptions())
    drawing.to_png(PICTURES / "schematic.png", 1600)


if __name__ == "__main__":
    main()
