"""How much of a told light reaches a place: irradiance under an action at a distance, with its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from lidoff.hazards.limits import limit_table
from lidoff.hazards.spectra import Spectrum, bell, measured_spectrum, white
from lidoff.hazards.told import Light
from lidoff.hazards.weights import BRIGHTNESS, Action
from lidoff.quantities import Quantity, propagate

__all__ = [
    "illuminance",
    "irradiance",
    "irradiance_at",
    "permitted_time",
    "solid_angle_of",
    "weighted_share",
]


def irradiance_at(power: float, distance: float, beam_angle: float) -> float:
    """Irradiance on the axis of a small source.

    Parameters
    ----------
    power : float
        Radiant power [W].
    distance : float
        [m]
    beam_angle : float
        Full angle of a cone evenly filled [rad]; zero for a source after Lambert, whose intensity on the axis is P/π.

    Returns
    -------
    float
        [W/m²]

    Examples
    --------
    >>> round(irradiance_at(1.0, 1.0, 0.0), 4)
    0.3183
    """
    solid_angle = 2.0 * math.pi * (1.0 - math.cos(beam_angle / 2.0)) if beam_angle else math.pi
    return power / (solid_angle * distance**2)


def permitted_time(irradiance: float, exposure: float) -> float:
    """Time in which an irradiance reaches an exposure [s]; infinite in the dark."""
    return exposure / irradiance if irradiance > 0.0 else math.inf


def weighted_share(action: Action, peak: float, width: float) -> float:
    """Share of a bell-shaped spectrum's power that counts for an action.

    Parameters
    ----------
    action : Action
    peak, width : float
        Wavelength of the peak, and full width at half of it [m].

    Returns
    -------
    float
        ∫ s(λ)·w(λ) dλ with ∫ s(λ) dλ = 1, s a Gaussian.
    """
    return bell(peak, width).sum(action)


@lru_cache(maxsize=64)
def _measured(content: bytes) -> Spectrum:
    return measured_spectrum(content)


def irradiance(light: Light, action: Action, distance: Quantity | None = None) -> Quantity:
    """Irradiance that counts for an action.

    Parameters
    ----------
    light : Light
        With its measured spectrum where it names one.
    action : Action
    distance : Quantity, optional
        From the source; that of the light if left out [m].

    Returns
    -------
    Quantity
        [W/m²], with the uncertainty of power or flux, distance, peak and width; a measured spectrum brings none of its own.

    Raises
    ------
    ImpossibleValue
        The measured spectrum cannot be read.
    """
    told = light.read("distance")
    assert told is not None  # the form asks for it
    if light.content is not None:
        there = _measured(light.content).sum(action)
        if distance is None:
            return Quantity(there, "W/m²")
        return propagate(lambda far, near: there * (near / far) ** 2, (distance, told), unit="W/m²")
    angle = light.read("beam_angle")
    beam = angle.value if angle is not None else 0.0
    power = light.read("radiant_power")
    flux = light.read("luminous_flux")
    source = power or flux
    assert source is not None  # verified with the dossier
    shape, inputs = _shape(light)
    efficacy = limit_table("luminosity").entries["efficacy"]

    def reckon(shines: float, far: float, *about: float) -> float:
        spectrum = shape(*about)
        watts = shines if power is not None else shines / (efficacy * spectrum.sum(BRIGHTNESS))
        return irradiance_at(watts, far, beam) * spectrum.sum(action)

    found = propagate(reckon, (source, distance or told, *inputs), unit="W/m²")
    if not light.colour_temperature or action is BRIGHTNESS:
        return found
    own = 0.5 * limit_table("white_light").entries["spread"] * found.value
    return Quantity(found.value, "W/m²", math.hypot(found.uncertainty, own))


def _shape(light: Light) -> tuple[Callable[..., Spectrum], tuple[Quantity, ...]]:
    """Spectrum by what is told of it: the colour temperature of a white diode, or peak and width."""
    kelvin = light.read("colour_temperature")
    if kelvin is not None:
        return white, (kelvin,)
    peak, width = light.read("peak"), light.read("width")
    assert peak is not None  # verified with the dossier
    assert width is not None
    return bell, (peak, width)


def illuminance(light: Light, distance: Quantity | None = None) -> float:
    """Illuminance at a distance [lx]; the parameters as for `irradiance`."""
    efficacy: float = limit_table("luminosity").entries["efficacy"]
    return efficacy * irradiance(light, BRIGHTNESS, distance).value


def solid_angle_of(size: float, distance: float) -> float:
    """Solid angle under which a round source is seen [sr]: π/4·(size/distance)², for small angles.

    Examples
    --------
    >>> round(solid_angle_of(0.02, 0.2), 5)
    0.00785
    """
    return math.pi / 4.0 * (size / distance) ** 2
