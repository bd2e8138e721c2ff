"""``lidoff compare``: two circuits, or a block and the textbook's, held against each other."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command, add_dossier
from lidoff.cli.terminal import plain

if TYPE_CHECKING:
    from pathlib import Path

    from lidoff.circuit import Circuit
    from lidoff.insight import Contrast

__all__ = ["COMMAND"]

NAMES = ("first.svg", "second.svg")


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)
    parser.add_argument("other", metavar="OTHER", nargs="?", help="another dossier, such as a later revision")
    parser.add_argument(
        "--textbook",
        metavar="PART",
        help="in place of OTHER: hold the block that PART belongs to against the textbook's",
    )
    parser.add_argument(
        "-o", "--output", metavar="FOLDER", help="also draw both circuits there, tinted where they differ"
    )


def run(arguments: Namespace) -> None:
    """Compare, print, and draw if asked."""
    from pathlib import Path

    from lidoff.errors import CommandUnclear

    if (arguments.other is None) == (arguments.textbook is None):
        raise CommandUnclear(
            "there is nothing to compare with"
            if arguments.other is None
            else "there are two things to compare with",
            remedy="name either another dossier or, after --textbook, a part of a block",
        )
    first = _circuit(arguments.dossier)
    if arguments.textbook is not None:
        from lidoff.report import contrast_text

        found, pair = _beside_the_textbook(first, arguments.textbook)
        print(plain(contrast_text(found, "the textbook", arguments.dossier)))
    else:
        from lidoff.insight import contrast
        from lidoff.report import contrast_text

        second = _circuit(arguments.other)
        found, pair = contrast(first, second), (first, second)
        print(plain(contrast_text(found, arguments.dossier, arguments.other)))
    if arguments.output:
        for file in _draw(found, pair, Path(arguments.output)):
            print(file)


def _circuit(folder: str) -> Circuit:
    from lidoff.cli.reading import read_dossier
    from lidoff.dossier import circuit_of

    return circuit_of(read_dossier(folder))


def _beside_the_textbook(circuit: Circuit, part: str) -> tuple[Contrast, tuple[Circuit, Circuit]]:
    from lidoff.errors import UnknownName
    from lidoff.insight import all_blocks, contrast_with_block, recognise

    blocks = recognise(circuit)
    block = next((one for one in blocks if part in one.parts), None)
    if block is None:
        raise UnknownName(
            f"{part!r} belongs to no block that was recognised",
            name=part,
            known=sorted({name for one in blocks for name in one.parts}),
        )
    return contrast_with_block(circuit, block), (all_blocks()[block.kind].example(), circuit)


def _draw(found: Contrast, pair: tuple[Circuit, Circuit], folder: Path) -> list[Path]:
    from lidoff.cli.dossiers import make_folder
    from lidoff.dossier import write_whole
    from lidoff.insight import tinted_changes
    from lidoff.schematic import DrawingOptions, draw

    make_folder(folder)
    files = []
    for name, circuit, groups in zip(NAMES, pair, tinted_changes(found), strict=True):
        drawing = draw(circuit, groups=groups, options=DrawingOptions(abbreviate=not groups))
        write_whole(folder / name, drawing.to_svg("light"))
        files.append(folder / name)
    return files


COMMAND = Command(
    name="compare",
    summary="tell how two circuits differ, or a block from the textbook's",
    description=(
        "Pairs the parts and nets of two circuits by how they hang together, whatever they are called,\n"
        "and tells what only one of them has, which values changed and which pins went elsewhere. With -o\n"
        "it draws both, tinted where they differ. It changes no dossier."
    ),
    example="lidoff compare desk-fan desk-fan-2 -o differences",
    arguments=arguments,
    run=run,
)
