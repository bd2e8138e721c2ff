"""Heat of surfaces: measured and reckoned, too hot and cool enough."""

from dataclasses import replace

import pytest

from lidoff.circuit import Circuit
from lidoff.hazards import Hazard, Subject, Surface
from lidoff.hazards.checks.surface_heat import surface_limits

from .build import answers, part, subject

CASE = Surface(name="case", material="plastic", touch="held", temperature="45 °C ± 1 °C")


def measured(**changes: str) -> Hazard:
    case = replace(CASE, **changes)  # type: ignore[arg-type]
    (found,) = answers("surface heat", Subject(circuit=Circuit(parts=()), surfaces=(case,)))
    return found


@pytest.mark.parametrize(
    ("temperature", "outcome", "severity"),
    [
        ("45 °C ± 1 °C", "within the limit", "caution"),
        ("48 °C ± 1 °C", "cannot tell", "caution"),
        ("55 °C ± 1 °C", "beyond the limit", "caution"),
        ("70 °C ± 1 °C", "beyond the limit", "fault"),
    ],
)
def test_a_measured_surface_is_held_against_what_a_hand_stands(
    temperature: str, outcome: str, severity: str
) -> None:
    found = measured(temperature=temperature)
    assert (outcome, severity) == (found.outcome, found.severity)


@pytest.mark.parametrize(
    ("temperature", "says", "severity"),
    [
        ("55 °C ± 1 °C", "too hot to touch", "caution"),
        ("58 °C ± 4 °C", "may burn skin", "fault"),
        ("70 °C ± 1 °C", "can burn skin", "fault"),
    ],
)
def test_a_surface_that_may_burn_is_as_grave_as_one_that_does(
    temperature: str, says: str, severity: str
) -> None:
    found = measured(temperature=temperature)
    assert (f"the surface case {says}", severity) == (found.title, found.severity)


def test_a_cool_room_is_carried_over_to_a_warm_one() -> None:
    found = measured(room="15 °C")
    assert found.value is not None
    assert 55.0 == pytest.approx(found.value.value)
    assert "beyond the limit" == found.outcome


def test_metal_may_be_touched_less_hot_than_plastic_and_a_blink_hotter_than_a_hold() -> None:
    assert surface_limits("metal", "1 s to 10 s") < surface_limits("plastic", "1 s to 10 s")
    assert surface_limits("metal", "held") < surface_limits("metal", "below 1 s")


def reckoned(volts: float, *parts: str) -> Hazard:
    looked_at = subject(
        part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=volts),
        part("R1", "resistor", {"1": "plus", "2": "gnd"}, resistance=10.0),
        part("R2", "resistor", {"1": "plus", "2": "gnd"}, resistance=10.0),
    )
    case = replace(CASE, temperature="", resistance="10 K/W", room="20 °C", parts=parts)
    (found,) = answers("surface heat", replace(looked_at, surfaces=(case,)))
    return found


@pytest.mark.parametrize(
    ("parts", "hot"), [(("R1",), 20.0 + 10.0 * 2.5), ((), 20.0 + 10.0 * 5.0)], ids=["one", "all"]
)
def test_heat_of_the_parts_warms_the_surface_through_its_resistance(
    parts: tuple[str, ...], hot: float
) -> None:
    found = reckoned(5.0, *parts)
    assert found.value is not None
    assert hot == pytest.approx(found.value.value)
    assert (not parts) is found.flagged


def test_a_reading_that_is_no_temperature_leaves_it_open() -> None:
    found = measured(temperature="", reading="weight")
    assert "cannot tell" == found.outcome
    assert "the reading weight gives no temperature" in found.what


def network(*surfaces: Surface) -> Subject:
    looked_at = subject(
        part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=5.0),
        part("R1", "resistor", {"1": "plus", "2": "gnd"}, resistance=10.0),
        part("R2", "resistor", {"1": "plus", "2": "gnd"}, resistance=10.0),
    )
    return replace(looked_at, surfaces=surfaces)


SINK = Surface(
    name="sink", material="metal", touch="below 1 s", resistance="8 K/W", to="shell", parts=("R1",)
)
SHELL = Surface(
    name="shell", material="plastic", touch="held", resistance="4 K/W", room="20 °C", parts=("R2",)
)


