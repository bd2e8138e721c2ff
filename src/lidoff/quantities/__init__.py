"""Text ↔ number with unit and uncertainty; meter accuracy; propagation of uncertainty.

Knows: SI prefixes and unit words, letter codes like 4k7, how a person writes ±, what a data sheet's accuracy means, and
how uncertainties combine (JCGM 100 and 101). Must not know: circuits, parts, photos, files, pages.

"±" in any text for or from a person is the expanded uncertainty, k = 2; inside, uncertainties are standard (k = 1).
"""

from lidoff.quantities.accuracy import Accuracy, parse_accuracy
from lidoff.quantities.limits import DIVISORS, resolution_uncertainty, standard_from_limits
from lidoff.quantities.parsing import parse_quantity, resolution_of
from lidoff.quantities.printing import format_quantity
from lidoff.quantities.quantity import Quantity
from lidoff.quantities.rkm import format_rkm
from lidoff.quantities.units import UNITS, Unit, unit_named

__all__ = [
    "DIVISORS",
    "UNITS",
    "Accuracy",
    "Quantity",
    "Unit",
    "format_quantity",
    "format_rkm",
    "parse_accuracy",
    "parse_quantity",
    "resolution_of",
    "resolution_uncertainty",
    "standard_from_limits",
    "unit_named",
]
