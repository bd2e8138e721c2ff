"""One clear error on the terminal."""

from lidoff.cli.trouble import error_text
from lidoff.errors import DossierError, ImpossibleValue


def test_an_error_without_place_or_remedy_is_one_line() -> None:
    assert "error: broken" == error_text(DossierError("broken"))


def test_several_faults_are_numbered_each_with_its_place_and_remedy() -> None:
    faults = [
        ImpossibleValue("−4.7 kΩ is below zero", where="dossier.toml, line 12", remedy="give it above zero"),
        DossierError("no unit in 4.4", where="dossier.toml, line 30"),
    ]
    assert [
        "error: 2 faults",
        "  where:      dossier.toml",
        "  1. −4.7 kΩ is below zero",
        "     where:      dossier.toml, line 12",
        "     what to do: give it above zero",
        "  2. no unit in 4.4",
        "     where:      dossier.toml, line 30",
    ] == error_text(DossierError("2 faults", where="dossier.toml", faults=faults)).splitlines()


def test_a_place_that_all_faults_share_is_told_once() -> None:
    faults = [DossierError("no unit", where="dossier.toml")]
    told = error_text(DossierError("1 fault", where="dossier.toml", faults=faults))
    assert 1 == told.count("dossier.toml")


def test_a_flood_of_faults_is_cut_and_counted() -> None:
    faults = [DossierError(f"fault {number}") for number in range(1000)]
    lines = error_text(DossierError("1000 faults", faults=faults)).splitlines()
    assert 22 == len(lines)
    assert "     … and 980 more" == lines[-1]


def test_a_name_from_a_dossier_cannot_steer_the_terminal() -> None:
    assert "error: no part 'R1�[2J'" == error_text(DossierError("no part 'R1\x1b[2J'"))


def test_an_endless_value_is_cut() -> None:
    assert 400 + len("error: ") == len(error_text(DossierError("0" * 5000)))
