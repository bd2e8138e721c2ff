"""Claim: the mechanical power of a motor."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way

MEMBERS = (
    ClaimKind(
        name="shaft_power",
        title="mechanical power of a motor",
        unit="W",
        ways=(
            Way(
                inputs=(
                    Role(name="torque", unit="N·m", title="torque at the shaft", unsigned=True),
                    Role(name="speed", unit="rad/s", title="speed at that torque", unsigned=True),
                ),
                combine=lambda torque, speed: torque * speed,
                written="{torque} × {speed}",
            ),
            Way(
                inputs=(
                    Role(
                        name="electrical_power",
                        unit="W",
                        title="electrical power of the motor",
                        unsigned=True,
                    ),
                    Role(name="resistance", unit="Ω", title="winding resistance"),
                    Role(name="current", unit="A", title="motor current", unsigned=True),
                ),
                combine=lambda electrical_power, resistance, current: (
                    electrical_power - resistance * current**2
                ),
                written="{electrical_power} − {resistance} × ({current})²",
                estimate="takes only the winding's loss off; friction and iron take more, so it is an upper bound",
                bound="upper",
            ),
        ),
        sense="at least",
        says="the power at the shaft",
        source="torque times angular speed; electrical power less I²R",
        examples=(
            Example(
                says="60 W motor",
                value="60 W",
                inputs={"torque": "5 mN·m ± 0.2 mN·m", "speed": "1500 rad/s ± 20 rad/s"},
                found="7.5 W",  # 0.005 · 1500
                verdict="not borne out",
            ),
            Example(
                says="60 W motor",
                value="60 W",
                inputs={
                    "electrical_power": "11.6 W ± 0.5 W",
                    "resistance": "0.27 Ω ± 0.01 Ω",
                    "current": "3.56 A ± 0.14 A",
                },
                found="8.2 W",  # 11.6 − 0.27 · 3.56² = 8.178
                verdict="not borne out",
            ),
        ),
    ),
)
