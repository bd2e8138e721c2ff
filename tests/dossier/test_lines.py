import tomllib
from typing import Any

from hypothesis import given, settings

from lidoff.dossier import Dossier, dossier_text
from lidoff.dossier.lines import line_of, lines_of_keys
from tests.properties.generators import dossiers

TEXT = '''# remark
top = """
several
lines"""
[a."b c".d]   # remark
one = { x = 1, "y z" = [ "p,]}", 2 ] }
two.three = 'lit#eral'
four = [
  1, # remark ]
  { five = 5 },
]
[[list]]
six = 6
[[list]]
seven = 7
[list.sub]
eight = """a "" b \\
"""
nine = 9
'''


def test_every_kind_of_key_is_found_on_its_line() -> None:
    expected = {
        ("top",): 2,
        ("a", "b c", "d"): 5,
        ("a", "b c", "d", "one", "x"): 6,
        ("a", "b c", "d", "one", "y z", 1): 6,
        ("a", "b c", "d", "two", "three"): 7,
        ("a", "b c", "d", "four", 0): 9,
        ("a", "b c", "d", "four", 1, "five"): 10,
        ("list", 0, "six"): 13,
        ("list", 1): 14,
        ("list", 1, "seven"): 15,
        ("list", 1, "sub", "eight"): 17,
        ("list", 1, "sub", "nine"): 19,
    }
    found = lines_of_keys(TEXT)
    assert expected == {path: found[path] for path in expected}


def test_a_path_that_is_not_there_is_placed_at_its_nearest_table() -> None:
    assert line_of(("list", 1, "missing"), lines_of_keys(TEXT)) == 14


def test_a_path_of_which_nothing_is_there_is_placed_at_the_top() -> None:
    assert line_of(("nowhere",), lines_of_keys(TEXT)) == 1


def paths_in(value: Any, path: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    """Paths of all keys and entries of plain data."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return {path} | {one for key, entry in inner for one in paths_in(entry, (*path, key))}


@settings(max_examples=60, deadline=None)
@given(dossiers())
def test_the_walk_finds_just_the_keys_that_the_standard_reader_finds(dossier: Dossier) -> None:
    text = dossier_text(dossier)
    assert paths_in(tomllib.loads(text)) - {()} == set(lines_of_keys(text))
