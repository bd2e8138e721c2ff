import math

import pytest

from lidoff.dossier import Analysis, SolvedSituation, UnsolvedSituation, analyse, dossier_from_text
from lidoff.errors import UnknownName
from lidoff.evidence import BorneOut, CannotTell, Finding, NotBorneOut
from tests.dossier.build import lamp

DIVIDER = """
[device]
title = "divider"
[situations.on]
[parts.V1]
kind = "dc_supply"
value = "10 V"
pins = { plus = "top", minus = "gnd" }
[parts.R1]
kind = "resistor"
value = "1 MΩ ± 10 %"
pins = { 1 = "top", 2 = "tap" }
[parts.R2]
kind = "resistor"
value = "1 MΩ ± 0 %"
pins = { 1 = "tap", 2 = "gnd" }
"""

LEAK = 1e-5  # the solver's own conductance at every net, about 1e-12 S, beside the divider's 1 MΩ


def divider(more: str = "") -> Analysis:
    return analyse(dossier_from_text(DIVIDER + more))


def solved(analysis: Analysis, name: str) -> SolvedSituation:
    result = analysis.situation(name)
    assert isinstance(result, SolvedSituation)
    return result


def test_a_situation_that_there_is_not_is_answered_with_the_known() -> None:
    with pytest.raises(UnknownName, match="there is no situation 'nope'"):
        divider().situation("nope")


def named(analysis: Analysis, name: str) -> list[Finding]:
    return [finding for finding in analysis.findings if finding.name == name]


def test_nets_carry_the_spread_that_tolerances_give() -> None:
    # v = 10 V·R2/(R1 + R2); dv/dR1 = −v/(R1 + R2), and ± 10 % limits are 10 %/√3 standard.
    tap = solved(divider(), "on").nets["tap"]
    assert tap.value == pytest.approx(5.0)
    assert tap.uncertainty == pytest.approx(2.5 * 0.1 / math.sqrt(3), rel=1e-3)


def test_parts_and_supplies_share_out_all_power() -> None:
    result = solved(divider(), "on")
    taken = sum(result.parts[reference].power.value for reference in ("R1", "R2"))
    assert taken == pytest.approx(result.supplies["V1"].power.value, rel=LEAK)
    assert result.supplies["V1"].power.value == pytest.approx(10.0**2 / 2e6, rel=LEAK)


def test_a_supply_that_delivers_counts_its_current_positive() -> None:
    result = solved(divider(), "on")
    supplied, along = result.supplies["V1"].current, result.parts["V1"].current
    assert supplied is not None
    assert along is not None
    assert supplied.value == pytest.approx(5e-6, rel=LEAK)
    assert along.value == pytest.approx(-5e-6, rel=LEAK)


def test_a_voltmeter_lowers_the_tap_that_it_reads() -> None:
    # 10 MΩ beside R2: 10 V · 0.90909 MΩ / 1.90909 MΩ
    meter = '[instruments.m]\ninput_resistance = "10 MΩ"\n'
    meter += '[[instruments.m.ranges]]\nmeasures = "voltage dc"\naccuracy = "1 %"\n'
    reading = '[readings.tap]\nsituation = "on"\ninstrument = "m"\nvoltage = "tap"\nshown = "4.76 V"\n'
    (comparison,) = divider(meter + reading).comparisons
    assert comparison.loaded
    assert comparison.predicted.value == pytest.approx(10 * (10 / 11) / (1 + 10 / 11), rel=1e-6)


def test_a_meter_of_unknown_resistance_is_not_predicted() -> None:
    reading = '[readings.tap]\nsituation = "on"\nvoltage = "tap"\nshown = "4.76 V ± 0.1 V"\n'
    (comparison,) = divider(reading).comparisons
    assert not comparison.loaded
    assert comparison.predicted.value == pytest.approx(5.0)


def test_an_ammeter_lowers_the_current_that_it_reads() -> None:
    # 0.2 MΩ in series with R1 and R2: 10 V / 2.2 MΩ
    meter = '[[instruments.m.ranges]]\nmeasures = "current dc"\naccuracy = "1 %"\nburden = "200 kΩ"\n'
    readings = "".join(
        f'[readings.r{number}]\nsituation = "on"\ninstrument = "m"\ncurrent = "{target}"\nshown = "{sign}4.55 µA"\n'
        for number, (target, sign) in enumerate((("R1", ""), ("V1", ""), ("R2.1", ""), ("R2.2", "-")))
    )
    for comparison in divider(meter + readings).comparisons:
        assert comparison.loaded
        assert abs(comparison.predicted.value) == pytest.approx(10 / 2.2e6, rel=LEAK)
        assert comparison.fit == "agrees"


