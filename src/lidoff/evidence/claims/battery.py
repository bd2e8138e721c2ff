"""Claims about a battery: charge, energy, time to charge and time to run."""

from __future__ import annotations

from lidoff.evidence.claim import ClaimKind, Role, Way

CURRENT = Role(name="current", unit="A", title="steady current")
TIME = Role(name="time", unit="s", title="time as clocked")
CHARGE = Role(name="charge", unit="Ah", title="charge as counted by a meter or logger")
VOLTAGE = Role(name="voltage", unit="V", title="mean voltage over the discharge")
ENERGY = Role(name="energy", unit="Wh", title="energy as counted by a meter or logger")
SECONDS_AN_HOUR = 3600.0
TIMED_OR_DIVIDED = (
    Way(inputs=(TIME,), combine=lambda time: time, written="{time}"),
    Way(
        inputs=(CHARGE, CURRENT),
        combine=lambda charge, current: charge / current * SECONDS_AN_HOUR,
        written="{charge} ÷ {current}",
    ),
)

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
            Way(inputs=(CHARGE,), combine=lambda charge: charge, written="{charge}"),
        ),
        sense="at least",
        says="the charge that the full battery gives until its cut-off",
        source="charge as current times time; discharge from full to cut-off at room temperature, common practice, no source",
        shown_in="mAh",
        cautions="Holds for the discharge current used; a cell gives less at a higher one.",
    ),
    ClaimKind(
        name="battery_energy",
        title="battery energy",
        unit="Wh",
        ways=(
            Way(
                inputs=(VOLTAGE, CURRENT, TIME),
                combine=lambda voltage, current, time: voltage * current * time / SECONDS_AN_HOUR,
                written="{voltage} × {current} × {time}",
            ),
            Way(
                inputs=(VOLTAGE, CHARGE),
                combine=lambda voltage, charge: voltage * charge,
                written="{voltage} × {charge}",
            ),
            Way(inputs=(ENERGY,), combine=lambda energy: energy, written="{energy}"),
        ),
        sense="at least",
        says="the energy that the full battery gives until its cut-off",
        source="energy as mean voltage times charge",
        shown_in="Wh",
    ),
    ClaimKind(
        name="run_time",
        title="run time",
        unit="s",
        ways=TIMED_OR_DIVIDED,
        sense="at least",
        says="how long the device runs from full",
        source="timed from switching on to switching off, or charge over current",
    ),
    ClaimKind(
        name="charge_time",
        title="charging time",
        unit="s",
        ways=TIMED_OR_DIVIDED,
        sense="at most",
        says="how long an empty battery takes to be full",
        source="timed from plugging in to the charger's end, or charge over current as a lower bound",
        cautions="Charge over current leaves out the tapering end of the charge, so the true time is longer.",
    ),
)
