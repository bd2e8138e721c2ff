"""``lidoff shelf``: a folder of dossiers, searched, compared, counted and worked through."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command
from lidoff.cli.terminal import plain

if TYPE_CHECKING:
    from pathlib import Path

    from lidoff.shelf import Asked, Index

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument("shelf", metavar="FOLDER", help="folder that the dossiers' folders lie in")
    search = parser.add_argument_group("to find dossiers that have all of")
    search.add_argument("--find", metavar="WORD", nargs="+", default=[], help="words, or beginnings of words")
    search.add_argument("--part", metavar="KIND", default="", help="a kind of part, such as led")
    search.add_argument("--marking", metavar="TEXT", default="", help="the beginning of a marking")
    search.add_argument("--block", metavar="KIND", default="", help="a kind of block")
    search.add_argument("--value", metavar="VALUE", help='a number of a part, such as "4.7 kΩ ± 5 %%"')
    search.add_argument("--claim", metavar="KIND", default="", help="a kind of claim")
    search.add_argument("--verdict", metavar="WORDS", default="", help='such as "not borne out"')
    other = parser.add_argument_group("or else")
    other.add_argument("--like", metavar="DIR", help="find circuits like that of this dossier")
    other.add_argument(
        "--claims", action="store_true", help="count how claims fared, of those found or of all"
    )
    other.add_argument(
        "-o", "--output", metavar="FILE.svg", help="with --claims: draw how far they overstate"
    )
    other.add_argument("--reports", action="store_true", help="write the report of every dossier")
    work = parser.add_argument_group("how to work")
    work.add_argument("--processes", metavar="N", type=int, help="local processes (as many as processors)")
    work.add_argument("--scheduler", metavar="ADDRESS", default="", help="work over a Dask scheduler instead")
    work.add_argument("--index", metavar="FILE", help="where the index lies (FOLDER/shelf.sqlite)")
    work.add_argument("--afresh", action="store_true", help="make the index anew")


def run(arguments: Namespace) -> None:
    """Bring the index up to date, then answer."""
    import os
    from pathlib import Path

    from lidoff.cli.progress import progress_line
    from lidoff.errors import CommandUnclear
    from lidoff.shelf import INDEX_NAME, dossiers_under, open_index, update
    from lidoff.shelf.telling import updated_text

    if arguments.processes is not None and arguments.processes < 1:
        raise CommandUnclear("at least one process is needed", remedy="give --processes 1 or more")
    if arguments.output and not arguments.claims:
        raise CommandUnclear("-o draws how claims fared", remedy="add --claims")
    if arguments.output and Path(arguments.output).suffix.lower() != ".svg":
        raise CommandUnclear(f"{arguments.output} is no name of an SVG", remedy="let it end with .svg")
    shelf = Path(arguments.shelf)
    processes = arguments.processes or os.cpu_count() or 1
    asked = _asked(arguments)
    file = Path(arguments.index) if arguments.index else shelf / INDEX_NAME
    next(dossiers_under(shelf), "")  # a folder that is not there is told before an index is made in it
    with open_index(file, afresh=arguments.afresh) as index:
        with progress_line() as progress:
            updated = update(
                index, shelf, processes=processes, scheduler=arguments.scheduler, progress=progress
            )
        print(plain(updated_text(updated)))
        _answer(arguments, index, shelf, asked)
        if arguments.reports:
            _write_reports(arguments, index, shelf, processes)


def _asked(arguments: Namespace) -> Asked | None:
    """What to look for; None where nothing is asked for."""
    from lidoff.quantities import parse_quantity
    from lidoff.shelf import Asked

    asked = Asked(
        words=" ".join(arguments.find),
        part=arguments.part,
        block=arguments.block,
        claim=arguments.claim,
        marking=arguments.marking,
        value=parse_quantity(arguments.value) if arguments.value else None,
        verdict=arguments.verdict,
    )
    return asked if asked != Asked() else None


def _answer(arguments: Namespace, index: Index, shelf: Path, asked: Asked | None) -> None:
    from lidoff.shelf import alike, claim_records, find
    from lidoff.shelf.telling import alike_text, hits_text, records_svg, records_text

    most = 100_000 if arguments.claims else 50
    hits = find(index, asked, most=most) if asked is not None else None
    if arguments.claims:
        records = claim_records(index, None if hits is None else [hit.folder for hit in hits])
        print("\n" + plain(records_text(records)))
        if arguments.output:
            from pathlib import Path

            from lidoff.dossier import write_whole

            write_whole(Path(arguments.output), records_svg(records))
            print(f"\n{arguments.output}")
    elif hits is not None:
        print("\n" + plain(hits_text(hits)))
    if arguments.like:
        from lidoff.shelf import analysed_entry

        entry = analysed_entry(*_place(arguments.like, shelf))[1]
        print("\n" + plain(alike_text(alike(index, entry))))


def _place(dossier: str, shelf: Path) -> tuple[str, str]:
    """Folder of the shelf and that of a dossier below it; whole where it lies elsewhere, as none on the shelf is."""
    from pathlib import Path

    place, root = Path(dossier).resolve(), shelf.resolve()
    return str(root), place.relative_to(root).as_posix() if place.is_relative_to(root) else str(place)


def _write_reports(arguments: Namespace, index: Index, shelf: Path, processes: int) -> None:
    from functools import partial

    from lidoff.cli.progress import progress_line
    from lidoff.shelf import each, largest_first
    from lidoff.shelf.reporting import written_report

    problems = index.problems()
    folders = largest_first(shelf, [folder for folder in index.stamps() if folder not in problems])
    work = partial(written_report, str(shelf.resolve()))
    with progress_line() as progress:
        for number, done in enumerate(
            each(work, folders, processes=processes, scheduler=arguments.scheduler), start=1
        ):
            if progress is not None:
                progress(f"report of {done.about}", number / len(folders))
            print(plain(done.result or f"no report of {done.about}: {done.problem}"))


COMMAND = Command(
    name="shelf",
    summary="search, compare and count many dossiers",
    description=(
        "Keeps an index of all dossiers below a folder and answers from it: which have a part, a\n"
        "marking, a block, a value or a claim, which circuits are like a given one, and how far claims\n"
        "overstate. The folders are the truth: each call reads anew what changed, and the index can be\n"
        "made anew at any time. What is called off goes on from there the next time; a dossier that\n"
        "cannot be read is named and stops nothing."
    ),
    example='lidoff shelf teardowns --marking 4054 --verdict "not borne out"',
    arguments=arguments,
    run=run,
)
