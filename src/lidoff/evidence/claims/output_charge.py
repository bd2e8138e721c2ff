"""Claim: the charge that a power bank gives at its output, which is less than what its cell holds."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import CHARGE, as_read

MEMBERS = (
    ClaimKind(
        name="output_charge",
        title="charge given at the output",
        unit="Ah",
        ways=(
            as_read(CHARGE),
            Way(
                inputs=(
                    Role(
                        name="output_energy", unit="Wh", title="energy counted at the output", unsigned=True
                    ),
                    Role(name="output_voltage", unit="V", title="voltage at the output", unsigned=True),
                ),
                combine=lambda output_energy, output_voltage: output_energy / output_voltage,
                written="{output_energy} ÷ {output_voltage}",
            ),
            Way(
                inputs=(
                    Role(name="cell_charge", unit="Ah", title="charge that the cell gives", unsigned=True),
                    Role(name="cell_voltage", unit="V", title="mean voltage of the cell", unsigned=True),
                    Role(name="efficiency", unit="1", title="efficiency of the converter"),
                    Role(name="output_voltage", unit="V", title="voltage at the output", unsigned=True),
                ),
                combine=lambda cell_charge, cell_voltage, efficiency, output_voltage: (
                    cell_charge * cell_voltage * efficiency / output_voltage
                ),
                written="{cell_charge} × {cell_voltage} × {efficiency} ÷ {output_voltage}",
                estimate="it takes the converter's efficiency for the whole discharge",
            ),
        ),
        sense="at least",
        says="the charge that comes out of the output from full to cut-off",
        source="energy is kept but for the converter's loss, so the charge falls as the voltage rises",
        shown_in="mAh",
        cautions="A capacity printed without a voltage is usually the cell's; at 5 V about two thirds of it can come out.",
        examples=(
            Example(
                says="charges your phone with 5000 mAh",
                value="5000 mAh",
                inputs={"charge": "5200 mAh ± 100 mAh"},
                found="5200 mAh",
                verdict="borne out",
            ),
            Example(
                says="5000 mAh out",
                value="5000 mAh",
                inputs={"output_energy": "22.2 Wh ± 0.4 Wh", "output_voltage": "5.05 V ± 0.05 V"},
                found="4400 mAh",  # 22.2 / 5.05 = 4.396
                verdict="not borne out",
            ),
            Example(
                says="10000 mAh",
                value="10000 mAh",
                inputs={
                    "cell_charge": "10 Ah ± 0.2 Ah",
                    "cell_voltage": "3.7 V ± 0.05 V",
                    "efficiency": "0.9 ± 0.03",
                    "output_voltage": "5 V ± 0.05 V",
                },
                found="6660 mAh",  # 10 · 3.7 · 0.9 / 5 = 6.66
                verdict="not borne out",
            ),
        ),
    ),
)
