"""The tree of errors: one base, fields that survive a trip between processes, words that help."""

import pickle
import re
from collections.abc import Iterator

import pytest

from lidoff import errors
from lidoff.errors import (
    CircuitFault,
    CommandUnclear,
    DossierError,
    EditRefused,
    ImpossibleValue,
    LidoffError,
    MeterLost,
    NetsUnsettled,
    OutputRefused,
    PhotoRefused,
    UnknownName,
    located,
    nearest_name,
)

# What each class promises to scripts and to the server; the tree drawn in the module must say the same.
CODES = {
    DossierError: (2, 422),
    ImpossibleValue: (2, 422),
    UnknownName: (2, 422),
    CircuitFault: (2, 422),
    NetsUnsettled: (3, 422),
    PhotoRefused: (2, 415),
    OutputRefused: (2, 507),
    CommandUnclear: (2, 422),
    EditRefused: (2, 409),
    MeterLost: (2, 502),
}


def below(kind: type[LidoffError]) -> Iterator[type[LidoffError]]:
    for child in kind.__subclasses__():
        yield child
        yield from below(child)


def test_every_error_has_its_codes_stated() -> None:
    own = {kind for kind in below(LidoffError) if kind.__module__ == "lidoff.errors"}
    assert set(CODES) == own


@pytest.mark.parametrize("kind", CODES, ids=lambda kind: kind.__name__)
def test_an_error_carries_the_stated_codes(kind: type[LidoffError]) -> None:
    assert (kind.exit_code, kind.http_status) == CODES[kind]


def test_the_drawn_tree_tells_every_error_and_its_codes() -> None:
    drawn = re.findall(r"^ +(\w+) .*\(exit (\d), HTTP (\d+)\)$", errors.__doc__ or "", flags=re.MULTILINE)
    assert {(kind.__name__, *map(str, codes)) for kind, codes in CODES.items()} == set(drawn)


def full_example(kind: type[LidoffError]) -> LidoffError:
    """One error of the kind with a value in every field it takes."""
    if kind is UnknownName:
        return UnknownName("no resistro", where="a, line 1", name="resistro", known=["resistor"])
    if kind is NetsUnsettled:
        return NetsUnsettled("gate moves", where="idle", remedy="look at Q1", nets=["gate"], tried=["Newton"])
    return kind(
        "broken", where="a, line 1", remedy="mend it", faults=[DossierError("one", where="a, line 2")]
    )


@pytest.mark.parametrize("kind", [LidoffError, *CODES], ids=lambda kind: kind.__name__)
def test_an_error_survives_pickling(kind: type[LidoffError]) -> None:
    error = full_example(kind)
    again = pickle.loads(pickle.dumps(error))
    assert type(error) is type(again)
    assert str(error) == str(again)
    fields = {name: value for name, value in vars(error).items() if name != "faults"}
    assert fields == {name: value for name, value in vars(again).items() if name != "faults"}
    assert [str(fault) for fault in error.faults] == [str(fault) for fault in again.faults]


def test_the_text_names_place_fault_and_cure() -> None:
    error = DossierError("no instrument", where="dossier.toml, line 41", remedy="add one")
    assert "dossier.toml, line 41: no instrument; add one" == str(error)


def test_the_text_lists_each_fault_on_its_own_line() -> None:
    faults = [ImpossibleValue("−1 Ω is below zero", where="line 3"), DossierError("no unit", where="line 9")]
    error = DossierError("2 faults", where="dossier.toml", faults=faults)
    assert [
        "dossier.toml: 2 faults",
        "  line 3: −1 Ω is below zero",
        "  line 9: no unit",
    ] == str(error).splitlines()


def test_an_unknown_name_suggests_the_nearest_and_lists_the_known() -> None:
    with pytest.raises(UnknownName, match=r"did you mean 'diode'\? \(known: capacitor, diode, resistor\)"):
        raise UnknownName("no kind 'doide'", name="doide", known=["resistor", "diode", "capacitor"])


def test_an_unknown_name_far_from_all_lists_only_the_known() -> None:
    assert "known: diode" == UnknownName("no kind 'xyz'", name="xyz", known=["diode"]).remedy


def test_a_long_list_of_known_names_is_cut() -> None:
    known = [f"net_{number:02}" for number in range(30)]
    assert UnknownName("no net", name="zzzzzz", known=known).remedy.endswith("net_11, …")


def test_a_place_is_added_on_the_way_up() -> None:
    with pytest.raises(ImpossibleValue, match=r"^boards/main\.json: too wide$"), located("boards/main.json"):
        raise ImpossibleValue("too wide")


def test_an_inner_place_is_kept() -> None:
    with pytest.raises(ImpossibleValue, match=r"^line 3: too wide$"), located("boards/main.json"):
        raise ImpossibleValue("too wide", where="line 3")


def test_located_leaves_other_errors_alone() -> None:
    with pytest.raises(KeyError, match=r"^'gate'$"), located("boards/main.json"):
        raise KeyError("gate")


def test_nearest_name_ignores_capitals() -> None:
    assert "diode" == nearest_name("DIODE", ["diode", "bipolar"])


def test_nothing_near_is_an_empty_text() -> None:
    assert "" == nearest_name("qqq", ["diode"])
