"""Claim: the share of the power taken in that is given out."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way

_BOTH_SIDES = tuple(
    Role(name=f"{what}_{side}", unit=unit, title=f"{what} at the {where}", unsigned=True)
    for side, where in (("in", "input"), ("out", "output"))
    for what, unit in (("voltage", "V"), ("current", "A"))
)
_OVER_A_CYCLE = "Losses change with the load; the energies count a whole charge and discharge."

MEMBERS = (
    ClaimKind(
        name="efficiency",
        title="efficiency",
        unit="1",
        ways=(
            Way(
                inputs=_BOTH_SIDES,
                combine=lambda voltage_in, current_in, voltage_out, current_out: (
                    voltage_out * current_out / (voltage_in * current_in)
                ),
                written="({voltage_out} × {current_out}) ÷ ({voltage_in} × {current_in})",
                steady=True,
            ),
            Way(
                inputs=(
                    Role(name="power_out", unit="W", title="power given out", unsigned=True),
                    Role(name="power_in", unit="W", title="power taken in", unsigned=True),
                ),
                combine=lambda power_out, power_in: power_out / power_in,
                written="{power_out} ÷ {power_in}",
            ),
            Way(
                inputs=(
                    Role(name="energy_out", unit="Wh", title="energy given out", unsigned=True),
                    Role(name="energy_in", unit="Wh", title="energy taken in", unsigned=True),
                ),
                combine=lambda energy_out, energy_in: energy_out / energy_in,
                written="{energy_out} ÷ {energy_in}",
                cautions=_OVER_A_CYCLE,
            ),
        ),
        sense="at least",
        says="the share of the power taken in that is given out",
        source="power out over power in, both read at the same moment, or energies of one cycle",
        shown_in="%",
        examples=(
            Example(
                says="95 % efficient",
                value="95 %",
                inputs={
                    "voltage_in": "3.7 V ± 0.01 V",
                    "current_in": "1.62 A ± 0.02 A",
                    "voltage_out": "5 V ± 0.01 V",
                    "current_out": "1 A ± 0.01 A",
                },
                found="83.4 %",  # 5 / (3.7 · 1.62) = 0.8342
                verdict="not borne out",
            ),
            Example(
                says="80 % efficient",
                value="80 %",
                inputs={"power_out": "4.4 W ± 0.02 W", "power_in": "5 W ± 0.02 W"},
                found="88.0 %",
                verdict="borne out",
            ),
            Example(
                says="90 % efficient",
                value="90 %",
                inputs={"energy_out": "24 Wh ± 0.4 Wh", "energy_in": "37.5 Wh ± 0.5 Wh"},
                found="64.0 %",
                verdict="not borne out",
            ),
        ),
    ),
)
