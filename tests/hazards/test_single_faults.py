"""Single faults: what they overheat, what stops them, what the cell sees, and that they are ranked."""

import pytest

from lidoff.circuit import Circuit, Part
from lidoff.hazards import Hazard, Subject, fault_effects, fault_tints
from tests.hazards.build import answers, part, subject


def lamp(*more: object, volts: float = 5.0) -> Subject:
    return subject(
        part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=volts, resistance=0.01),
        part("R1", "resistor", {"1": "plus", "2": "anode"}, resistance=150.0, power_rating=0.125),
        part("D1", "led", {"anode": "anode", "cathode": "gnd"}, forward_drop=2.0, current_rating=0.03),
        *more,  # type: ignore[arg-type]
    )


def test_a_shorted_led_overheats_its_resistor() -> None:
    effect = next(one for one in fault_effects(lamp()) if one.title == "D1 shorted")
    (overload,) = effect.overloads
    assert ("R1", "W") == (overload.reference, overload.unit)
    assert 25.0 / 150.0 == pytest.approx(overload.load, rel=1e-3)  # the whole 5 V lie across it


def test_a_shorted_resistor_drives_the_led_far_over_its_current() -> None:
    worst = fault_effects(lamp())[0]
    assert ("R1 shorted", "D1") == (worst.title, worst.overloads[0].reference)


def test_an_open_part_of_a_single_loop_does_no_harm() -> None:
    effects = {one.title: one for one in fault_effects(lamp())}
    assert effects["R1 open"].overloads == effects["D1 open"].overloads == ()


def test_worse_faults_come_first() -> None:
    weights = [one.weight for one in fault_effects(lamp())]
    assert weights == sorted(weights, reverse=True)


def with_fuse(**values: float) -> Subject:
    return subject(
        part("V1", "dc_supply", {"plus": "top", "minus": "gnd"}, voltage=5.0, resistance=0.5),
        part("F1", "fuse", {"1": "top", "2": "plus"}, current_rating=1.0, **values),
        part("R1", "resistor", {"1": "plus", "2": "gnd"}, resistance=50.0, power_rating=1.0),
    )


def test_a_fuse_far_over_its_rating_opens() -> None:
    effect = next(one for one in fault_effects(with_fuse()) if one.title == "R1 shorted")
    assert effect.fuses == ("F1 opens, at 9.1 times its rating",)


def test_a_told_melting_integral_tells_how_soon() -> None:
    effect = next(one for one in fault_effects(with_fuse(melting_integral=0.5)) if one.title == "R1 shorted")
    assert effect.fuses == (
        "F1 opens no sooner than after about 0.0061 s (I²t), and within minutes",
    )  # 0.5 A²s over (9.07 A)²


def test_a_usual_melting_integral_tells_how_soon_where_the_current_is_high() -> None:
    looked_at = subject(
        part("V1", "dc_supply", {"plus": "top", "minus": "gnd"}, voltage=5.0, resistance=0.05),
        part("F1", "fuse", {"1": "top", "2": "plus"}, current_rating=1.0, resistance=0.05),
        part("R1", "resistor", {"1": "plus", "2": "gnd"}, resistance=50.0, power_rating=1.0),
    )
    effect = next(one for one in fault_effects(looked_at) if one.title == "R1 shorted")
    # 0.5 A²s over (5 V / 0.1 Ω)² = 0.2 ms
    assert effect.fuses == ("F1 opens after about 0.0002 s (I²t usual for its rating)",)


def test_a_fuse_on_the_mains_counts_by_the_effective_current() -> None:
    looked_at = subject(
        part("V1", "ac_supply", {"plus": "top", "minus": "gnd"}, voltage=10.0, frequency=50.0),
        part("F1", "fuse", {"1": "top", "2": "plus"}, current_rating=1.0, resistance=0.0),
        part("R1", "resistor", {"1": "plus", "2": "mid"}, resistance=2.0, power_rating=100.0),
        part("R2", "resistor", {"1": "mid", "2": "gnd"}, resistance=50.0, power_rating=10.0),
    )
    effect = next(one for one in fault_effects(looked_at) if one.title == "R2 shorted")
    assert effect.fuses == ("F1 opens, at 5.0 times its rating",)  # 10 V over 2 Ω


def test_a_resistor_far_over_its_power_fails_in_moments() -> None:
    looked_at = subject(
        part("V1", "dc_supply", {"plus": "top", "minus": "gnd"}, voltage=12.0),
        part("R1", "resistor", {"1": "top", "2": "mid"}, resistance=10.0, power_rating=0.25),
        part("R2", "resistor", {"1": "mid", "2": "gnd"}, resistance=1000.0, power_rating=0.25),
    )
    told = [one.what for one in answers("single faults", looked_at) if "R2 shorted" in one.title]
    assert "R1 takes 14 W of 250 mW and fails in moments" in told[0]


