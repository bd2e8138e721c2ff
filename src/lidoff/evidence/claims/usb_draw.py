"""Claim: that a device runs from a USB source of some kind, which sets how much it may draw."""

from __future__ import annotations

from lidoff.evidence.claim_kind import Band, ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import POWER, VOLTAGE, as_read

_TABLE = "ST UM2191 Rev 2, Table 4, which gathers the USB specifications"

MEMBERS = (
    ClaimKind(
        name="usb_draw",
        title="current drawn from a USB source",
        unit="A",
        ways=(
            as_read(Role(name="current", unit="A", title="current from the USB source", unsigned=True)),
            Way(
                inputs=(POWER, VOLTAGE),
                combine=lambda power, voltage: power / voltage,
                written="{power} ÷ {voltage}",
            ),
        ),
        sense="at most",
        says="the largest steady current from the USB source, against what such a source must give",
        source="what a port of that kind must give; peaks at switching on are judged apart",
        cautions="A source may give more than it must, so a device that draws too much can still run from many.",
        named={
            "USB 2.0": Band(high="500 mA", source=_TABLE),
            "USB 2.0 not configured": Band(high="100 mA", source="USB 2.0, 7.2.1 (as summarised elsewhere)"),
            **{f"USB 3.{minor}": Band(high="900 mA", source=_TABLE) for minor in range(3)},
            "USB 3 not configured": Band(high="150 mA", source="USB 3.x, one unit load (as cited elsewhere)"),
            "BC 1.2": Band(high="1.5 A", source=_TABLE),
            "Type-C 1.5 A": Band(high="1.5 A", source=_TABLE),
            "Type-C 3 A": Band(high="3 A", source=_TABLE),
            "Type-C 5 A": Band(high="5 A", source=f"{_TABLE}; needs a marked cable"),
        },
        examples=(
            Example(
                says="works on every USB port",
                value="USB 2.0",
                inputs={"current": "1.12 A ± 0.02 A"},
                found="1.12 A",
                verdict="not borne out",
            ),
            Example(
                says="USB charger 2.1 A",
                value="2.1 A",
                inputs={"power": "7.2 W ± 0.1 W", "voltage": "4.95 V ± 0.02 V"},
                found="1.455 A",  # 7.2 / 4.95 = 1.4545
                verdict="borne out",
            ),
        ),
    ),
)
