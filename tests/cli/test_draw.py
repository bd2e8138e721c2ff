"""The command that draws the schematic."""

import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from lidoff.cli import main


def words_of(file: Path) -> list[str]:
    """Every piece of text in an SVG."""
    return [text.strip() for text in ElementTree.parse(file).getroot().itertext() if text.strip()]


def test_a_drawing_shows_the_parts(lamp: Path, tmp_path: Path) -> None:
    assert 0 == main(["draw", str(lamp), "-o", str(tmp_path / "lamp.svg")])
    assert {"R1", "D1", "J1"} <= set(words_of(tmp_path / "lamp.svg"))


def test_the_place_of_the_drawing_is_printed(
    lamp: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["draw", str(lamp), "-o", str(tmp_path / "lamp.svg")])
    assert f"{tmp_path / 'lamp.svg'}\n" == capsys.readouterr().out


@pytest.mark.parametrize("named", ["", "dossier.toml"])
def test_without_a_place_the_drawing_goes_into_the_dossier(lamp: Path, named: str) -> None:
    assert 0 == main(["draw", str(lamp / named)])
    assert (lamp / "out" / "schematic.svg").is_file()


def test_a_situation_writes_its_voltages_in(lamp: Path, tmp_path: Path) -> None:
    main(["draw", str(lamp), "-o", str(tmp_path / "plain.svg")])
    main(["draw", str(lamp), "-o", str(tmp_path / "lit.svg"), "--situation", "lit"])
    assert "0 V" in set(words_of(tmp_path / "lit.svg")) - set(words_of(tmp_path / "plain.svg"))


@pytest.mark.parametrize(("suffix", "first"), [("pdf", b"%PDF"), ("png", b"\x89PNG")])
def test_the_suffix_chooses_the_form(lamp: Path, tmp_path: Path, suffix: str, first: bytes) -> None:
    assert 0 == main(["draw", str(lamp), "-o", str(tmp_path / f"lamp.{suffix}")])
    assert first == (tmp_path / f"lamp.{suffix}").read_bytes()[:4]


def test_an_unknown_suffix_is_refused_before_anything_is_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 2 == main(["draw", "no such folder", "-o", str(tmp_path / "lamp.svgg")])
    told = capsys.readouterr().err
    assert "the suffix '.svgg' names no form of drawing" in told
    assert "did you mean '.svg'?" in told


def test_an_unknown_situation_is_answered_with_the_known(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 2 == main(["draw", str(lamp), "--situation", "lti"])
    told = capsys.readouterr().err
    assert "the dossier has no situation 'lti'" in told
    assert "did you mean 'lit'? (known: lit, unplugged)" in told


def test_currents_need_a_situation(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["draw", str(lamp), "--currents"])
    assert "--currents needs a situation to solve" in capsys.readouterr().err


def test_a_dossier_without_parts_has_nothing_to_draw(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "dossier.toml").write_text('format = 2\n[device]\ntitle = "Fan"\n')
    assert 2 == main(["draw", str(tmp_path)])
    assert "there is nothing to draw" in capsys.readouterr().err


def test_a_folder_that_cannot_be_made_is_told(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["draw", str(lamp), "-o", str(lamp / "dossier.toml" / "lamp.svg")])
    assert "the folder cannot be made: a file is in its way" in capsys.readouterr().err


def test_a_missing_dossier_is_told_with_what_to_do(capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["draw", "no such folder"])
    assert "lidoff start" in capsys.readouterr().err


def lit_in(file: Path) -> set[str]:
    """References and nets that stand out in an SVG."""
    elements = ElementTree.parse(file).iter()
    return {
        element.get("data-part") or element.get("data-net") or ""
        for element in elements
        if "lit" in (element.get("class") or "").split()
    } - {""}


def test_the_way_of_a_current_is_lit_up(lamp: Path, tmp_path: Path) -> None:
    file = tmp_path / "lamp.svg"

    assert 0 == main(["draw", str(lamp), "-o", str(file), "--situation", "lit", "--loop-of", "D1"])

    assert {"J1", "R1", "D1"} <= lit_in(file)


def test_what_is_named_is_lit_up(lamp: Path, tmp_path: Path) -> None:
    file = tmp_path / "lamp.svg"

    assert 0 == main(["draw", str(lamp), "-o", str(file), "--light-up", "D1", "gnd"])

    assert lit_in(file) == {"D1", "gnd"}


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (["--loop-of", "D1"], "--loop-of needs a situation"),
        (["--voltage-colours"], "--voltage-colours needs a situation"),
        (["--light-up", "D9"], "neither a part nor a net 'D9'"),
        (["--loop-of", "gnd", "--situation", "lit"], "no part 'gnd'"),
        (["--loop-of", "D1", "--situation", "unplugged"], "D1 carries no current in the situation unplugged"),
    ],
)
def test_what_cannot_be_lit_up_is_told(
    lamp: Path, capsys: pytest.CaptureFixture[str], asked: list[str], told: str
) -> None:
    assert 2 == main(["draw", str(lamp), *asked])
    assert told in capsys.readouterr().err


def test_a_link_in_the_place_of_the_drawing_is_replaced_and_not_followed(lamp: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.txt"
    own.write_text("mine", encoding="utf-8")
    (lamp / "out").mkdir(exist_ok=True)
    (lamp / "out" / "schematic.svg").symlink_to(own)
    assert 0 == main(["draw", str(lamp)])
    assert "mine" == own.read_text(encoding="utf-8")
    assert "<svg" in (lamp / "out" / "schematic.svg").read_text(encoding="utf-8")