def test_a_short_across_a_cell_tells_what_the_cell_gives() -> None:
    looked_at = subject(
        part(
            "BT1",
            "cell",
            {"plus": "plus", "minus": "gnd"},
            emf=4.0,
            internal_resistance=0.1,
            current_rating=2.0,
        ),
        part("C1", "capacitor", {"1": "plus", "2": "gnd"}, capacitance=1e-6),
    )
    worst = fault_effects(looked_at)[0]
    assert worst.cell.startswith("BT1 gives 39.6 A")  # 4 V over 0.1 Ω and the bridge's 1 mΩ


def test_a_net_within_reach_that_becomes_live_comes_first() -> None:
    base = subject(
        part("V1", "dc_supply", {"plus": "hot", "minus": "gnd"}, voltage=300.0),
        part("R1", "resistor", {"1": "hot", "2": "case"}, resistance=1e6, power_rating=1.0),
        part("R2", "resistor", {"1": "case", "2": "gnd"}, resistance=1e3, power_rating=1.0),
    )
    looked_at = Subject(
        circuit=base.circuit,
        situations=base.situations,
        place=base.place,
        spreading=base.spreading,
        accessible=("case",),
    )
    assert fault_effects(looked_at)[0].live == ("case at 300 V",)


def test_a_held_button_is_followed_as_well() -> None:
    looked_at = lamp(
        part("S1", "button", {"1": "plus", "2": "node"}),
        part("R2", "resistor", {"1": "node", "2": "gnd"}, resistance=10.0, power_rating=0.5),
    )
    effect = next(one for one in fault_effects(looked_at) if one.title == "S1 held")
    assert effect.overloads[0].reference == "R2"


def test_bridges_between_the_same_nets_are_told_as_one() -> None:
    looked_at = lamp(part("C1", "capacitor", {"1": "anode", "2": "gnd"}, capacitance=1e-7))
    titles = [one.title for one in answers("single faults", looked_at)]
    assert any(title.startswith("C1 shorted or D1 shorted:") for title in titles)


def test_tints_tell_the_worst_of_each_part() -> None:
    tints = fault_tints(fault_effects(lamp()))
    assert ("hot", "R1 shorted") == (tints["R1"].level, tints["R1"].caption.split(":")[0])


def test_one_answer_counts_all_faults() -> None:
    (counted,) = [one for one in answers("single faults", lamp()) if one.outcome == "within the limit"]
    assert counted.title == "2 of 4 single faults drive no other part over a rating"


def test_no_situation_gives_no_faults() -> None:
    assert fault_effects(Subject(circuit=Circuit(parts=()))) == ()


def test_equal_branches_that_fail_alike_are_told_as_one() -> None:
    branches = [
        one
        for number in range(1, 4)
        for one in (
            part(f"R{number}", "resistor", {"1": "plus", "2": f"tail{number}"}, resistance=100.0),
            part(
                f"LED{number}",
                "led",
                {"anode": f"tail{number}", "cathode": "gnd"},
                forward_drop=3.0,
                current_rating=0.03,
            ),
        )
    ]
    supply = part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=5.0, resistance=1.0)
    found = [one for one in answers("single faults", subject(supply, *branches)) if one.flagged]
    told = [one.title for one in found if one.title.startswith("R1 shorted")]
    assert told == ["R1 shorted: LED1 over its rating; 2 more alike"]
    assert not any(one.title.startswith(("R2", "R3")) for one in found)


def test_an_open_zener_lets_the_capacitor_beside_it_rise_over_its_voltage() -> None:
    looked_at = subject(
        part("V1", "dc_supply", {"plus": "top", "minus": "gnd"}, voltage=100.0),
        part("R1", "resistor", {"1": "top", "2": "rail"}, resistance=10e3, power_rating=2.0),
        part("D1", "zener", {"cathode": "rail", "anode": "gnd"}, breakdown_voltage=12.0, power_rating=0.5),
        part(
            "C1",
            "electrolytic_capacitor",
            {"plus": "rail", "minus": "gnd"},
            capacitance=1e-4,
            voltage_rating=16.0,
        ),
    )
    (told,) = (one for one in answers("single faults", looked_at) if one.title.startswith("D1 open"))
    assert "C1 stands at 100 V of 16 V" in told.what
    assert told.severity == "caution"


