import pytest

from lidoff.evidence import BorneOut, CannotTell, NotBorneOut, Verdict, verdict_from


@pytest.mark.parametrize(
    ("probability", "expected"),
    [
        (1.0, BorneOut),
        (0.95, BorneOut),
        (0.949, CannotTell),
        (0.051, CannotTell),
        (0.05, NotBorneOut),
        (0.0, NotBorneOut),
    ],
)
def test_thresholds_part_the_three_verdicts(probability: float, expected: type[Verdict]) -> None:
    assert isinstance(verdict_from(probability, why="close", needs="a reading"), expected)


def test_what_cannot_be_told_says_what_would_tell() -> None:
    verdict = verdict_from(0.5, why="close", needs="a better reading")
    assert verdict == CannotTell(why="close", needs="a better reading", probability=0.5)
