"""Claims of one quantity that a reading can be held against as it stands."""

from __future__ import annotations

from lidoff.evidence.claim import ClaimKind, Role, Sense, Way


def _read(
    name: str,
    title: str,
    unit: str,
    sense: Sense,
    says: str,
    *,
    role: str,
    shown_in: str = "",
    cautions: str = "",
) -> ClaimKind:
    """Kind of claim that is one reading."""
    way = Way(
        inputs=(Role(name=role, unit=unit, title=title),),
        combine=lambda value: value,
        written="{" + role + "}",
    )
    return ClaimKind(
        name=name,
        title=title,
        unit=unit,
        ways=(way,),
        sense=sense,
        says=says,
        source="compared as read",
        shown_in=shown_in,
        cautions=cautions,
    )


MEMBERS = (
    _read("airflow", "air flow", "m³/s", "at least", "the volume of air moved", role="flow"),
    _read(
        "charge_current", "charging current", "A", "at least", "the current into the battery", role="current"
    ),
    _read("current", "current", "A", "about", "a current", role="current"),
    _read("led_count", "number of LEDs", "1", "exactly", "how many LEDs there are", role="count"),
    _read("luminous_flux", "luminous flux", "lm", "at least", "the light given out", role="flux"),
    _read("mass", "mass", "kg", "at most", "what the device weighs", role="mass"),
    _read(
        "measured_value", "claimed quantity", "", "about", "any quantity that a reading tells", role="value"
    ),
    _read(
        "rotation_speed",
        "speed of rotation",
        "rad/s",
        "about",
        "how fast it turns",
        role="speed",
        shown_in="rpm",
    ),
    _read(
        "sound_level",
        "sound level",
        "dB",
        "at most",
        "how loud it is",
        role="level",
        cautions="Depends on the distance, the room and the weighting, which a box seldom tells.",
    ),
    _read(
        "suction",
        "suction pressure",
        "Pa",
        "at least",
        "the under-pressure with the inlet closed",
        role="pressure",
        shown_in="kPa",
    ),
    _read("temperature", "temperature", "°C", "at most", "how hot it gets", role="temperature"),
    _read("voltage", "voltage", "V", "about", "a voltage", role="voltage"),
    _read(
        "wavelength",
        "wavelength",
        "m",
        "about",
        "the peak wavelength of the light",
        role="wavelength",
        shown_in="nm",
    ),
)
