"""Inputs of a claim's sum: where each number comes from, what it is worth, and which errors two of them share."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence.claim import Claim, FromReading, FromSolution, FromStatement, FromTrial
from lidoff.evidence.claim_kind import Role, Way
from lidoff.evidence.finding import Trial
from lidoff.evidence.over_period import OverPeriod, figure_for
from lidoff.evidence.reading import Measured, read_text
from lidoff.quantities import Quantity, correlation_of_repeats, format_quantity

__all__ = ["Input", "Solve", "correlations_of", "input_of", "missing_inputs", "read_together", "share_of"]

Solve = Callable[[FromSolution], Quantity | OverPeriod]
"""Answers what is asked of the solved circuit: at rest, or over a period where it changes with time.

Raises a `LidoffError` where it cannot.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input with its value.

    Attributes
    ----------
    role : Role
        What it is for.
    source : str
        Where it comes from, in words.
    quantity : Quantity
        Its value in the role's unit.
    measured : Measured or None
        The reading, where it is one.
    factor : float
        From the reading's unit to the role's.
    tries : tuple of int or None
        Tries that worked, and all of them, where it is a trial.
    came_by : str
        How it was come by, as a person says it behind the number: ``as read``, ``as solved`` or ``as stated``.
    seen : str
        Which figure of a waveform it is; empty for what is steady.
    alternates : bool
        Whether it is a figure of a waveform that is not steady.
    turned : bool
        Whether it was below zero, and stands here without its sign.
    """

    role: Role
    source: str
    quantity: Quantity
    measured: Measured | None = None
    factor: float = 1.0
    tries: tuple[int, int] | None = None
    came_by: str = "as read"
    seen: str = ""
    alternates: bool = False
    turned: bool = False

    @property
    def corrected(self) -> str:
        """What was read and what was added for the meter, as two terms of a sum; empty where nothing was."""
        if self.measured is None or not self.measured.corrected:
            return ""
        added = self.factor * self.measured.corrected
        before = replace(self.quantity, value=self.quantity.value - added)
        read = format_quantity(before, with_uncertainty=False)
        size = format_quantity(replace(self.quantity, value=abs(added)), with_uncertainty=False)
        return f"{read} read {'+' if added > 0.0 else '−'} {size} for the meter"

    @property
    def come_by(self) -> str:
        """How it was come by, which figure it is, and whether its sign was left out."""
        without = "without its sign" if self.turned else ""
        return ", ".join(filter(None, (self.came_by, self.seen, without)))


def missing_inputs(way: Way, claim: Claim) -> tuple[str, str]:
    """What a claim lacks, and the reading that would tell."""
    lacking = [role for role in way.inputs if role.name not in claim.inputs]
    if not lacking:
        return "the inputs given do not make one sum", "the inputs of one way to work it out"
    if way.is_plain and not lacking[0].unit:
        promised = f"what “{claim.says}” promises"
        return f"no reading of {promised}", f"a reading of {promised}, in the unit of {claim.value}"
    titles = " and the ".join(role.title for role in lacking)
    return f"no reading of the {titles}", f"a reading of the {titles}"


def input_of(
    role: Role,
    way: Way,
    claim: Claim,
    measured: Mapping[str, Measured],
    trials: Mapping[str, Trial],
    solve: Solve,
    unit: str,
) -> Input:
    """Value of one input.

    Parameters
    ----------
    role : Role
        Which one.
    way : Way
        The sum that it goes into.
    claim : Claim
        What is claimed.
    measured : mapping of str to Measured
        Evaluated readings by name.
    trials : mapping of str to Trial
        By name.
    solve : callable (FromSolution) → Quantity or OverPeriod
        See `Solve`.
    unit : str
        Unit that the input is wanted in; empty for its own.

    Returns
    -------
    Input
        In that unit; by its amount where that alone counts, unless the claim itself is below zero.

    Raises
    ------
    LidoffError
        It is not known, or is of another dimension.
    """
    source = claim.inputs[role.name]
    reading: Measured | None = None
    tries: tuple[int, int] | None = None
    came_by, seen, alternates = "as read", "", False
    if isinstance(source, FromReading):
        if source.reading not in measured:
            raise UnknownName(f"there is no reading {source.reading!r}", name=source.reading, known=measured)
        reading = measured[source.reading]
        if reading.over_range:
            raise ImpossibleValue(
                f"the reading {source.reading!r} shows no number, only that it is over range"
            )
        quantity = reading.quantity
    elif isinstance(source, FromTrial):
        if source.trial not in trials:
            raise UnknownName(f"there is no trial {source.trial!r}", name=source.trial, known=trials)
        tries = trials[source.trial].counted
        quantity = share_of(*tries)
    elif isinstance(source, FromStatement):
        quantity, came_by = read_text(source.value, unit), "as stated"
    else:
        answer, came_by = solve(source), "as solved"
        if isinstance(answer, OverPeriod):
            shown = figure_for(answer, role, way)
            quantity, seen, alternates = shown.quantity, shown.seen, shown.alternates
        else:
            quantity = answer
    told = _in_unit(quantity, unit or quantity.unit)
    factor = Quantity(1.0, quantity.unit).value_in(told.unit) if quantity.unit != told.unit else 1.0
    claimed = claim.quantity
    if turned := role.unsigned and told.value < 0.0 and not (claimed is not None and claimed.value < 0.0):
        told = replace(told, value=-told.value)
        reading = None if reading is None else _turned(reading)
    return Input(
        role=role,
        source=str(source),
        quantity=told,
        measured=reading,
        factor=factor,
        tries=tries,
        came_by=came_by,
        seen=seen,
        alternates=alternates,
        turned=turned,
    )


def _turned(reading: Measured) -> Measured:
    """Reading as it would have come the other way round: a meter's error is mostly a share of what it reads, and turns too."""
    return replace(
        reading,
        quantity=replace(reading.quantity, value=-reading.quantity.value),
        repeats=tuple(-one for one in reading.repeats),
        corrected=-reading.corrected,
    )