def fed(through: Part) -> list[str]:
    looked_at = subject(
        part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0),
        through,
        part("R1", "resistor", {"1": "fed", "2": "gnd"}, resistance=1e3, power_rating=10.0),
    )
    return [one.title for one in answers("single faults", looked_at) if one.outcome == "cannot tell"]


def test_faults_behind_a_capacitor_on_the_mains_are_said_not_to_be_seen() -> None:
    dropper = part("C1", "film_capacitor", {"1": "live", "2": "fed"}, capacitance=470e-9)
    assert ["faults in on"] == fed(dropper)


def test_faults_behind_a_resistor_on_the_mains_are_seen() -> None:
    assert [] == fed(part("R2", "resistor", {"1": "live", "2": "fed"}, resistance=1e4, power_rating=10.0))


def test_faults_behind_a_winding_are_said_not_to_be_seen() -> None:
    looked_at = subject(
        part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0),
        part(
            "T1",
            "transformer",
            {"primary_1": "live", "primary_2": "gnd", "secondary_1": "low", "secondary_2": "back"},
            turns_ratio=20.0,
            primary_inductance=30.0,
            primary_resistance=300.0,
        ),
        part("R1", "resistor", {"1": "low", "2": "back"}, resistance=50.0, power_rating=5.0),
    )
    found = [one.title for one in answers("single faults", looked_at) if one.outcome == "cannot tell"]
    assert "faults in on" in found


def dropped() -> Subject:
    """Mains behind a capacitor and a rectifier, with a steady supply that stands for them on average."""
    stand_in = Part(
        reference="V1",
        kind="dc_supply",
        pins={"plus": "rail", "minus": "gnd"},
        values={"voltage": 323.0, "resistance": 45e3},
        stands_for=("J1", "C1", "D1", "D2"),
    )
    return subject(
        part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0),
        part("C1", "film_capacitor", {"1": "live", "2": "pumped"}, capacitance=220e-9, voltage_rating=400.0),
        part("D1", "diode", {"anode": "pumped", "cathode": "rail"}),
        part("D2", "diode", {"anode": "gnd", "cathode": "pumped"}),
        stand_in,
        part(
            "C2",
            "electrolytic_capacitor",
            {"plus": "rail", "minus": "gnd"},
            capacitance=1e-4,
            voltage_rating=16.0,
        ),
        part("D3", "zener", {"anode": "gnd", "cathode": "rail"}, breakdown_voltage=12.0, power_rating=0.5),
    )


def test_faults_behind_a_stand_in_are_followed_with_it() -> None:
    effect = next(one for one in fault_effects(dropped()) if one.title == "D3 open")
    (worst, *_) = effect.overloads
    assert "C2" == worst.reference
    # both crests: C1 and two diodes pump what nothing loads any more, which the stand-in's 323 V do not tell
    assert 2.0 * 230.0 * 2.0**0.5 == pytest.approx(worst.load, rel=0.01)
    assert not effect.crest


def test_a_short_of_what_is_stood_for_is_seen_at_the_crest_of_the_mains_alone() -> None:
    effect = next(one for one in fault_effects(dropped()) if one.title == "C1 shorted")
    assert effect.crest


def test_what_a_stand_in_hides_of_faults_is_told() -> None:
    (told,) = (one for one in answers("single faults", dropped()) if one.outcome == "cannot tell")
    assert "faults of C1, D1 and D2 in on" == told.title
    assert "In on faults of the other parts are followed with V1 in place of C1, D1 and D2." in told.what


def cannot_tell(looked_at: Subject) -> Hazard:
    return next(one for one in answers("single faults", looked_at) if one.title.startswith("faults in"))


def test_a_pulse_supply_is_not_called_the_mains() -> None:
    pulses = part(
        "V2",
        "pulse_supply",
        {"plus": "x", "minus": "gnd"},
        high=3.3,
        width=5e-3,
        period=1e-2,
        rise=1e-4,
        fall=1e-4,
    )
    load = part("R1", "resistor", {"1": "x", "2": "gnd"}, resistance=100.0)
    found = cannot_tell(subject(pulses, load))
    assert (
        "In on V2 feeds the circuit in pulses. Faults are followed with V2 standing still as at 0 s"
        in found.what
    )
    assert ("V2",) == found.parts


def test_a_low_alternating_supply_behind_a_capacitor_is_not_called_the_mains() -> None:
    supply = part("V1", "ac_supply", {"plus": "x", "minus": "gnd"}, voltage=12.0, frequency=50.0)
    capacitor = part("C1", "film_capacitor", {"1": "x", "2": "y"}, capacitance=1e-6)
    load = part("R1", "resistor", {"1": "y", "2": "gnd"}, resistance=100.0)
    found = cannot_tell(subject(supply, capacitor, load))
    assert "In on V1 feeds the circuit through capacitors or windings" in found.what
    assert "V1 and its capacitors among it" in found.remedy


