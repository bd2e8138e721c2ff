"""What stands round a chip that bears no name: for each pin, what it is joined to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from lidoff.insight.view import BOXES, PlacedPart, View

__all__ = ["Around"]

SMALL = 15.0
"""Resistors up to here sense a current [Ω]; common practice, no source."""
FILTERING = 1e3
"""Resistors below this in a supply only filter it [Ω]; common practice, no source."""
CAPACITORS = frozenset({"capacitor", "electrolytic_capacitor", "film_capacitor"})
DIRECT: Mapping[tuple[str, str], str] = {
    ("mosfet_n", "gate"): "gate", ("mosfet_p", "gate"): "gate", ("npn", "base"): "base", ("pnp", "base"): "base",
    ("darlington_npn", "base"): "base", ("triac", "gate"): "gate", ("thyristor", "gate"): "gate",
    ("mosfet_n", "drain"): "switched load", ("npn", "collector"): "switched load",
    ("optocoupler", "collector"): "optocoupler output", ("optocoupler", "emitter"): "optocoupler output",
    ("cell", "plus"): "cell", ("battery", "plus"): "cell", ("diode", "anode"): "diode anode",
    ("schottky", "anode"): "diode anode", ("diode", "cathode"): "diode cathode", ("schottky", "cathode"): "diode cathode",
    ("phototransistor", "collector"): "sensor", ("phototransistor", "emitter"): "sensor",
}  # fmt: skip
BY_KIND: Mapping[str, str] = {
    "led": "led", "button": "button", "inductor": "coil", "transformer": "winding", "three_winding_transformer": "winding",
    "crystal": "crystal", "piezo": "sounder", "buzzer": "sounder", "motor": "motor", "ntc": "sensor", "photodiode": "sensor",
    "photoresistor": "sensor", "relay": "relay", "heater": "heater", "lamp": "lamp", "connector": "connector",
}  # fmt: skip
BEHIND_A_RESISTOR = frozenset({"gate", "base", "led", "optocoupler output", "sounder", "button"})
"""What a pin may be joined to through one resistor and still be said to have to do with."""
AT_A_SUPPLY = frozenset({"cell", "capacitor to ground", "resistor to supply"})
"""What counts at a pin on a supply: half of the board hangs there, and says nothing of the chip."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Around:
    """A chip in its surroundings.

    Attributes
    ----------
    view : View
    chip : PlacedPart
        The chip without a name.
    """

    view: View
    chip: PlacedPart

    @cached_property
    def grounds(self) -> tuple[str, ...]:
        """Pins on a ground."""
        return tuple(pin for pin, net in self.chip.nets.items() if net in self.view.grounds)

    @cached_property
    def supplies(self) -> tuple[str, ...]:
        """Pins on a supply, or behind a small resistor from one with a capacitor to the ground."""
        return tuple(
            pin
            for pin, net in self.chip.nets.items()
            if net in self.view.supplies or (pin not in self.grounds and self._is_filtered(net))
        )

    def _is_filtered(self, net: str) -> bool:
        parts = [one for one, _ in self.view.pins[net]]
        fed = any(
            one.kind == "resistor"
            and (one.value("resistance") or FILTERING) < FILTERING
            and set(one.nets.values()) & self.view.supplies
            for one in parts
        )
        kept = any(one.kind in CAPACITORS and set(one.nets.values()) & self.view.grounds for one in parts)
        return fed and kept

    @cached_property
    def signals(self) -> tuple[str, ...]:
        """Pins on neither."""
        return tuple(pin for pin in self.chip.nets if pin not in self.grounds and pin not in self.supplies)

    @cached_property
    def rails(self) -> frozenset[str]:
        """Supply nets that the chip is on."""
        return frozenset(self.chip.nets[pin] for pin in self.supplies)

    @cached_property
    def near(self) -> Mapping[str, frozenset[str]]:
        """What each pin is joined to, in words; of a supply only what says something of the chip itself."""
        found = {pin: frozenset(self._near(net)) for pin, net in self.chip.nets.items()}
        return {
            pin: words & AT_A_SUPPLY if pin in self.supplies or pin in self.grounds else words
            for pin, words in found.items()
        }

    def pins_near(self, *words: str) -> tuple[str, ...]:
        """Signal and supply pins that are joined to all of some things."""
        return tuple(
            pin for pin in self.chip.nets if pin not in self.grounds and set(words) <= self.near[pin]
        )

    def has(self, *words: str) -> bool:
        """Whether a pin is joined to all of some things."""
        return bool(self.pins_near(*words))

    def parts_near(self, word: str) -> int:
        """How many pins are joined to a thing."""
        return len(self.pins_near(word))

    def _near(self, net: str) -> set[str]:
        found: set[str] = set()
        for one, pin in self.view.pins[net]:
            if one.reference == self.chip.reference:
                continue
            found |= self._direct(one, pin)
            if one.kind == "resistor":
                found |= self._through(one, net)
            elif one.kind in CAPACITORS and set(one.nets.values()) & self.view.grounds:
                found.add("capacitor to ground")
        if {"resistor to ground", "resistor to supply"} <= found:
            found.add("divider")
        if net not in self.view.rails and net in self.view.tested and self.view.degree(net) == 1:
            found.add("pad")
        return found

    @staticmethod
    def _direct(one: PlacedPart, pin: str) -> set[str]:
        found = {word for word in (DIRECT.get((one.kind, pin)), BY_KIND.get(one.kind)) if word}
        if one.kind in BOXES:
            found.add("other chip")
        return found

    def _through(self, resistor: PlacedPart, net: str) -> set[str]:
        """What a resistor on the net leads to."""
        far = next((one for one in resistor.nets.values() if one != net), net)
        ohms = resistor.value("resistance")
        small = ohms is not None and ohms <= SMALL
        found: set[str] = set()
        if far in self.view.grounds:
            found.add("sense resistor" if small else "resistor to ground")
        elif far in self.view.supplies:
            found.add("sense resistor" if small else "resistor to supply")
        elif far in set(self.chip.nets.values()):
            found.add("resistor to own pin")
        else:
            words = {word for one, pin in self.view.pins[far] for word in self._direct(one, pin)}
            found |= words & BEHIND_A_RESISTOR
            others = [one for one, _ in self.view.pins[far] if one.reference != resistor.reference]
            if not others or all(one.kind == "connector" and len(one.nets) == 1 for one in others):
                found.add("pad")
        return found
