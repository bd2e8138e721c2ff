"""The command that reads markings."""

import pytest

from lidoff.cli import main


def test_a_marking_is_read(capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["decode", "4k7"])
    assert "4.7 kΩ" in capsys.readouterr().out


def test_each_meaning_is_a_point_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    main(["decode", "brown black red gold"])
    points = [line for line in capsys.readouterr().out.splitlines() if line.startswith("- ")]
    assert [True, True] == ["Resistor, 1 kΩ" in points[0], "Inductor, 1 mH" in points[1]]


def test_an_unreadable_marking_says_so_and_gives_two(capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["decode", "qqqq"])
    told = capsys.readouterr()
    assert "" == told.out
    assert told.err.startswith("error: no decoder reads 'qqqq'")
