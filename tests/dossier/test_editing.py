import contextlib
import json
import math
import tomllib
from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from lidoff.dossier import dossier_from_text, dossier_text
from lidoff.dossier.documents import inverse, mark_of, spliced, splices_between
from lidoff.dossier.editing import apply, overlap
from lidoff.dossier.edits import (
    Add,
    Attach,
    Beep,
    BeginBoard,
    Decide,
    Detach,
    DropHole,
    Edit,
    Move,
    NameNet,
    OutlineBoard,
    Pin,
    Place,
    PointPair,
    PutHole,
    Register,
    Remove,
    Rename,
    Set,
    Several,
    ShowSide,
    Stroke,
    Traced,
    Unbeep,
    Unpin,
    Unplace,
    Unstroke,
    Unwire,
    Wire,
)
from lidoff.dossier.faults import check_faults
from lidoff.errors import DossierError, ImpossibleValue, LidoffError, UnknownName
from tests.dossier.build import lamp_text
from tests.properties.generators import dossiers

LAMP = {"dossier.toml": lamp_text()}
TRIANGLE = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0))
CORNERS = tuple(
    PointPair(photo_px=(10.0 * x, 10.0 * y), board_mm=(x, y))
    for x, y in ((1.0, 1.0), (30.0, 0.0), (29.0, 20.0), (0.0, 20.0))
)
TRACED = apply(LAMP, BeginBoard(board="main", size_mm=(30.0, 20.0))).documents
RARE = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])

millimetres = st.integers(0, 300).map(lambda tenths: tenths / 10)
spots = st.tuples(millimetres, millimetres)
sides = st.sampled_from(("front", "back"))
board_edits = st.one_of(
    st.builds(
        Stroke, board=st.just("main"), side=sides, says=st.just("bare"), points_mm=st.tuples(spots, spots)
    ),
    st.builds(Unstroke, board=st.just("main"), side=sides, number=st.integers(0, 2)),
    st.builds(PutHole, board=st.just("main"), at_mm=spots, diameter_mm=st.just(0.8), plated=st.booleans()),
    st.builds(DropHole, board=st.just("main"), number=st.integers(0, 2)),
    st.builds(
        Beep,
        board=st.just("main"),
        first=st.just("R1.1"),
        second=st.sampled_from(("R1.2", "D1.1")),
        joined=st.booleans(),
    ),
    st.builds(Unbeep, board=st.just("main"), number=st.integers(0, 1)),
    st.builds(
        NameNet, board=st.just("main"), pin=st.just("R1.1"), net=st.sampled_from(("", "usb_5v", "out"))
    ),
    st.builds(ShowSide, board=st.just("main"), side=sides, photo=st.just("photos/front.jpg")),
    st.builds(
        Register,
        board=st.just("main"),
        side=sides,
        photo=st.just("photos/front.jpg"),
        photo_shape=st.sampled_from((None, (300, 400))),
        points=st.sampled_from((CORNERS, CORNERS[:3])),
    ),
    st.builds(OutlineBoard, board=st.just("main"), outline_mm=st.sampled_from((TRIANGLE, TRIANGLE[:2]))),
    st.builds(
        Wire,
        board=st.just("main"),
        first=st.sampled_from(("R1.1", "R1.2")),
        second=st.sampled_from(("R1.2", "D1.1")),
    ),
    st.builds(Unwire, board=st.just("main"), number=st.integers(0, 1)),
    st.builds(
        Place,
        board=st.just("main"),
        reference=st.sampled_from(("R1", "R2")),
        package=st.just("0805"),
        side=sides,
        first_mm=st.just((3.0, 4.0)),
        second_mm=st.just((5.0, 4.0)),
    ),
    st.builds(Unplace, board=st.just("main"), reference=st.sampled_from(("R1", "R2"))),
)
plain_edits = st.one_of(
    st.builds(Set, path=st.just(("parts", "R1", "value")), value=st.sampled_from(("150 Ω", "4k7", None))),
    st.builds(Set, path=st.just(("device", "maker")), value=st.text(st.sampled_from("ab\"'\n#"), max_size=5)),
    st.builds(Remove, path=st.sampled_from((("readings", "led"), ("claims", "power"), ("rails", "x")))),
    st.builds(Add, path=st.just(("trials", "shaken")), value=st.just({"seen": "nothing"})),
    st.builds(Move, path=st.just(("parts", "D1")), to=st.integers(0, 3)),
    st.builds(
        Rename,
        what=st.sampled_from(("part", "net", "situation", "board")),
        name=st.sampled_from(("R1", "led_plus", "lit", "main")),
        to=st.sampled_from(("R7", "out", "gnd", "bright", "control")),
        join=st.booleans(),
    ),
    st.builds(
        Pin,
        part=st.sampled_from(("R1", "D1", "X9")),
        x=st.integers(-5, 5),
        y=st.integers(0, 5),
        turn=st.integers(0, 4),
    ),
    st.builds(Unpin, part=st.sampled_from(("R1", "D1"))),
    st.builds(
        Decide,
        finding=st.just("over_rating"),
        says=st.sampled_from(("accepted", "dismissed", "open")),
        reason=st.sampled_from(("", "seen")),
        parts=st.sampled_from(((), ("R1",))),
    ),
    st.builds(
        Attach,
        file_path=st.sampled_from(("photos/a.jpg", "photos/b.jpg")),
        side=st.sampled_from(("", "front")),
    ),
    st.builds(Detach, file_path=st.sampled_from(("photos/a.jpg", "photos/b.jpg"))),
)
any_edit: st.SearchStrategy[Edit] = st.one_of(
    plain_edits,
    board_edits,
    st.builds(Several, edits=st.tuples(plain_edits, board_edits)),
)


