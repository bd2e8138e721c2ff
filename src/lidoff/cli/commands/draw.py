"""``lidoff draw``: the schematic of a dossier's circuit."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command, add_dossier

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from lidoff.circuit import Circuit, OperatingPoint
    from lidoff.dossier import Dossier
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
        help="write the voltages in, as solved for this situation of the dossier",
    )
    parser.add_argument(
        "--currents", action="store_true", help="with --situation: write the currents in as well"
    )
    parser.add_argument("--every-part", action="store_true", help="draw repeated groups out in full")
    parser.add_argument("--zigzag", action="store_true", help="draw resistors as zigzags, not as rectangles")
    parser.add_argument("--theme", choices=("light", "dark", "print"), help="colours (light; print for .pdf)")


def run(arguments: Namespace) -> None:
    """Draw, write, and say where the drawing lies."""
    from pathlib import Path

    from lidoff.cli.dossiers import make_folder, out_folder
    from lidoff.dossier import circuit_of, load_dossier
    from lidoff.errors import CommandUnclear, DossierError
    from lidoff.schematic import DrawingOptions, draw

    if arguments.currents and not arguments.situation:
        raise CommandUnclear("--currents needs a situation to solve", remedy="add --situation NAME")
    file = Path(arguments.output) if arguments.output else out_folder(arguments.dossier) / "schematic.svg"
    writer = _writer_for(file)
    dossier = load_dossier(arguments.dossier)
    circuit = circuit_of(dossier)
    if not circuit.parts:
        raise DossierError(
            "there is nothing to draw: the dossier has no parts yet",
            where=arguments.dossier,
            remedy="type the parts into dossier.toml, each with its pins and their nets",
        )
    drawing = draw(
        circuit,
        _solved(dossier, circuit, arguments.situation) if arguments.situation else None,
        options=DrawingOptions(
            currents=arguments.currents,
            abbreviate=not arguments.every_part,
            zigzag_resistors=arguments.zigzag,
        ),
    )
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
    from lidoff.dossier import write_whole

    write_whole(file, drawing.to_svg(theme or "light"))


def _write_pdf(drawing: Drawing, file: Path, theme: str | None) -> None:
    drawing.to_pdf(file, theme or "print")


def _write_png(drawing: Drawing, file: Path, theme: str | None) -> None:
    drawing.to_png(file, theme=theme or "light")


def _solved(dossier: Dossier, circuit: Circuit, name: str) -> OperatingPoint:
    """Operating point of one situation."""
    from lidoff.circuit import operating_point
    from lidoff.dossier import situations_of
    from lidoff.errors import UnknownName

    situations = {situation.name: situation for situation in situations_of(dossier)}
    if name not in situations:
        raise UnknownName(f"the dossier has no situation {name!r}", name=name, known=situations)
    return operating_point(circuit, situations=[situations[name]]).at(0)


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
