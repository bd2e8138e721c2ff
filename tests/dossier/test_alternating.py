"""Claims of power from a circuit whose supply alternates."""

import pytest

from lidoff.dossier import analyse, dossier_from_text
from lidoff.evidence import ClaimResult

PLUG_LAMP = """format = 2
ground = "gnd"

[device]
title = "Plug lamp"

[claims.power]
kind = "power_input"
says = "5 W"
where = "box"
value = "5 W"
sense = "about"
from = { voltage = "volts", current = "amps" }

[situations.on]
title = "plugged in"

[readings.volts]
situation = "on"
voltage = "live"
shown = "231.2 V ± 2.6 V"

[readings.amps]
situation = "on"
current = "J1"
shown = "22.0 mA ± 0.3 mA"

[parts.J1]
kind = "ac_supply"
value = "230 V ± 2 %"
frequency = "50 Hz"
pins = { plus = "live", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "10 kΩ"
pins = { 1 = "live", 2 = "led" }

[parts.D1]
kind = "led"
pins = { anode = "led", cathode = "gnd" }
"""
STEADY = (
    'kind = "ac_supply"\nvalue = "230 V ± 2 %"\nfrequency = "50 Hz"',
    'kind = "dc_supply"\nvalue = "230 V ± 2 %"',
)


def power(*changes: tuple[str, str]) -> ClaimResult:
    text = PLUG_LAMP
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return analyse(dossier_from_text(text)).claims[0]


def test_the_circuit_tells_that_a_reading_alternates() -> None:
    result = power()
    assert result.verdict.words == "cannot tell"
    assert result.sum == "231.2 V × 22.0 mA = 5.09 VA ± 0.09 VA of apparent power; box says 5 W"


def test_a_steady_supply_of_the_same_voltage_makes_watts() -> None:
    assert power(STEADY).verdict.words == "borne out"


def test_an_unplugged_supply_alternates_nothing() -> None:
    assert (
        "VA"
        not in power(
            ('title = "plugged in"', 'title = "on"\nset = { J1 = { connected = "disconnected" } }')
        ).sum
    )


@pytest.mark.parametrize("where", ['across = "R1"', 'into = "R1.1"', 'across = "J1"'])
def test_parts_on_a_net_that_the_supply_drives_alternate(where: str) -> None:
    changed = where.replace("into", "current")
    old = 'voltage = "live"' if "across" in where else 'current = "J1"'
    assert power((old, changed)).sum.endswith("of apparent power; box says 5 W")


def test_behind_the_driven_net_nothing_is_said_to_alternate() -> None:
    steady = power(
        ('voltage = "live"\nshown = "231.2 V ± 2.6 V"', 'voltage = "led"\nshown = "3.0 V ± 0.1 V"'),
        ('current = "J1"', 'current = "D1"'),
    )
    assert "VA" not in steady.sum


def test_a_current_solved_on_an_alternating_supply_is_no_power_either() -> None:
    solved = power(
        (
            'from = { voltage = "volts", current = "amps" }',
            'from = { voltage = "volts", current = { situation = "on", current = "J1" } }',
        )
    )
    assert solved.verdict.words == "cannot tell"
