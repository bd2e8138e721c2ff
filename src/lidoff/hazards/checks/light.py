"""Light on eye and skin: ultraviolet and blue, from spectrum, power and distance, against exposure limits and the sun."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.limits import FROM_MEMORY, limit_table
from lidoff.hazards.shining import irradiance, permitted_time, solid_angle_of
from lidoff.hazards.spectra import sunlight
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import Light
from lidoff.hazards.weights import ACTINIC, BLUE, ERYTHEMA, NEAR_ULTRAVIOLET, Action
from lidoff.hazards.words import about, listed
from lidoff.quantities import Quantity, format_quantity, propagate

__all__ = ["MEMBERS", "assumed_of", "sun_words"]

EIGHT_HOURS = Quantity(28800.0, "s")
SHORT_LOOK = 100.0  # [s] blue light of a small source is held against a dose up to here
LONG_LOOK = 10_000.0  # [s] likewise of a large one
LONG_NEAR = 1000.0  # [s] likewise near ultraviolet


def _look(subject: Subject) -> tuple[Hazard, ...]:
    return tuple(hazard for light in subject.lights for hazard in _answers(light))


def _answers(light: Light) -> Iterator[Hazard]:
    if light.spectrum and light.content is None:
        yield Hazard(
            check="light",
            title=f"light of {_name(light)}",
            outcome="cannot tell",
            severity="caution",
            what=f"The measured spectrum {light.spectrum} was not looked for.",
            parts=light.parts,
            remedy="analyse the folder itself",
        )
        return
    limits = limit_table("light_limits").entries
    time = light.read("exposure") or EIGHT_HOURS
    day = f"for {format_quantity(time)} a day"
    actinic = irradiance(light, ACTINIC)
    dose = limits["actinic"]["exposure"]
    yield _judged(
        light,
        ACTINIC,
        "actinic",
        actinic,
        Quantity(dose / time.value, "W/m²"),
        f"weighted irradiance {day}, from 30 J/m²",
        f"30 J/m² are reached after {_time(permitted_time(actinic.value, dose))}{_burn(light)}",
    )
    near, row = irradiance(light, NEAR_ULTRAVIOLET), limits["near_ultraviolet"]
    yield _judged(
        light,
        NEAR_ULTRAVIOLET,
        "near_ultraviolet",
        near,
        Quantity(
            row["irradiance"] if time.value > LONG_NEAR else row["exposure"] / time.value,
            "W/m²",
        ),
        f"irradiance {day}",
        f"10 kJ/m² are reached after {_time(permitted_time(near.value, row['exposure']))}",
    )
    yield _blue(light, time)


def _blue(light: Light, time: Quantity) -> Hazard:
    """Blue light of a small source by irradiance, of a large one by radiance."""
    limits = limit_table("light_limits").entries
    found = irradiance(light, BLUE)
    size, distance = light.read("source_size"), light.read("distance")
    large = limits["blue_radiance"]
    assert distance is not None
    if size is not None and size.value / distance.value > large["large_from"]:
        radiance = propagate(
            lambda here, across, far: here / solid_angle_of(across, far),
            (found, size, distance),
            unit="W/(m²·sr)",
        )
        limit = large["radiance"] if time.value > LONG_LOOK else large["dose"] / time.value
        reached = permitted_time(radiance.value, large["dose"])
        words = f"10⁶ J/(m²·sr) are reached after {_time(reached)}" if reached < LONG_LOOK else ""
        return _judged(
            light,
            BLUE,
            "blue_radiance",
            radiance,
            Quantity(limit, "W/(m²·sr)"),
            f"weighted radiance, looked at {_for(time, LONG_LOOK)}",
            words,
        )
    row = limits["blue"]
    limit = row["irradiance"] if time.value > SHORT_LOOK else row["exposure"] / time.value
    reached = permitted_time(found.value, row["exposure"])
    return _judged(
        light,
        BLUE,
        "blue",
        found,
        Quantity(limit, "W/m²"),
        f"weighted irradiance of a small source, looked at {_for(time, SHORT_LOOK)}",
        f"100 J/m² are reached after {_time(reached)} of looking into it" if reached < SHORT_LOOK else "",
    )


def _for(time: Quantity, long: float) -> str:
    return f"for more than {long:g} s" if time.value > long else f"for {format_quantity(time)}"


def _time(seconds: float) -> str:
    if seconds > EIGHT_HOURS.value:
        return "more than eight hours"
    return format_quantity(Quantity(seconds, "s"), digits=2)


def _burn(light: Light) -> str:
    """How much of it counts for sunburn, as a UV index; empty where it is next to nothing."""
    row = limit_table("light_limits").entries["erythema"]
    index = irradiance(light, ERYTHEMA).value / row["index"]
    return (
        f"; for sunburn it counts as a UV index of {about(index)} ({row['source']}, from memory)"
        if index >= 0.1
        else ""
    )


def sun_words(action: Action, found: float) -> str:
    """How an irradiance compares with that of the sun.

    Parameters
    ----------
    action : Action
    found : float
        [W/m²]

    Returns
    -------
    str
        Such as ``0.65 times as much as from sun and sky high in the day``.
    """
    share = found / sunlight().sum(action)
    often = f"{about(share)} times as much" if share >= 1e-3 else "less than a thousandth as much"
    return f"{often} as from sun and sky high in the day (ASTM G173-03)"


def _name(light: Light) -> str:
    return light.name.replace("_", " ")


def assumed_of(light: Light) -> tuple[str, ...]:
    """What is taken as given about a light."""
    shape: tuple[str, ...]
    if light.spectrum:
        shape = ("the spectrum and its distance as measured, with no uncertainty of their own",)
    else:
        shape = (
            "a blue peak and a phosphor as usual for white diodes of its colour (common practice, no source), within 30 %"
            if light.colour_temperature
            else "a bell-shaped spectrum with one peak",
            f"an even cone of {light.beam_angle}" if light.beam_angle else "an even glow after Lambert",
        )
    return (
        *shape,
        "a source that is small against the distance, looked at on its axis",
        *(
            ("a source seen under more than 11 mrad counts as large (from memory)",)
            if light.source_size
            else ()
        ),
        "nothing in between but air, no glass, no eyewear",
        *(() if light.exposure else ("eight hours a day",)),
    )


def _shines(light: Light) -> str:
    who = listed(light.parts) or _name(light)
    if light.spectrum:
        return f"{who} (spectrum as measured)"
    power = (
        f"{light.radiant_power} of radiant power"
        if light.radiant_power
        else f"{light.luminous_flux} of luminous flux"
    )
    if light.colour_temperature:
        return f"{who} ({power}, white of {light.colour_temperature})"
    return f"{who} ({power}, peak at {light.peak}, {light.width} wide)"


def _judged(
    light: Light, action: Action, row: str, found: Quantity, limit: Quantity, says: str, reached: str
) -> Hazard:
    entry = limit_table("light_limits").entries[row]
    outcome = at_most(found, limit)
    counts = "radiance" if found.unit != "W/m²" else "irradiance"
    what = f"At {light.distance} from {_shines(light)}, the {counts} that counts for {action.title} is {format_quantity(found)}"
    if counts == "irradiance" and found.value > 0.0:
        what += f", {sun_words(action, found.value)}"
    return Hazard(
        check="light",
        title=f"light of {_name(light)}: {action.title}",
        outcome=outcome,
        severity="caution",
        what=f"{what}; {reached}." if reached else f"{what}.",
        value=found,
        limit=limit,
        limit_says=says,
        source=f"{entry['source']} ({FROM_MEMORY if entry['from_memory'] else entry['seen']})",
        from_memory=entry["from_memory"],
        assumed=assumed_of(light),
        parts=light.parts,
        remedy="cover the source or wear rated eye protection, and keep skin away; measure with a radiometer made for the band",
    )


MEMBERS = (
    HazardCheck(
        name="light",
        title="Light",
        look=_look,
        says="How much ultraviolet and blue light reaches eye and skin at a distance, and for how long it may.",
        source="ICNIRP 2004; Directive 2006/25/EC, Annex I; IEC 62471:2006; the sun by ASTM G173-03",
        cautions=("uv",),
        not_checked=(
            "heat on retina, cornea and skin, and infrared",
            "eyes without a lens, small children, and skin made sensitive by drugs",
        ),
    ),
)
