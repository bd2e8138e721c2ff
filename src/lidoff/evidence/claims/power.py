"""Claims of electrical power, taken in or given out."""

from __future__ import annotations

from lidoff.evidence.claim import ClaimKind, Role, Way

VOLTAGE = Role(name="voltage", unit="V", title="voltage at the terminals")
CURRENT = Role(name="current", unit="A", title="current through them")
POWER = Role(name="power", unit="W", title="power as read")
VOLTAGE_TIMES_CURRENT = Way(
    inputs=(VOLTAGE, CURRENT),
    combine=lambda voltage, current: voltage * current,
    written="{voltage} × {current}",
)
AS_READ = Way(inputs=(POWER,), combine=lambda power: power, written="{power}")
_SOURCE = "power as voltage times current, both steady"

MEMBERS = (
    ClaimKind(
        name="power_input",
        title="power taken in",
        unit="W",
        ways=(VOLTAGE_TIMES_CURRENT, AS_READ),
        sense="at least",
        says="the power that the device draws from its supply",
        source=_SOURCE,
        cautions="For DC; for mains the power must be read by a power meter, since volts times amperes is apparent power.",
    ),
    ClaimKind(
        name="power_output",
        title="power given to a motor, lamp or heater",
        unit="W",
        ways=(VOLTAGE_TIMES_CURRENT, AS_READ),
        sense="at least",
        says="the electrical power that the working part gets",
        source=_SOURCE,
        cautions="Electrical power; what comes out as motion, light or heat is less.",
    ),
    ClaimKind(
        name="idle_power",
        title="power drawn while idle",
        unit="W",
        ways=(VOLTAGE_TIMES_CURRENT, AS_READ),
        sense="at most",
        says="the power that the device draws when it does nothing",
        source=_SOURCE,
    ),
)
