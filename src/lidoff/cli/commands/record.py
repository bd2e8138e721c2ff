"""``lidoff record``: live meters, row by row into a file."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command
from lidoff.cli.terminal import as_typed, plain

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lidoff.meters import Ask, Plan, Told

__all__ = ["COMMAND"]

_QUIET = 60.0  # seconds between lines where no terminal rewrites them


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument("file", metavar="FILE.csv", nargs="?", help="where to; must not be there yet")
    parser.add_argument("--list", action="store_true", help="name the meters that can be seen, and stop")
    parser.add_argument(
        "--meter",
        metavar="ADDRESS",
        dest="steps",
        action="append",
        type=lambda text: ("meter", text),
        help="as VISA writes it, such as TCPIP::192.168.1.20::5025::SOCKET; can be repeated",
    )
    parser.add_argument(
        "--read",
        metavar="WHAT",
        dest="steps",
        action="append",
        type=lambda text: ("read", text),
        help='what the meter before it is asked for: "voltage dc", "cell = current dc", or a question of '
        'its own: "U [V] = FETC?"; can be repeated',
    )
    parser.add_argument("--every", metavar="TIME", default="1 s", help="from row to row (1 s if not given)")
    parser.add_argument("--for", metavar="TIME", dest="lasts", help="how long (until Ctrl-C if not given)")
    parser.add_argument(
        "--until", metavar="LEVEL", help='end once it stays there for three rows, such as "I < 10 mA"'
    )
    parser.add_argument("--resume", action="store_true", help="go on behind the rows that the file holds")
    parser.add_argument(
        "--through",
        metavar="BACKEND",
        help="what PyVISA speaks through (@py if not given; @ivi for a vendor's)",
    )


def run(arguments: Namespace) -> None:
    """Record until the end, then say what the record holds."""
    from lidoff.meters import BACKEND, addresses

    backend = arguments.through or BACKEND
    if arguments.list:
        seen = addresses(backend=backend)
        print(
            plain("\n".join(seen)) if seen else "no meter can be seen; one on the network needs its address"
        )
        return
    if not arguments.file:
        from lidoff.errors import CommandUnclear

        raise CommandUnclear(
            "no file is named", remedy='lidoff record run.csv --meter ADDRESS --read "voltage dc"'
        )
    _record(arguments, _plan(arguments), backend)


def _record(arguments: Namespace, plan: Plan, backend: str) -> None:
    import signal
    import sys
    from functools import partial
    from pathlib import Path
    from threading import Event

    from lidoff.evidence import read_log, summary_of
    from lidoff.meters import WallClock, open_meter, record
    from lidoff.report import log_text

    file = Path(arguments.file)
    enough = Event()
    # Ctrl-C ends the record and not the program: a half-asked meter is let go of, and the sum is still told.
    before = signal.signal(signal.SIGINT, lambda *_: enough.set())
    try:
        done = record(
            plan,
            file,
            partial(open_meter, backend=backend),
            WallClock(enough.wait),
            listener=_teller({ask.name: ask.unit for _, ask in plan.asks}),
            resume=arguments.resume,
            stopped=enough.is_set,
        )
    finally:
        signal.signal(signal.SIGINT, before)
        if sys.stderr.isatty():
            sys.stderr.write("\r\x1b[K")
    times = {1: "once", 2: "twice"}.get(done.lost, f"{done.lost} times")
    lost = f", a meter silent {times}" if done.lost else ""
    print(plain(f"{file}: {done.rows} rows{lost}; ended: {done.why}"))
    if done.rows > 1:
        print()
        print(plain(log_text(summary_of(read_log(file.read_bytes(), name=file.name)))))
        print(f"\n{as_typed('log', str(file), '--entry', 'NAME')} prints what to paste into a dossier")


def _plan(arguments: Namespace) -> Plan:
    """What is asked of which meter."""
    from lidoff.errors import CommandUnclear
    from lidoff.meters import Plan, ask_from, level_from
    from lidoff.quantities import parse_quantity

    asks: list[tuple[str, Ask]] = []
    address = ""
    for kind, text in arguments.steps or ():
        if kind == "meter":
            address = text
        elif address:
            asks.append((address, ask_from(text)))
        else:
            raise CommandUnclear(
                f"no meter is named before --read {text!r}", remedy="put --meter ADDRESS before it"
            )
    lasts = parse_quantity(arguments.lasts, unit="s").value if arguments.lasts else None
    plan = Plan(
        asks=tuple(asks),
        every=parse_quantity(arguments.every, unit="s").value,
        lasts=lasts,
        until=level_from(arguments.until, [ask for _, ask in asks]) if arguments.until else None,
    )
    plan.check()
    return plan


def _teller(units: Mapping[str, str]) -> Callable[[Told], None]:
    """Line that rewrites itself on a terminal; elsewhere a line now and then, and every loss."""
    import sys

    from lidoff.evidence import time_words

    last = [-_QUIET]

    def tell(told: Told) -> None:
        at = time_words(float(round(told.seconds)))
        terminal = sys.stderr.isatty()
        if told.word:
            sys.stderr.write(("\r\x1b[K" if terminal else "") + plain(f"{at}: {told.word}") + "\n")
        else:
            cells = (
                f"{name} {cell or 'no number'} {units[name]}".rstrip() for name, cell in told.cells.items()
            )
            row = plain("   ".join((at, *cells)))
            if terminal:
                sys.stderr.write(f"\r\x1b[K{row}")
            elif told.seconds - last[0] >= _QUIET:
                last[0] = told.seconds
                sys.stderr.write(row + "\n")
        sys.stderr.flush()

    return tell


COMMAND = Command(
    name="record",
    summary="record live meters over network, USB or a serial line into a file",
    description=(
        "Asks meters at even times and writes every answer to a file before it asks again. A meter that\n"
        "goes silent, such as when it is unplugged, leaves a gap and is looked for until it answers. Only\n"
        "questions are sent, so no output is switched. Measuring on mains stays work for the trained."
    ),
    example='lidoff record run.csv --meter TCPIP::192.168.1.20::5025::SOCKET --read "voltage dc"',
    arguments=arguments,
    run=run,
)