def share_of(worked: int, tries: int) -> Quantity:
    """Share of tries that work, from those seen, with a uniform prior: mean and standard deviation of the beta law.

    Parameters
    ----------
    worked, tries : int
        Tries that worked, and all of them.

    Returns
    -------
    Quantity
        (worked + 1) / (tries + 2), Laplace's rule of succession.

    Examples
    --------
    >>> print(share_of(8, 10))
    75 % ± 24 %
    """
    a, b = worked + 1.0, tries - worked + 1.0
    return Quantity(a / (a + b), "1", (a * b / ((a + b) ** 2 * (a + b + 1.0))) ** 0.5)


def _in_unit(quantity: Quantity, unit: str) -> Quantity:
    """Quantity in another kept unit of its dimension."""
    if quantity.unit == unit:
        return quantity
    spread = Quantity(quantity.uncertainty, quantity.unit).value_in(unit)
    return Quantity(quantity.value_in(unit), unit, spread, quantity.dof)


def correlations_of(inputs: Sequence[Input]) -> tuple[list[list[float]] | None, tuple[str, ...]]:
    """Correlations between inputs that share a reading or an instrument's error, and what was assumed of them.

    Parameters
    ----------
    inputs : sequence of Input of length n
        Of one sum.

    Returns
    -------
    correlations : list of n lists of n floats, or None
        None where nothing is shared.
    notes : tuple of str
        In words.

    References
    ----------
    .. [1] JCGM 100:2008, 5.2.4 and F.1.2.3.
    """
    count = len(inputs)
    matrix = [[float(i == j) for j in range(count)] for i in range(count)]
    notes: list[str] = []
    for i, one in enumerate(inputs):
        for j, other in enumerate(inputs[:i]):
            left, right = one.measured, other.measured
            if left is None or right is None:
                continue
            if left.name == right.name:
                matrix[i][j] = matrix[j][i] = 1.0
                continue
            shared, said = _shared_variance(left, right)
            total = left.quantity.uncertainty * right.quantity.uncertainty
            matrix[i][j] = matrix[j][i] = shared / total if total else 0.0
            notes.extend(said)
    if sum(one.came_by == "as solved" for one in inputs) > 1:
        notes.append(
            "What was taken from the solved circuit is taken as independent of each other, though both hang on the same parts."
        )
    return (matrix if any(matrix[i][j] for i in range(count) for j in range(i)) else None), tuple(notes)


def read_together(left: Measured, right: Measured) -> bool:
    """Whether the repeats of two readings were taken at the same moments, as the dossier tells."""
    one, other = left.reading, right.reading
    tied = (
        other.name == one.read_with or one.name == other.read_with or (one.read_with == other.read_with != "")
    )
    return tied and len(left.repeats) == len(right.repeats) > 1


def _shared_variance(left: Measured, right: Measured) -> tuple[float, tuple[str, ...]]:
    """Covariance of two readings, and where it comes from in words."""
    shared = 0.0
    notes: list[str] = []
    pair = f"{left.name.replace('_', ' ')} and {right.name.replace('_', ' ')}"
    if left.accuracy_of and left.accuracy_of == right.accuracy_of:
        shared += left.accuracy * right.accuracy
        notes.append(
            f"{pair} were read on one range of {left.accuracy_of.partition(':')[0]}, so its error is taken as the same in "
            "both (JCGM 100:2008, F.1.2.3)."
        )
    if read_together(left, right):
        together = correlation_of_repeats(left.repeats, right.repeats)
        shared += together * left.scatter * right.scatter
        notes.append(
            f"The repeats of {pair} were read together and scatter together, with a correlation of {together:.2f} "
            "(JCGM 100:2008, 5.2.3)."
        )
    return shared, tuple(notes)
