"""Controllers: programmed chips whose pins do what the situation says."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from lidoff.circuit.kind import Array, Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.laws import CONDUCTANCE, JUNCTION, junction_scale, pulse, pulse_corners
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import NO_SOURCE, positive, zero_or_more
from lidoff.circuit.steering import STEADY_DRAW, steady_draw
from lidoff.errors import CircuitFault

EDGE = 10e-9  # [s] rise and fall of a pattern; a usual logic output
TURN = (
    5e-6  # [A] mean current about which a pin that is high for a share of the time gives as often as it takes
)
CLAMP_CURRENT = 0.001  # [A] at which the clamp's drop is told
CLAMP_SLOPE = 0.03  # [V] emission coefficient times thermal voltage of a clamp

# Zero to one is the share of time that the pin is high; the words below zero do not drive.
WORDS = {"low": 0.0, "high": 1.0, "input": -1.0, "input with pull-up": -2.0, "input with pull-down": -3.0}
PATTERN = {"pattern": -4.0}


def _drive(p: Parameters, pin: str) -> tuple[Array, Array, Array]:
    """Conductance of a pin to supply and to ground [S], and whether it follows its pattern."""
    told = p[pin]
    word = np.where(told < 0.0, np.round(told), 0.0)
    driven = 1.0 / p["drive_resistance"]
    up = np.where(told >= 1.0, driven, np.where(word == -2.0, 1.0 / p["pull_up_resistance"], 0.0))
    down = np.where(told == 0.0, driven, np.where(word == -3.0, 1.0 / p["pull_down_resistance"], 0.0))
    return up, down, (word == -4.0).astype(float)


def _average(pin: str) -> Callable[[Parameters], Parameters]:
    def derive(p: Parameters) -> Parameters:
        share = (p[pin] > 0.0) & (p[pin] < 1.0)
        return {
            "drive": np.where(share, 1.0 / p["drive_resistance"], 0.0),
            "high": np.where(share, p[pin], 0.0),
        }

    return derive


def _between(ports: Ports, p: Parameters) -> Response:
    to_supply, to_ground = ports
    high, drive = p["high"], p["drive"]
    # Never both rails at once: what the pin gives comes from the supply while it is high, what it takes goes to ground while
    # it is low, and beyond a few microamperes of mean current it does one of the two.
    current = drive * (high * to_supply + (1.0 - high) * to_ground)
    turn = np.tanh(current / TURN)
    gives, slope = (1.0 - turn) / 2.0, -(1.0 - turn**2) / (2.0 * TURN)
    given, taken = gives + current * slope, 1.0 - gives - current * slope
    up, down = drive * high, drive * (1.0 - high)
    return Response(
        (gives * current, (1.0 - gives) * current),
        (given * up, given * down, taken * up, taken * down),
    )


AVERAGED = Law(
    name="averaged pin",
    terminals=("pin", "supply", "ground"),
    ports=({"pin": 1.0, "supply": -1.0}, {"pin": 1.0, "ground": -1.0}),
    rows=({"pin": 1.0, "supply": -1.0}, {"pin": 1.0, "ground": -1.0}),
    pairs=((0, 0), (0, 1), (1, 0), (1, 1)),
    respond=_between,
    idle_without="drive",
)


def _follow(ports: Ports, p: Parameters) -> Response:
    to_supply, to_ground = ports
    high = pulse(p)
    driven = p["patterned"] * p["drive"]
    # Behind the drive resistance stands a level between the rails; were both rails tied to the pin at once, as far as each
    # counts, an edge would short them. The pin's own current parts between the rails as the level stands.
    current = driven * (high * to_supply + (1.0 - high) * to_ground)
    up, down = p["up"] + np.zeros_like(to_supply), p["down"] + np.zeros_like(to_ground)
    share = driven * high * (1.0 - high) + np.zeros_like(to_supply)
    return Response(
        (up * to_supply + high * current, down * to_ground + (1.0 - high) * current),
        (up + driven * high**2, share, share, down + driven * (1.0 - high) ** 2),
    )


PATTERNED = replace(
    AVERAGED,
    name="patterned pin",
    respond=_follow,
    idle_without="",
    timed=True,  # and not marked linear, since its slopes change with time
    breakpoints=pulse_corners,
)


def _pattern(pin: str) -> Callable[[Parameters], Parameters]:
    def derive(p: Parameters) -> Parameters:
        up, down, patterned = _drive(p, pin)
        period = p[f"{pin}_period"]
        return {
            "up": up,
            "down": down,
            "patterned": patterned,
            "drive": 1.0 / p["drive_resistance"],
            "low": np.zeros(1),
            "high": np.ones(1),
            "delay": p[f"{pin}_delay"],
            "rise": np.full(1, EDGE),
            "fall": np.full(1, EDGE),
            "width": np.maximum(p[f"{pin}_share"] * period - EDGE, 0.0),
            "period": period,
        }

    return derive


def _clamp(p: Parameters) -> Parameters:
    i_s, offset = junction_scale(p["clamp_drop"], np.full(1, CLAMP_CURRENT), np.full(1, CLAMP_SLOPE))
    return {
        "slope_voltage": np.full(1, CLAMP_SLOPE),
        "resistance": p["drive_resistance"],
        "offset": offset,
        "saturation_current": i_s,
    }


def _pins(part: Part, role: str) -> tuple[str, ...]:
    return tuple(sorted(pin for pin in part.pins if part.pin_roles.get(pin, "") == role))


def _working_pins(part: Part) -> tuple[str, ...]:
    fixed = {*_pins(part, "supply"), *_pins(part, "ground")}
    return tuple(sorted(pin for pin in part.pins if pin not in fixed))


def _rails(part: Part) -> tuple[str, str]:
    supplies, grounds = _pins(part, "supply"), _pins(part, "ground")
    if not supplies or not grounds:
        missing = "supply" if not supplies else "ground"
        raise CircuitFault(
            f"{part.reference}: none of the controller's pins has the role {missing}",
            remedy=f'name its {missing} pin in pin_roles, such as pin_roles = {{ 8 = "{missing}" }}',
        )
    return supplies[0], grounds[0]


def _elements(part: Part) -> tuple[Element, ...]:
    supply, ground = _rails(part)
    found = [
        Element(law=STEADY_DRAW, joins=(supply, ground), derive=lambda p: steady_draw(p["supply_current"]))
    ]
    for pin in _working_pins(part):
        found.extend(_pin_elements(part, pin, supply, ground))
    return tuple(found)


def _pin_elements(part: Part, pin: str, supply: str, ground: str) -> list[Element]:
    if f"{pin}_period" in part.values:
        found = [Element(law=PATTERNED, joins=(pin, supply, ground), derive=_pattern(pin))]
    else:
        found = [
            Element(
                law=CONDUCTANCE, joins=(pin, supply), derive=lambda p: {"conductance": _drive(p, pin)[0]}
            ),
            Element(
                law=CONDUCTANCE, joins=(pin, ground), derive=lambda p: {"conductance": _drive(p, pin)[1]}
            ),
        ]
    found.append(Element(law=AVERAGED, joins=(pin, supply, ground), derive=_average(pin)))
    if "clamp_drop" in part.values:
        found.append(Element(law=JUNCTION, joins=(pin, supply), derive=_clamp))
        found.append(Element(law=JUNCTION, joins=(ground, pin), derive=_clamp))
    return found


def _pin_parameters(part: Part) -> tuple[Parameter, ...]:
    found: list[Parameter] = []
    for pin in _working_pins(part):
        patterned = f"{pin}_period" in part.values
        words: Mapping[str, float] = {**WORDS, **(PATTERN if patterned else {})}
        found.append(
            Parameter(
                name=pin,
                unit="",
                typical=WORDS["input"],
                words=words,
                later_words={} if patterned else {"pattern": f"{pin}_period"},
                minimum=min(words.values()),
                maximum=1.0,
                says="what the pin does: a word, or the share of time that it is high for the average",
                source="an untouched pin is an input, common practice, no source",
            )
        )
        if patterned:
            found.extend(
                (
                    positive(f"{pin}_period", "s", None, f"period of the pattern on pin {pin}"),
                    zero_or_more(
                        f"{pin}_share", "1", 0.5, "share of the period that it is high", maximum=1.0
                    ),
                    zero_or_more(f"{pin}_delay", "s", 0.0, "until the pin first goes high"),
                )
            )
    return tuple(found)


CONTROLLER = Kind(
    name="controller",
    title="controller",
    letters=("U", "IC"),
    pins=(),
    elements=_elements,
    parameters=(
        zero_or_more("supply_current", "A", 0.001, "current from supply to ground for itself", spread=0.5),
        positive("drive_resistance", "Ω", 25.0, "from a driven pin to its rail", spread=0.5),
        positive("pull_up_resistance", "Ω", 40e3, "of an input with pull-up", spread=0.5),
        positive("pull_down_resistance", "Ω", 40e3, "of an input with pull-down", spread=0.5),
    ),
    only_if_told=(
        positive(
            "clamp_drop",
            "V",
            None,
            "drop at 1 mA of the protection diodes from ground to every pin and from every pin to supply",
            source=NO_SOURCE,
        ),
    ),
    own_parameters=_pin_parameters,
    example_pins={"vcc": "supply", "gnd": "ground", "1": "output", "2": "input", "3": "both"},
    example={"1": 0.25, "2": "input with pull-up", "3": "pattern", "3_period": 1e-3, "clamp_drop": 0.6},
    says="a programmed chip: each pin is set by the situation, by its name, as low, high, input, input with pull-up, "
    "input with pull-down, as a share of time high, or as a pattern where the part tells its period (out_period for a pin out)",
    source="pin as a switch with resistance to its rails; a share of time high is taken as their average behind it, which "
    "holds where the rest of the circuit is slow or linear, and what the pin gives as coming from the supply alone",
)

MEMBERS = (CONTROLLER,)
