"""Cells and batteries: an electromotive force that follows the state of charge, behind an internal resistance."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Parameter, Parameters
from lidoff.circuit.laws import BRANCH
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, signed, state, zero_or_more

# Open-circuit voltage of one rested cell near 20 °C over the state of charge; typical courses as they are passed round in the
# trade, within about 50 mV of single makes; common practice, no source.
CHARGE = (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)
COURSES = (
    ("lithium-ion", (3.20, 3.50, 3.62, 3.70, 3.74, 3.77, 3.81, 3.86, 3.93, 4.01, 4.10, 4.20)),
    ("lithium iron phosphate", (2.80, 3.10, 3.18, 3.23, 3.26, 3.28, 3.29, 3.30, 3.31, 3.33, 3.34, 3.45)),
    ("nickel-metal hydride", (1.05, 1.16, 1.20, 1.23, 1.245, 1.255, 1.265, 1.275, 1.285, 1.30, 1.33, 1.40)),
    ("alkaline", (0.90, 1.05, 1.11, 1.19, 1.23, 1.26, 1.29, 1.33, 1.37, 1.42, 1.49, 1.60)),
    ("carbon-zinc", (0.90, 1.04, 1.10, 1.19, 1.25, 1.30, 1.35, 1.40, 1.45, 1.50, 1.55, 1.62)),
    ("lithium-manganese", (2.00, 2.50, 2.70, 2.85, 2.90, 2.93, 2.95, 2.97, 2.98, 3.00, 3.05, 3.20)),
    ("silver oxide", (1.20, 1.48, 1.53, 1.55, 1.55, 1.55, 1.55, 1.56, 1.56, 1.57, 1.58, 1.60)),
    ("lead-acid", (1.93, 1.95, 1.97, 1.99, 2.01, 2.03, 2.05, 2.07, 2.09, 2.11, 2.12, 2.13)),
)
CHEMISTRIES = {name: float(number) for number, (name, _) in enumerate(COURSES)}
TABLE_SOURCE = "typical courses over the state of charge, common practice, no source"


def rested_voltage(chemistry: Array, state_of_charge: Array) -> Array:
    """Open-circuit voltage of one cell [V].

    Parameters
    ----------
    chemistry : ndarray
        Code from `CHEMISTRIES`.
    state_of_charge : ndarray
        Zero for empty to one for full.

    Examples
    --------
    >>> float(rested_voltage(np.array([0.0]), np.array([1.0]))[0])
    4.2
    """
    codes, charge = np.broadcast_arrays(np.round(chemistry), state_of_charge)
    voltage = np.zeros(charge.shape)
    for number, (_, course) in enumerate(COURSES):
        voltage = np.where(codes == number, np.interp(charge, CHARGE, course), voltage)
    return voltage


def open_voltage(numbers: Mapping[str, float]) -> float:
    """Voltage of a cell or battery without a load [V].

    Parameters
    ----------
    numbers : mapping of str to float
        Its parameters.
    """
    one = numbers.get("emf")
    if one is None:
        one = float(rested_voltage(np.array(numbers["chemistry"]), np.array(numbers["state_of_charge"])))
    return numbers.get("cells", 1.0) * one


def _from_chemistry(p: Parameters) -> Parameters:
    return _source(p, rested_voltage(p["chemistry"], p["state_of_charge"]))


def _from_emf(p: Parameters) -> Parameters:
    return _source(p, p["emf"])


def _source(p: Parameters, one_cell: Array) -> Parameters:
    cells = p.get("cells", np.ones(1))
    return {
        "voltage": cells * one_cell,
        "resistance": cells * p["internal_resistance"],
        "connected": p["connected"],
    }


def _elements(part: Part) -> tuple[Element, ...]:
    derive = _from_emf if "emf" in part.values else _from_chemistry
    return (Element(law=BRANCH, joins=("plus", "minus"), derive=derive),)


def _chemistry(typical: str) -> Parameter:
    return state("chemistry", CHEMISTRIES, typical, "what the cell is made of; sets its open-circuit voltage")


_CHARGE = zero_or_more(
    "state_of_charge", "1", 0.5, "zero for empty, one for full", maximum=1.0, within=0.1, source=TABLE_SOURCE
)
_CONNECTED = state("connected", {"inserted": 1.0, "removed": 0.0}, "inserted", "whether the cell is in place")
_EMF = signed(
    "emf",
    "V",
    None,
    "open-circuit voltage of one cell, in place of chemistry and state of charge",
    within=0.02,
)
_CURRENT, _CURRENT_RATING = rating(
    "current_rating", "A", "current", 1.0, "highest continuous discharge current"
)
_SOURCE = f"ideal source with series resistance; {TABLE_SOURCE}"

CELL = Kind(
    name="cell",
    title="cell",
    letters=("BT", "B"),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_elements,
    parameters=(
        _chemistry("lithium-ion"),
        _CHARGE,
        zero_or_more("internal_resistance", "Ω", 0.1, "of the cell with its tabs", spread=0.5),
        positive("capacity", "Ah", 0.5, "charge that it gives from full to empty", spread=0.2),
        _CONNECTED,
        _CURRENT,
    ),
    only_if_told=(_EMF,),
    ratings=(_CURRENT_RATING,),
    main_value="chemistry",
    supplies=True,
    outline=outlines.CELL,
    says="one galvanic cell, its voltage by its chemistry and state of charge, or as told",
    source=_SOURCE,
)
BATTERY = Kind(
    name="battery",
    outline=outlines.BATTERY,
    title="battery of cells in series",
    letters=("BT", "B"),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_elements,
    parameters=(
        positive("cells", "1", 3.0, "cells in series"),
        _chemistry("alkaline"),
        _CHARGE,
        zero_or_more(
            "internal_resistance", "Ω", 0.2, "of one cell with its share of the holder's contacts", spread=0.5
        ),
        positive("capacity", "Ah", 1.0, "charge that it gives from full to empty", spread=0.2),
        _CONNECTED,
        _CURRENT,
    ),
    only_if_told=(_EMF,),
    ratings=(_CURRENT_RATING,),
    main_value="cells",
    supplies=True,
    says="several equal cells in series, as in a holder",
    source=_SOURCE,
)

MEMBERS = (BATTERY, CELL)