@settings(max_examples=200, deadline=None)
@given(st.lists(any_edit, max_size=6))
def test_undoing_in_reverse_leads_back_through_every_state(edits: list[Edit]) -> None:
    states: list[Mapping[str, str]] = [TRACED]
    for edit in edits:
        try:
            states.append(apply(states[-1], edit).documents)
        except LidoffError:
            continue
    for earlier, later in zip(states[-2::-1], states[:0:-1], strict=True):
        splices = splices_between(earlier, later)
        assert dict(later) == dict(spliced(earlier, splices))
        assert dict(earlier) == dict(spliced(later, inverse(splices)))


@settings(max_examples=100, deadline=None)
@given(any_edit)
def test_an_edit_leaves_the_state_before_it_as_it_was(edit: Edit) -> None:
    mark = mark_of(TRACED)
    with contextlib.suppress(LidoffError):
        apply(TRACED, edit)
    assert mark == mark_of(TRACED)


@settings(max_examples=150, deadline=None)
@given(any_edit, any_edit)
def test_edits_that_do_not_touch_the_same_can_be_made_in_either_order(one: Edit, other: Edit) -> None:
    try:
        first, second = apply(TRACED, one), apply(TRACED, other)
    except LidoffError:
        assume(False)
    assume(not any(overlap(a, b) for a in first.touches for b in second.touches))
    assume(not is_judged_by(one, other) and not is_judged_by(other, one))
    one_first, other_first = apply(first.documents, other).documents, apply(second.documents, one).documents
    assert said(one_first) == said(other_first)


def is_judged_by(hole: Edit, other: Edit) -> bool:
    """Whether another edit decides what becomes of a hole: the outline that it must lie in, or a hole at the same place."""
    if not isinstance(hole, PutHole):
        return False
    near = isinstance(other, PutHole) and math.dist(hole.at_mm, other.at_mm) <= hole.diameter_mm
    return near or isinstance(other, OutlineBoard)


def said(documents: Mapping[str, str]) -> object:
    """What the texts say, apart from their layout and the order of rows."""
    return {
        file: without_order(tomllib.loads(text) if file.endswith(".toml") else json.loads(text))
        for file, text in documents.items()
    }


def without_order(data: object) -> object:
    """Plain data in which lists of things stand sorted."""
    if isinstance(data, dict):
        return {name: without_order(value) for name, value in data.items()}
    if isinstance(data, list) and data and isinstance(data[0], dict):
        return sorted((without_order(one) for one in data), key=lambda one: json.dumps(one, sort_keys=True))
    return data


@RARE
@given(dossiers())
def test_a_part_renamed_and_renamed_back_is_the_same_dossier(dossier: object) -> None:
    text = dossier_text(dossier)  # type: ignore[arg-type]
    parts = tomllib.loads(text).get("parts", {})
    assume(parts)
    name = next(iter(parts))
    there = apply({"dossier.toml": text}, Rename(what="part", name=name, to="Renamed")).documents
    back = apply(there, Rename(what="part", name="Renamed", to=name)).documents
    assert dossier == dossier_from_text(back["dossier.toml"])


