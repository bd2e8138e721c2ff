"""Random circuits such as cheap gadgets contain, built from the usual pieces; the same seed gives the same circuit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from lidoff.circuit import Circuit, Part

__all__ = ["plausible_circuit", "resistive_sheet"]

SERIES = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)  # E12, IEC 60063


@dataclass
class Builder:
    """Grows a circuit; nets that carry a signal are kept for later pieces to hang on."""

    rng: np.random.Generator
    parts: list[Part] = field(default_factory=list)
    signals: list[str] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)

    def add(self, letter: str, kind: str, pins: dict[str, str], **values: float | str) -> str:
        """Add a part under the next free reference."""
        self.counts[letter] = self.counts.get(letter, 0) + 1
        reference = f"{letter}{self.counts[letter]}"
        roles = values.pop("roles", None)
        self.parts.append(
            Part(
                reference=reference,
                kind=kind,
                pins=pins,
                values=values,
                pin_roles=roles if isinstance(roles, dict) else {},
            )
        )
        return reference

    def net(self, name: str) -> str:
        """Fresh net name."""
        self.counts[f"net {name}"] = self.counts.get(f"net {name}", 0) + 1
        return f"{name}_{self.counts[f'net {name}']}"

    def ohms(self, low: float, high: float) -> float:
        """Value of the E12 series, evenly in the logarithm."""
        decade = 10.0 ** np.floor(self.rng.uniform(np.log10(low), np.log10(high)))
        return float(decade * self.rng.choice(SERIES))

    def resistor(self, one: str, other: str, low: float, high: float) -> str:
        """Add a resistor of the series."""
        return self.add("R", "resistor", {"1": one, "2": other}, resistance=self.ohms(low, high))

    def signal(self, rail: str) -> str:
        """Some net to be driven by: a signal that exists, else a fresh divider."""
        if self.signals and self.rng.random() < 0.7:
            return str(self.rng.choice(self.signals))
        return divider(self, rail)


def divider(b: Builder, rail: str) -> str:
    """Two resistors."""
    tap = b.net("tap")
    b.resistor(rail, tap, 1e3, 1e5)
    b.resistor(tap, "gnd", 1e3, 1e5)
    b.signals.append(tap)
    return tap


def led_string(b: Builder, rail: str) -> None:
    """One to three LEDs behind a resistor."""
    node = b.net("led")
    b.resistor(rail, node, 47, 4.7e3)
    for k in range(count := int(b.rng.integers(1, 4))):
        after = "gnd" if k == count - 1 else b.net("led")
        b.add("LED", "led", {"anode": node, "cathode": after}, forward_drop=float(b.rng.uniform(1.7, 3.3)))
        node = after


def zener_supply(b: Builder, rail: str) -> None:
    """Resistor and Zener with a load."""
    node = b.net("shunt")
    b.resistor(rail, node, 100, 2.2e3)
    b.add(
        "D",
        "zener",
        {"anode": "gnd", "cathode": node},
        breakdown_voltage=float(b.rng.choice([2.7, 3.3, 5.1])),
    )
    b.resistor(node, "gnd", 470, 4.7e4)
    b.signals.append(node)


def npn_switch(b: Builder, rail: str) -> None:
    """Bipolar transistor that switches a load to ground."""
    base, collector = b.net("base"), b.net("collector")
    b.resistor(b.signal(rail), base, 1e3, 4.7e4)
    b.resistor(rail, collector, 100, 1e4)
    b.add("Q", "npn", {"collector": collector, "base": base, "emitter": "gnd"})
    b.signals.append(collector)


def pnp_switch(b: Builder, rail: str) -> None:
    """Bipolar transistor that switches a load to the rail."""
    base, collector = b.net("base"), b.net("collector")
    b.resistor(b.signal(rail), base, 1e3, 4.7e4)
    b.resistor(collector, "gnd", 100, 1e4)
    b.add("Q", "pnp", {"collector": collector, "base": base, "emitter": rail})
    b.signals.append(collector)


def follower(b: Builder, rail: str) -> None:
    """Emitter follower."""
    emitter = b.net("emitter")
    b.add("Q", "npn", {"collector": rail, "base": b.signal(rail), "emitter": emitter})
    b.resistor(emitter, "gnd", 220, 1e4)
    b.signals.append(emitter)


def mirror(b: Builder, rail: str) -> None:
    """Two transistors that copy a current."""
    reference, out = b.net("reference"), b.net("copy")
    b.resistor(rail, reference, 1e3, 2.2e4)
    b.add("Q", "npn", {"collector": reference, "base": reference, "emitter": "gnd"})
    b.add("Q", "npn", {"collector": out, "base": reference, "emitter": "gnd"})
    b.resistor(rail, out, 1e3, 2.2e4)


def current_sink(b: Builder, rail: str) -> None:
    """Two transistors and a sense resistor that hold an LED's current."""
    drive, top, sense = b.net("drive"), b.net("sink"), b.net("sense")
    b.resistor(rail, drive, 1e3, 1e4)
    b.add("LED", "led", {"anode": rail, "cathode": top})
    b.add("Q", "npn", {"collector": top, "base": drive, "emitter": sense})
    b.add("Q", "npn", {"collector": drive, "base": sense, "emitter": "gnd"})
    b.resistor(sense, "gnd", 10, 100)


