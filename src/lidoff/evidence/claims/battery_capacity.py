"""Claim: the charge that a battery gives."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import CHARGE, CURRENT, SECONDS_AN_HOUR, TIME, as_read

MEMBERS = (
    ClaimKind(
        name="battery_capacity",
        title="battery capacity",
        unit="Ah",
        ways=(
            Way(
                inputs=(CURRENT, TIME),
                combine=lambda current, time: current * time / SECONDS_AN_HOUR,
                written="{current} × {time}",
            ),
            as_read(CHARGE),
            Way(
                inputs=(
                    Role(
                        name="output_energy", unit="Wh", title="energy counted at the output", unsigned=True
                    ),
                    Role(name="efficiency", unit="1", title="efficiency of the converter"),
                    Role(name="cell_voltage", unit="V", title="mean voltage of the cell", unsigned=True),
                ),
                combine=lambda output_energy, efficiency, cell_voltage: (
                    output_energy / (efficiency * cell_voltage)
                ),
                written="{output_energy} ÷ ({efficiency} × {cell_voltage})",
                estimate="it takes the converter's efficiency and the cell's mean voltage from elsewhere",
            ),
        ),
        sense="at least",
        says="the charge that the full battery gives until its cut-off",
        source="charge as current times time; discharge from full to cut-off at room temperature, common practice, no source",
        shown_in="mAh",
        cautions=(
            "Holds for the discharge current used; a cell gives less at a higher one. Rated capacities are those at 0.2 It, "
            "a fifth of the rated charge each hour, and 20 °C ± 5 °C (IEC 61960-3:2017, 7.1 and 7.3.1, from memory)."
        ),
        examples=(
            Example(
                says="2000 mAh long-life battery",
                value="2000 mAh",
                inputs={"current": "500 mA ± 2 mA", "time": "2 h ± 2 min"},
                found="1000 mAh",
                verdict="not borne out",
            ),
            Example(
                says="1100 mAh",
                value="1100 mAh",
                inputs={"charge": "1161 mAh ± 16 mAh"},
                found="1161 mAh",
                verdict="borne out",
            ),
            Example(
                says="10000 mAh power bank",
                value="10000 mAh",
                inputs={
                    "output_energy": "22.2 Wh ± 0.4 Wh",
                    "efficiency": "0.88 ± 0.04",
                    "cell_voltage": "3.7 V ± 0.1 V",
                },
                # 22.2 / (0.88 · 3.7) = 6.818 Ah; the draws lie a little above, since they divide by what is uncertain
                found="6800 mAh",
                verdict="not borne out",
            ),
        ),
    ),
)