@RARE
@given(dossiers())
def test_a_renamed_net_leaves_no_trace_of_its_old_name(dossier: object) -> None:
    text = dossier_text(dossier)  # type: ignore[arg-type]
    assume("usb_5v" in text)
    new = apply({"dossier.toml": text}, Rename(what="net", name="usb_5v", to="renamed")).documents[
        "dossier.toml"
    ]
    assert "usb_5v" not in nets_told(tomllib.loads(new))


def nets_told(data: object) -> set[object]:
    """Every text and key in plain data."""
    if isinstance(data, Mapping):
        return set(data) | {one for value in data.values() for one in nets_told(value)}
    if isinstance(data, list):
        return {one for value in data for one in nets_told(value)}
    return {data} if isinstance(data, (str, int, float, bool)) else set()


def test_a_renamed_part_is_renamed_in_readings_settings_and_on_its_board() -> None:
    placed = apply(
        TRACED,
        Several(
            edits=(
                Place(
                    board="main",
                    reference="J1",
                    package="0805",
                    side="front",
                    first_mm=(3, 4),
                    second_mm=(5, 4),
                ),
                Pin(part="J1", x=1, y=2),
                Beep(board="main", first="J1.1", second="J1.2", joined=False),
            )
        ),
    ).documents
    edited = apply(placed, Rename(what="part", name="J1", to="J7"))
    data = tomllib.loads(edited.documents["dossier.toml"])
    assert {"J7": {"voltage": "5.02 V"}} == data["situations"]["lit"]["set"]
    assert "J7" == data["claims"]["power"]["from"]["power"]["power"]
    assert {"J7": {"x": 1, "y": 2}} == data["drawing"]["pinned"]
    assert '"J1' not in edited.documents["boards/main.json"]
    assert '"J7.1"' in edited.documents["boards/main.json"]


def test_two_nets_become_one_when_that_is_said() -> None:
    with pytest.raises(ImpossibleValue, match="there is a net 'gnd' already"):
        apply(LAMP, Rename(what="net", name="led_plus", to="gnd"))
    joined = apply(LAMP, Rename(what="net", name="led_plus", to="gnd", join=True)).documents["dossier.toml"]
    assert {"anode": "gnd", "cathode": "gnd"} == tomllib.loads(joined)["parts"]["D1"]["pins"]


def test_a_renamed_board_takes_its_file_along() -> None:
    edited = apply(TRACED, Rename(what="board", name="main", to="control"))
    assert {"dossier.toml", "boards/control.json"} == set(edited.documents)
    assert '"name": "control"' in edited.documents["boards/control.json"]


def test_a_board_that_goes_takes_its_file_along_and_lets_its_photos_go() -> None:
    there = apply(TRACED, Attach(file_path="photos/a.jpg", board="main", side="front")).documents
    there = apply(there, BeginBoard(board="other", size_mm=(9.0, 9.0))).documents
    there = apply(there, Attach(file_path="photos/b.jpg", board="other", side="front")).documents
    for reference, y in (("R7", 4.0), ("R1", 9.0)):
        place = Place(
            board="main", reference=reference, package="0805", side="front", first_mm=(3, y), second_mm=(5, y)
        )
        there = apply(there, place).documents
    there = apply(there, Add(path=("parts", "R7"), value={"kind": "resistor", "value": "1k"})).documents
    there = apply(there, Set(path=("parts", "R1", "board"), value="main")).documents
    gone = apply(there, Remove(path=("boards", "main"))).documents
    assert {"dossier.toml", "boards/other.json"} == set(gone)
    told = tomllib.loads(gone["dossier.toml"])
    assert [
        {"file": "photos/a.jpg", "side": "front"},
        {"file": "photos/b.jpg", "board": "other", "side": "front"},
    ] == told["photos"]
    # R7 had its nets from the board alone; those of R1 are typed.
    assert set(tomllib.loads(LAMP["dossier.toml"])["parts"]) == set(told["parts"])
    assert "board" not in told["parts"]["R1"]
    check_faults(there, gone)
    assert "boards/main.json" in apply(gone, BeginBoard(board="main", size_mm=(9.0, 9.0))).documents