def test_heat_passes_from_a_sink_through_the_shell_to_the_room() -> None:
    # R1 and R2 give 2.5 W each: the shell carries 5 W, the sink 2.5 W
    sink, shell = (one.value for one in answers("surface heat", network(SINK, SHELL)))
    assert shell is not None
    assert sink is not None
    assert 20.0 + 4.0 * 5.0 == pytest.approx(shell.value)
    assert 20.0 + 4.0 * 5.0 + 8.0 * 2.5 == pytest.approx(sink.value)


def test_a_measured_shell_ends_the_way() -> None:
    shell = replace(SHELL, resistance="", temperature="45 °C ± 1 °C")
    sink = answers("surface heat", network(SINK, shell))[0].value
    assert sink is not None
    # in a room of 25 °C, not of 20 °C, the shell comes to 50 °C
    assert 45.0 + 5.0 + 8.0 * 2.5 == pytest.approx(sink.value)


def test_a_junction_stands_above_the_surface_that_its_part_warms() -> None:
    lamp = replace(part("LED1", "led", {"anode": "tail", "cathode": "gnd"}, forward_drop=3.2), package="5050")
    looked_at = subject(
        part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=5.0),
        part("R1", "resistor", {"1": "plus", "2": "tail"}, resistance=47.0),
        lamp,
    )
    shell = replace(SHELL, parts=("LED1", "R1"), resistance="100 K/W")
    bare, warm = (
        answers("junction heat", replace(looked_at, surfaces=surfaces))[0] for surfaces in ((), (shell,))
    )
    assert bare.value is not None
    assert warm.value is not None
    assert any("air inside the case at 35 °C" in words for words in bare.assumed)
    assert any("the surface shell around it" in words for words in warm.assumed)
    power = 5.0 * 1.8 / 47.0  # about; the diode's drop moves it by a few percent
    assert 20.0 + 100.0 * power - 35.0 == pytest.approx(warm.value.value - bare.value.value, abs=2.0)


LED_LAMP = (
    part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=5.0),
    part("R1", "resistor", {"1": "plus", "2": "tail"}, resistance=180.0),
    replace(part("LED1", "led", {"anode": "tail", "cathode": "gnd"}, forward_drop=3.2), package="2835"),
    part("C1", "electrolytic_capacitor", {"plus": "plus", "minus": "gnd"}, capacitance=10e-6),
)


@pytest.mark.parametrize("parts", [(), ("C1", "LED1", "R1")], ids=["all", "listed"])
def test_nothing_inside_is_cooler_than_the_surface_measured_outside(parts: tuple[str, ...]) -> None:
    shell = replace(CASE, temperature="71 °C ± 1 °C", room="22 °C", parts=parts)
    looked_at = replace(subject(*LED_LAMP), surfaces=(shell,))
    (junction,) = answers("junction heat", looked_at)
    assert junction.value is not None
    assert 74.0 < junction.value.value < 80.0
    assert any(
        "no cooler than the surface case, as measured, at 74 °C" in words for words in junction.assumed
    )
    assert "in air of 74 °C" in junction.what
    (life,) = answers("electrolytic life", looked_at)
    assert life.value is not None
    assert 2000.0 * 2.0**3.1 == pytest.approx(life.value.value / 3600.0)
    assert "cannot tell" == life.outcome  # what is behind the surface may be hotter still


def test_a_surface_that_other_parts_warm_tells_nothing_of_the_air() -> None:
    heater = replace(CASE, temperature="71 °C ± 1 °C", parts=("R1",))
    (junction,) = answers("junction heat", replace(subject(*LED_LAMP), surfaces=(heater,)))
    assert any("air inside the case at 35 °C" in words for words in junction.assumed)


def test_a_cool_shell_leaves_the_usual_air_inside() -> None:
    shell = replace(CASE, temperature="28 °C ± 1 °C")
    (junction,) = answers("junction heat", replace(subject(*LED_LAMP), surfaces=(shell,)))
    assert any("air inside the case at 35 °C" in words for words in junction.assumed)
