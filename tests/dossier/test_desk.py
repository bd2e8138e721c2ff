import errno
import json
import multiprocessing
import os
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.dossier import folder_texts
from lidoff.dossier.desk import Desk
from lidoff.dossier.edits import (
    Add,
    Beep,
    BeginBoard,
    Edit,
    NameNet,
    Place,
    PutHole,
    Remove,
    Rename,
    Set,
    Stroke,
    Unplace,
    Unstroke,
)
from lidoff.dossier.faults import faults_of
from lidoff.dossier.journal import JOURNAL
from lidoff.dossier.opening import open_desk
from lidoff.errors import DossierError, EditRefused, LidoffError, OutputRefused
from tests.dossier.build import lamp_text
from tests.dossier.desks import desk_in, noon, titled, value_of

SLOWLY = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


def title_on_disk(folder: Path) -> str:
    """Device's title as the dossier's own file tells it."""
    return str(tomllib.loads((folder / "dossier.toml").read_text(encoding="utf-8"))["device"]["title"])


def test_an_edit_is_in_the_journal_and_in_the_file_when_it_is_answered(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        entry = desk.edit(titled("lantern"), base=0, id="a", page="p")
        assert "lantern" == title_on_disk(tmp_path)
    lines = (tmp_path / JOURNAL).read_text(encoding="utf-8").splitlines()
    assert "device: title lantern" == entry.title == json.loads(lines[1])["title"]


def test_who_measures_first_can_type_the_circuit_part_by_part(tmp_path: Path) -> None:
    measured = (
        'format = 2\n[device]\ntitle = "lamp"\n[situations.lit]\ntitle = "lit"\n'
        '[readings.supply]\nsituation = "lit"\nvoltage = "usb_5v"\nshown = "5.02 V"\n'
        '[readings.led]\nsituation = "lit"\ncurrent = "D1"\nshown = "9.1 mA"\n'
    )
    with desk_in(tmp_path, measured) as desk:
        resistor = {"kind": "resistor", "value": "220R", "pins": {"1": "out", "2": "anode"}}
        desk.edit(Add(path=("parts", "R1"), value=resistor), base=0, id="a")
        assert {"there is no net 'usb_5v'", "there is no part 'D1'"} == {
            one.what for one in faults_of(desk.documents)
        }
        led = {"kind": "led", "pins": {"anode": "anode", "cathode": "gnd"}}
        desk.edit(Add(path=("parts", "D1"), value=led), base=1, id="b")
        supply = {"kind": "dc_supply", "value": "5 V", "pins": {"plus": "usb_5v", "minus": "gnd"}}
        desk.edit(Add(path=("parts", "V1"), value=supply), base=2, id="c")
        assert () == faults_of(desk.documents)
        # From here on a part that readings count on stays.
        with pytest.raises(LidoffError, match="usb_5v"):
            desk.edit(Remove(path=("parts", "V1")), base=3, id="d")


def test_the_same_request_twice_is_done_once(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        first = desk.edit(
            Add(path=("trials", "shaken"), value={"what": "shaken", "seen": "x"}), base=0, id="a"
        )
        assert first == desk.edit(
            Add(path=("trials", "shaken"), value={"what": "shaken", "seen": "x"}), base=0, id="a"
        )
        assert 1 == desk.revision


def test_a_request_is_known_again_after_a_restart(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(titled("lantern"), base=0, id="a")
        desk.undo(base=1, id="b")
    with desk_in(tmp_path) as desk:
        assert 1 == desk.edit(titled("lantern"), base=0, id="a").revision
        assert 2 == desk.undo(base=1, id="b").revision
        assert 2 == desk.revision


RANGES = ("instruments", "meter", "ranges")


def of_range(number: int, field: str, value: str) -> Set:
    """Edit that fills one field of a range of the meter."""
    return Set(path=(*RANGES, number, field), value=value)


def test_two_fields_of_one_range_can_be_filled_at_once(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(of_range(0, "resolution", "1 mV"), base=0, id="a", page="p")
        desk.edit(of_range(0, "up_to", "6 V"), base=0, id="b", page="q")
        told = tomllib.loads(desk.documents["dossier.toml"])["instruments"]["meter"]["ranges"][0]
    assert ("1 mV", "6 V") == (told["resolution"], told["up_to"])


def test_a_field_of_a_range_is_not_filled_where_ranges_have_shifted_since(tmp_path: Path) -> None:
    more = {"measures": "resistance", "accuracy": "±1 %"}
    with desk_in(tmp_path) as desk:
        desk.edit(Add(path=(*RANGES, -1), value=more), base=0, id="a", page="p")
        desk.edit(Add(path=(*RANGES, -1), value={**more, "up_to": "6 kΩ"}), base=1, id="", page="p")
        desk.edit(Remove(path=(*RANGES, 1)), base=2, id="b", page="p")
        with pytest.raises(EditRefused, match="this page changed the same just before"):
            desk.edit(of_range(1, "up_to", "60 kΩ"), base=2, id="c", page="p")
        with pytest.raises(EditRefused, match="meanwhile another page or program changed the same"):
            desk.edit(Remove(path=(*RANGES, 1)), base=2, id="d", page="q")


def test_a_page_can_say_the_same_again_before_it_has_heard_of_the_first(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(titled("lan"), base=0, id="a", page="p")
        desk.edit(titled("lantern"), base=0, id="b", page="p")
        assert "lantern" == title_on_disk(tmp_path)
        with pytest.raises(EditRefused, match="meanwhile another page or program changed the same"):
            desk.edit(titled("lamp"), base=0, id="c", page="q")


def stroke_at(x: float) -> Stroke:
    """Edit that paints a short bridge."""
    return Stroke(board="main", side="front", says="bridge", points_mm=((x, 2.0), (x + 1.0, 2.0)))


@pytest.mark.parametrize(
    "edits",
    [
        [stroke_at(1.0), stroke_at(5.0), stroke_at(9.0)],
        [
            Place(board="main", reference="R1", package="0805", side="front", first_mm=(4, 4), second_mm=(6, 4)),
            Place(board="main", reference="R1", package="0805", side="front", first_mm=(4, 9), second_mm=(6, 9)),
        ],
        [
            Beep(board="main", first="R1.1", second="R2.1", joined=True),
            Beep(board="main", first="R1.1", second="R2.1", joined=False),
        ],
        [Add(path=("notes", -1), value="one"), Add(path=("notes", -1), value="two")],
        [stroke_at(3.0), PutHole(board="main", at_mm=(3, 3), diameter_mm=0.8, plated=True)],
        [titled("lantern"), Rename(what="part", name="R1", to="R9")],
    ],
)  # fmt: skip
def test_what_one_page_does_in_a_row_never_crosses_itself(tmp_path: Path, edits: list[Edit]) -> None:
    with desk_in(tmp_path) as desk:
        base = desk.edit(BeginBoard(board="main", size_mm=(20.0, 15.0)), base=0, id="a", page="p").revision
        desk.edit(Set(path=("notes",), value=["first"]), base=base, id="b", page="p")
        for number, edit in enumerate(edits):
            desk.edit(edit, base=base + 1, id=f"own {number}", page="p")
        assert base + 1 + len(edits) == desk.revision
        with pytest.raises(EditRefused, match="another page or program changed the same"):
            desk.edit(edits[0], base=base + 1, id="other", page="q")


def test_a_stroke_that_is_named_by_its_number_is_not_taken_away_once_numbers_have_moved(
    tmp_path: Path,
) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(BeginBoard(board="main", size_mm=(20.0, 15.0)), base=0, id="a", page="p")
        desk.edit(stroke_at(1.0), base=1, id="b", page="p")
        desk.edit(stroke_at(5.0), base=2, id="c", page="p")
        desk.edit(Unstroke(board="main", side="front", number=0), base=3, id="d", page="p")
        with pytest.raises(EditRefused, match="this page changed the same just before"):
            desk.edit(Unstroke(board="main", side="front", number=0), base=3, id="e", page="p")


STEPS = st.lists(st.sampled_from(("edit", "undo", "redo", "restart")), min_size=1, max_size=14)


@SLOWLY
@given(STEPS)
def test_undo_and_redo_walk_all_states_across_restarts(
    tmp_path_factory: pytest.TempPathFactory, steps: list[str]
) -> None:
    folder = tmp_path_factory.mktemp("desk")
    past: list[str] = []
    future: list[str] = []
    here = "lamp"
    count = 0
    desk = None
    with desk_in(folder):
        pass
    for step in steps:
        if desk is None:
            desk = open_desk(folder, noon)
        if step == "restart":
            desk.close()
            desk = None
        elif step == "edit":
            count += 1
            desk.edit(titled(f"t{count}"), base=desk.revision, id="")
            past, here, future = [*past, here], f"t{count}", []
        elif step == "undo":
            if past:
                desk.undo(base=desk.revision, id="")
                past, here, future = past[:-1], past[-1], [*future, here]
            else:
                with pytest.raises(EditRefused, match="there is nothing to undo"):
                    desk.undo(base=desk.revision, id="")
        elif future:
            desk.redo(base=desk.revision, id="")
            past, here, future = [*past, here], future[-1], future[:-1]
        else:
            with pytest.raises(EditRefused, match="there is nothing to redo"):
                desk.redo(base=desk.revision, id="")
        assert here == title_on_disk(folder)
    if desk is not None:
        desk.close()


def test_undoing_all_gives_the_file_as_it_was_byte_by_byte(tmp_path: Path) -> None:
    text = "# by hand\r\n" + lamp_text().replace("\n", "\r\n")
    with desk_in(tmp_path, text) as desk:
        desk.edit(titled("x"), base=0, id="")
        desk.edit(Rename(what="part", name="R1", to="R7"), base=1, id="")
        desk.edit(BeginBoard(board="main", size_mm=(3, 4)), base=2, id="")
        desk.edit(Remove(path=("readings", "led")), base=3, id="")
        for revision in (4, 5, 6, 7):
            desk.undo(base=revision, id="")
    assert text.encode() == (tmp_path / "dossier.toml").read_bytes()
    assert not (tmp_path / "boards" / "main.json").exists()


# ---- two pages, two programs


def test_an_edit_of_what_another_page_changed_is_refused(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(value_of("R1", "180 Ω"), base=0, id="a", page="one")
        with pytest.raises(
            EditRefused, match="another page or program changed the same: R1: value 180 Ω"
        ) as raised:
            desk.edit(value_of("R1", "220 Ω"), base=0, id="b", page="two")
        assert ("stale", "dossier.parts.R1.value") == (raised.value.code, raised.value.where)
        with pytest.raises(EditRefused, match="changed the same"):
            desk.edit(Remove(path=("parts", "R1")), base=0, id="c", page="two")
        assert "180 Ω" in (tmp_path / "dossier.toml").read_text(encoding="utf-8")


def test_an_edit_of_something_else_goes_through_beside_it(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(value_of("R1", "180 Ω"), base=0, id="a", page="one")
        desk.edit(titled("lantern"), base=0, id="b", page="two")
        text = desk.documents["dossier.toml"]
    assert "180 Ω" in text
    assert "lantern" in text


def test_an_undo_that_has_not_seen_the_newest_is_refused(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(titled("a"), base=0, id="a")
        desk.edit(titled("b"), base=1, id="b")
        with pytest.raises(EditRefused, match="changed the same"):
            desk.undo(base=1, id="c")


@pytest.mark.parametrize("base", [-1, 5])
def test_an_edit_of_a_state_that_never_was_is_refused(tmp_path: Path, base: int) -> None:
    with desk_in(tmp_path) as desk, pytest.raises(EditRefused, match=f"rests on state {base}"):
        desk.edit(titled("x"), base=base, id="")


def test_a_second_process_is_kept_out(tmp_path: Path) -> None:
    with desk_in(tmp_path), pytest.raises(EditRefused, match="open in another workbench") as raised:
        open_desk(tmp_path, noon)
    assert "in_use" == raised.value.code


def test_a_file_changed_by_another_program_is_taken_in_and_can_be_undone(tmp_path: Path) -> None:
    file = tmp_path / "dossier.toml"
    with desk_in(tmp_path) as desk:
        desk.edit(value_of("R1", "180 Ω"), base=0, id="")
        file.write_text(file.read_text(encoding="utf-8").replace('"lamp"', '"torch"'), encoding="utf-8")
        desk.look_outside()
        assert ["edit", "outside"] == [one.kind for one in desk.history.entries]
        assert "torch" == title_on_disk(tmp_path)
        desk.undo(base=2, id="")
        assert "lamp" == title_on_disk(tmp_path)
        assert "180 Ω" in desk.documents["dossier.toml"]


def test_an_edit_that_crosses_a_change_from_outside_is_refused_and_both_texts_stay(tmp_path: Path) -> None:
    file = tmp_path / "dossier.toml"
    with desk_in(tmp_path) as desk:
        file.write_text(file.read_text(encoding="utf-8").replace('"lamp"', '"torch"'), encoding="utf-8")
        with pytest.raises(EditRefused, match=r"dossier\.toml changed outside"):
            desk.edit(titled("lantern"), base=0, id="")
        assert "torch" == title_on_disk(tmp_path)


def test_what_cannot_be_taken_in_stops_edits_until_one_state_is_chosen(tmp_path: Path) -> None:
    file = tmp_path / "dossier.toml"
    with desk_in(tmp_path) as desk:
        desk.edit(titled("lantern"), base=0, id="")
        file.write_text("[device\n", encoding="utf-8")
        with pytest.raises(EditRefused, match="cannot be taken in") as raised:
            desk.edit(titled("torch"), base=1, id="")
        assert "changed_outside" == raised.value.code
        desk.keep_own()
        assert "lantern" == title_on_disk(tmp_path)
        assert "[device\n" == (tmp_path / "dossier.outside-1.toml").read_text(encoding="utf-8")
        assert 2 == desk.edit(titled("torch"), base=1, id="").revision


def test_a_mended_file_lets_edits_go_on(tmp_path: Path) -> None:
    file = tmp_path / "dossier.toml"
    with desk_in(tmp_path) as desk:
        sound = file.read_text(encoding="utf-8")
        file.unlink()
        desk.look_outside()
        assert desk.outside is not None
        assert "dossier.toml is gone" == desk.outside.what
        file.write_text(sound, encoding="utf-8")
        assert 1 == desk.edit(titled("torch"), base=0, id="").revision


def test_a_change_from_outside_while_nobody_had_it_open_is_history_too(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(titled("lantern"), base=0, id="")
    file = tmp_path / "dossier.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("lantern", "torch"), encoding="utf-8")
    with desk_in(tmp_path) as desk:
        assert "outside" == desk.history.entries[-1].kind
        desk.undo(base=2, id="")
        assert "lantern" == title_on_disk(tmp_path)


# ---- faults


def test_an_edit_that_would_break_the_dossier_is_refused(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk, pytest.raises(LidoffError, match="unknown kind 'resistr'"):
        desk.edit(Set(path=("parts", "R1", "kind"), value="resistr"), base=0, id="")
    assert 'kind = "resistor"' in (tmp_path / "dossier.toml").read_text(encoding="utf-8")


def test_a_dossier_that_was_broken_before_can_be_mended_step_by_step(tmp_path: Path) -> None:
    broken = lamp_text(('kind = "resistor"', 'kind = "resistr"'), ('kind = "led"', 'kind = "lid"'))
    with desk_in(tmp_path, broken) as desk:
        desk.edit(Set(path=("parts", "R1", "kind"), value="resistor"), base=0, id="")
        desk.edit(Set(path=("parts", "D1", "kind"), value="led"), base=1, id="")
        with pytest.raises(DossierError):
            desk.edit(Set(path=("parts", "D1", "kind"), value=""), base=2, id="")


def test_what_a_hand_says_of_a_board_stands_even_if_a_net_loses_its_name_by_it(tmp_path: Path) -> None:
    placed = Place(
        board="main", reference="R1", package="0805", side="front", first_mm=(3, 4), second_mm=(5, 4)
    )
    by_board = lamp_text(
        ('pins = { 1 = "usb_5v", 2 = "led_plus" }', 'board = "main"'),
        ('pins = { anode = "led_plus", cathode = "gnd" }', 'pins = { anode = "out", cathode = "gnd" }'),
        ('voltage = "led_plus"', 'voltage = "middle"'),
        more='[boards.main]\nwidth = "30 mm"\nheight = "20 mm"\n',
    )
    with desk_in(tmp_path, by_board) as desk:
        assert faults_of(desk.documents)
        desk.edit(placed, base=0, id="")
        desk.edit(NameNet(board="main", pin="R1.1", net="middle"), base=1, id="")
        desk.edit(Unplace(board="main", reference="R1"), base=2, id="")
        assert 3 == desk.revision
        with pytest.raises(LidoffError, match="no net"):
            desk.edit(Set(path=("readings", "led", "voltage"), value="nowhere"), base=3, id="")


# ---- crash, full disk, damage


@SLOWLY
@given(st.integers(0, 3), st.data())
def test_a_journal_cut_short_anywhere_gives_the_state_of_its_last_whole_line(
    tmp_path_factory: pytest.TempPathFactory, edits: int, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("desk")
    with desk_in(folder) as desk:
        states = [dict(desk.documents)]
        for number in range(edits):
            desk.edit(titled(f"t{number}"), base=number, id="")
            states.append(dict(desk.documents))
    journal = folder / JOURNAL
    whole = journal.read_bytes()
    cut = data.draw(st.integers(whole.index(b"\n") + 1, len(whole)))
    journal.write_bytes(whole[:cut])
    kept = sum(
        line.startswith(b'{"kind":"edit"')
        for line in whole[:cut].splitlines(keepends=True)
        if line[-1:] == b"\n"
    )
    # The dossier's own file as the process left it: in the state before the last change or after it.
    (folder / "dossier.toml").write_text(states[kept]["dossier.toml"], encoding="utf-8")
    with desk_in(folder) as desk:
        assert states[kept] == dict(desk.documents)
        assert kept == desk.revision


def test_edits_that_were_not_saved_before_the_end_are_saved_on_opening(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        before = desk.documents["dossier.toml"]
        for number in range(3):
            desk.edit(titled(f"t{number}"), base=number, id="")
    journal = tmp_path / JOURNAL
    lines = [line for line in journal.read_bytes().splitlines(keepends=True) if b'"kind":"saved"' not in line]
    journal.write_bytes(b"".join(lines))
    (tmp_path / "dossier.toml").write_text(before, encoding="utf-8")
    with desk_in(tmp_path) as desk:
        assert "t2" == title_on_disk(tmp_path)
        assert 3 == desk.revision


def edit_until_killed(folder: str, pipe: object) -> None:
    """Make edits without end, telling each acknowledged one."""
    desk = open_desk(Path(folder), noon)
    for number in range(100_000):
        desk.edit(titled(f"t{number}"), base=number, id=f"e{number}")
        pipe.send(number)  # type: ignore[attr-defined]


@pytest.mark.parametrize("acknowledged", [1, 7, 20])
def test_a_killed_process_loses_no_acknowledged_edit(tmp_path: Path, acknowledged: int) -> None:
    (tmp_path / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=edit_until_killed, args=(str(tmp_path), theirs))
    process.start()
    theirs.close()
    last = -1
    while last < acknowledged:
        last = ours.recv()
    process.kill()
    process.join()
    try:
        while ours.poll():
            last = ours.recv()
    except EOFError:
        pass
    with desk_in(tmp_path) as desk:
        assert desk.revision >= last + 1
        assert f"t{desk.revision - 1}" == title_on_disk(tmp_path)


class FullDisk:
    """A disk that has room for a few more bytes of the journal."""

    def __init__(self, desk: Desk, room: int) -> None:
        self._stream = desk._journal._stream  # type: ignore[union-attr]
        self._room = room
        desk._journal._stream = self  # type: ignore[union-attr]

    def write(self, line: bytes) -> int:
        """Write what there is room for, then fail."""
        self._stream.write(line[: self._room])
        self._stream.flush()
        if self._room < len(line):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        self._room -= len(line)
        return len(line)

    def __getattr__(self, name: str) -> object:
        return getattr(self._stream, name)


@pytest.mark.parametrize("room", [0, 1, 100])
def test_a_full_disk_refuses_the_edit_and_changes_nothing(tmp_path: Path, room: int) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(titled("kept"), base=0, id="")
        length = (tmp_path / JOURNAL).stat().st_size
        FullDisk(desk, room)
        with pytest.raises(OutputRefused, match=r"cannot be noted in journal\.jsonl .*nothing was changed"):
            desk.edit(titled("lost"), base=1, id="")
        assert (1, length) == (desk.revision, (tmp_path / JOURNAL).stat().st_size)
        assert "kept" == title_on_disk(tmp_path)
    with desk_in(tmp_path) as desk:
        assert 2 == desk.edit(titled("again"), base=1, id="").revision


def test_a_disk_too_full_for_the_file_keeps_the_edit_in_the_journal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(file: Path, _text: str) -> None:
        raise OutputRefused("no room", where=str(file))

    with desk_in(tmp_path) as desk:
        with monkeypatch.context() as patch:
            patch.setattr(folder_texts, "write_whole", full)
            desk.edit(titled("one"), base=0, id="")
            desk.edit(titled("two"), base=1, id="")
            assert ("lamp", "no room") == (title_on_disk(tmp_path), desk.unsaved.what if desk.unsaved else "")
        desk.edit(Set(path=("device", "maker"), value="bench"), base=2, id="")
        assert ("two", None) == (title_on_disk(tmp_path), desk.unsaved)


def test_a_disk_too_full_until_the_end_is_made_up_for_on_opening(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(file: Path, _text: str) -> None:
        raise OutputRefused("no room", where=str(file))

    with monkeypatch.context() as patch, desk_in(tmp_path) as desk:
        patch.setattr(folder_texts, "write_whole", full)
        for number in range(3):
            desk.edit(titled(f"t{number}"), base=number, id="")
    with desk_in(tmp_path) as desk:
        assert ("t2", 3) == (title_on_disk(tmp_path), desk.revision)


def test_a_change_from_outside_never_writes_over_edits_that_were_not_saved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(file: Path, _text: str) -> None:
        raise OutputRefused("no room", where=str(file))

    file = tmp_path / "dossier.toml"
    with desk_in(tmp_path) as desk:
        with monkeypatch.context() as patch:
            patch.setattr(folder_texts, "write_whole", full)
            desk.edit(value_of("R1", "180 Ω"), base=0, id="")
        file.write_text(file.read_text(encoding="utf-8").replace('"lamp"', '"torch"'), encoding="utf-8")
        with pytest.raises(EditRefused, match="another program changed the dossier's files while"):
            desk.edit(Set(path=("device", "maker"), value="bench"), base=1, id="")
        desk.keep_own()
        assert "180 Ω" in file.read_text(encoding="utf-8")
        assert "torch" in (tmp_path / "dossier.outside-1.toml").read_text(encoding="utf-8")


def test_a_change_from_outside_after_an_end_with_unsaved_edits_stops_edits_until_one_state_is_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(file: Path, _text: str) -> None:
        raise OutputRefused("no room", where=str(file))

    with monkeypatch.context() as patch, desk_in(tmp_path) as desk:
        patch.setattr(folder_texts, "write_whole", full)
        desk.edit(titled("lantern"), base=0, id="")
    file = tmp_path / "dossier.toml"
    file.write_text(file.read_text(encoding="utf-8").replace('"lamp"', '"torch"'), encoding="utf-8")
    with desk_in(tmp_path) as desk:
        with pytest.raises(EditRefused, match="another program changed the dossier's files while"):
            desk.edit(Set(path=("device", "maker"), value="bench"), base=1, id="")
        assert "torch" == title_on_disk(tmp_path)
        desk.keep_own()
        assert "lantern" == title_on_disk(tmp_path)
    assert '"torch"' in (tmp_path / "dossier.outside-1.toml").read_text(encoding="utf-8")


def test_a_damaged_journal_is_put_aside_and_the_files_stand(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        desk.edit(titled("one"), base=0, id="")
        desk.edit(titled("two"), base=1, id="")
    journal = tmp_path / JOURNAL
    damaged = journal.read_bytes().replace(b"title one", b"title own", 1)
    journal.write_bytes(damaged)
    with desk_in(tmp_path) as desk:
        assert (0, "two") == (desk.revision, title_on_disk(tmp_path))
    assert damaged == (tmp_path / "journal.damaged-1.jsonl").read_bytes()


def test_a_folder_that_cannot_be_written_can_be_looked_at(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(folder: Path) -> object:
        raise OutputRefused("read-only", where=str(folder))

    monkeypatch.setattr("lidoff.dossier.desk.take_lock", refuse)
    with desk_in(tmp_path) as desk:
        assert desk.begun
        with pytest.raises(EditRefused, match="read-only") as raised:
            desk.edit(titled("x"), base=0, id="")
    assert "read_only" == raised.value.code


def test_a_dossier_is_begun_once(tmp_path: Path) -> None:
    desk = open_desk(tmp_path, noon)
    assert not desk.begun
    desk.begin({"dossier.toml": lamp_text()})
    assert 1 == desk.edit(titled("x"), base=0, id="").revision
    with pytest.raises(EditRefused, match="holds a dossier already"):
        desk.begin({"dossier.toml": lamp_text()})
    desk.close()


def test_a_board_that_links_out_of_the_folder_is_not_read(tmp_path: Path) -> None:
    outside = tmp_path / "secret.json"
    outside.write_text("{}", encoding="utf-8")
    folder = tmp_path / "dossier"
    (folder / "boards").mkdir(parents=True)
    (folder / "boards" / "main.json").symlink_to(outside)
    with pytest.raises(DossierError, match=r"boards/main\.json is a link that leads out"), desk_in(folder):
        pass


def test_what_a_killed_process_left_half_written_is_taken_away(tmp_path: Path) -> None:
    (tmp_path / "boards").mkdir()
    left = [tmp_path / ".dossier.toml.ab12.part", tmp_path / "boards" / ".main.json.cd34.part"]
    for file in left:
        file.write_text("half", encoding="utf-8")
    with desk_in(tmp_path):
        assert [] == [file for file in left if file.exists()]


def test_a_clock_that_jumps_back_changes_nothing_of_the_order(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
    times = iter(("2030-06-01", "2030-06-02", "1999-01-01", "2030-06-03", "1970-01-01", "2030-06-04"))
    desk = open_desk(tmp_path, lambda: next(times))
    for number in range(3):
        desk.edit(titled(f"t{number}"), base=number, id="")
    desk.close()
    with desk_in(tmp_path) as again:
        assert [1, 2, 3] == [one.revision for one in again.history.entries]
        again.undo(base=3, id="")
        assert "t1" == title_on_disk(tmp_path)


def test_a_folder_that_is_away_for_a_while_refuses_edits_and_goes_on_when_it_is_back(tmp_path: Path) -> None:
    folder, away = tmp_path / "share", tmp_path / "away"
    with desk_in(folder) as desk:
        desk.edit(titled("kept"), base=0, id="")
        folder.rename(away)
        with pytest.raises(OutputRefused, match="folder cannot be reached"):
            desk.edit(titled("lost"), base=1, id="")
        assert 1 == desk.revision
        away.rename(folder)
        desk.edit(titled("again"), base=1, id="")
        assert "again" == title_on_disk(folder)


def test_a_file_that_was_broken_from_the_start_is_told_and_edited_once_it_is_mended(tmp_path: Path) -> None:
    with desk_in(tmp_path, "x = [[[") as desk:
        with pytest.raises(EditRefused, match="cannot be taken in") as raised:
            desk.edit(titled("x"), base=0, id="")
        assert "changed_outside" == raised.value.code
        (tmp_path / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
        assert desk.look_outside() is not None
        desk.edit(titled("mended"), base=desk.revision, id="")
        assert "mended" == title_on_disk(tmp_path)
