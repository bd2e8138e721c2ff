import tomllib
from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.dossier import dossier_text
from lidoff.dossier.plain_edits import AddAt, MoveAt, Operation, Path, RemoveAt, RenameAt, SetAt, changed
from lidoff.dossier.toml_edits import changed_text
from lidoff.errors import ImpossibleValue, LidoffError, UnknownName
from tests.properties.generators import dossiers, names

OFTEN = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])

LAID_OUT = """\
# What this is: a lamp.

[device]
title = "lamp"   # as on the box
maker = 'nobody'

# --- the circuit ---
[parts.R1] # the series resistor
kind  = "resistor"
value = "150 Ω"   # brown green brown
pins = { 1 = "usb_5v", 2 = "led" } # both sides

[parts.D1]
kind = "led"
pins = { anode = "led", cathode = "gnd" }

[[photos]]
file = "photos/front.jpg"  # by daylight

[[photos]]
file = "photos/back.jpg"
"""


def paths(data: object, path: Path = ()) -> list[Path]:
    """All paths of plain data below its top."""
    inner = (
        list(data.items())
        if isinstance(data, Mapping)
        else list(enumerate(data))
        if isinstance(data, list)
        else []
    )
    found: list[Path] = []
    for key, value in inner:
        found.append((*path, key))
        found.extend(paths(value, (*path, key)))
    return found


values = st.recursive(
    st.one_of(st.integers(-9, 9), st.booleans(), names(), st.floats(-1e6, 1e6)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(names(), inner, min_size=1, max_size=3)
    ),
    max_leaves=5,
)


@st.composite
def operations(draw: st.DrawFn, data: Mapping[str, object]) -> Operation:
    """One change at any path of the data; some of them cannot be done."""
    path = draw(st.sampled_from(paths(data)))
    match draw(st.sampled_from(("set", "add", "remove", "move", "rename"))):
        case "set":
            return SetAt(path=path, value=draw(values))
        case "add":
            last = draw(names()) if isinstance(path[-1], str) else draw(st.sampled_from((-1, path[-1])))
            before = draw(st.sampled_from(("", path[-1]))) if isinstance(path[-1], str) else ""
            return AddAt(path=(*path[:-1], last), value=draw(values), before=str(before))
        case "remove":
            return RemoveAt(path=path)
        case "move":
            return MoveAt(path=path, to=draw(st.integers(0, 3)))
        case _:
            return RenameAt(path=path, to=draw(names()))


@OFTEN
@given(st.data())
def test_a_text_says_after_a_change_what_the_changed_data_says(data: st.DataObject) -> None:
    text = dossier_text(data.draw(dossiers()))
    operation = data.draw(operations(tomllib.loads(text)))
    try:
        wanted = changed(tomllib.loads(text), operation)
    except (ImpossibleValue, UnknownName):
        with pytest.raises((ImpossibleValue, UnknownName)):
            changed_text(text, operation)
        return
    assert filled(wanted) == filled(tomllib.loads(changed_text(text, operation)))


@OFTEN
@given(st.data())
def test_comments_elsewhere_outlive_every_change(data: st.DataObject) -> None:
    operation = data.draw(operations(tomllib.loads(LAID_OUT)))
    try:
        new = changed_text(LAID_OUT, operation)
    except LidoffError:
        return
    top = operation.path[0]
    kept = {
        "device": ["# brown green brown", "# both sides", "# by daylight"],
        "parts": ["# as on the box", "# by daylight"],
    }
    for comment in [
        "# What this is: a lamp.",
        *kept.get(str(top), ["# as on the box", "# brown green brown"]),
    ]:
        assert comment in new


def filled(data: object) -> object:
    """Data without tables and lists that hold nothing, which a text need not tell."""
    if isinstance(data, Mapping):
        entries = {name: filled(value) for name, value in data.items()}
        return {name: value for name, value in entries.items() if value not in ({}, [])}
    return [filled(value) for value in data] if isinstance(data, list) else data


