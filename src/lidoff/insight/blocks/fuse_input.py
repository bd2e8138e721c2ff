"""A fuse or resettable fuse where the supply comes in."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, PRACTICE

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Fuse",
        piece("J1", "dc_supply", "in gnd", voltage=5.0),
        piece("F1", "fuse", "in rail", current_rating=1.0),
        piece("M1", "motor", "rail gnd"),
    )


def _sums(m: Match) -> Sums:
    period = m.effective("fuse") if m.rests("fuse") else None
    words = ", effective over a period" if period else ""
    amperes, at, where = (
        (period.quantity, "", period.situation) if period else (m.amperes("fuse"), "fuse", "")
    )
    return (
        m.sum(f"voltage lost in the fuse{words}", "I · R", "V", OHM, at=at, situation=where, I=amperes,
              R=m.ohms("fuse")),
        m.sum(f"share of its rating in use{words}", "I ÷ I_rated", "1", PRACTICE, at=at, situation=where, I=amperes,
              I_rated=m.quantity("fuse", "current_rating") or m.quantity("fuse", "hold_current")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="fuse_input",
        title="fuse",
        purpose="{fuse} opens when what follows {supplied} draws far too much.",
        example=_example,
        patterns=(Pattern(roles=(role("fuse", "fuse resettable_fuse", "fed supplied"),)),),
        sums=_sums,
        fails=(
            "fuse open: the whole device is dead",
            "fuse bridged: a short behind it is fed by whatever the supply can give",
        ),
        source=PRACTICE,
    ),
)
