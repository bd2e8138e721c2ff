"""How strongly light of each wavelength acts: on eye and skin, on the retina, as sunburn, and as brightness."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from lidoff.hazards.limits import limit_table

__all__ = [
    "ACTINIC",
    "BLUE",
    "BRIGHTNESS",
    "ERYTHEMA",
    "NEAR_ULTRAVIOLET",
    "Action",
    "actinic_weight",
    "blue_weight",
    "erythema_weight",
    "luminosity",
    "near_ultraviolet_weight",
]

Array = NDArray[np.float64]


def actinic_weight(wavelength: Array) -> Array:
    """Weight of ultraviolet light for eye and skin, zero outside 180 to 400 nm.

    Parameters
    ----------
    wavelength : ndarray of shape (N,)
        [m]

    Returns
    -------
    ndarray of shape (N,)
        The table's values; between them, straight lines of the logarithm.

    References
    ----------
    .. [1] ICNIRP, Health Physics 87(2), 171-186, 2004, Table 1.
    """
    return _table_weight("actinic_weights", wavelength)


def blue_weight(wavelength: Array) -> Array:
    """Weight of light for the photochemical harm to the retina, zero outside 300 to 700 nm.

    Parameters
    ----------
    wavelength : ndarray of shape (N,)
        [m]

    Returns
    -------
    ndarray of shape (N,)
        The table's values; between them, straight lines of the logarithm.

    References
    ----------
    .. [1] IEC 62471:2006, Table 4.2.
    """
    return _table_weight("blue_weights", wavelength)


def near_ultraviolet_weight(wavelength: Array) -> Array:
    """One from 315 to 400 nm, else zero."""
    nanometres = _nanometres(wavelength)
    return np.where((nanometres >= 315.0) & (nanometres <= 400.0), 1.0, 0.0)


def erythema_weight(wavelength: Array) -> Array:
    """Weight of ultraviolet light for sunburn, zero outside 250 to 400 nm.

    Parameters
    ----------
    wavelength : ndarray of shape (N,)
        [m]

    Returns
    -------
    ndarray of shape (N,)
        One to 298 nm, 10^(0.094·(298 − λ)) to 328 nm, 10^(0.015·(140 − λ)) to 400 nm.

    References
    ----------
    .. [1] ISO/CIE 17166:2019.
    """
    nanometres = _nanometres(wavelength)
    found = np.select(
        [nanometres <= 298.0, nanometres <= 328.0],
        [np.ones_like(nanometres), 10.0 ** (0.094 * (298.0 - nanometres))],
        10.0 ** (0.015 * (140.0 - nanometres)),
    )
    result: Array = np.where((nanometres >= 250.0) & (nanometres <= 400.0), found, 0.0)
    return result


def luminosity(wavelength: Array) -> Array:
    """How bright light looks by day, one at 555 nm, zero outside 380 to 780 nm.

    Parameters
    ----------
    wavelength : ndarray of shape (N,)
        [m]

    Returns
    -------
    ndarray of shape (N,)
        The table's values; between them, straight lines of the logarithm.

    References
    ----------
    .. [1] CIE 1924 photopic luminosity, as in ISO/CIE 23539.
    """
    return _table_weight("luminosity", wavelength)


def _nanometres(wavelength: Array) -> Array:
    result: Array = np.round(1e9 * np.asarray(wavelength, dtype=float), 9)
    return result


@cache
def _rows(name: str) -> tuple[Array, Array]:
    table = limit_table(name).entries
    return np.array(table["wavelength"], dtype=float), np.log(np.array(table["weight"], dtype=float))


def _table_weight(name: str, wavelength: Array) -> Array:
    at, logarithms = _rows(name)
    nanometres = _nanometres(wavelength)
    between = np.exp(np.interp(nanometres, at, logarithms))
    return np.where((nanometres >= at[0]) & (nanometres <= at[-1]), between, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """What light does, with the band in which it does it.

    Attributes
    ----------
    title : str
        In words.
    weight : callable (ndarray of shape (N,)) → ndarray of shape (N,)
        By wavelength [m].
    low, high : float
        Ends of the band [m].
    """

    title: str
    weight: Callable[[Array], Array]
    low: float
    high: float


ACTINIC = Action(title="ultraviolet, eye and skin", weight=actinic_weight, low=180e-9, high=400e-9)
NEAR_ULTRAVIOLET = Action(
    title="ultraviolet from 315 to 400 nm, eye", weight=near_ultraviolet_weight, low=315e-9, high=400e-9
)
BLUE = Action(title="blue light, retina", weight=blue_weight, low=300e-9, high=700e-9)
ERYTHEMA = Action(title="sunburn", weight=erythema_weight, low=250e-9, high=400e-9)
BRIGHTNESS = Action(title="brightness", weight=luminosity, low=380e-9, high=780e-9)
