"""Claim: the power of the air that a vacuum moves."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way

PRESSURE = Role(name="pressure", unit="Pa", title="under-pressure while air flows", unsigned=True)
FLOW = Role(name="flow", unit="m³/s", title="air flow at that pressure", unsigned=True)

MEMBERS = (
    ClaimKind(
        name="suction_power",
        title="suction power",
        unit="W",
        ways=(
            Way(
                inputs=(PRESSURE, FLOW),
                combine=lambda pressure, flow: pressure * flow,
                written="{pressure} × {flow}",
            ),
            Way(
                inputs=(
                    Role(
                        name="closed_pressure",
                        unit="Pa",
                        title="under-pressure with the inlet closed",
                        unsigned=True,
                    ),
                    Role(name="open_flow", unit="m³/s", title="air flow with the inlet open", unsigned=True),
                ),
                combine=lambda closed_pressure, open_flow: 0.25 * closed_pressure * open_flow,
                written="{closed_pressure} × {open_flow} ÷ 4",
                estimate="takes it that pressure falls evenly as flow rises; the most is then at half of each",
            ),
        ),
        sense="at least",
        says="the largest power of the air moved",
        source="pressure times volume flow; of a straight fan curve a quarter of its two ends' product",
        examples=(
            Example(
                says="20 AW",
                value="20 W",
                inputs={"pressure": "2000 Pa ± 100 Pa", "flow": "5 l/s ± 0.3 l/s"},
                found="10.0 W",
                verdict="not borne out",
            ),
            Example(
                says="5 AW",
                value="5 W",
                inputs={"closed_pressure": "5700 Pa ± 300 Pa", "open_flow": "10 l/s ± 0.5 l/s"},
                found="14.3 W",  # 5700 · 0.01 / 4 = 14.25
                verdict="borne out",
            ),
        ),
    ),
)
