"""``lidoff trace``: boards traced from their photos."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command, add_dossier
from lidoff.cli.terminal import plain

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)
    parser.add_argument(
        "--board", metavar="NAME", default="", help="the one board to trace (all with photos)"
    )
    parser.add_argument(
        "--afresh",
        action="store_true",
        help="find outlines, registrations and holes anew; strokes, parts, wires and beeps stay",
    )
    parser.add_argument(
        "--hand",
        metavar="FILE",
        help="TOML file of marks, strokes, parts, holes, wires, beeps and names that you decided",
    )


def run(arguments: Namespace) -> None:
    """Trace, write boards and pictures, and say what was found and what is doubtful."""
    from lidoff.board import doubtful_joins, next_steps
    from lidoff.cli.progress import progress_line
    from lidoff.dossier import trace_dossier

    with progress_line() as progress:
        done = trace_dossier(
            arguments.dossier,
            board=arguments.board,
            afresh=arguments.afresh,
            by_hand=arguments.hand,
            progress=progress,
        )
    for one in done:
        board, tracing = one.tracing.board, one.tracing
        joined = [net for net in tracing.nets.nets if len(net.pins) > 1]
        print(plain(f"{board.name}: {board.size[0]:.1f} mm × {board.size[1]:.1f} mm"))
        if tracing.alignment is not None and tracing.alignment.pairs:
            print(
                f"  back on front by {len(tracing.alignment.pairs)} holes, "
                f"median residual {tracing.alignment.median_mm:.3f} mm"
            )
        print(
            f"  {len(board.parts)} parts placed, {len(joined)} nets of two pins or more, {len(board.holes)} holes, "
            f"{len(doubtful_joins(board))} places to check"
        )
        for doubt in tracing.doubts:
            print(plain(f"  by hand: {doubt}"))
        for line in next_steps(board):
            print(plain(f"  {line}"))
        print(one.file)
        if one.pictures:
            print(f"{one.pictures[0].parent}: {len(one.pictures)} pictures of the steps")


COMMAND = Command(
    name="trace",
    summary="trace boards from their photos",
    description=(
        "Takes the photos that [[photos]] names for each side of a board, finds outline, holes and copper,\n"
        "joins nets with the parts, strokes, wires and beeps that boards/NAME.json holds already, and writes\n"
        "that file and a picture of every step into out/board. The photos themselves stay as they are."
    ),
    example="lidoff trace desk-fan --board main",
    arguments=arguments,
    run=run,
)
