"""A drawing that follows an edit: what stands stays, and only texts are placed anew, unless something else changed."""

from dataclasses import replace

import pytest

from lidoff.circuit import Circuit, Part, operating_point
from lidoff.schematic import Drawing, DrawingOptions, Pinned, draw


def lamp(value: float = 150.0, **more: str) -> Circuit:
    """LED behind a resistor on a supply."""
    pins = {"1": "usb_5v", "2": "led_plus"}
    return Circuit(
        parts=(
            Part(
                reference="J1",
                kind="dc_supply",
                pins={"plus": "usb_5v", "minus": "gnd"},
                values={"voltage": 5.0},
            ),
            Part(reference="R1", kind="resistor", pins=pins, values={"resistance": value}, **more),  # type: ignore[arg-type]
            Part(reference="D1", kind="led", pins={"anode": "led_plus", "cathode": "gnd"}),
        )
    )


def places(drawing: Drawing) -> object:
    """All that is drawn but texts."""
    return [(sheet.symbols, sheet.wires, sheet.marks, sheet.junctions) for sheet in drawing.sheets]


def texts(drawing: Drawing) -> set[str]:
    """All that is written."""
    return {label.text for sheet in drawing.sheets for label in sheet.labels}


def test_another_value_moves_nothing_and_is_written() -> None:
    before = draw(lamp())
    after = draw(lamp(180.0), before=before)
    assert places(before) == places(after)
    assert "180 Ω" in texts(after)
    assert "150 Ω" not in texts(after)


def test_voltages_and_currents_are_written_on_the_same_page() -> None:
    circuit = lamp()
    point = operating_point(circuit).at(0)
    before = draw(circuit)
    after = draw(circuit, point, options=DrawingOptions(currents=True), before=before)
    assert places(before) == places(after)
    assert "5 V" in {
        label.text for sheet in after.sheets for label in sheet.labels if label.role == "voltage"
    }


def test_it_is_the_drawing_that_the_same_circuit_would_get_anyway() -> None:
    circuit = lamp()
    assert draw(circuit).to_svg() == draw(circuit, before=draw(lamp(151.0))).to_svg()


@pytest.mark.parametrize(
    ("circuit", "options"),
    [
        (replace(lamp(), parts=lamp().parts[:2]), DrawingOptions()),
        (lamp(), DrawingOptions(zigzag_resistors=True)),
        (lamp(), DrawingOptions(pinned={"R1": Pinned(x=20, y=2)})),
    ],
    ids=["a part gone", "another shape", "a part placed by hand"],
)
def test_what_changes_the_page_is_laid_out_anew(circuit: Circuit, options: DrawingOptions) -> None:
    before = draw(lamp())
    assert places(before) != places(draw(circuit, options=options, before=before))