def test_each_meter_is_there_for_its_own_reading_alone() -> None:
    # Were both 1 MΩ meters there at once, the tap would stand at 2.5 V.
    meter = '[instruments.m]\ninput_resistance = "1 MΩ"\n'
    meter += '[[instruments.m.ranges]]\nmeasures = "voltage dc"\naccuracy = "1 %"\n'
    readings = "".join(
        f'[readings.r{number}]\nsituation = "on"\ninstrument = "m"\nvoltage = "tap"\nshown = "3.33 V"\n'
        for number in range(2)
    )
    for comparison in divider(meter + readings).comparisons:
        assert comparison.predicted.value == pytest.approx(10 / 3, rel=LEAK)


TARGETS = [
    ('voltage = "tap"', 5.0),
    ('voltage = "top"\nagainst = "tap"', 5.0),
    ('voltage = "gnd"\nagainst = "tap"', -5.0),
    ('across = "R1"', 5.0),
    ('current = "R1"', 5e-6),
    ('current = "R1.2"', -5e-6),
    ('current = "V1"', 5e-6),
    ('current = "V1.plus"', -5e-6),
    ('power = "R2"', 25e-6),
    ('power = "V1"', 50e-6),
]


@pytest.mark.parametrize(("target", "expected"), TARGETS)
def test_every_target_of_a_reading_is_predicted(target: str, expected: float) -> None:
    unit = "V" if "voltage" in target or "across" in target else "A" if "current" in target else "W"
    analysis = divider(f'[readings.r]\nsituation = "on"\n{target}\nshown = "{expected!r} {unit} ± 10 %"\n')
    (comparison,) = analysis.comparisons
    assert comparison.predicted.value == pytest.approx(expected, rel=LEAK)
    assert comparison.fit == "agrees"


def test_a_misfit_names_the_part_that_the_prediction_hangs_on() -> None:
    analysis = divider('[readings.r]\nsituation = "on"\nvoltage = "tap"\nshown = "7.0 V ± 0.1 V"\n')
    (finding,) = named(analysis, "misfit")
    assert finding.parts == ("R1",)
    assert "R1.resistance (100 %)" in finding.remedy


def test_a_reading_without_situation_belongs_to_the_only_one() -> None:
    assert divider('[readings.r]\nvoltage = "tap"\nshown = "5.0 V"\n').comparisons[0].fit == "agrees"


def test_a_named_quantity_is_not_compared() -> None:
    analysis = divider('[readings.r]\nquantity = "run time"\nshown = "5 min"\n')
    assert (0, 0) == (len(analysis.comparisons), len(analysis.uncompared))


def test_a_claim_may_rest_on_the_solved_circuit() -> None:
    result = analyse(lamp()).claims[0]
    assert isinstance(result.verdict, NotBorneOut)
    assert result.shares[0].source == "solved power of J1 when lit"


def test_a_claim_on_an_unsolved_situation_stays_open() -> None:
    result = analyse(lamp(('{ situation = "lit", power', '{ situation = "both", power'), more=SHORT)).claims[
        0
    ]
    assert isinstance(result.verdict, CannotTell)


SHORT = """
[parts.J2]
kind = "dc_supply"
value = "0 V"
connected = "disconnected"
pins = { plus = "usb_5v", minus = "gnd" }
[situations.both]
set = { J2 = { connected = "connected" } }
"""


def test_an_unsolved_situation_leaves_the_others_solved() -> None:
    analysis = analyse(lamp(more=SHORT))
    kinds = {result.name: type(result) for result in analysis.situations}
    assert kinds == {"lit": SolvedSituation, "dark": SolvedSituation, "both": UnsolvedSituation}


def test_an_unsolved_situation_is_a_finding_that_says_why() -> None:
    (finding,) = named(analyse(lamp(more=SHORT)), "situation not solved")
    assert finding.severity == "fault"
    assert "form a loop without any resistance" in finding.what
    assert finding.situations == ("both",)