def test_a_value_changes_and_its_comment_stays() -> None:
    operation = SetAt(path=("parts", "R1", "value"), value="180 Ω")
    assert LAID_OUT.replace('"150 Ω"', '"180 Ω"') == changed_text(LAID_OUT, operation)


def test_a_value_inside_braces_changes_alone() -> None:
    operation = SetAt(path=("parts", "R1", "pins", "2"), value="led_plus")
    assert LAID_OUT.replace('2 = "led" }', '2 = "led_plus" }') == changed_text(LAID_OUT, operation)


def test_a_new_row_stands_behind_its_siblings() -> None:
    operation = AddAt(path=("parts", "C1"), value={"kind": "capacitor", "value": "10 µF"})
    row = '\n[parts.C1]\nkind = "capacitor"\nvalue = "10 µF"\n'
    place = LAID_OUT.index("\n[[photos]]")
    assert LAID_OUT[:place] + row + LAID_OUT[place:] == changed_text(LAID_OUT, operation)


def test_a_removed_row_takes_its_own_lines_alone() -> None:
    start, end = LAID_OUT.index("[parts.D1]"), LAID_OUT.index("[[photos]]")
    assert LAID_OUT[:start] + LAID_OUT[end:] == changed_text(LAID_OUT, RemoveAt(path=("parts", "D1")))


def test_a_renamed_row_keeps_all_else() -> None:
    operation = RenameAt(path=("parts", "R1"), to="R9")
    assert LAID_OUT.replace("[parts.R1]", "[parts.R9]") == changed_text(LAID_OUT, operation)


def test_line_ends_of_another_system_stay() -> None:
    text = LAID_OUT.replace("\n", "\r\n")
    new = changed_text(text, AddAt(path=("parts", "C1"), value={"kind": "capacitor"}))
    assert "\n" not in new.replace("\r\n", "")


def test_a_layout_that_cannot_hold_a_change_has_its_section_written_anew() -> None:
    text = 'photos = [{ file = "a.jpg" }]\n\n[device]\ntitle = "lamp"  # kept\n'
    new = changed_text(text, AddAt(path=("photos", -1), value={"file": "b.jpg"}))
    assert [{"file": "a.jpg"}, {"file": "b.jpg"}] == tomllib.loads(new)["photos"]
    assert "# kept" in new


@pytest.mark.parametrize(
    ("operation", "words"),
    [
        (SetAt(path=("parts", "R1", "value"), value=float("nan")), "nan is not a finite number"),
        (SetAt(path=("parts", "R1", "value"), value=None), "None cannot stand in the file"),
        (SetAt(path=(), value="x"), "an edit must name a place inside the file"),
        (AddAt(path=("parts", "R1"), value={}), r"there is a parts\.R1 already"),
        (AddAt(path=("parts", " "), value={}), "the new row has no name"),
        (RemoveAt(path=("photos", 7)), "photos has no entry 7"),
        (MoveAt(path=("parts", "R1"), to=5), "parts has no place 5"),
        (RenameAt(path=("parts", "R1"), to="D1"), r"there is a parts\.D1 already"),
        (
            SetAt(path=("device", "title", "inner"), value="x"),
            "device.title has nothing called 'inner' in it",
        ),
        (SetAt(path=("device", "title"), value="x" * 200_001), "the text has 200001 characters"),
        (SetAt(path=("device", "title"), value="\ud800"), "cannot be written as UTF-8"),
        (SetAt(path=("device", "title"), value=2**63), "too large a number"),
    ],
)
def test_what_cannot_be_done_is_told(operation: Operation, words: str) -> None:
    with pytest.raises(ImpossibleValue, match=words):
        changed_text(LAID_OUT, operation)


def test_an_unknown_row_suggests_the_nearest() -> None:
    with pytest.raises(UnknownName, match=r"there is no parts\.R2"):
        changed_text(LAID_OUT, RemoveAt(path=("parts", "R2")))
