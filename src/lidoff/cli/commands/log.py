"""``lidoff log``: what a meter or logger wrote over time."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command
from lidoff.cli.terminal import plain

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from lidoff.evidence import Log, LogSummary

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument("file", metavar="FILE", help="what the meter or logger wrote, with one row a moment")
    parser.add_argument("--plot", metavar="FILE", help="draw every channel over time: .svg, .png or .pdf")
    parser.add_argument(
        "--entry", metavar="NAME", help="print what to paste into dossier.toml to use the log under that name"
    )
    parser.add_argument(
        "--alone", action="store_true", help="read the file as it is, also where a dossier beside it names it"
    )
    told = parser.add_argument_group("where the file leaves something open")
    told.add_argument("--columns", metavar="HEADING", nargs="+", help='headings, such as "time [s]" "U [V]"')
    told.add_argument(
        "--unit",
        metavar="CHANNEL=UNIT",
        action="append",
        default=[],
        help="unit of a channel; can be repeated",
    )
    told.add_argument("--time", metavar="HOW", help='unit of the times, or "day first" and the like')
    told.add_argument("--every", metavar="TIME", help='time from row to row, such as "1 s"')
    told.add_argument("--decimal", choices=(".", ","), metavar="SIGN", help="decimal sign, . or ,")
    told.add_argument("--separator", metavar="SIGN", help="what stands between columns")
    told.add_argument(
        "--accuracy",
        metavar="CHANNEL=TEXT",
        action="append",
        default=[],
        help='accuracy of a channel, such as "I=±(1 %% + 3)"; can be repeated',
    )


def run(arguments: Namespace) -> None:
    """Read, sum, and print; draw where asked to."""
    from pathlib import Path

    from lidoff.report import log_text, write_log_plot

    file = Path(arguments.file)
    summary = _of_dossier(file, arguments) or _of_file(file, arguments)
    if arguments.entry:
        print(_entry_text(arguments.entry, file, summary, arguments))
    else:
        print(plain(log_text(summary)))
    if arguments.plot:
        from lidoff.cli.dossiers import make_folder

        plot = Path(arguments.plot)
        make_folder(plot.parent)
        write_log_plot(summary, plot)
        print(f"\n{plot}")


def _of_dossier(file: Path, arguments: Namespace) -> LogSummary | None:
    """Log as the dossier around it tells how to read it, if there is one that names it."""
    from lidoff.cli.reading import read_dossier
    from lidoff.dossier import FILE_NAME, LOGS_FOLDER, log_summaries

    folder = file.resolve().parent
    hints = (arguments.columns, arguments.unit, arguments.time, arguments.every, arguments.decimal)
    given = any((*hints, arguments.separator, arguments.accuracy))
    if given or arguments.alone or folder.name != LOGS_FOLDER or not (folder.parent / FILE_NAME).is_file():
        return None
    dossier = read_dossier(folder.parent)
    entry = next((one for one in dossier.logs if one.file == f"{LOGS_FOLDER}/{file.name}"), None)
    return log_summaries([entry], dossier.instruments)[entry.name] if entry is not None else None


def _of_file(file: Path, arguments: Namespace) -> LogSummary:
    """Log as it stands, with what the command line tells."""
    from lidoff.errors import ImpossibleValue, located
    from lidoff.evidence import LARGEST_LOG, Instrument, LogHints, Range, read_log, summary_of, usual_measure

    hints = LogHints(
        decimal=arguments.decimal or "",
        separator=arguments.separator or "",
        time=arguments.time or "",
        every=arguments.every or "",
        columns=tuple(arguments.columns or ()),
        units=_pairs(arguments.unit, "--unit"),
    )
    with located(str(file)):
        log: Log = read_log(_content(file, LARGEST_LOG), name=file.name, hints=hints)
        instruments = {}
        for name, text in _pairs(arguments.accuracy, "--accuracy").items():
            channel = log.channel(name)
            measures = usual_measure(channel.unit) if channel.unit else ""
            if not measures:
                raise ImpossibleValue(
                    f"{channel.name} has no unit that an instrument measures",
                    remedy=f'tell it: --unit "{channel.name}=mA"',
                )
            span = Range(measures=measures, accuracy=text)
            span.check()
            instruments[channel.name] = Instrument(name=channel.name, ranges=(span,))
        return summary_of(log, instruments=instruments)


def _content(file: Path, largest: int) -> bytes:
    from lidoff.errors import DossierError

    try:
        size = file.stat().st_size
        if size > largest:
            raise DossierError(
                f"the log has {size / 1e6:.0f} MB, and at most {largest / 1e6:.0f} MB are read",
                remedy="cut it into parts, or keep every tenth row",
            )
        return file.read_bytes()
    except OSError as error:
        raise DossierError(
            f"the log cannot be read ({error.strerror or error})", remedy="check its name and permissions"
        ) from None


def _pairs(texts: Sequence[str], option: str) -> Mapping[str, str]:
    """Texts of the form NAME=VALUE."""
    from lidoff.errors import CommandUnclear

    found = {}
    for text in texts:
        name, sign, value = text.partition("=")
        if not (name and sign and value):
            raise CommandUnclear(f"{option} {text!r} is not of the form CHANNEL=…", remedy=f"{option} I=mA")
        found[name.strip()] = value.strip()
    return found


def _entry_text(name: str, file: Path, summary: LogSummary, arguments: Namespace) -> str:
    """Tables of the dossier that take the log's charge, energy and first run as readings."""
    from lidoff.dossier import LOGS_FOLDER, readings_offered, toml_text

    told = {
        "file": f"{LOGS_FOLDER}/{file.name}",
        "columns": list(arguments.columns or ()),
        "units": dict(_pairs(arguments.unit, "--unit")),
        "time": arguments.time,
        "every": arguments.every,
        "decimal": arguments.decimal,
        "separator": arguments.separator,
    }
    entry = {key: value for key, value in told.items() if value}
    readings = {key: dict(row) for key, row in readings_offered(name, summary).items()}
    return toml_text({"logs": {name: entry}, "readings": readings}).rstrip()


COMMAND = Command(
    name="log",
    summary="what a meter or logger wrote over time: charge, energy, runs and cut-offs",
    description=(
        "Reads any table of readings over time (CSV and the like), tells every choice it made on the way,\n"
        "sums charge and energy with their uncertainty, finds when the device ran and was cut off, and\n"
        "draws it. A log that lies in a dossier's logs/ and is named there is read as the dossier says."
    ),
    example="lidoff log discharge.csv --plot discharge.svg",
    arguments=arguments,
    run=run,
)
