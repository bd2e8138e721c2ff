"""The command that judges, compares and lists."""

import json
from pathlib import Path

import pytest

from lidoff.cli import main


def test_each_claim_is_printed_with_its_verdict(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["analyse", str(lamp)])
    told = capsys.readouterr().out
    assert "“1 W super bright” (the box, front): not borne out" in told
    assert "“1 LED” (the box, back): borne out" in told


def test_nothing_is_written_into_the_dossier(lamp: Path) -> None:
    before = sorted(lamp.rglob("*"))
    main(["analyse", str(lamp)])
    assert before == sorted(lamp.rglob("*"))


def test_json_is_one_document_and_nothing_else(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["analyse", str(lamp), "--json"])
    told = capsys.readouterr()
    document = json.loads(told.out)
    assert "" == told.err
    # 5.012 V on the meter; the dossier's supply is 5.01 V ± 0.05 V behind 50 mΩ.
    assert 5.01 == pytest.approx(
        document["situations"]["lit"]["nets"]["usb_5v"]["voltage"]["value"], abs=0.002
    )
    assert "V" == document["situations"]["lit"]["nets"]["usb_5v"]["voltage"]["unit"]


def test_several_faults_of_a_file_are_told_at_once(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = lamp / "dossier.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(
        text.replace('"5.012 V"', '"5.012"').replace('"resistor"', '"resistro"'), encoding="utf-8"
    )
    assert 2 == main(["analyse", str(lamp)])
    told = capsys.readouterr().err
    assert "'5.012' is a value without unit" in told
    assert "did you mean 'resistor'?" in told


def test_a_name_in_a_dossier_cannot_steer_the_terminal(
    lamp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = lamp / "dossier.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('title = "USB lamp"', 'title = "USB \\u001b[2Jlamp"'), encoding="utf-8")
    main(["analyse", str(lamp)])
    assert "\x1b" not in capsys.readouterr().out