def test_a_finding_is_dismissed_with_a_reason_and_opened_again() -> None:
    with pytest.raises(ImpossibleValue, match="dismissed without a reason"):
        apply(LAMP, Decide(finding="over_rating", says="dismissed"))
    dismissed = apply(
        LAMP, Decide(finding="over_rating", says="dismissed", reason="short bursts", parts=("R1",))
    )
    row = {"finding": "over_rating", "parts": ["R1"], "says": "dismissed", "reason": "short bursts"}
    assert {"d1": row} == tomllib.loads(dismissed.documents["dossier.toml"])["decisions"]
    opened = apply(dismissed.documents, Decide(finding="over_rating", says="open", parts=("R1",)))
    assert "decisions" not in tomllib.loads(opened.documents["dossier.toml"])
    with pytest.raises(UnknownName, match="nothing was said of this finding"):
        apply(opened.documents, Decide(finding="over_rating", says="open", parts=("R1",)))


def test_several_edits_are_done_whole_or_not_at_all() -> None:
    edit = Several(edits=(Set(path=("device", "title"), value="x"), Remove(path=("parts", "X9"))))
    with pytest.raises(UnknownName, match=r"there is no parts\.X9") as raised:
        apply(LAMP, edit)
    assert "X9 removed" in raised.value.where


def test_a_step_without_edits_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="a step without edits"):
        apply(LAMP, Several(edits=()))


def test_a_photo_sent_twice_is_told_once() -> None:
    there = apply(LAMP, Attach(file_path="photos/a.jpg", board="main", side="front")).documents
    assert [{"file": "photos/a.jpg", "board": "main", "side": "front"}] == tomllib.loads(
        there["dossier.toml"]
    )["photos"]
    with pytest.raises(ImpossibleValue, match="is among the photos already"):
        apply(there, Attach(file_path="photos/a.jpg"))


@pytest.mark.parametrize(
    ("edit", "kind", "words"),
    [
        (
            Unstroke(board="main", side="front", number=0),
            ImpossibleValue,
            "there is no stroke on the front 0",
        ),
        (Unplace(board="main", reference="R1"), UnknownName, "R1 has no place on main"),
        (
            PutHole(board="main", at_mm=(1, 1), diameter_mm=0.0, plated=True),
            ImpossibleValue,
            "a hole of 0 mm",
        ),
        (
            PutHole(board="main", at_mm=(1, 1), diameter_mm=math.nan, plated=True),
            ImpossibleValue,
            "a hole of nan mm",
        ),
        (
            PutHole(board="main", at_mm=(10, 10), diameter_mm=60.0, plated=True),
            ImpossibleValue,
            "a hole of 60 mm in a board of",
        ),
        (
            PutHole(board="main", at_mm=(-5, 10), diameter_mm=1.0, plated=True),
            ImpossibleValue,
            "a hole at -5.0 mm, 10.0 mm, beside the board",
        ),
        *(
            (
                Place(
                    board="main",
                    reference=odd,
                    package="0805",
                    side="front",
                    first_mm=(3, 3),
                    second_mm=(5, 3),
                ),
                ImpossibleValue,
                says,
            )
            for odd, says in (
                ("R.9", "'R.9' cannot be a reference: '.' stands in it"),
                ("R 9", "'R 9' cannot be a reference: a blank stands in it"),
                ('R9"<b>x</b>', "cannot be a reference: '\"' stands in it"),
                ("R9\N{LIZARD}", "cannot be a reference"),
                ("R" * 60, "it has 60 letters, and 24 are the most"),
                ("", "a part without a reference"),
            )
        ),
        (
            Add(path=("parts", "R.9"), value={"kind": "resistor", "pins": {"1": "a", "2": "b"}}),
            ImpossibleValue,
            "'R.9' cannot be a reference",
        ),
        (
            Beep(board="main", first="R1.1", second="R1.1", joined=True),
            ImpossibleValue,
            "both probes stood on R1.1",
        ),
        (NameNet(board="main", pin="R1.1", net=""), UnknownName, "the net at R1.1 has no name"),
        (BeginBoard(board="main", size_mm=(3, 4)), ImpossibleValue, "there is a board 'main' already"),
        (BeginBoard(board="b", size_mm=(30000, 4)), ImpossibleValue, "a board of 30000 mm × 4 mm"),
        (BeginBoard(board="b"), ImpossibleValue, "an outline of 0 corners"),
        (
            BeginBoard(board="../b", size_mm=(3, 4)),
            ImpossibleValue,
            "'../b' cannot be the name of a board's file",
        ),
        (Unbeep(board="other", number=0), UnknownName, "the board 'other' has no file yet"),
        (
            Register(board="main", side="front", points=CORNERS, photo="photos/front.jpg"),
            ImpossibleValue,
            "the front has no photo",
        ),
        (
            Register(board="main", side="front", points=CORNERS[:3], photo="p.jpg", photo_shape=(9, 9)),
            ImpossibleValue,
            "four",
        ),
        (OutlineBoard(board="main", outline_mm=TRIANGLE[:2]), ImpossibleValue, "an outline of 2 corners"),
        (
            Stroke(board="main", side="front", says="bridge", points_mm=((9.0, 9.0), (872.8, 845.5))),
            ImpossibleValue,
            "a place at 872.8 mm, 845.5 mm lies beside the board of 30.0 mm × 20.0 mm",
        ),
        (
            Stroke(board="main", side="front", says="bridge", points_mm=((math.nan, 9.0),)),
            ImpossibleValue,
            "lies beside the board",
        ),
        (
            Place(
                board="main",
                reference="R1",
                package="0805",
                side="front",
                first_mm=(3, 26),
                second_mm=(5, 26),
            ),
            ImpossibleValue,
            "a place at 3.0 mm, 26.0 mm lies beside the board",
        ),
        (
            Wire(board="main", first="R1.1", second="front:900,10"),
            ImpossibleValue,
            "a place at 900.0 mm, 10.0 mm lies beside the board",
        ),
        (
            Wire(board="main", first="R1.1", second="R1.1"),
            ImpossibleValue,
            "a wire from 'R1.1' to 'R1.1'",
        ),
        (Unwire(board="main", number=0), ImpossibleValue, "there is no wire 0"),
        (Traced(board="main", value={"name": "main"}), DossierError, "outline"),
        (Set(file="boards/main", path=("outline",), value=7), DossierError, "outline"),
        (Set(file="etc/passwd", path=("x",), value=7), LidoffError, "etc/passwd"),
        (Pin(part="X9", x=0, y=0), UnknownName, "there is no part 'X9'"),
        (Rename(what="part", name="R1", to="R.1"), ImpossibleValue, "'R.1' cannot be a reference"),
        (Rename(what="part", name="R1", to=" "), ImpossibleValue, "' ' cannot be a name"),
        (Detach(file_path="photos/x.jpg"), UnknownName, "photos/x.jpg is not among the photos"),
    ],
)
def test_an_edit_that_cannot_be_done_says_why(edit: Edit, kind: type[LidoffError], words: str) -> None:
    with pytest.raises(kind, match=words):
        apply(TRACED, edit)


