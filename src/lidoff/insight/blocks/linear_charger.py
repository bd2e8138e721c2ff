"""A charger chip with the resistor that sets its current."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.block import Beside
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, BlockKind, Pattern, Role, Sums, role
from lidoff.insight.readings_near import current_read
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, PRACTICE
from lidoff.insight.view import PlacedPart

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor"


def _example() -> Circuit:
    return sketch(
        "Charger",
        piece("J1", "dc_supply", "vbus gnd", voltage=5.0),
        piece("U1", "linear_charger", "vbus gnd vbat program - -"),
        piece("R1", "resistor", "program gnd", resistance=2e3),
        piece("C1", "capacitor", "vbus gnd", capacitance=10e-6),
        piece("BT1", "cell", "vbat gnd"),
    )


def _into_the_cell(m: Match, cells: list[PlacedPart]) -> tuple[Beside, ...]:
    """Readings of the current into the cell on the charger's output."""
    return tuple(
        near
        for one in cells
        if m.nets["battery"] in one.nets.values()
        for near in current_read(m.view, m.known.comparisons, one.reference)
    )


def _sums(m: Match) -> Sums:
    volts, cell = m.volts("feed", busy="charger"), m.volts("battery", busy="charger")
    cells = [one for kind in ("cell", "battery") for one in m.view.by_kind.get(kind, ())]
    capacity = next((one.value("capacity") for one in cells if "capacity" in one.part.values), None)
    current = m.sum("charging current", "k · V_prog ÷ R", "A", "the chip's data sheet, for k and V_prog as given",
                    at="charger", beside=(*m.beside_current("charger"), *_into_the_cell(m, cells)),
                    k=m.quantity("charger", "program_gain"),
                    V_prog=m.quantity("charger", "program_voltage"), R=m.ohms("setting"))  # fmt: skip
    return (
        current,
        m.sum("heat in the charger", "(V_in − V_cell) · I", "W", OHM, at="charger", V_in=volts, V_cell=cell,
              I=m.amperes("charger")),
        m.sum("charging current over the cell's capacity, per hour", "k · V_prog ÷ (R · Q)", "1", PRACTICE,
              k=m.quantity("charger", "program_gain"), V_prog=m.quantity("charger", "program_voltage"),
              R=m.ohms("setting"), Q=m.plain(capacity, "Ah")) if capacity is not None else None,
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = []
    if not m.has("input_capacitor"):
        found.append("no capacitor is at the input: plugging in may make it ring above what the chip stands")
    joined = {"charging", "charged"} & set(m.part("charger").part.pins)
    if not joined:
        found.append("none of its status pins is used")
    return tuple(found)


def _roles(*setting: Role) -> tuple[Role, ...]:
    return (
        role("charger", "linear_charger", "feed ground battery program - -"),
        *setting,
        role("input_capacitor", CAPACITORS, "feed ground", optional=True, many=True),
        role("battery_capacitor", CAPACITORS, "battery ground", optional=True, many=True),
    )


MEMBERS = (
    BlockKind(
        name="linear_charger",
        title="linear charger",
        purpose="{charger} charges what is on {battery} with a steady current that {setting} sets, then at a steady voltage.",
        example=_example,
        patterns=(
            Pattern(roles=_roles(role("setting", "resistor", "program ground")), nets={"ground": (GROUND,)}),
        ),
        rank=7,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "charger shorted: the cell lies on the supply, with nothing to end the charge: it may burn",
            "setting open: the cell is not charged",
            "setting shorted: the chip charges with all it can, far above what was meant",
            "input_capacitor shorted: the supply is shorted",
        ),
        source=PRACTICE,
    ),
)
