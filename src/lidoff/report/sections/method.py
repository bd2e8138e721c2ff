"""How everything was checked, by which rules, and what was not checked."""

from __future__ import annotations

from lidoff.dossier import Analysis, Check
from lidoff.evidence import AGREES_TO, BORNE_OUT_FROM, NOT_BORNE_OUT_TO, STRAINED_TO
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Item, Items, Row, Subheading, Table

__all__ = ["MEMBERS"]

NOT_CHECKED = (
    "Whether the sample is typical: one device was opened.",
    "Whether a standard or a law is met: no test by a standard was made, and no approval mark was verified.",
    "Anything not named above. That a check found nothing says only what was checked, against what.",
)


def _rules() -> tuple[str, ...]:
    return (
        "± is everywhere the expanded uncertainty: twice the standard uncertainty (k = 2), about 95 % for a normal "
        "distribution. Numbers carry the digits that their uncertainty deserves.",
        "A reading's uncertainty combines the scatter of repeats, the instrument's accuracy and the last digit; inputs that "
        "share one range of one instrument are not taken as independent.",
        "A prediction solves the circuit at rest with nominal parts; its uncertainty moves every part by its tolerance, one "
        "at a time, to first order.",
        f"Prediction and reading agree up to {AGREES_TO:g} u of their difference and are strained up to {STRAINED_TO:g} u "
        "(convention); beyond that they are a misfit.",
        f"A claim is borne out when it is true with at least {100 * BORNE_OUT_FROM:.0f} % probability, not borne out at "
        f"{100 * NOT_BORNE_OUT_TO:.0f} % or less (convention); between them we cannot tell from these readings.",
    )


def _row(check: Check) -> Row:
    outcome = check.outcome.removesuffix(" cannot tell")
    if outcome != check.outcome:
        outcome += " that cannot be told from these readings"
    return Row(cells=(Cell(text=check.title), Cell(text=check.against), Cell(text=outcome)))


def _build(analysis: Analysis) -> tuple[Block, ...]:
    left_out = [check.left_out for check in analysis.checks if check.left_out]
    table = Table(
        caption="Checks that were made.",
        columns=(
            Column(title="Checked", share=1.0),
            Column(title="Against", share=2.3),
            Column(title="Outcome", share=2.0),
        ),
        rows=tuple(_row(check) for check in analysis.checks),
    )
    return (
        *((table,) if analysis.checks else ()),
        Subheading(title="By which rules"),
        Items(entries=tuple(Item(lines=(rule,)) for rule in _rules())),
        Subheading(title="What was not checked"),
        Items(entries=tuple(Item(lines=(line,)) for line in (*left_out, *NOT_CHECKED))),
    )


MEMBERS = (
    Chapter(
        name="method",
        title="How it was checked",
        place=100,
        build=_build,
        says="The checks made, the rules of decision, and what was left out.",
    ),
)