def test_an_edit_of_a_text_that_is_not_there_is_refused() -> None:
    with pytest.raises(LidoffError, match="there is no dossier"):
        apply({}, Set(path=("device", "title"), value="x"))


def test_what_was_traced_is_put_in_as_one_step_and_must_be_of_that_board() -> None:
    there = apply(TRACED, OutlineBoard(board="main", outline_mm=TRIANGLE)).documents
    board = json.loads(there["boards/main.json"])
    assert there == apply(TRACED, Traced(board="main", value=board)).documents
    with pytest.raises(ImpossibleValue, match="what was traced is the board 'other', not 'main'"):
        apply(TRACED, Traced(board="main", value={**board, "name": "other"}))


def test_a_board_that_is_told_by_its_size_alone_is_begun_by_the_first_edit_of_it() -> None:
    told = apply(LAMP, Add(path=("boards", "b"), value={"width": "30 mm", "height": "2 cm"})).documents
    stroke = Stroke(board="b", side="front", says="cut", points_mm=((1.0, 1.0),))
    board = json.loads(apply(told, stroke).documents["boards/b.json"])
    assert [[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [0.0, 20.0]] == board["outline_mm"]
    sizeless = apply(LAMP, Add(path=("boards", "b"), value={"title": "b"})).documents
    with pytest.raises(ImpossibleValue, match="the board 'b' has no outline yet"):
        apply(sizeless, stroke)


def test_a_part_that_goes_leaves_the_choices_of_the_drawing() -> None:
    chosen = apply(LAMP, Set(path=("drawing", "keep_apart"), value=["R1", "D1"])).documents
    renamed = apply(chosen, Rename(what="part", name="R1", to="R7")).documents
    assert ["R7", "D1"] == tomllib.loads(renamed["dossier.toml"])["drawing"]["keep_apart"]
    without = apply(renamed, Remove(path=("parts", "R7"))).documents
    assert ["D1"] == tomllib.loads(without["dossier.toml"])["drawing"]["keep_apart"]
