"""The shelf's answers as plain text and, for claims, as a picture."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

from lidoff.shelf.likeness import Alike
from lidoff.shelf.search import ClaimRecord, Hit
from lidoff.shelf.updating import Updated

__all__ = ["alike_text", "hits_text", "records_svg", "records_text", "updated_text"]

SHOWN_VERDICTS = ("borne out", "not borne out", "cannot tell")


def updated_text(updated: Updated) -> str:
    """What an update did, and what could not be read."""
    lines = [
        f"{_dossiers(updated.dossiers)} on the shelf; {updated.read} read anew, {updated.gone} gone since the last time."
    ]
    for folder, problem in updated.problems.items():
        lines.extend((f"  not read: {folder}", *(f"    {line}" for line in problem.splitlines())))
    return "\n".join(lines)


def _dossiers(count: int) -> str:
    return "1 dossier" if count == 1 else f"{count} dossiers"


def hits_text(hits: Sequence[Hit]) -> str:
    """Dossiers that were found, each with where and why."""
    if not hits:
        return "Nothing on the shelf has all of that."
    lines = [f"{_dossiers(len(hits))} found."]
    for hit in hits:
        lines.extend(("", f"{hit.folder}: {hit.title}", *(f"    {place}" for place in hit.places)))
    return "\n".join(lines)


def alike_text(found: Sequence[Alike]) -> str:
    """Circuits like one, each with what they have in common."""
    if not found:
        return "No other circuit on the shelf shares anything that is not common to all."
    lines = ["Likeness is the share of equal surroundings of parts, rare ones counting more."]
    for one in found:
        lines.extend(("", f"{one.likeness:4.0%}  {one.folder}: {one.title}"))
        if one.blocks:
            lines.append(f"      blocks of both: {', '.join(one.blocks)}")
        if one.markings:
            lines.append(f"      printed on parts of both: {', '.join(one.markings)}")
    return "\n".join(lines)


def records_text(records: Sequence[ClaimRecord]) -> str:
    """How claims fared, kind by kind, as a table."""
    if not records:
        return "No claims on the shelf."
    head = ("kind of claim", "claims", *SHOWN_VERDICTS, "claimed over found: median", "middle half")
    rows = [
        (
            record.kind.replace("_", " "),
            str(record.count),
            *(str(record.verdicts.get(verdict, 0)) for verdict in SHOWN_VERDICTS),
            _times(record.middle),
            f"{_times(record.quarters[0])} to {_times(record.quarters[1])}" if record.overstated else "",
        )
        for record in records
    ]
    widths = [max(len(row[column]) for row in (head, *rows)) for column in range(len(head))]
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column == 0 else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in (head, *rows)
    )


def _times(times: float) -> str:
    return "" if math.isnan(times) else f"{times:.2f} ×"


def records_svg(records: Sequence[ClaimRecord], width: float = 720.0) -> str:
    """Picture of how far claims overstate: a dot a claim on a logarithmic scale, the median as a bar.

    Parameters
    ----------
    records : sequence of ClaimRecord
        Those without numbers are left out.
    width : float
        Of the picture, in pixels.

    Returns
    -------
    str
        One SVG element with a title and a description for screen readers.
    """
    from lidoff.report.paint import STILL_LIGHT as look
    from lidoff.report.paint import band, figure_svg, line, text

    shown = [record for record in records if record.overstated]
    all_times = [times for record in shown for times in record.overstated]
    low = min(0.5, *all_times) if all_times else 0.5
    high = max(2.0, *all_times) if all_times else 2.0
    left, right, row, top = 170.0, 24.0, 34.0, 46.0
    height = top + row * len(shown) + 34.0

    def place(times: float) -> float:
        share = (math.log(times) - math.log(low)) / (math.log(high) - math.log(low))
        return left + share * (width - left - right)

    out = [
        "<title>How far claims overstate</title>",
        f"<desc>{escape(records_text(shown))}</desc>",
        band(0.0, 0.0, width, height, colour=look.ground),
    ]
    for times in _ticks(low, high):
        x, honest = place(times), times == 1.0
        colour = look.ink if honest else look.hairline
        out.append(line(x, top - 8.0, x, height - 26.0, colour=colour, width=1.4 if honest else 1.0))
        out.append(text(f"{times:g} ×", x, height - 10.0, colour=look.quiet, size=13.0, anchor="middle"))
    says = "claims promise more than was found →"
    out.append(text(says, place(1.0) + 8.0, top - 18.0, colour=look.quiet, size=13.0))
    for number, record in enumerate(shown):
        y = top + row * (number + 0.5)
        out.append(text(record.kind.replace("_", " "), 12.0, y + 4.0, colour=look.ink, size=13.0))
        out.extend(
            f'<circle cx="{place(times):.1f}" cy="{y:.1f}" r="4" style="fill:{look.borne_out};fill-opacity:.45"/>'
            for times in record.overstated
        )
        middle = place(record.middle)
        out.append(line(middle, y - 9.0, middle, y + 9.0, colour=look.ink, width=2.4))
    return figure_svg(out, width, height) + "\n"


def _ticks(low: float, high: float) -> list[float]:
    """Marks of 1, 2 and 5 times powers of ten within a range."""
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    return [
        times
        for times in (float(f"{digit}e{power}") for power in powers for digit in (1, 2, 5))
        if low <= times <= high
    ]