def test_solved_numbers_do_not_change_when_another_situation_fails() -> None:
    alone, beside = (solved(analyse(one), "lit") for one in (lamp(), lamp(more=SHORT.replace("0 V", "0 V"))))
    assert alone.nets["led_plus"].value == pytest.approx(beside.nets["led_plus"].value, rel=1e-9)


def test_a_net_with_one_pin_is_a_finding_and_no_error() -> None:
    analysis = analyse(lamp(('2 = "led_plus"', '2 = "elsewhere"')))
    assert {"elsewhere", "led_plus"} == {
        net for one in named(analysis, "net with one pin") for net in one.nets
    }


def test_a_pin_left_out_stops_the_solving_but_not_the_claims() -> None:
    text = (
        'from = { power = { situation = "lit", power = "J1" } }',
        'from = { power = { value = "2 W ± 0.1 W", why = "x" } }',
    )
    analysis = analyse(lamp(text, (', cathode = "gnd"', "")))
    assert named(analysis, "unconnected pin")[0].severity == "fault"
    assert all(isinstance(result, UnsolvedSituation) for result in analysis.situations)
    assert isinstance(analysis.claims[0].verdict, BorneOut)


def test_a_reading_beside_an_unsolved_circuit_says_why_it_is_not_compared() -> None:
    (one,) = analyse(lamp((', cathode = "gnd"', ""))).uncompared
    assert one.why.startswith("the situation 'lit' was not solved: ")


def test_a_situation_without_supply_is_told() -> None:
    circuit = (
        '[device]\ntitle = "x"\n[parts.R1]\nkind = "resistor"\nvalue = "1 Ω"\npins = { 1 = "a", 2 = "gnd" }\n'
    )
    (finding,) = named(analyse(dossier_from_text(circuit)), "situation without supply")
    assert (
        "caution",
        "In as it stands the circuit has no supply, so the solved voltages are zero. "
        "Charge that capacitors keep is not in them.",
    ) == (
        finding.severity,
        finding.what,
    )


def test_an_unplugged_situation_is_only_noted() -> None:
    analysis = divider('[situations.off]\nset = { V1 = { connected = "disconnected" } }\n')
    (finding,) = named(analysis, "situation without supply")
    assert ("note", ("off",)) == (finding.severity, finding.situations)


def test_an_alternating_supply_is_told_to_be_seen_at_one_instant() -> None:
    analysis = divider(
        '[parts.V2]\nkind = "ac_supply"\nvalue = "230 V"\npins = { plus = "tap", minus = "gnd" }\nresistance = "1 Ω"\n'
    )
    (finding,) = named(analysis, "alternating supply")
    assert ("caution", ("V2",)) == (finding.severity, finding.parts)


HEATER = """format = 2
[device]
title = "heater"
[situations.full]
[situations.half]
set = { R1 = { resistance = "100 Ω" } }
[parts.J1]
kind = "ac_supply"
value = "230 V"
pins = { plus = "live", minus = "gnd" }
[parts.R1]
kind = "resistor"
value = "50 Ω"
pins = { 1 = "live", 2 = "gnd" }
[parts.G1]
kind = "connector"
pins = { 1 = "grille" }
"""


def test_what_several_situations_share_is_told_once() -> None:
    analysis = analyse(dossier_from_text(HEATER))
    (instant,), (loose,) = named(analysis, "alternating supply"), named(analysis, "undetermined net")
    assert "Only one instant of full and half" == instant.title
    assert "Nothing fixes grille in full and half" == loose.title
    assert ("full", "half") == instant.situations == loose.situations


def test_no_stand_in_is_asked_for_where_no_voltage_has_an_average() -> None:
    (finding,) = named(analyse(dossier_from_text(HEATER)), "alternating supply")
    assert ("note", "") == (finding.severity, finding.remedy)


def test_a_net_that_nothing_fixes_has_no_voltage() -> None:
    loose = '[parts.C1]\nkind = "capacitor"\nvalue = "1 nF"\npins = { 1 = "tap", 2 = "far" }\n'
    result = solved(divider(loose), "on")
    assert ("far",) == result.undetermined
    assert "far" not in result.nets


