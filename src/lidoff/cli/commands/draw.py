"""``lidoff draw``: the schematic of a dossier's circuit."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command, add_dossier

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from lidoff.schematic import Drawing

    Writer = Callable[[Drawing, Path, str | None], None]

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="where to: .svg, .pdf or .png (DIR/out/schematic.svg if not given)",
    )
    parser.add_argument(
        "--situation",
        metavar="NAME",
        default="",
        help="write the voltages in, as solved for this situation of the dossier",
    )
    parser.add_argument(
        "--currents", action="store_true", help="with --situation: write the currents in as well"
    )
    parser.add_argument(
        "--voltage-colours", action="store_true", help="with --situation: colour each net by its voltage"
    )
    parser.add_argument(
        "--loop-of",
        metavar="PART",
        default="",
        help="with --situation: light up the way that the current of a part takes, and dim the rest",
    )
    parser.add_argument(
        "--light-up", metavar="NAME", nargs="+", default=(), help="light up parts and nets, and dim the rest"
    )
    parser.add_argument("--blocks", action="store_true", help="tint what belongs together, with captions")
    parser.add_argument(
        "--misfit", action="store_true", help="tint the parts that the readings strain, with how much"
    )
    parser.add_argument("--every-part", action="store_true", help="draw repeated groups out in full")
    parser.add_argument("--zigzag", action="store_true", help="draw resistors as zigzags, not as rectangles")
    parser.add_argument("--theme", choices=("light", "dark", "print"), help="colours (light; print for .pdf)")


def run(arguments: Namespace) -> None:
    """Draw, write, and say where the drawing lies."""
    from pathlib import Path

    from lidoff.cli.dossiers import make_folder, out_folder
    from lidoff.cli.reading import read_dossier
    from lidoff.dossier import DrawingWish, analyse, circuit_of, drawing_of
    from lidoff.errors import CommandUnclear, DossierError

    for wanted, option in (
        (arguments.currents, "--currents"),
        (arguments.voltage_colours, "--voltage-colours"),
        (arguments.loop_of, "--loop-of"),
    ):
        if wanted and not arguments.situation:
            raise CommandUnclear(f"{option} needs a situation to solve", remedy="add --situation NAME")
    file = Path(arguments.output) if arguments.output else out_folder(arguments.dossier) / "schematic.svg"
    writer = _writer_for(file)
    dossier = read_dossier(arguments.dossier)
    circuit = circuit_of(dossier)
    if not circuit.parts:
        raise DossierError(
            "there is nothing to draw: the dossier has no parts yet",
            where=arguments.dossier,
            remedy="type the parts into dossier.toml, each with its pins and their nets",
        )
    wish = DrawingWish(
        situation=arguments.situation,
        currents=arguments.currents,
        voltage_colours=arguments.voltage_colours,
        loop_of=arguments.loop_of,
        light_up=tuple(arguments.light_up),
        blocks=arguments.blocks,
        misfit=arguments.misfit,
        every_part=arguments.every_part,
        zigzag=arguments.zigzag,
    )
    drawing = drawing_of(dossier, circuit, wish, lambda: analyse(dossier).misfit)
    make_folder(file.parent)
    writer(drawing, file, arguments.theme)
    print(file)


def _writer_for(file: Path) -> Writer:
    writers: dict[str, Writer] = {".svg": _write_svg, ".pdf": _write_pdf, ".png": _write_png}
    if file.suffix.lower() not in writers:
        from lidoff.errors import UnknownName

        raise UnknownName(
            f"the suffix {file.suffix!r} names no form of drawing"
            if file.suffix
            else "the file has no suffix",
            where=str(file),
            name=file.suffix,
            known=writers,
        )
    return writers[file.suffix.lower()]


def _write_svg(drawing: Drawing, file: Path, theme: str | None) -> None:
    from lidoff.report.writing import write_file

    write_file(file, drawing.to_svg(theme or "light").encode())


def _write_pdf(drawing: Drawing, file: Path, theme: str | None) -> None:
    drawing.to_pdf(file, theme or "print")


def _write_png(drawing: Drawing, file: Path, theme: str | None) -> None:
    drawing.to_png(file, theme=theme or "light")


COMMAND = Command(
    name="draw",
    summary="draw the schematic",
    description=(
        "Draws the circuit of a dossier: current falls down the page, signals run from left to right, and\n"
        "repeated groups are drawn once with their number. The same circuit always gives the same drawing."
    ),
    example="lidoff draw desk-fan -o desk-fan.svg --situation running",
    arguments=arguments,
    run=run,
)
