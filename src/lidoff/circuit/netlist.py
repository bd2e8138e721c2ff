"""A circuit as frozen data: parts with named pins, joined by named nets."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from lidoff.errors import CircuitFault, UnknownName

__all__ = ["Circuit", "Part", "Pin", "Situation", "Spread"]

Setting = float | str


def _frozen(mapping: Mapping[str, object]) -> Mapping[str, object]:
    return mapping if isinstance(mapping, MappingProxyType) else MappingProxyType(dict(mapping))


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How far a value may lie from its nominal one.

    Attributes
    ----------
    half_width : float
        Half width of the limits, as a fraction of the nominal value or in its unit.
    relative : bool
        Whether `half_width` is a fraction of the nominal value.
    normal : bool
        Whether the limits are two standard deviations of a normal distribution; else all values between the limits
        are taken as equally likely (JCGM 100:2008, 4.3.7).
    """

    half_width: float = 0.0
    relative: bool = True
    normal: bool = False

    def limits(self, nominal: float) -> float:
        """Half width of the limits round `nominal`, in its unit."""
        return self.half_width * abs(nominal) if self.relative else self.half_width

    def standard(self, nominal: float) -> float:
        """Standard uncertainty round `nominal`, in its unit."""
        divisor: float = 2.0 if self.normal else 3.0**0.5
        return self.limits(nominal) / divisor


@dataclass(frozen=True, slots=True, order=True)
class Pin:
    """One pin of one part, named as on the drawing."""

    reference: str
    pin: str

    def __str__(self) -> str:
        return f"{self.reference}.{self.pin}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part on the board or at the end of its wires.

    Attributes
    ----------
    reference : str
        Reference designator, such as ``R3``.
    kind : str
        Name of its kind, see `lidoff.circuit.all_kinds`.
    pins : mapping of str to str
        Net of each pin by the pin's name.
    values : mapping of str to float or str
        What is known of its parameters, in SI units, or the word for a state such as ``"closed"``; the kind's typical values
        fill the rest.
    spreads : mapping of str to Spread
        Limits of single parameters, where they are better known than the kind's typical ones.
    pin_roles : mapping of str to str
        For boxes and controllers: ``supply``, ``ground``, ``input``, ``output``, ``both`` or ``programming``.
    pin_names : mapping of str to str
        For boxes and controllers: what stands beside the pin on the drawing.
    marking, package, does : str
        What is printed on it, its body, and what it does here in the analyst's words.
    stands_for : tuple of str
        For a steady supply that is no part of the device: the parts that it stands for on average at rest, see
        `lidoff.circuit.standing_in`.
    """

    reference: str
    kind: str
    pins: Mapping[str, str]
    values: Mapping[str, Setting] = field(default_factory=dict)
    spreads: Mapping[str, Spread] = field(default_factory=dict)
    pin_roles: Mapping[str, str] = field(default_factory=dict)
    pin_names: Mapping[str, str] = field(default_factory=dict)
    marking: str = ""
    package: str = ""
    does: str = ""
    stands_for: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name in ("pins", "values", "spreads", "pin_roles", "pin_names"):
            object.__setattr__(self, name, _frozen(getattr(self, name)))

    def __reduce__(self) -> tuple[object, ...]:
        """Rebuild from plain mappings, so that a part crosses to a worker process."""
        plain = {
            name: dict(value) if isinstance(value, Mapping) else value
            for name in self.__slots__
            for value in [getattr(self, name)]
        }
        return _part, (plain,)


def _part(fields: dict[str, object]) -> Part:
    return Part(**fields)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """What is set while the circuit is looked at: supplies, switch positions, what each controller pin does.

    Attributes
    ----------
    name : str
        Such as ``idle`` or ``charging``.
    settings : mapping of str to mapping of str to float or str
        By reference designator: parameter or pin → value in SI units, or a word.
    title : str
        One line for the reader.
    """

    name: str
    settings: Mapping[str, Mapping[str, Setting]] = field(default_factory=dict)
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """Parts and the nets that their pins make.

    Attributes
    ----------
    parts : tuple of Part
        In the order of the dossier; the order changes no result.
    ground : str
        Net that voltages are told against; empty when none is named.
    title : str
        For the drawing.
    rails : mapping of str to str
        Role of nets: ``supply``, ``ground``, ``signal``; others are found from the circuit.
    """

    parts: tuple[Part, ...]
    ground: str = "gnd"
    title: str = ""
    rails: Mapping[str, str] = field(default_factory=dict)
    _nets: Mapping[str, tuple[Pin, ...]] | None = field(default=None, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        seen: set[str] = set()
        for part in self.parts:
            if part.reference in seen:
                raise CircuitFault(
                    f"two parts are called {part.reference}", remedy="give each part its own reference"
                )
            seen.add(part.reference)

    def _repr_svg_(self) -> str | None:
        """Picture in a notebook, by the entry point ``circuit`` of ``lidoff.pictures``: this room draws nothing itself."""
        from importlib.metadata import entry_points

        for drawer in entry_points(group="lidoff.pictures", name="circuit"):
            return str(drawer.load()(self))
        return None

    @property
    def nets(self) -> Mapping[str, tuple[Pin, ...]]:
        """Pins on each net, nets and pins sorted by name."""
        if self._nets is None:  # asked for thousands of times while a drawing is made
            nets: dict[str, list[Pin]] = {}
            for part in self.parts:
                for pin, net in part.pins.items():
                    nets.setdefault(net, []).append(Pin(part.reference, pin))
            found = {net: tuple(sorted(nets[net])) for net in sorted(nets)}
            object.__setattr__(self, "_nets", found)
            return found
        return self._nets

    def part(self, reference: str) -> Part:
        """Part of that reference.

        Raises
        ------
        UnknownName
            No part has it; the nearest is suggested.
        """
        for part in self.parts:
            if part.reference == reference:
                return part
        raise UnknownName(
            f"there is no part {reference!r}", name=reference, known=(part.reference for part in self.parts)
        )

    def with_parts(self, changed: Iterable[Part]) -> Circuit:
        """Return the circuit with parts of the same reference replaced and new ones added."""
        new = {part.reference: part for part in changed}
        kept = [new.pop(part.reference, part) for part in self.parts]
        return replace(self, parts=(*kept, *new.values()))
