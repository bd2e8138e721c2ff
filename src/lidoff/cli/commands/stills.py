"""``lidoff stills``: pictures that walk a viewer through a device."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command, add_dossier

__all__ = ["COMMAND"]

SIZES = ("1920x1080", "3840x2160", "1080x1920")


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)
    parser.add_argument(
        "-o", "--output", metavar="FOLDER", help="folder for the pictures (DIR/out/stills if not given)"
    )
    parser.add_argument(
        "--size",
        choices=SIZES,
        default=SIZES[0],
        metavar="PIXELS",
        help=f"{', '.join(SIZES[:-1])} or {SIZES[-1]} ({SIZES[0]} if not given)",
    )
    parser.add_argument("--dark", action="store_true", help="light ink on a dark ground")
    parser.add_argument(
        "--transparent", action="store_true", help="without a ground, to lie over a moving picture"
    )


def run(arguments: Namespace) -> None:
    """Write the stills, say where they lie, and say what there was nothing to show of."""
    from pathlib import Path

    from lidoff.cli.dossiers import analysed, out_folder
    from lidoff.cli.progress import progress_line
    from lidoff.cli.terminal import plain
    from lidoff.report import missing_scenes, story_of, write_stills

    folder = Path(arguments.output) if arguments.output else out_folder(arguments.dossier) / "stills"
    story = story_of(analysed(arguments.dossier), arguments.dossier)
    with progress_line() as progress:
        files = write_stills(
            story,
            folder,
            size=arguments.size,
            dark=arguments.dark,
            clear=arguments.transparent,
            progress=progress,
        )
    for file in files:
        print(file)
    for scene in missing_scenes(story):
        print(plain(f"not there: {scene.name} ({scene.needs})"))


COMMAND = Command(
    name="stills",
    summary="write pictures that walk a viewer through the device",
    description=(
        "Writes a numbered set of PNG pictures: the claims against the readings, the boards, the schematic\n"
        "whole and block by block, the sums, the verdicts. Beside them walk.html steps through all with the\n"
        "arrow keys. Order and captions can be told in the dossier under [publication]."
    ),
    example="lidoff stills desk-fan --size 1080x1920",
    arguments=arguments,
    run=run,
)
