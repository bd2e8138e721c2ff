"""Readings: what an instrument showed, where, in which situation, and what that is worth."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence.following import following
from lidoff.evidence.instrument import MEASURES, Instrument, Range, usual_measure
from lidoff.evidence.repeats import named_repeat, repeats_apart
from lidoff.quantities import (
    Quantity,
    effective_degrees_of_freedom,
    mean_of_repeats,
    parse_quantity,
    resolution_of,
    resolution_uncertainty,
)

if TYPE_CHECKING:
    from lidoff.evidence.taking import Logged, LogTake

__all__ = [
    "AcrossPart",
    "InPart",
    "IntoPin",
    "Measured",
    "NamedQuantity",
    "NetVoltage",
    "Reading",
    "Target",
    "WithoutPower",
    "measure",
    "read_text",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class NetVoltage:
    """The voltage of a net, against another net or, if `against` is empty, against the circuit's ground."""

    net: str
    against: str = ""

    unit = "V"

    def __str__(self) -> str:
        return f"voltage of {self.net}" + (f" against {self.against}" if self.against else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class AcrossPart:
    """The voltage along a part's main path, first pin against second."""

    reference: str

    unit = "V"

    def __str__(self) -> str:
        return f"voltage across {self.reference}"


@dataclass(frozen=True, slots=True, kw_only=True)
class IntoPin:
    """The current from the net into one pin of a part."""

    reference: str
    pin: str

    unit = "A"

    def __str__(self) -> str:
        return f"current into {self.reference}.{self.pin}"


@dataclass(frozen=True, slots=True, kw_only=True)
class InPart:
    """The current along a part's main path, or the power that it takes up; of a supply, what it delivers.

    Attributes
    ----------
    what : str
        ``current`` or ``power``.
    reference : str
        The part.
    """

    what: str
    reference: str

    @property
    def unit(self) -> str:
        """Kept unit."""
        return "A" if self.what == "current" else "W"

    def __str__(self) -> str:
        return f"{self.what} of {self.reference}"


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedQuantity:
    """A quantity that is not in the circuit, such as the run time or the suction pressure."""

    name: str

    unit = ""

    def __str__(self) -> str:
        return self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class WithoutPower:
    """What a meter shows between two nets of the circuit without power, on a range that drives a current of its own.

    Attributes
    ----------
    range_name : str
        ``resistance`` or ``diode``.
    red, black : str
        Nets that the probes touch; an empty `black` is the circuit's ground.
    """

    range_name: str
    red: str
    black: str = ""

    @property
    def unit(self) -> str:
        """Kept unit."""
        return "Ω" if self.range_name == "resistance" else "V"

    def __str__(self) -> str:
        what = "resistance" if self.range_name == "resistance" else "diode range"
        return f"{what} from {self.red} to {self.black or 'the ground'}, without power"


Target = NetVoltage | AcrossPart | IntoPin | InPart | WithoutPower | NamedQuantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading: what an instrument showed, once or repeatedly, of one thing in one situation.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    target : Target
        What was measured.
    shown : tuple of str
        What the display showed, digits as shown, one text a repeat; ``over range`` where a resistance or diode range showed
        no number. A text with ``±`` states its own uncertainty
        (expanded, k = 2), which then stands in place of the instrument's accuracy and resolution.
    situation : str
        Where it belongs; empty for a named quantity that belongs to none.
    instrument : str
        Name of the instrument; empty if none is named.
    measures : str
        One of `lidoff.evidence.MEASURES` where the unit alone does not tell, such as ``voltage ac``.
    on_range : str
        Full scale of the range used, with unit; empty for the smallest that holds the value.
    note : str
        How it was taken.
    taken : LogTake or None
        For a reading that is taken from a log instead of a display: what is taken; then `shown` is empty.
    crest_factor, frequency : str
        Of the signal, for readings of AC; empty where they are not known.
    read_with : str
        Another reading whose repeats were taken at the same moments, so that their scatter may move together.
    """

    name: str
    target: Target
    shown: tuple[str, ...] = ()
    situation: str = ""
    instrument: str = ""
    measures: str = ""
    on_range: str = ""
    note: str = ""
    taken: LogTake | None = None
    crest_factor: str = ""
    frequency: str = ""
    read_with: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A reading with the uncertainty it deserves.

    Attributes
    ----------
    reading : Reading
        What was read.
    quantity : Quantity
        Mean of the repeats, with the combined standard uncertainty.
    scatter, accuracy, resolution, stated : float
        Standard uncertainty of each cause, in the quantity's unit; 0 where it does not apply.
    span : Range or None
        The instrument's range that the accuracy was taken from.
    sampling : float
        For a reading from a log: standard uncertainty of what lies between its rows and of the moments it is taken from.
    load : float
        Standard uncertainty of the correction for the meter's own load, where one was made.
    corrected : float
        What was added to it for the meter's own load, in the quantity's unit.
    over_range : bool
        Whether the display told that the value lies beyond its range; then `quantity` is the end of that range.
    accuracy_of : str
        What the accuracy belongs to, instrument first; readings with the same share that error. Empty where none is known.
    repeats : tuple of float
        What was shown each time, where it was more than once, in the quantity's unit.
    doubts : tuple of str
        Why it cannot be relied on at all, such as a signal that the meter does not follow.
    notes : tuple of str
        What was assumed or corrected.
    """

    reading: Reading
    quantity: Quantity
    scatter: float = 0.0
    accuracy: float = 0.0
    resolution: float = 0.0
    stated: float = 0.0
    span: Range | None = None
    sampling: float = 0.0
    load: float = 0.0
    corrected: float = 0.0
    over_range: bool = False
    accuracy_of: str = ""
    repeats: tuple[float, ...] = ()
    doubts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Name of the reading."""
        return self.reading.name

    @property
    def measures(self) -> str:
        """What was measured, such as "voltage ac", as the reading tells or its range; empty where neither does."""
        return self.reading.measures or ("" if self.span is None else self.span.measures)


def read_text(text: str, unit: str = "") -> Quantity:
    """Quantity of a text; a bare number, with or without ±, is a count or ratio where the unit allows it.

    Parameters
    ----------
    text : str
        What was written.
    unit : str, optional
        The kept unit that is expected; empty for any.

    Returns
    -------
    Quantity
        In that unit.

    Raises
    ------
    ImpossibleValue, UnknownName
        The text cannot be read, or not in that unit.
    """
    return parse_quantity(text, unit=unit or ("1" if all(map(_is_number, text.split("±"))) else None))


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text.replace("−", "-")))
    except ValueError:
        return False


def measure(
    reading: Reading, instruments: Mapping[str, Instrument], logs: Mapping[str, Logged] | None = None
) -> Measured:
    """Value of a reading and its uncertainty: scatter of repeats, the instrument's accuracy, its resolution.

    Parameters
    ----------
    reading : Reading
        What was read.
    instruments : mapping of str to Instrument
        Known instruments by name.
    logs : mapping of str to Logged, optional
        Known logs by name, for readings that are taken from one.

    Returns
    -------
    Measured
        Standard uncertainty as the root sum of squares: scatter s/√n with n − 1 degrees of freedom, accuracy and
        resolution as rectangular distributions.

    Raises
    ------
    ImpossibleValue, UnknownName
        A text cannot be read, the instrument is not known or cannot measure it.

    References
    ----------
    .. [1] JCGM 100:2008, 4.2.3 (scatter), 4.3.7 (limits), F.2.2.1 (resolution), 5.1.2 (combination).
    """
    if reading.taken is not None:
        from lidoff.evidence.taking import measure_logged

        return measure_logged(reading, reading.taken, instruments, logs or {})
    if not reading.shown:
        raise ImpossibleValue(f"the reading {reading.name!r} shows nothing", remedy="add what was shown")
    from lidoff.evidence.over_range import is_over_range, measure_over_range

    if any(map(is_over_range, reading.shown)):
        return measure_over_range(reading, instruments)
    unit = reading.target.unit
    repeats = [read_text(text, unit) for text in reading.shown]
    unit = unit or repeats[0].unit
    repeats = [read_text(text, unit) for text in reading.shown]
    if len(repeats) > 1:
        mean = mean_of_repeats([repeat.value for repeat in repeats], unit=unit)
    else:
        mean = Quantity(repeats[0].value, unit)
    stated = max(repeat.uncertainty for repeat in repeats)
    accuracy = resolution = 0.0
    span: Range | None = None
    step = max(resolution_of(text, unit=unit).value for text in reading.shown)
    if stated == 0.0:
        if reading.instrument:
            if reading.instrument not in instruments:
                raise UnknownName(
                    f"there is no instrument {reading.instrument!r}",
                    name=reading.instrument,
                    known=instruments,
                )
            measures = reading.measures or usual_measure(unit)
            kept = MEASURES.get(measures, unit)
            factor = Quantity(1.0, kept).value_in(unit)
            furthest = max(range(len(repeats)), key=lambda place: abs(repeats[place].value))
            span = instruments[reading.instrument].range_for(
                measures,
                repeats[furthest].value / factor,
                reading.on_range,
                shown=named_repeat(reading.shown, furthest),
            )
            step = step if span.step is None else span.step * factor
            accuracy = factor * span.limits.standard_uncertainty(
                mean.value / factor, step / factor, full_scale=span.full_scale
            )
        resolution = 0.0 if _is_count(unit, reading) else resolution_uncertainty(step)
    parts = (mean.uncertainty, accuracy, resolution, stated)
    doubts, notes = following(span, reading) if span is not None else ((), ())
    apart, aside = repeats_apart(
        reading.shown, [repeat.value for repeat in repeats], resolution_uncertainty(step)
    )
    dof = effective_degrees_of_freedom(parts, (mean.dof, math.inf, math.inf, math.inf))
    return Measured(
        reading=reading,
        quantity=Quantity(mean.value, unit, math.hypot(*parts), dof),
        scatter=mean.uncertainty,
        accuracy=accuracy,
        resolution=resolution,
        stated=stated,
        span=span,
        accuracy_of=f"{reading.instrument}: {span}" if span is not None else "",
        repeats=tuple(repeat.value for repeat in repeats) if len(repeats) > 1 else (),
        doubts=(*doubts, *apart),
        notes=(*notes, *aside),
    )


def _is_count(unit: str, reading: Reading) -> bool:
    """Whether whole things were counted by hand, which has no resolution to speak of."""
    return unit == "1" and not reading.instrument and all(text.strip().isdigit() for text in reading.shown)
