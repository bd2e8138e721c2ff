"""Light-emitting diodes side by side, without a resistor for each."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, NetTest, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import View

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "LEDs side by side behind one resistor",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "v5 a", resistance=47.0),
        piece("D1", "led", "a gnd", forward_drop=3.1),
        piece("D2", "led", "a gnd", forward_drop=3.1),
        piece("D3", "led", "a gnd", forward_drop=3.1),
    )


def _ends_in_a_resistor(view: View, net: str) -> bool:
    """Nothing but LEDs and one resistor is on the net."""
    kinds = [one.kind for one, _ in view.pins[net]]
    return kinds.count("resistor") == 1 and kinds.count("led") == len(kinds) - 1 and net not in view.rails


def _pattern(joint: str, anode: str, cathode: str, test: NetTest) -> Pattern:
    far = "top" if joint == "anode" else "bottom"
    return Pattern(
        roles=(
            role("led", "led", f"{anode} {cathode}", many=True, least=2),
            role("resistor", "resistor", f"{joint} {far}"),
        ),
        nets={joint: (test,)},
    )


def _sums(m: Match) -> Sums:
    if not m.has("resistor"):
        return (m.sum("power of one LED", "V · I", "W", OHM, at="led", beside=m.beside_current("led"),
                      V=m.volts("anode", "cathode", busy="led"), I=m.amperes("led")),)  # fmt: skip
    top, bottom = ("top", "cathode") if "top" in m.nets else ("anode", "bottom")
    volts = m.volts(top, bottom, busy="led")
    drop, ohms, count = m.quantity("led", "forward_drop"), m.ohms("resistor"), m.plain(m.count("led"))
    return (
        m.sum("current of all together", "(V − V_F) ÷ R", "A", OHM, at="led", beside=m.beside_current("resistor"),
              V=volts, V_F=drop, R=ohms),
        m.sum("current of each, if they shared equally", "(V − V_F) ÷ (R · n)", "A", OHM, at="led",
              beside=m.beside_current("led"), V=volts, V_F=drop, R=ohms, n=count),
        m.sum("current of the last one, if all others opened", "(V − V_F) ÷ R", "A", OHM, at="led",
              V=volts, V_F=drop, R=ohms),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = ["nothing makes the LEDs share the current equally: the one with the lowest drop takes the most"]
    if not m.has("resistor"):
        found.append("no resistor belongs to them: what feeds them sets their current")
    amperes, rating = m.peak("led"), m.number("led", "current_rating")
    if amperes is not None and rating and amperes.value > rating:
        found.append(
            f"each carries {amperes}, more than its rated current of {m.quantity('led', 'current_rating')}"
        )
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="parallel_leds",
        title="LEDs in parallel",
        purpose="{led} light together; they share one current.",
        example=_example,
        patterns=(
            _pattern("anode", "anode", "cathode", _ends_in_a_resistor),
            _pattern("cathode", "anode", "cathode", _ends_in_a_resistor),
            Pattern(
                roles=(role("led", "led", "anode cathode", many=True, least=2),),
                nets={"anode": (lambda view, net: not _ends_in_a_resistor(view, net),),
                      "cathode": (lambda view, net: not _ends_in_a_resistor(view, net),)},
            ),
        ),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "led one open: the others take its share of the current",
            "led one shorted: all of them go dark",
            "resistor open: all of them go dark",
        ),
        source=art(2),
    ),
)  # fmt: skip