def test_an_open_switch_leaves_its_far_net_undetermined() -> None:
    switch = '[parts.S1]\nkind = "switch"\nvalue = "open"\npins = { 1 = "top", 2 = "far" }\n'
    probe = '[readings.r]\nsituation = "on"\nvoltage = "far"\nshown = "0 V ± 1 V"\n'
    analysis = divider(switch + probe)
    assert solved(analysis, "on").undetermined == ("far",)
    assert "nothing fixes the voltage of far" in analysis.uncompared[0].why


def test_a_part_over_its_told_rating_is_a_fault() -> None:
    analysis = analyse(lamp(('value = "150 Ω ± 5 %"', 'value = "150 Ω ± 5 %"\npower_rating = "10 mW"')))
    (finding,) = named(analysis, "stress")
    assert ("fault", ("R1",)) == (finding.severity, finding.parts)


def test_a_part_over_a_typical_rating_is_a_caution_that_says_so() -> None:
    analysis = analyse(lamp(("150 Ω", "47 Ω")))
    (finding,) = [one for one in named(analysis, "stress") if one.parts == ("D1",)]
    assert finding.severity == "caution"
    assert "typical for a light-emitting diode as the dossier tells none" in finding.what


def test_a_part_well_within_its_ratings_is_no_finding() -> None:
    assert [] == [one for one in analyse(lamp()).findings if one.name == "stress"]


def test_forward_voltage_is_no_load_on_a_reverse_rating() -> None:
    stress = next(one for one in analyse(lamp()).stresses if one.rating == "reverse_rating")
    assert stress.load.value == pytest.approx(0.0, abs=1e-6)


def test_a_diode_the_wrong_way_round_loads_its_reverse_rating() -> None:
    analysis = analyse(lamp(('anode = "led_plus", cathode = "gnd"', 'anode = "gnd", cathode = "led_plus"')))
    stress = next(one for one in analysis.stresses if one.rating == "reverse_rating")
    assert stress.load.value == pytest.approx(5.02, rel=1e-3)


def test_stresses_tell_the_worst_situation_first() -> None:
    stresses = analyse(lamp()).stresses
    shares = [stress.share for stress in stresses]
    assert shares == sorted(shares, reverse=True)
    assert stresses[0].situation == "lit"


def test_findings_come_gravest_first() -> None:
    grades = [one.severity for one in analyse(lamp(more=SHORT)).findings]
    assert grades == sorted(grades, key=["fault", "caution", "note"].index)


def test_a_dossier_of_claims_alone_is_judged() -> None:
    text = '[device]\ntitle = "x"\n[claims.t]\nkind = "run_time"\nsays = "20 min"\nvalue = "20 min"\n'
    text += 'from = { time = "t" }\n[readings.t]\nquantity = "run time"\nshown = "25.0 min ± 0.5 min"\n'
    analysis = analyse(dossier_from_text(text))
    assert isinstance(analysis.claims[0].verdict, BorneOut)
    assert (None, ()) == (analysis.solution, analysis.situations)


def test_progress_runs_from_nothing_to_all() -> None:
    told: list[tuple[str, float]] = []
    analyse(lamp(), progress=lambda text, share: told.append((text, share)))
    shares = [share for _, share in told]
    assert (0.0, 1.0) == (shares[0], shares[-1])
    assert shares == sorted(shares)
    assert all(text for text, _ in told)


def test_it_is_told_how_it_was_checked() -> None:
    titles = [check.title for check in analyse(lamp()).checks]
    assert titles == ["Wiring", "Operating points", "Readings", "Claims", "Ratings"]


def test_nets_that_a_wire_joins_are_read_under_either_name() -> None:
    wire = '[wires.w]\njoins = ["tap", "blue"]\n'
    analysis = divider(wire + '[readings.r]\nsituation = "on"\nvoltage = "blue"\nshown = "5.0 V"\n')
    assert analysis.comparisons[0].fit == "agrees"


def test_a_reading_with_an_outlier_among_its_repeats_is_not_held_against_the_circuit() -> None:
    analysis = analyse(
        lamp(
            ('shown = "3.01 V"', 'shown = ["30.1 V", "3.011 V", "3.012 V"]'),
            ('up_to = "6 V"', 'up_to = "60 V"'),
        )
    )
    assert () == analysis.comparisons
    assert "it is not to be relied on: 30.1 V (repeat 1 of 3) is an outlier" in analysis.uncompared[0].why
    assert "Not to be relied on: led" in [finding.title for finding in analysis.findings]
