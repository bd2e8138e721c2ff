"""A number with its unit and its standard uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities.table import UNITS
from lidoff.quantities.unit import Unit
from lidoff.quantities.units import find_spelling, unit_named

__all__ = ["Quantity"]

_SYMBOLS = frozenset(unit.symbol for unit in UNITS)

COVERAGE = 2.0
"""Factor between standard and expanded uncertainty wherever a person or a file sees "±", of a normal distribution."""
HELD = math.erf(COVERAGE / math.sqrt(2.0))
"""Probability that "±" holds, 95.45 %: what a factor of 2 holds of a normal distribution (JCGM 100:2008, Table G.1)."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """One quantity: a value in a kept unit with its standard uncertainty.

    Inside the program the uncertainty is standard (k = 1). Wherever a person or a file sees "±", it is expanded and holds
    about 95 %: k = 2 for a normal distribution (JCGM 100:2008, 6.2 and G.1.3), and with few degrees of freedom as much more
    as Student's t asks (G.3.2 and G.4.1; Table G.2, column of 95.45 %).

    Parameters
    ----------
    value : float
        The best estimate, in `unit`.
    unit : str
        A symbol of the table of units.
    uncertainty : float
        Standard uncertainty, in `unit`; a difference, so in kelvin for "°C".
    dof : float
        Effective degrees of freedom of the uncertainty; infinite where it is taken as known.

    Raises
    ------
    ImpossibleValue
        A number is not finite, the uncertainty is negative, or the degrees of freedom are not above zero.
    UnknownName
        The unit is not a kept one.

    Examples
    --------
    >>> str(Quantity(4.40, "V", 0.01))
    '4.40 V ± 0.02 V'
    """

    value: float
    unit: str
    uncertainty: float = 0.0
    dof: float = math.inf

    def __post_init__(self) -> None:
        """Refuse what no quantity can be."""
        for name in ("value", "uncertainty", "dof"):
            object.__setattr__(self, name, float(getattr(self, name)))
        if not math.isfinite(self.value):
            raise ImpossibleValue(
                f"the value {self.value} {self.unit} is not finite", remedy="give a finite number"
            )
        if not (math.isfinite(self.uncertainty) and self.uncertainty >= 0.0):
            raise ImpossibleValue(
                f"the uncertainty {self.uncertainty} {self.unit} is not a finite number from zero up",
                remedy="give the standard uncertainty as a positive number",
            )
        if not self.dof > 0.0:
            raise ImpossibleValue(
                f"{self.dof} degrees of freedom", remedy="give a number above zero, or leave it out"
            )
        if self.unit not in _SYMBOLS:
            raise UnknownName(
                f"quantities are not kept in {self.unit!r}", name=self.unit, known=sorted(_SYMBOLS)
            )

    @property
    def expanded(self) -> float:
        """Expanded uncertainty, in the quantity's unit: k = 2, or Student's t for few degrees of freedom."""
        return (COVERAGE if math.isinf(self.dof) else _student_factor(self.dof)) * self.uncertainty

    @property
    def normal_uncertainty(self) -> float:
        """Half of the expanded uncertainty: the standard uncertainty of a normal distribution with the same "±"."""
        return self.expanded / COVERAGE

    @property
    def kept_unit(self) -> Unit:
        """Row of the table of units."""
        return unit_named(self.unit)

    def value_in(self, spelling: str) -> float:
        """Value in another unit of the same dimension.

        Parameters
        ----------
        spelling : str
            The unit as a person writes it: "mV", "min", "%".

        Returns
        -------
        float
            The value in that unit.

        Raises
        ------
        UnknownName
            The unit is unknown.
        ImpossibleValue
            The unit is of another dimension.

        Examples
        --------
        >>> Quantity(10800.0, "s").value_in("h")
        3.0
        """
        meant = find_spelling(spelling, expected=self.kept_unit)
        if meant.unit.dimension != self.kept_unit.dimension:
            raise ImpossibleValue(
                f"{self.value:g} {self.unit} is {self.kept_unit.dimension} and not to be given in {spelling!r}",
                remedy=f"ask for a unit of {self.kept_unit.dimension}",
            )
        kept = Decimal(repr(self.value)) * Decimal(self.kept_unit.size) / Decimal(meant.unit.size)
        return float((kept - meant.offset) / meant.factor)

    def __str__(self) -> str:
        """Value and expanded uncertainty with the digits they deserve."""
        from lidoff.quantities.printing import format_quantity

        return format_quantity(self)


@cache
def _student_factor(dof: float) -> float:
    """Factor of Student's t that holds as much as a factor of 2 holds of a normal distribution."""
    from lidoff.quantities.coverage import coverage_factor

    return coverage_factor(HELD, dof)
