"""Inputs and ways that several kinds of claim share."""

from __future__ import annotations

from lidoff.evidence.claim_kind import Bound, Role, Way

__all__ = [
    "APPARENT_POWER",
    "AS_READ_POWER",
    "CHARGE",
    "CURRENT",
    "ENERGY",
    "ENERGY_OVER_TIME",
    "FACTOR_TIMES_APPARENT",
    "FACTOR_TIMES_VOLTS_AND_AMPS",
    "POWER",
    "POWER_FACTOR",
    "SECONDS_AN_HOUR",
    "TIME",
    "TIMED_OR_DIVIDED",
    "VOLTAGE",
    "VOLTAGE_TIMES_CURRENT",
    "as_read",
]

SECONDS_AN_HOUR = 3600.0
VOLTAGE = Role(name="voltage", unit="V", title="voltage at the terminals", unsigned=True)
CURRENT = Role(name="current", unit="A", title="current", unsigned=True)
POWER = Role(name="power", unit="W", title="power", unsigned=True)
APPARENT_POWER = Role(name="apparent_power", unit="VA", title="apparent power", unsigned=True)
POWER_FACTOR = Role(name="power_factor", unit="1", title="power factor", unsigned=True)
TIME = Role(name="time", unit="s", title="time")
CHARGE = Role(name="charge", unit="Ah", title="charge as counted by a meter or logger", unsigned=True)
ENERGY = Role(name="energy", unit="Wh", title="energy as counted by a meter or logger", unsigned=True)


def as_read(role: Role, *, estimate: str = "", cautions: str = "", bound: Bound = "") -> Way:
    """Way of a claim that a reading answers as it stands.

    Parameters
    ----------
    role : Role
        The one input.
    estimate, cautions, bound : str, optional
        As for `Way`.

    Returns
    -------
    Way
        Whose result is its input.
    """
    return Way(
        inputs=(role,),
        combine=lambda value: value,
        written=f"{{{role.name}}}",
        estimate=estimate,
        cautions=cautions,
        bound=bound,
    )


AS_READ_POWER = as_read(POWER)
VOLTAGE_TIMES_CURRENT = Way(
    inputs=(VOLTAGE, CURRENT),
    combine=lambda voltage, current: voltage * current,
    written="{voltage} × {current}",
    cautions="Holds where voltage and current are steady; on mains, volts times amperes is apparent power.",
    steady=True,
)
FACTOR_TIMES_APPARENT = Way(
    inputs=(APPARENT_POWER, POWER_FACTOR),
    combine=lambda apparent_power, power_factor: apparent_power * power_factor,
    written="{apparent_power} × {power_factor}",
)
FACTOR_TIMES_VOLTS_AND_AMPS = Way(
    inputs=(VOLTAGE, CURRENT, POWER_FACTOR),
    combine=lambda voltage, current, power_factor: voltage * current * power_factor,
    written="{voltage} × {current} × {power_factor}",
    cautions="Volts and amperes must be true rms values.",
)
ENERGY_OVER_TIME = Way(
    inputs=(ENERGY, TIME),
    combine=lambda energy, time: energy / time * SECONDS_AN_HOUR,
    written="{energy} ÷ {time}",
    cautions="The mean over that time.",
)
POWER_TAKEN = (
    VOLTAGE_TIMES_CURRENT,
    AS_READ_POWER,
    FACTOR_TIMES_APPARENT,
    FACTOR_TIMES_VOLTS_AND_AMPS,
    ENERGY_OVER_TIME,
)
TIMED_OR_DIVIDED = (
    as_read(TIME),
    Way(
        inputs=(CHARGE, CURRENT),
        combine=lambda charge, current: charge / current * SECONDS_AN_HOUR,
        written="{charge} ÷ {current}",
    ),
)
