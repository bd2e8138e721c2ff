"""How everything was checked, and by which rules."""

from __future__ import annotations

from lidoff.dossier import Analysis, Check
from lidoff.evidence import AGREES_TO, BORNE_OUT_FROM, NOT_BORNE_OUT_TO, STRAINED_TO
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Item, Items, Row, Subheading, Table

__all__ = ["MEMBERS"]


def _rules() -> tuple[str, ...]:
    return (
        "± is everywhere the expanded uncertainty: twice the standard uncertainty (k = 2), about 95 % for a normal "
        "distribution; after few repeats as much more as Student's t asks to hold the same "
        "(JCGM 100:2008, G.4). Numbers carry the digits that their uncertainty deserves.",
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
    )


MEMBERS = (
    Chapter(
        name="method",
        title="How it was checked",
        place=100,
        build=_build,
        says="The checks made and the rules of decision.",
    ),
)
