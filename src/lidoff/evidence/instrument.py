"""Instruments: what they measure, how accurately, and how they load what they touch."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence.following import RESPONDS, band_of
from lidoff.quantities import (
    Accuracy,
    Quantity,
    format_quantity,
    parse_accuracy,
    parse_quantity,
    unit_named,
)

__all__ = ["MEASURES", "Instrument", "Range", "usual_measure"]

MEASURES: Mapping[str, str] = MappingProxyType(
    {
        "voltage dc": "V",
        "voltage ac": "V",
        "current dc": "A",
        "current ac": "A",
        "power": "W",
        "power ac": "W",
        "apparent power": "VA",
        "resistance": "Ω",
        "capacitance": "F",
        "inductance": "H",
        "frequency": "Hz",
        "time": "s",
        "temperature": "°C",
        "energy": "Wh",
        "charge": "Ah",
        "mass": "kg",
        "length": "m",
        "pressure": "Pa",
        "volume flow": "m³/s",
        "speed": "m/s",
        "speed of rotation": "rad/s",
        "force": "N",
        "torque": "N·m",
        "illuminance": "lx",
        "luminous flux": "lm",
        "irradiance": "W/m²",
        "level": "dB",
        "ratio": "1",
    }
)
"""What a range can measure → the unit it is kept in."""

_PER_AMPERE = re.compile(r"(?P<volts>.+?V)\s*/\s*(?P<amperes>[mµu]?A)")


def usual_measure(unit: str) -> str:
    """What a reading in that unit measures, unless it says otherwise: DC before AC.

    Parameters
    ----------
    unit : str
        Kept unit of the reading.

    Returns
    -------
    str
        One of `MEASURES`, or an empty text where no range can measure it.
    """
    return next((name for name, kept in MEASURES.items() if _same(kept, unit)), "")


def _same(one: str, other: str) -> bool:
    """Whether two kept units measure the same thing, as Wh and J do."""
    # Not by conversion: there a bare "m" after a voltage is milli, not metre.
    return unit_named(one).dimension == unit_named(other).dimension


@cache
def _accuracy(text: str, unit: str) -> Accuracy:
    return parse_accuracy(text, unit=unit)


@cache
def _value(text: str, unit: str) -> float:
    return parse_quantity(text, unit=unit).value


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """One measuring range of an instrument, as its data sheet states it.

    Attributes
    ----------
    measures : str
        One of `MEASURES`.
    accuracy : str
        Such as ``"±(0.5 % + 3)"``.
    up_to : str
        Full scale with unit, such as ``"6 V"``; empty where the instrument has one range only.
    resolution : str
        Step of the last digit with unit; empty where the digits of each reading tell it.
    burden : str
        For current ranges: what the meter puts into the circuit, as a resistance or as volts per ampere such as
        ``"1.8 mV/mA"``; empty if not known.
    crest_factor : str
        For AC ranges: largest crest factor that the accuracy holds for; empty if not stated.
    band : str
        For AC ranges: frequencies that the accuracy holds for, such as ``"45 Hz to 1 kHz"``; empty if not stated.
    responds : str
        For AC ranges: ``true rms`` or ``mean``; empty if not stated, and then taken as true rms.
    """

    measures: str
    accuracy: str
    up_to: str = ""
    resolution: str = ""
    burden: str = ""
    crest_factor: str = ""
    band: str = ""
    responds: str = ""

    @property
    def unit(self) -> str:
        """Kept unit of what it measures."""
        return MEASURES[self.measures]

    @property
    def limits(self) -> Accuracy:
        """The accuracy as limits."""
        return _accuracy(self.accuracy, self.unit)

    @property
    def full_scale(self) -> float | None:
        """Largest reading, in the kept unit; None where the range is open."""
        return _value(self.up_to, self.unit) if self.up_to else None

    @property
    def step(self) -> float | None:
        """Step of the last digit, in the kept unit; None where it is not stated."""
        return _value(self.resolution, self.unit) if self.resolution else None

    @property
    def burden_ohms(self) -> float | None:
        """Resistance that the range puts into the circuit [Ω]; None if not known."""
        if not self.burden:
            return None
        per_ampere = _PER_AMPERE.fullmatch(self.burden.strip())
        if per_ampere is None:
            return parse_quantity(self.burden, unit="Ω").value
        return (
            parse_quantity(per_ampere["volts"], unit="V").value
            / parse_quantity(f"1 {per_ampere['amperes']}", unit="A").value
        )

    @property
    def largest_crest(self) -> float | None:
        """Largest crest factor that the accuracy holds for; None if not stated."""
        return parse_quantity(self.crest_factor, unit="1").value if self.crest_factor else None

    def check(self) -> None:
        """Refuse texts that cannot be read.

        Raises
        ------
        ImpossibleValue, UnknownName
            A text is not understood, or what it measures is not known.
        """
        if self.measures not in MEASURES:
            raise UnknownName(f"no instrument measures {self.measures!r}", name=self.measures, known=MEASURES)
        if self.limits.needs_range and self.full_scale is None:
            raise ImpossibleValue(
                f"the accuracy {self.accuracy!r} counts a share of the range, and the range has no end",
                remedy='add up_to, such as up_to = "6 V"',
            )
        for text, what in ((self.full_scale, "up_to"), (self.step, "resolution")):
            if text is not None and not text > 0.0:
                raise ImpossibleValue(f"{what} is not above zero", remedy="give a positive value with unit")
        if self.burden_ohms is not None and not self.burden_ohms >= 0.0:
            raise ImpossibleValue(f"the burden {self.burden!r} is negative", remedy="give a resistance")
        if self.largest_crest is not None and not self.largest_crest >= 1.0:
            raise ImpossibleValue(
                f"a crest factor of {self.crest_factor}",
                remedy="give one from 1 up, since no peak is below its rms value",
            )
        if self.band:
            band_of(self.band)
        if self.responds and self.responds not in RESPONDS:
            raise UnknownName(f"no range responds to {self.responds!r}", name=self.responds, known=RESPONDS)

    def __str__(self) -> str:
        """What a reader wants to know of it."""
        return " ".join(text for text in (self.measures, self.up_to, self.accuracy) if text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """One instrument that readings were taken with.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    title : str
        What it is, such as ``"6000-count hand-held multimeter"``.
    ranges : tuple of Range
        What it measures.
    input_resistance : str
        Resistance across its voltage input; empty if not known, and then no loading is predicted.
    calibrated : str
        When and how it was last checked, in words.
    note : str
        Anything else.
    """

    name: str
    title: str = ""
    ranges: tuple[Range, ...] = ()
    input_resistance: str = ""
    calibrated: str = ""
    note: str = ""

    @property
    def input_ohms(self) -> float | None:
        """Input resistance [Ω]; None if not known."""
        if not self.input_resistance:
            return None
        return parse_quantity(self.input_resistance, unit="Ω").value

    def _for_want_of(self, measures: str) -> str:
        """What to do where no range measures what is asked: another of that unit may be what was read on."""
        unit = MEASURES.get(measures)
        others = dict.fromkeys(span.measures for span in self.ranges if MEASURES[span.measures] == unit)
        add = f'add a range with measures = "{measures}" and its accuracy, or name another instrument'
        if not others:
            return add
        told = " or ".join(f'measures = "{one}"' for one in others)
        return f"write {told} with the reading if that is what was read, or {add}"

    def range_for(self, measures: str, value: float, named: str = "", *, shown: str = "") -> Range:
        """Range that a reading was taken on: the one named, else the smallest that holds the value.

        Parameters
        ----------
        measures : str
            One of `MEASURES`.
        value : float
            What was shown, in the kept unit.
        named : str, optional
            Full scale of the range, with unit, where the reading tells it.
        shown : str, optional
            How an error is to name the value; as a quantity if left out.

        Returns
        -------
        Range
            The range.

        Raises
        ------
        UnknownName
            The instrument has no such range.
        ImpossibleValue
            The value lies beyond all its ranges.
        """
        fitting = [span for span in self.ranges if span.measures == measures]
        if not fitting:
            raise UnknownName(
                f"the instrument {self.name!r} has no accuracy for {measures}",
                name=measures,
                known={span.measures for span in self.ranges},
                remedy=self._for_want_of(measures),
            )
        unit = MEASURES[measures]
        if named:
            wanted = parse_quantity(named, unit=unit).value
            fitting = [span for span in fitting if span.full_scale is not None and span.full_scale == wanted]
            if not fitting:
                ends = ", ".join(span.up_to for span in self.ranges if span.measures == measures)
                raise ImpossibleValue(
                    f"the instrument {self.name!r} has no range {named!r} for {measures}",
                    remedy=f"its ranges end at {ends}",
                )
        holding = [span for span in fitting if span.full_scale is None or abs(value) <= span.full_scale]
        if not holding:
            raise ImpossibleValue(
                f"{shown or format_quantity(Quantity(value, unit))} lies beyond the range of {self.name!r} for {measures}",
                remedy="check the reading and its range",
            )
        return min(holding, key=lambda span: float("inf") if span.full_scale is None else span.full_scale)
