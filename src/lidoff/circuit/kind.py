"""What a kind of part must tell about itself, and the laws that its equations are made of.

A *law* is one vectorised set of equations: it sees the differences that matter to it (its *ports*), answers with currents and
constraints (its *responses*) and says at which variables they act. A *kind* of part lists *elements*, each a law set between
pins, with the way from the part's parameters to the law's.

In matrix words, with ``x`` the unknowns of the circuit: ``w = x W`` are all ports, ``j(w)`` all responses and ``j R = 0`` the
equations to solve (Kirchhoff's current law at each net, and each law's own constraint). This is modified nodal analysis
[1]_ with the incidence of each law kept apart from its non-linear part.

References
----------
.. [1] C.-W. Ho, A. E. Ruehli, P. A. Brennan, "The modified nodal approach to network analysis", IEEE Trans. Circuits and
   Systems 22(6), 504-509, 1975.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray

from lidoff.catalogue import catalogue
from lidoff.circuit.netlist import Part, Setting, Spread
from lidoff.circuit.outlines import BOX, Outline
from lidoff.errors import ImpossibleValue, UnknownName

__all__ = [
    "Array",
    "Element",
    "Kind",
    "Law",
    "Parameter",
    "Parameters",
    "Rating",
    "Response",
    "all_kinds",
    "kind_of",
    "settings_of",
]

Array = NDArray[np.float64]
EXACT = Spread()
Parameters = Mapping[str, Array]
Ports = tuple[Array, ...]


@dataclass(frozen=True, slots=True)
class Response:
    """What a law answers at its ports.

    Attributes
    ----------
    values : tuple of ndarray of shape (B, K)
        One array a response [A] or, for a constraint, in the constraint's unit.
    slopes : tuple of ndarray of shape (B, K)
        Derivatives, one for each pair in the law's ``pairs``.
    """

    values: Ports
    slopes: Ports


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Law:
    """One vectorised set of equations, set between terminals.

    Attributes
    ----------
    name : str
        What it is called in messages.
    terminals : tuple of str
        Where it touches the circuit.
    unknowns : tuple of str
        Further unknowns that it brings, such as a branch current [A] or a speed [rad/s].
    ports : tuple of mapping of str to float
        Each port as a weighted sum of terminals [V] and unknowns.
    rows : tuple of mapping of str to float
        For each response, where it acts: at a terminal as a current out of the net into the part, at an unknown as its
        constraint (the weighted sum is to be zero).
    pairs : tuple of (int, int)
        The (response, port) pairs whose derivative is not always zero.
    respond : callable (ports, parameters) → Response
        Ports are arrays of shape (B, K); parameters likewise, or broadcastable.
    linear, timed : bool
        Whether all slopes are free of the ports; whether the responses depend on ``parameters["time"]`` [s].
    store, store_rows, store_pairs
        As `respond`, `rows` and `pairs`: charge [C] or flux linkage [Wb] kept, of which the time derivative adds to the rows.
    limit : callable (new ports, old ports, parameters) → ports, optional
        Keeps Newton's steps of exponential laws within reach.
    breakpoints : callable (parameters, start, end) → sequence of float, optional
        Instants at which a timed law has a corner [s].
    idle_without : str
        Parameter that leaves it idle when zero, so that it ties no nets; empty for none.
    """

    name: str
    terminals: tuple[str, ...]
    ports: tuple[Mapping[str, float], ...]
    rows: tuple[Mapping[str, float], ...]
    pairs: tuple[tuple[int, int], ...]
    respond: Callable[[Ports, Parameters], Response]
    unknowns: tuple[str, ...] = ()
    linear: bool = False
    timed: bool = False
    store: Callable[[Ports, Parameters], Response] | None = None
    store_rows: tuple[Mapping[str, float], ...] = ()
    store_pairs: tuple[tuple[int, int], ...] = ()
    limit: Callable[[Ports, Ports, Parameters], Ports] | None = None
    breakpoints: Callable[[Mapping[str, float], float, float], tuple[float, ...]] | None = None
    idle_without: str = ""

    @property
    def variables(self) -> tuple[str, ...]:
        """Terminals, then unknowns."""
        return (*self.terminals, *self.unknowns)


def _same(parameters: Parameters) -> Parameters:
    return parameters


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """A law set between pins of a part.

    Attributes
    ----------
    law : Law
        The equations.
    joins : tuple of str
        For each terminal of the law the part's pin, or a name starting with ``~`` for a node inside the part.
    derive : callable (parameters of the part) → parameters of the law
        Vectorised; arrays of any one shape.
    """

    law: Law
    joins: tuple[str, ...]
    derive: Callable[[Parameters], Parameters] = _same


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One number, or named state, that a part of the kind has.

    Attributes
    ----------
    name : str
        Full words, as in the dossier.
    unit : str
        SI unit, ``"1"`` for a ratio, empty for a state.
    typical : float or None
        Taken where the dossier says nothing; None if the dossier must say it.
    spread : Spread
        Usual limits.
    words : mapping of str to float
        Words accepted in place of a number, such as ``open`` and ``closed``.
    later_words : mapping of str to str
        Words accepted of parts alone that tell another parameter, with the name of that.
    minimum, maximum : float
        What can be at all.
    above : bool
        Whether the minimum itself is excluded.
    says : str
        One line of help.
    source : str
        Where the typical value and spread come from.
    """

    name: str
    unit: str
    typical: float | None = None
    spread: Spread = EXACT
    words: Mapping[str, float] = field(default_factory=dict)
    later_words: Mapping[str, str] = field(default_factory=dict)
    minimum: float = -np.inf
    maximum: float = np.inf
    above: bool = False
    says: str = ""
    source: str = "typical, common practice, no source"

    def check(self, value: float) -> None:
        """Refuse what cannot be.

        Raises
        ------
        ImpossibleValue
            The value is not finite or out of range.
        """
        low_enough = value > self.minimum if self.above else value >= self.minimum
        if not (math.isfinite(value) and low_enough and value <= self.maximum):
            sign = ">" if self.above else "≥"
            upper = "" if np.isinf(self.maximum) else f" and ≤ {self.maximum:g} {self.unit}"
            lower = "" if np.isinf(self.minimum) else f" {sign} {self.minimum:g} {self.unit}"
            raise ImpossibleValue(
                f"{self.name.replace('_', ' ')} = {value:g} {self.unit} cannot be",
                remedy=f"give a finite value{lower}{upper}",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """A limit that parts of the kind carry, and the quantity that it limits.

    Attributes
    ----------
    name : str
        Parameter that holds the limit, such as ``power_rating``.
    unit : str
        Its unit.
    of : str
        What is limited: ``voltage``, ``current``, ``power``, a pin pair ``"gate-source"``, or ``contact voltage`` and
        ``contact current``, which hold for each of the kind's contacts.
    over_time : {"", "effective", "mean", "steady or effective"}
        What of a waveform counts, where it is not the usual: the extremes of a voltage, the effective value of a current,
        the mean of a power. A voltage limited by its effective value is alternating, and says nothing of a steady one; one
        limited by ``steady or effective`` heats or breaks alike, whichever it is.
    """

    name: str
    unit: str
    of: str
    over_time: str = ""


def _no_parameters(part: Part) -> tuple[Parameter, ...]:  # noqa: ARG001
    return ()


def _no_contacts(part: Part) -> tuple[tuple[str, str], ...]:  # noqa: ARG001
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What a kind of part tells about itself.

    Attributes
    ----------
    name : str
        As written in the dossier.
    title : str
        As read by a person.
    letters : tuple of str
        Usual first letters of its reference, the first being the preferred one.
    pins : tuple of str
        Names of its pins; empty if each part names its own.
    path : tuple of str
        The two pins between which the main current flows; current counts from the first to the second. Empty if there is none.
    elements : callable (part) → tuple of Element
        The equations, given which pins and values the part has.
    parameters : tuple of Parameter
        What a part of the kind can be told.
    only_if_told : tuple of Parameter
        Parameters of those parts alone whose values name them: what stands in for another parameter, or adds an effect that is
        left out otherwise. A situation can set them only then.
    own_parameters : callable (part) → tuple of Parameter
        Further parameters of one part, such as one a pin.
    ratings : tuple of Rating
        Limits.
    contacts : callable (part) → tuple of (str, str)
        Pairs of pins that a contact joins or parts, for kinds with contacts; the second pin carries that contact's current
        alone.
    main_value : str
        Parameter that stands beside the symbol, and that ``value = "…"`` sets.
    outline : Outline
        Symbol.
    controls : tuple of (str, str)
        Pairs of pins, controlling → controlled, for the drawing's left-to-right order.
    supplies : bool
        Whether it drives the circuit from outside (a source, a cell).
    unknown : bool
        Whether more may be inside than its equations tell.
    optional_pins : tuple of str
        Pins that may be left out of the dossier.
    example : mapping of str to float or str
        Values of an ordinary part, where the typical ones do not suffice.
    example_pins : mapping of str to str
        For kinds whose parts name their own pins: pins of an ordinary part, with their roles.
    says : str
        One plain sentence on what parts of the kind do.
    source : str
        Where the equations come from.
    """

    name: str
    title: str
    letters: tuple[str, ...]
    pins: tuple[str, ...]
    elements: Callable[[Part], tuple[Element, ...]]
    source: str
    says: str
    path: tuple[str, ...] = ()
    parameters: tuple[Parameter, ...] = ()
    only_if_told: tuple[Parameter, ...] = ()
    own_parameters: Callable[[Part], tuple[Parameter, ...]] = _no_parameters
    ratings: tuple[Rating, ...] = ()
    contacts: Callable[[Part], tuple[tuple[str, str], ...]] = _no_contacts
    main_value: str = ""
    outline: Outline = BOX
    controls: tuple[tuple[str, str], ...] = ()
    supplies: bool = False
    unknown: bool = False
    optional_pins: tuple[str, ...] = ()
    example: Mapping[str, Setting] = field(default_factory=dict)
    example_pins: Mapping[str, str] = field(default_factory=dict)

    def parameters_of(self, part: Part) -> Mapping[str, Parameter]:
        """All parameters that this part can be told, by name."""
        told = (one for one in self.only_if_told if one.name in part.values)
        return {one.name: one for one in (*self.parameters, *told, *self.own_parameters(part))}

    def example_part(self, reference: str = "") -> Part:
        """Build an ordinary part of the kind, each pin on a net of the pin's name."""
        pins = self.pins or tuple(self.example_pins)
        return Part(
            reference=reference or f"{self.letters[0]}1",
            kind=self.name,
            pins={pin: pin for pin in pins},
            values=self.example,
            pin_roles={pin: role for pin, role in self.example_pins.items() if role},
        )


@cache
def all_kinds() -> Mapping[str, Kind]:
    """Every kind of part by name, sorted."""
    from lidoff.circuit import kinds

    return catalogue(kinds, of=Kind)


def kind_of(part: Part) -> Kind:
    """Kind of the part.

    Raises
    ------
    UnknownName
        No kind has that name; the nearest is suggested.
    """
    known = all_kinds()
    if part.kind not in known:
        raise UnknownName(f"{part.reference}: unknown kind {part.kind!r}", name=part.kind, known=known)
    return known[part.kind]


def settings_of(part: Part, settings: Mapping[str, Setting] | None = None) -> Mapping[str, float]:
    """Number of every parameter of a part, states as their code.

    Parameters
    ----------
    part : Part
        Its values go before the kind's typical ones.
    settings : mapping of str to float or str, optional
        What a situation sets; goes before the part's own values.

    Returns
    -------
    mapping of str to float
        In SI units.

    Raises
    ------
    ImpossibleValue
        A value is missing or cannot be.
    UnknownName
        A parameter or word is not known.
    """
    parameters = kind_of(part).parameters_of(part)
    given = {**part.values, **(settings or {})}
    for name in given:
        if name not in parameters:
            raise UnknownName(
                f"{part.reference} ({part.kind}) has no parameter {name!r}", name=name, known=parameters
            )
    numbers: dict[str, float] = {}
    for name, parameter in parameters.items():
        value = given.get(name, parameter.typical)
        if value is None:
            raise ImpossibleValue(
                f"{part.reference} ({part.kind}) needs its {name.replace('_', ' ')}",
                remedy=f"add {name} with its value in {parameter.unit}",
            )
        if isinstance(value, str):
            if value not in parameter.words:
                what = f"{part.reference}: {name} = {value!r} is not understood"
                raise UnknownName(what, name=value, known=parameter.words)
            value = parameter.words[value]
        try:
            parameter.check(value)
        except ImpossibleValue as error:
            raise ImpossibleValue(f"{part.reference}: {error.what}", remedy=error.remedy) from None
        numbers[name] = float(value)
    return numbers
