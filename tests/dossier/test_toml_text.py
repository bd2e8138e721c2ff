import tomllib
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from lidoff.dossier.toml_text import toml_text

KEYS = st.text(st.characters(codec="utf-8"), max_size=8)
SCALARS = st.one_of(
    st.text(st.characters(codec="utf-8"), max_size=20),
    st.booleans(),
    st.integers(-(2**63), 2**63 - 1),
    st.floats(allow_nan=False),
)
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=3)),
    max_leaves=10,
)


@given(st.dictionaries(KEYS, VALUES, max_size=4))
def test_what_is_written_reads_as_it_was(document: dict[str, Any]) -> None:
    assert document == tomllib.loads(toml_text(document))


def test_entries_have_headers_of_their_own() -> None:
    assert toml_text({"parts": {"R1": {"kind": "resistor"}}}) == '[parts.R1]\nkind = "resistor"\n'


def test_small_tables_stand_on_one_line() -> None:
    document = {"parts": {"R1": {"pins": {"1": "a", "b c": "d"}}}}
    assert toml_text(document) == '[parts.R1]\npins = { 1 = "a", "b c" = "d" }\n'


def test_a_text_of_several_lines_stays_so() -> None:
    assert toml_text({"note": "one\ntwo"}) == 'note = """\none\ntwo"""\n'


def test_entries_keep_their_order_though_some_are_empty() -> None:
    assert ["b", "a"] == list(tomllib.loads(toml_text({"boards": {"b": {"title": "x"}, "a": {}}}))["boards"])
