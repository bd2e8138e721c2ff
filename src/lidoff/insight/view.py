"""A circuit as an analyst looks at it: wires joined, rails known, each net's pins at hand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from lidoff.circuit import Circuit, Part, kind_of
from lidoff.insight.placed import PlacedPart, side_by_side

__all__ = ["SWAPS", "PlacedPart", "View", "view_of"]

JOINING = {
    "wire": (("1", "2"),), "link": (("1", "2"),), "track": (("1", "2"),), "contact": (("1", "2"),),
    "cable": (("near_plus", "far_plus"), ("near_minus", "far_minus")),
}  # fmt: skip
"""Kinds that only carry current from one place to another, and the pins that they join."""
SMALLEST_RESERVOIR = 0.47e-6
"""Smallest ceramic capacitor that counts as keeping a rail up [F]; our choice."""
UNSEEN = frozenset({"test_point", "meter"})
SUPPLIES = frozenset({"dc_supply", "cell", "battery"})
ALTERNATING = frozenset({"ac_supply", "pulse_supply"})
PASSES_RAIL = frozenset({"fuse", "resettable_fuse", "switch"})
BOXES = frozenset({"box", "controller"})
RAIL_PINS = frozenset(
    {
        ("linear_regulator", "input"), ("linear_regulator", "output"), ("adjustable_regulator", "input"),
        ("step_down_converter", "input"), ("step_down_converter", "output"), ("step_up_converter", "input"),
        ("step_up_converter", "output"), ("linear_charger", "input"), ("linear_charger", "battery"),
        ("bridge_rectifier", "plus"),
    }
)  # fmt: skip
RAIL_PIN_NAMES = frozenset({"supply", "supply_plus"})
OUTPUTS = frozenset({"output", "discharge", "charging", "charged"})
INPUTS = frozenset(
    {
        "input",
        "input_1",
        "input_2",
        "non_inverting",
        "inverting",
        "trigger",
        "threshold",
        "reset",
        "reference",
    }
)
GATE_KINDS = frozenset(
    {
        "inverter", "buffer", "and_gate", "nand_gate", "or_gate", "nor_gate", "xor_gate", "operational_amplifier",
        "comparator", "timer", "shunt_reference", "linear_charger",
    }
)  # fmt: skip
TWO_WAY = frozenset(
    {
        "button", "capacitor", "crystal", "film_capacitor", "fuse", "heater", "inductor", "lamp", "ntc", "photoresistor",
        "piezo", "resettable_fuse", "resistor", "switch", "two_way_suppressor", "varistor",
    }
)  # fmt: skip
SWAPS: Mapping[str, tuple[Mapping[str, str], ...]] = {
    **{kind: ({"1": "2", "2": "1"},) for kind in TWO_WAY},
    "potentiometer": ({"1": "2", "2": "1"},),
    "relay": ({"coil_1": "coil_2", "coil_2": "coil_1"},),
    "bridge_rectifier": ({"ac_1": "ac_2", "ac_2": "ac_1"},),
    "transformer": (
        {"primary_1": "primary_2", "primary_2": "primary_1"},
        {"secondary_1": "secondary_2", "secondary_2": "secondary_1"},
        {
            "primary_1": "primary_2", "primary_2": "primary_1",
            "secondary_1": "secondary_2", "secondary_2": "secondary_1",
        },
    ),
    **{kind: ({"input_1": "input_2", "input_2": "input_1"},) for kind in GATE_KINDS if kind.endswith("_gate")},
}  # fmt: skip
"""For each kind whose pins can be exchanged without a change, the exchanges."""


class _Nets(dict[str, str]):
    """Net of each pin; a pin that was left out lies on a net of its own, which nothing else touches."""

    def __missing__(self, pin: str) -> str:
        return f"(left out: {pin} at {id(self)})"


class _Pins(dict[str, tuple[tuple["PlacedPart", str], ...]]):
    """Pins on each net; none on that of a pin that was left out."""

    def __missing__(self, net: str) -> tuple[tuple[PlacedPart, str], ...]:
        return ()


@dataclass(frozen=True, kw_only=True, eq=False)
class View:
    """A circuit with its wires joined.

    Attributes
    ----------
    circuit : Circuit
    parts : tuple of PlacedPart
        Without wires, test points, and parts that hang on one pin or have both on one net; sorted by reference.
    joined : mapping of str to str
        Net of the circuit → joined net.
    tested : frozenset of str
        Joined nets that carry a test point.
    """

    circuit: Circuit
    parts: tuple[PlacedPart, ...]
    joined: Mapping[str, str]
    tested: frozenset[str]

    @cached_property
    def by_kind(self) -> Mapping[str, tuple[PlacedPart, ...]]:
        """Parts of each kind."""
        found: dict[str, list[PlacedPart]] = {}
        for one in self.parts:
            found.setdefault(one.kind, []).append(one)
        return {kind: tuple(ones) for kind, ones in found.items()}

    @cached_property
    def by_reference(self) -> Mapping[str, PlacedPart]:
        """Part of each reference."""
        return {one.reference: one for one in self.parts}

    @cached_property
    def pins(self) -> Mapping[str, tuple[tuple[PlacedPart, str], ...]]:
        """Parts and pins on each joined net."""
        found: dict[str, list[tuple[PlacedPart, str]]] = {}
        for one in self.parts:
            for pin, net in one.nets.items():
                found.setdefault(net, []).append((one, pin))
        return _Pins({net: tuple(pins) for net, pins in found.items()})

    @cached_property
    def ground(self) -> str:
        """Joined net that voltages are told against."""
        if self.circuit.ground in self.joined:
            return self.joined[self.circuit.ground]
        minus = [one.nets["minus"] for kind in sorted(SUPPLIES) for one in self.by_kind.get(kind, ())]
        return minus[0] if minus else ""

    @cached_property
    def grounds(self) -> frozenset[str]:
        """Nets that work as a ground: the ground, those told to be, and the lower ends of supplies."""
        told = {
            self.joined[net]
            for net, role in self.circuit.rails.items()
            if role == "ground" and net in self.joined
        }
        sources = [one for kind in SUPPLIES for one in self.by_kind.get(kind, ())]
        plus = {one.nets["plus"] for one in sources}
        lower = {one.nets["minus"] for one in sources} - plus
        rectified = {one.nets["minus"] for one in self.by_kind.get("bridge_rectifier", ())}
        return frozenset({self.ground, *told, *lower, *rectified} - {""})

    @cached_property
    def supplies(self) -> frozenset[str]:
        """Nets that feed: plus ends of supplies, supply pins, outputs of regulators, and what fuses and switches pass on."""
        told = {self.joined[net]: role for net, role in self.circuit.rails.items() if net in self.joined}
        found = {net for net, role in told.items() if role == "supply"}
        found |= {one.nets["plus"] for kind in SUPPLIES for one in self.by_kind.get(kind, ())}
        for net, pins in self.pins.items():
            if any(_feeds(one, pin) for one, pin in pins) or self._is_reservoir(net):
                found.add(net)
        barred = self.grounds | {net for net, role in told.items() if role != "supply"}
        found -= barred
        while True:
            passed = {
                net
                for kind in PASSES_RAIL
                for one in self.by_kind.get(kind, ())
                for near, net in (tuple(one.nets.values()), tuple(one.nets.values())[::-1])
                if near in found and not (kind == "switch" and self._is_only_read(net))
            }
            passed |= {one.nets["output"] for one in self.by_kind.get("adjustable_regulator", ())}
            if passed - barred <= found:
                return frozenset(found)
            found |= passed - barred

    def _is_only_read(self, net: str) -> bool:
        """Whether inputs look at the net and nothing there takes a current worth the name."""
        others = [(one, pin) for one, pin in self.pins[net] if one.kind != "switch"]
        quiet = all(
            _senses(one, pin)
            or (one.kind in ("resistor", "capacitor") and set(one.nets.values()) & self.grounds)
            for one, pin in others
        )
        return quiet and any(_senses(one, pin) for one, pin in others)

    def _is_reservoir(self, net: str) -> bool:
        """Whether a large capacitor stands from here to ground and a rectifier, coil or Zener diode meets it here."""
        pins = self.pins[net]
        kept = any(
            (one.kind == "electrolytic_capacitor" and pin == "plus" and one.nets["minus"] in self.grounds)
            or (
                one.kind == "capacitor"
                and (one.value("capacitance") or 0.0) >= SMALLEST_RESERVOIR
                and bool(set(one.nets.values()) & self.grounds)
            )
            for one, pin in pins
        )
        fed = any(
            (one.kind in ("diode", "schottky") and pin == "cathode")
            or one.kind == "inductor"
            or (one.kind in ("zener", "shunt_reference") and pin == "cathode")
            for one, pin in pins
        )
        return kept and fed

    @cached_property
    def rails(self) -> frozenset[str]:
        """Supplies and grounds."""
        return self.supplies | self.grounds

    @cached_property
    def alternating(self) -> frozenset[str]:
        """Nets at the ends of alternating sources and windings, and behind a fuse, resistor or coil from there."""
        found = {net for one in self.by_kind.get("ac_supply", ()) for net in one.nets.values()}
        for kind in ("transformer", "three_winding_transformer"):
            found |= {
                net
                for one in self.by_kind.get(kind, ())
                for pin, net in one.nets.items()
                if "primary" not in pin
            }
        passing = [
            one
            for kind in ("fuse", "resettable_fuse", "switch", "resistor", "inductor", "film_capacitor", "ntc")
            for one in self.by_kind.get(kind, ())
        ]
        for _ in range(4):
            for one in passing:
                first, second = one.nets["1"], one.nets["2"]
                if (first in found) != (second in found) and not {first, second} & self.grounds:
                    found |= {first, second}
        return frozenset(found)

    def degree(self, net: str) -> int:
        """Number of pins on a net."""
        return len(self.pins[net])

    def is_driven(self, net: str, *, by: Iterable[str] = ()) -> bool:
        """Whether an output may set the net."""
        return any(_drives(one, pin) for one, pin in self.pins[net] if not by or one.kind in by)

    def is_sensed(self, net: str) -> bool:
        """Whether an input looks at the net."""
        return any(_senses(one, pin) for one, pin in self.pins[net])

    @cached_property
    def series(self) -> Mapping[str, frozenset[str]]:
        """Parts of the circuit, wires among them, that carry the same current as each two-pin part."""
        pins: dict[str, list[str]] = {}
        twins = {name for one in self.parts for name in one.twins}
        seen = [
            part for part in self.circuit.parts if part.kind not in UNSEEN and part.reference not in twins
        ]
        for part in seen:
            for net in part.pins.values():
                pins.setdefault(net, []).append(part.reference)
        groups = {part.reference: frozenset({part.reference}) for part in seen if len(part.pins) == 2}
        for on_it in pins.values():
            if len(on_it) == 2 and set(on_it) <= groups.keys():
                together = groups[on_it[0]] | groups[on_it[1]]
                groups |= dict.fromkeys(together, together)
        return groups

    @cached_property
    def chains(self) -> dict[frozenset[str], tuple[tuple[tuple[PlacedPart, str, str], ...], ...]]:
        """Chains found so far, by the kinds they may hold."""
        return {}


def _feeds(one: PlacedPart, pin: str) -> bool:
    if (one.kind, pin) in RAIL_PINS or (pin in RAIL_PIN_NAMES and one.kind in GATE_KINDS):
        return True
    return one.kind in BOXES and one.part.pin_roles.get(pin) == "supply"


def _drives(one: PlacedPart, pin: str) -> bool:
    if one.kind in BOXES:
        return one.part.pin_roles.get(pin, "") in ("output", "both", "")
    if one.kind in ALTERNATING or one.kind in SUPPLIES:
        return pin == "plus"
    return one.kind in GATE_KINDS and pin in OUTPUTS


def _senses(one: PlacedPart, pin: str) -> bool:
    if one.kind in BOXES:
        return one.part.pin_roles.get(pin, "") in ("input", "both", "", "programming")
    return one.kind in GATE_KINDS and pin in INPUTS


def _does_nothing(part: Part, joined: Mapping[str, str]) -> bool:
    """Whether a part of two pins lacks one of them, or has both on one net."""
    pins = kind_of(part).pins
    return len(pins) == 2 and (
        not set(pins) <= set(part.pins) or len({joined[part.pins[pin]] for pin in pins}) == 1
    )


def view_of(circuit: Circuit, *, idle: bool = False, together: bool = False) -> View:
    """Look at a circuit: wires joined, rails found on demand.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    idle : bool, optional
        Whether parts that hang on one pin, or have both on one net, stay in sight.
    together : bool, optional
        Whether resistors side by side are looked at as one.

    Returns
    -------
    View
        It keeps what it has found out.
    """
    above: dict[str, str] = {}

    def top(net: str) -> str:
        while above.get(net, net) != net:
            net = above[net]
        return net

    for part in circuit.parts:
        for one, other in JOINING.get(part.kind, ()):
            if one in part.pins and other in part.pins:
                first, second = top(part.pins[one]), top(part.pins[other])
                if first != second:
                    kept = min(
                        first, second, key=lambda net: (net != circuit.ground, net not in circuit.rails, net)
                    )
                    above[second if kept == first else first] = kept
    joined = {net: top(net) for part in circuit.parts for net in part.pins.values()}
    seen = [
        PlacedPart(part=part, nets=_Nets({pin: joined[net] for pin, net in part.pins.items()}))
        for part in sorted(circuit.parts, key=lambda part: part.reference)
        if part.kind not in JOINING and part.kind not in UNSEEN and (idle or not _does_nothing(part, joined))
    ]
    tested = frozenset(
        joined[net] for part in circuit.parts if part.kind == "test_point" for net in part.pins.values()
    )
    return View(
        circuit=circuit,
        parts=tuple(side_by_side(seen) if together else seen),
        joined=joined,
        tested=tested,
    )