def low_side_motor(b: Builder, rail: str) -> None:
    """Motor with flyback diode behind an n-channel MOSFET."""
    gate, drain = b.net("gate"), b.net("drain")
    b.resistor(b.signal(rail), gate, 10, 1e3)
    b.resistor(gate, "gnd", 1e4, 1e6)
    b.add("Q", "mosfet_n", {"gate": gate, "drain": drain, "source": "gnd"})
    b.add("M", "motor", {"plus": rail, "minus": drain})
    b.add("D", "diode", {"anode": drain, "cathode": rail})


def high_side(b: Builder, rail: str) -> None:
    """p-channel MOSFET with a load."""
    gate, out = b.net("gate"), b.net("switched")
    b.resistor(rail, gate, 1e4, 1e6)
    b.resistor(gate, b.signal(rail), 1e3, 1e4)
    b.add("Q", "mosfet_p", {"gate": gate, "drain": out, "source": rail})
    b.resistor(out, "gnd", 47, 4.7e3)
    b.signals.append(out)


def darlington(b: Builder, rail: str) -> None:
    """Darlington pair with a lamp-like load."""
    base, collector = b.net("base"), b.net("collector")
    b.resistor(b.signal(rail), base, 4.7e3, 1e5)
    b.resistor(rail, collector, 10, 470)
    b.add("Q", "darlington_npn", {"collector": collector, "base": base, "emitter": "gnd"})


def light_switch(b: Builder, rail: str) -> None:
    """Photoresistor divider."""
    tap = b.net("light")
    b.resistor(rail, tap, 1e4, 1e5)
    b.add("R", "photoresistor", {"1": tap, "2": "gnd"}, light=float(10.0 ** b.rng.uniform(-1, 3)))
    b.signals.append(tap)


def heat_sensor(b: Builder, rail: str) -> None:
    """NTC divider."""
    tap = b.net("heat")
    b.add("R", "ntc", {"1": rail, "2": tap}, resistance=1e4, temperature=float(b.rng.uniform(-10, 90)))
    b.resistor(tap, "gnd", 1e3, 1e5)
    b.signals.append(tap)


def button(b: Builder, rail: str) -> None:
    """Pull-up and button, pressed or not."""
    node = b.net("key")
    b.resistor(rail, node, 4.7e3, 1e5)
    b.add("S", "switch", {"1": node, "2": "gnd"}, state=str(b.rng.choice(["open", "closed"])))
    b.signals.append(node)


def protected_branch(b: Builder, rail: str) -> None:
    """Series Schottky and load, with a suppressor."""
    node = b.net("guarded")
    b.add("D", "schottky", {"anode": rail, "cathode": node})
    b.add(
        "D",
        "suppressor",
        {"anode": "gnd", "cathode": node},
        breakdown_voltage=float(b.rng.choice([5.6, 13.0])),
    )
    b.resistor(node, "gnd", 47, 1e4)


def latch(b: Builder, rail: str) -> None:
    """Two cross-coupled transistors: more than one state is possible."""
    one, other = b.net("latch"), b.net("latch")
    for near, far in ((one, other), (other, one)):
        base = b.net("base")
        b.resistor(rail, near, 470, 4.7e3)
        b.resistor(far, base, 1e4, 4.7e4)
        b.add("Q", "npn", {"collector": near, "base": base, "emitter": "gnd"})


PIECES: tuple[Callable[[Builder, str], object], ...] = (
    divider, led_string, zener_supply, npn_switch, pnp_switch, follower, mirror, current_sink, low_side_motor,
    high_side, darlington, light_switch, heat_sensor, button, protected_branch, latch,
)  # fmt: skip


def plausible_circuit(seed: int, pieces: int = 0) -> Circuit:
    """Make one circuit.

    Parameters
    ----------
    seed : int
        The same seed gives the same circuit.
    pieces : int
        How many pieces hang on the rail; two to ten by chance if zero.
    """
    rng = np.random.default_rng(seed)
    b = Builder(rng)
    b.add(
        "V",
        "dc_supply",
        {"plus": "usb", "minus": "gnd"},
        voltage=float(rng.choice([3.0, 3.7, 5.0, 9.0, 12.0])),
        resistance=float(rng.uniform(0.0, 0.5)),
    )
    b.add("F", "fuse", {"1": "usb", "2": "rail"}, resistance=float(rng.uniform(0.01, 0.5)))
    for _ in range(pieces or int(rng.integers(2, 11))):
        PIECES[int(rng.integers(len(PIECES)))](b, "rail")
    return Circuit(parts=tuple(b.parts), ground="gnd", title=f"invented circuit {seed}")


def resistive_sheet(rows: int, columns: int, seed: int = 0) -> Circuit:
    """Grid of random resistors with a supply across its diagonal; ``2·rows·columns − rows − columns`` resistors."""
    b = Builder(np.random.default_rng(seed))

    def node(r: int, c: int) -> str:
        return "gnd" if (r, c) == (0, 0) else f"n{r}_{c}"

    for r in range(rows):
        for c in range(columns):
            if c + 1 < columns:
                b.resistor(node(r, c), node(r, c + 1), 100, 1e4)
            if r + 1 < rows:
                b.resistor(node(r, c), node(r + 1, c), 100, 1e4)
    b.add("V", "dc_supply", {"plus": node(rows - 1, columns - 1), "minus": "gnd"}, voltage=5.0)
    return Circuit(parts=tuple(b.parts), ground="gnd", title="resistive sheet")
