"""``lidoff draw``: the schematic of a dossier's circuit."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command, add_dossier

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from lidoff.circuit import Circuit, Solution
    from lidoff.dossier import Dossier
    from lidoff.schematic import Drawing, Group

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
    parser.add_argument(
        "--voltage-colours", action="store_true", help="with --situation: colour each net by its voltage"
    )
    parser.add_argument(
        "--loop-of",
        metavar="PART",
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
    from lidoff.dossier import circuit_of, drawing_options
    from lidoff.errors import CommandUnclear, DossierError
    from lidoff.schematic import draw

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
    solution = _solved(dossier, circuit, arguments.situation) if arguments.situation else None
    parts, nets = _lit(circuit, solution, arguments)
    strained = _strained(dossier) if arguments.misfit else ()
    drawing = draw(
        circuit,
        solution.at(0) if solution else None,
        groups=(*(_groups(circuit, solution) if arguments.blocks else ()), *strained),
        options=drawing_options(
            dossier,
            currents=arguments.currents,
            voltage_ramp=arguments.voltage_colours,
            highlight_parts=parts,
            highlight_nets=nets,
            highlight_way=bool(arguments.loop_of),
            keep_apart=tuple(group.parts[0] for group in strained),
            abbreviate=False if arguments.every_part else None,
            zigzag_resistors=True if arguments.zigzag else None,
        ),
    )
    make_folder(file.parent)
    writer(drawing, file, arguments.theme)
    print(file)


def _lit(
    circuit: Circuit, solution: Solution | None, arguments: Namespace
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Parts and nets to be lit up; none means that nothing is dimmed."""
    from lidoff.errors import CircuitFault, UnknownName

    references = {part.reference for part in circuit.parts}
    for name in (*arguments.light_up, *([arguments.loop_of] if arguments.loop_of else ())):
        if name not in references and (name == arguments.loop_of or name not in circuit.nets):
            raise UnknownName(
                f"the circuit has no part {name!r}"
                if name == arguments.loop_of
                else f"the circuit has neither a part nor a net {name!r}",
                name=name,
                known=sorted(references)
                if name == arguments.loop_of
                else sorted({*references, *circuit.nets}),
            )
    parts = [name for name in arguments.light_up if name in references]
    nets = [name for name in arguments.light_up if name not in references]
    if arguments.loop_of and solution is not None:
        from lidoff.insight import flows_of, loop_of

        loop = loop_of(flows_of(solution, 0), circuit.part(arguments.loop_of))
        if not loop:
            raise CircuitFault(
                f"{arguments.loop_of} carries no current in the situation {arguments.situation}",
                remedy="choose another part or another situation",
            )
        parts.extend(flow.reference for flow in loop)
        nets.extend(net for flow in loop for net in (flow.start, flow.end) if net in circuit.nets)
    return tuple(dict.fromkeys(parts)), tuple(dict.fromkeys(nets))


def _groups(circuit: Circuit, solution: Solution | None) -> tuple[Group, ...]:
    from lidoff.insight import groups_of, recognise

    return groups_of(recognise(circuit, solution))


def _strained(dossier: Dossier) -> tuple[Group, ...]:
    """Parts that the readings strain, each a tinted group."""
    from lidoff.dossier import analyse
    from lidoff.errors import ImpossibleValue
    from lidoff.insight import tinted_groups

    misfit = analyse(dossier).misfit
    if misfit is None or not misfit.readings:
        raise ImpossibleValue(
            "there is no reading of the circuit to tint it by", remedy="take some, or leave --misfit away"
        )
    return tinted_groups(misfit)


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


def _solved(dossier: Dossier, circuit: Circuit, name: str) -> Solution:
    """Operating point of one situation, as the only sample."""
    from lidoff.circuit import operating_point
    from lidoff.dossier import situations_of
    from lidoff.errors import UnknownName

    situations = {situation.name: situation for situation in situations_of(dossier)}
    if name not in situations:
        raise UnknownName(f"the dossier has no situation {name!r}", name=name, known=situations)
    solution = operating_point(circuit, situations=[situations[name]])
    if not solution.settled[0]:
        raise solution.unsettled(0)
    return solution


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