def test_the_mains_behind_a_capacitor_are_called_so() -> None:
    supply = part("J1", "ac_supply", {"plus": "x", "minus": "gnd"}, voltage=230.0, frequency=50.0)
    capacitor = part("C1", "film_capacitor", {"1": "x", "2": "y"}, capacitance=1e-6)
    load = part("R1", "resistor", {"1": "y", "2": "gnd"}, resistance=100.0)
    assert (
        "In on the mains feed the circuit through capacitors"
        in cannot_tell(subject(supply, capacitor, load)).what
    )


def dropper_lamp() -> Subject:
    """Lamp behind a capacitor, with a divider of bleeders that a supply at its crest would set to half."""
    return subject(
        part("J1", "ac_supply", {"plus": "live", "minus": "neutral"}, voltage=230.0, frequency=50.0),
        part("C1", "film_capacitor", {"1": "live", "2": "drop"}, capacitance=680e-9),
        part("R2", "resistor", {"1": "live", "2": "drop"}, resistance=1e6),
        part("BR1", "bridge_rectifier", {"ac_1": "drop", "ac_2": "neutral", "plus": "plus", "minus": "gnd"}),
        part(
            "C2",
            "electrolytic_capacitor",
            {"plus": "plus", "minus": "gnd"},
            capacitance=10e-6,
            voltage_rating=160.0,
        ),
        part("R3", "resistor", {"1": "plus", "2": "gnd"}, resistance=1e6),
        part("R4", "resistor", {"1": "plus", "2": "load"}, resistance=1000.0, power_rating=2.0),
        part("R5", "resistor", {"1": "load", "2": "gnd"}, resistance=3000.0, power_rating=5.0),
    )


def test_a_load_that_opens_behind_a_dropper_leaves_its_capacitor_at_the_crest_of_the_mains() -> None:
    effects = {one.title: one for one in fault_effects(dropper_lamp())}
    for title in ("R4 open", "R5 open"):
        overload, *_ = effects[title].overloads
        assert "C2" == overload.reference
        assert 230.0 * 2.0**0.5 == pytest.approx(overload.load, rel=0.03)
        assert effects[title].period


def test_what_only_the_crest_shows_behind_a_dropper_is_withdrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("lidoff.hazards.faults_over_period.MOST_PERIODS", 0)
    shown = [one.title for one in fault_effects(dropper_lamp()) if one.overloads]
    assert ["C1 shorted", "R2 shorted"] == shown  # nothing stands before these any more


def test_an_open_switch_between_mains_and_heater_hides_nothing() -> None:
    mains = part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0)
    switch = part("S1", "switch", {"1": "live", "2": "hot"}, state="open")
    heater = part("R1", "resistor", {"1": "hot", "2": "gnd"}, resistance=50.0, power_rating=1500.0)
    told = answers("single faults", subject(mains, switch, heater))
    assert not [one for one in told if "through capacitors" in one.what]


def bare(**values: float) -> Subject:
    """Transistor whose base gets the whole supply when its resistor is shorted."""
    return subject(
        part("V1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=5.0, **values),
        part("R1", "resistor", {"1": "plus", "2": "base"}, resistance=1000.0, power_rating=0.125),
        part("R2", "resistor", {"1": "plus", "2": "out"}, resistance=1000.0, power_rating=0.125),
        part("Q1", "npn", {"collector": "out", "base": "base", "emitter": "gnd"}),
    )


def test_a_supply_without_a_told_limit_gives_what_a_common_one_does() -> None:
    worst = next(one for one in fault_effects(bare()) if one.title == "R1 shorted")
    assert worst.ample == (("V1", 3.0),)
    # 5 V behind 5/3 Ω give at most a quarter of 15 W to anything.
    assert all(one.load < 15.0 / 4.0 for one in worst.overloads if one.unit == "W")
    assert {one.reference for one in worst.overloads} == {"Q1"}


def test_a_told_resistance_is_taken_at_its_word() -> None:
    worst = next(one for one in fault_effects(bare(resistance=0.1)) if one.title == "R1 shorted")
    assert worst.ample == ()
    (overload,) = (one for one in worst.overloads if one.unit == "W")
    assert overload.load > 15.0


def test_what_a_supply_was_held_to_is_told_with_the_number() -> None:
    hazard = next(one for one in answers("single faults", bare()) if one.title.startswith("R1 shorted"))
    assert "V1, of which no limit is told, gives no more than 3.0 A" in hazard.what
    assert hazard.severity == "note"
