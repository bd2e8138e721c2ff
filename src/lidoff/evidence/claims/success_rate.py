"""Claim: that something works, always or mostly, from trials."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="success_rate",
        title="share of tries that work",
        unit="1",
        ways=(as_read(Role(name="tries", unit="1", title="share of tries that worked")),),
        sense="at least",
        says="how often it does what is printed, from trials with their number of tries",
        source=(
            "share of tries with a uniform prior, which makes it beta distributed (T. Bayes 1763; Laplace's rule of "
            "succession)"
        ),
        shown_in="%",
        cautions="Holds for tries like these; few tries leave much open.",
        examples=(
            Example(
                says="works 9 times of 10",
                value="90 %",
                inputs={"tries": "3 of 20"},
                found="18 %",  # (3 + 1) / (20 + 2)
                verdict="not borne out",
            ),
            Example(
                says="works in most cases",
                value="50 %",
                inputs={"tries": "10 of 10"},
                found="92 %",  # 11 / 12
                verdict="borne out",
            ),
        ),
    ),
)
