"""What a part may be called."""

import pytest

from lidoff.circuit import check_reference
from lidoff.errors import ImpossibleValue


@pytest.mark.parametrize("reference", ["R1", "LED12", "led_2", "Ü1", "J1-2", "BT+", "7", "R" * 24])
def test_letters_digits_and_three_marks_make_a_reference(reference: str) -> None:
    check_reference(reference)


@pytest.mark.parametrize(
    ("reference", "says"),
    [
        ("", "a part without a reference; write letters and a number"),
        ("R.1", "'R.1' cannot be a reference: '.' stands in it; a dot parts a reference from its pin"),
        ("R 1", "a blank stands in it"),
        ("R1\n", "a blank stands in it"),
        ('R1"<b>x</b>', "'\"' stands in it"),
        ("R1\N{LIZARD}", "'\N{LIZARD}' stands in it"),
        ("_1", "begins with no letter"),
        ("R" * 25, "it has 25 letters, and 24 are the most"),
    ],
)
def test_what_cannot_be_a_reference_is_refused(reference: str, says: str) -> None:
    with pytest.raises(ImpossibleValue, match="reference") as raised:
        check_reference(reference)
    assert says in str(raised.value)
