"""Translation-ready texts: phrases with open places, filled again, and a file of them in the dossier."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.errors import DossierError, ImpossibleValue
from lidoff.report import html_of, pdf_of, write_report
from lidoff.report.phrases import names_of, phrase_of, phrases_of, reworded
from lidoff.report.translating import texts_file, translated
from tests.report.build import BARE, bare, fan, fan_pages, hostile, section_of, words_of

NAMES = names_of(fan())


@given(st.text(alphabet="R13 .,−+V“”aéµ±", max_size=40))
def test_a_phrase_filled_again_is_the_text(text: str) -> None:
    phrase, values = phrase_of(text, ["R1", "R13"])
    assert text == re.sub(r"\{(\d+)\}", lambda found: values[int(found[1]) - 1], phrase)


def test_the_same_sentence_with_other_numbers_and_names_is_one_phrase() -> None:
    one, _ = phrase_of("R1 open: tap falls to 2.5 V", ["R1", "R2", "tap", "rail"])
    other, _ = phrase_of("R2 open: rail falls to 12 V", ["R1", "R2", "tap", "rail"])
    assert one == other == "{1} open: {2} falls to {3} V"


def test_what_the_analyst_says_and_what_is_printed_on_the_box_stays() -> None:
    phrases = phrases_of(fan_pages(), NAMES)
    assert fan_pages().title not in phrases
    assert not [phrase for phrase in phrases if "turbo motor" in phrase]


def test_every_word_of_the_frame_can_be_translated() -> None:
    phrases = phrases_of(fan_pages(), NAMES)
    assert {"Teardown report", "Contents", "What we found", "Table", "Figure", "Page"} <= set(phrases)


def test_a_translated_report_says_so_and_keeps_its_numbers() -> None:
    texts = {
        "What we found": "Was wir fanden",
        "not borne out": "nicht belegt",
        "Probability that the claim is true: less than {1} %.": "Mit weniger als {1} % wahr.",
        "Table": "Tabelle",
    }
    pages = reworded(fan_pages(), texts, language="de", names=NAMES)
    told = words_of(section_of(pages, "found"))
    assert "nicht belegt" in told
    assert "Mit weniger als 0.1 % wahr." in told
    html = html_of(pages)
    assert '<html lang="de">' in html
    assert "<b>Tabelle 1.</b>" in html
    assert pdf_of(pages).startswith(b"%PDF")


def test_charts_are_translated_too_and_stay_well_formed() -> None:
    from xml.etree import ElementTree

    pages = reworded(fan_pages(), {"as printed": "wie <gedruckt> & so"}, language="de", names=NAMES)
    figure = next(block for block in section_of(pages, "claims").blocks if hasattr(block, "picture"))
    texts = [one.text for one in ElementTree.fromstring(figure.picture.paper).iter() if one.text]
    assert "wie <gedruckt> & so" in texts


def test_an_open_place_that_the_phrase_has_not_is_refused() -> None:
    with pytest.raises(DossierError, match=r"\{2\}"):
        reworded(fan_pages(), {"{1} open": "{2} offen"}, language="de")


def test_nothing_translated_changes_nothing_but_the_language() -> None:
    assert fan_pages() == replace(reworded(fan_pages(), {}, language="de", names=NAMES), language="en")


def test_a_hostile_report_can_be_reworded() -> None:
    from lidoff.report import pages_of

    pages = pages_of(hostile())
    assert pages == replace(reworded(pages, {}, language="de", names=names_of(hostile())), language="en")


def test_the_file_of_texts_keeps_what_is_there_and_lists_what_is_missing(tmp_path: Path) -> None:
    file = texts_file(tmp_path, "de")
    file.parent.mkdir()
    file.write_text(json.dumps({"What we found": "Was wir fanden", "gone": "weg"}), encoding="utf-8")
    pages, data, done, of = translated(fan_pages(), file, names=NAMES)
    told = json.loads(data)
    assert ("Was wir fanden", "weg", "") == (told["What we found"], told["gone"], told["Claims"])
    assert 1 == done < of == len(phrases_of(fan_pages(), NAMES))
    assert "de" == pages.language


def test_a_report_in_a_language_writes_its_file_of_texts(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_text(BARE, encoding="utf-8")
    write_report(bare(), tmp_path / "out", dossier_folder=tmp_path, language="pt-BR")
    assert "Contents" in json.loads((tmp_path / "texts" / "pt-BR.json").read_text(encoding="utf-8"))
    assert 'lang="pt-BR"' in (tmp_path / "out" / "report.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("language", ["../de", "German", "d", ""])
def test_no_file_is_looked_for_under_a_name_that_is_no_language(language: str) -> None:
    with pytest.raises(ImpossibleValue):
        texts_file("here", language)


@pytest.mark.parametrize("text", ["not json", "[1]", '{"a": 1}'])
def test_a_broken_file_of_texts_is_refused_with_its_place(tmp_path: Path, text: str) -> None:
    file = texts_file(tmp_path, "de")
    file.parent.mkdir()
    file.write_text(text, encoding="utf-8")
    with pytest.raises(DossierError, match=r"texts/de\.json"):
        translated(fan_pages(), file)


def test_the_command_tells_how_much_is_translated(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from lidoff.cli import main

    (tmp_path / "dossier.toml").write_text(BARE, encoding="utf-8")
    main(["report", str(tmp_path), "--language", "de"])
    assert re.search(r"de\.json: 0 of \d+ phrases are translated", capsys.readouterr().out)
