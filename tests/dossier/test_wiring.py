import pytest

from lidoff.circuit import Kind, Spread, all_kinds, settings_of
from lidoff.circuit.kind import Parameter
from lidoff.dossier import PartEntry, circuit_of, part_of, situations_of
from lidoff.dossier.wiring import setting_of
from lidoff.errors import ImpossibleValue, UnknownName
from tests.dossier.build import lamp

PARAMETERS = [
    pytest.param(kind, parameter, id=f"{kind.name}.{parameter.name}")
    for kind in all_kinds().values()
    for parameter in kind.parameters_of(kind.example_part()).values()
]


def resistor(value: str) -> PartEntry:
    return PartEntry(reference="R1", kind="resistor", pins={"1": "a", "2": "b"}, values={"resistance": value})


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("4k7 ± 5 %", Spread(half_width=0.05)),
        ("4700 Ω ± 235 Ω", Spread(half_width=235.0, relative=False)),
        ("4k7 ± 0 %", Spread(half_width=0.0)),
    ],
)
def test_plus_minus_on_a_part_is_the_limit_of_its_tolerance(text: str, expected: Spread) -> None:
    part = part_of(resistor(text))
    assert part.values["resistance"] == 4700.0
    assert expected.limits(4700.0) == pytest.approx(part.spreads["resistance"].limits(4700.0))
    assert (expected.relative, expected.normal) == (
        part.spreads["resistance"].relative,
        part.spreads["resistance"].normal,
    )


def test_a_value_without_limits_keeps_what_is_usual_for_its_kind() -> None:
    assert "resistance" not in part_of(resistor("4k7")).spreads


def test_digits_in_brackets_are_a_measured_value() -> None:
    # 4.70(2) kΩ: standard uncertainty 0.02 kΩ, JCGM 100:2008, 7.2.2.
    spread = part_of(resistor("4.70(2) kΩ")).spreads["resistance"]
    assert spread.standard(4700.0) == pytest.approx(20.0)


@pytest.mark.parametrize(("kind", "parameter"), PARAMETERS)
def test_every_parameter_of_every_kind_can_be_written(kind: Kind, parameter: Parameter) -> None:
    if parameter.words:
        for word, code in parameter.words.items():
            value, _ = setting_of(word, parameter)
            assert value == word
            parameter.check(code)
        return
    number = parameter.typical if parameter.typical is not None else max(1.0, parameter.minimum)
    value, _ = setting_of(f"{number!r} {parameter.unit}".strip(), parameter)
    assert value == pytest.approx(number), kind.name


def test_a_word_that_is_not_known_lists_those_that_are() -> None:
    connected = all_kinds()["dc_supply"].parameters_of(all_kinds()["dc_supply"].example_part())["connected"]
    with pytest.raises(
        UnknownName, match="connected = 'conected' is not understood; did you mean 'connected'"
    ):
        setting_of("conected", connected)


def test_a_parameter_that_the_kind_lacks_is_refused() -> None:
    entry = PartEntry(reference="R1", kind="resistor", pins={}, values={"voltage": "1 V"})
    with pytest.raises(UnknownName, match=r"R1 \(resistor\) has no parameter 'voltage'"):
        part_of(entry)


def test_an_impossible_value_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="resistance = -1 Ω cannot be"):
        part_of(resistor("-1 Ω"))


def test_limits_that_reach_what_cannot_be_are_refused() -> None:
    with pytest.raises(
        ImpossibleValue, match=r"the limits of '10 Ω ± 200 %' are too wide: resistance = -1\.5"
    ):
        part_of(resistor("10 Ω ± 200 %"))


def test_a_situation_sets_numbers_in_si_units() -> None:
    lit = situations_of(lamp())[0]
    assert dict(lit.settings["J1"]) == {"voltage": 5.02}


def test_a_bare_value_sets_what_is_main_of_a_kind() -> None:
    dark = situations_of(lamp())[1]
    circuit = circuit_of(lamp())
    assert settings_of(circuit.part("J1"), dark.settings["J1"])["voltage"] == 0.0


def test_without_situations_the_circuit_stands_as_it_is() -> None:
    from lidoff.dossier import dossier_from_text

    assert [one.name for one in situations_of(dossier_from_text('[device]\ntitle = "x"\n'))] == [
        "as it stands"
    ]


def test_a_wire_makes_its_nets_one() -> None:
    circuit = circuit_of(
        lamp(('minus = "gnd"', 'minus = "black"'), more='[wires.w]\njoins = ["black", "gnd"]\n')
    )
    assert circuit.part("J1").pins["minus"] == "gnd"


def test_wires_join_on_through_each_other() -> None:
    wires = '[wires.w]\njoins = ["black", "brown"]\n[wires.v]\njoins = ["gnd", "brown"]\n'
    circuit = circuit_of(lamp(('minus = "gnd"', 'minus = "black"'), more=wires))
    assert circuit.part("J1").pins["minus"] == "gnd"


def test_a_wire_from_a_net_to_itself_is_refused() -> None:
    with pytest.raises(Exception, match="the wire joins a net to itself; name the nets at its two ends"):
        lamp(more='[wires.w]\njoins = ["gnd", "gnd"]\n')


def test_rails_take_the_name_that_stands_for_their_net() -> None:
    circuit = circuit_of(lamp(more='[wires.w]\njoins = ["usb_5v", "red"]\n[rails]\nred = "supply"\n'))
    assert circuit.rails == {"usb_5v": "supply"}
