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
_BOTH_SIDES = tuple(
    Role(name=f"{what}_{side}", unit=unit, title=f"{what} at the {where}")
    for side, where in (("in", "input"), ("out", "output"))
    for what, unit in (("voltage", "V"), ("current", "A"))
)

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
            ),
            Way(
                inputs=(
                    Role(name="power_out", unit="W", title="power given out"),
                    Role(name="power_in", unit="W", title="power taken in"),
                ),
                combine=lambda power_out, power_in: power_out / power_in,
                written="{power_out} ÷ {power_in}",
            ),
        ),
        sense="at least",
        says="the share of the power taken in that is given out",
        source="power out over power in, both read at the same moment",
        shown_in="%",
    ),
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
