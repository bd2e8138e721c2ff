"""Text ↔ number with unit and uncertainty; meter accuracy; propagation of uncertainty.

Knows: SI prefixes and unit words, letter codes like 4k7, how a person writes ±, what a data sheet's accuracy means,
and how uncertainties combine (JCGM 100 and 101). Must not know: circuits, parts, photos, files, pages.

"±" in any text for or from a person is the expanded uncertainty, k = 2 or, with few degrees of freedom, Student's t; inside,
uncertainties are standard, k = 1.
"""

from lidoff.quantities.accuracy import Accuracy, parse_accuracy
from lidoff.quantities.coverage import (
    combined_uncertainty,
    coverage_factor,
    effective_degrees_of_freedom,
    probability_at_least,
    probability_between,
)
from lidoff.quantities.limits import DIVISORS, resolution_uncertainty, standard_from_limits
from lidoff.quantities.outliers import furthest_repeat, grubbs_limit
from lidoff.quantities.parsing import parse_quantity, resolution_of, unit_as_written
from lidoff.quantities.printing import format_quantity
from lidoff.quantities.propagation import Joint, propagate, propagate_jointly, second_order_uncertainty
from lidoff.quantities.quantity import Quantity
from lidoff.quantities.repeats import correlation_of_repeats, mean_of_repeats
from lidoff.quantities.rkm import format_rkm
from lidoff.quantities.sampling import Sampled, monte_carlo
from lidoff.quantities.slopes import sensitivities
from lidoff.quantities.table import UNITS
from lidoff.quantities.unit import Unit
from lidoff.quantities.units import Spelling, find_spelling, is_spelling, unit_named
from lidoff.quantities.worst_case import Extremes, extremes

__all__ = [
    "DIVISORS",
    "UNITS",
    "Accuracy",
    "Extremes",
    "Joint",
    "Quantity",
    "Sampled",
    "Spelling",
    "Unit",
    "combined_uncertainty",
    "correlation_of_repeats",
    "coverage_factor",
    "effective_degrees_of_freedom",
    "extremes",
    "find_spelling",
    "format_quantity",
    "format_rkm",
    "furthest_repeat",
    "grubbs_limit",
    "is_spelling",
    "mean_of_repeats",
    "monte_carlo",
    "parse_accuracy",
    "parse_quantity",
    "probability_at_least",
    "probability_between",
    "propagate",
    "propagate_jointly",
    "resolution_of",
    "resolution_uncertainty",
    "second_order_uncertainty",
    "sensitivities",
    "standard_from_limits",
    "unit_as_written",
    "unit_named",
]
