from __future__ import annotations

from lidoff.board import Beep, Link, contradictions, halving_probe

PINS = ["A.1", "B.1", "C.1", "D.1", "E.1"]


def chain(*probabilities: float) -> list[Link]:
    """Pins in a row, each joined to the next with that probability."""
    return [
        Link(first=one, second=other, kind="copper", probability=share, side="front", at=(float(number), 0.0))
        for number, (one, other, share) in enumerate(zip(PINS[:-1], PINS[1:], probabilities, strict=True))
    ]


def probe(links: list[Link], *beeps: Beep, touched: list[str] = PINS) -> tuple[str, str, bool] | None:
    return halving_probe(links, beeps, contradictions(links, beeps)[0], touched)


SILENT = Beep(first="A.1", second="E.1", joined=False)


def test_a_silent_chain_is_probed_in_its_middle_where_the_copper_joins() -> None:
    assert probe(chain(0.9, 0.9, 0.9, 0.9), SILENT) == ("A.1", "C.1", True)


def test_what_beeped_meanwhile_is_not_doubted_again() -> None:
    beeped = Beep(first="A.1", second="C.1", joined=True)
    assert probe(chain(0.9, 0.9, 0.9, 0.9), SILENT, beeped) == ("A.1", "D.1", True)


def test_two_gaps_that_a_beep_crosses_are_told_apart_between_them() -> None:
    beeped = Beep(first="A.1", second="E.1", joined=True)
    assert probe(chain(0.9, 0.3, 0.9, 0.3), beeped) == ("A.1", "C.1", False)


def test_where_no_pin_lies_between_the_links_are_left_to_look_at() -> None:
    assert probe(chain(0.9, 0.9, 0.9, 0.9), SILENT, touched=["A.1", "E.1"]) is None
    beeped = Beep(first="A.1", second="E.1", joined=True)
    assert probe(chain(0.9, 0.3, 0.9, 0.9), beeped) is None


def test_a_beep_without_copper_between_its_ends_has_no_middle() -> None:
    beeped = Beep(first="A.1", second="Z.1", joined=True)
    assert probe(chain(0.9, 0.9, 0.9, 0.9), beeped) is None
