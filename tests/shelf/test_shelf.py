"""A shelf finds, counts and compares its dossiers, and never knows more or less than the folders."""

from __future__ import annotations

import errno
import math
import os
import sqlite3
from pathlib import Path

import pytest

from lidoff.dossier import analyse, load_dossier
from lidoff.errors import DossierError, ImpossibleValue, UnknownName
from lidoff.quantities import parse_quantity
from lidoff.shelf import (
    INDEX_NAME,
    Asked,
    ClaimRecord,
    Index,
    ShelfClaim,
    alike,
    analysed_entry,
    claim_records,
    entry_of,
    find,
    largest_first,
    open_index,
    stamp_of,
    update,
)
from tests.shelf.build import lamp_text, shelf_of

LAMPS = {
    "lamp": lamp_text(),
    "lamp-two": lamp_text(title="Lamp, second (invented)", says="0.4 W", net="vcc"),
    "torch": lamp_text(title="Torch (invented)", ohms="220 Ω", marking="X_9%", says="2 W"),
}


def folders(index: Index, **asked: object) -> list[str]:
    return sorted(hit.folder for hit in find(index, Asked(**asked)))  # type: ignore[arg-type]


def test_what_is_asked_for_is_found(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, LAMPS)
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)

        assert folders(index, words="torch") == ["torch"]
        assert folders(index, words="lam") == ["lamp", "lamp-two"]
        assert folders(index, words="sets SECOND") == ["lamp-two"]
        assert folders(index, part="led") == ["lamp", "lamp-two", "torch"]
        assert folders(index, part="zener") == []
        assert folders(index, marking="w5") == ["lamp", "lamp-two"]
        assert folders(index, marking="X_9%") == ["torch"]
        assert folders(index, marking="X_") == ["torch"]
        assert folders(index, marking="%") == []
        assert folders(index, value=parse_quantity("150 Ω")) == ["lamp", "lamp-two"]
        assert folders(index, value=parse_quantity("180 Ω ± 50 Ω")) == ["lamp", "lamp-two", "torch"]
        assert folders(index, claim="power_input", verdict="not borne out") == ["lamp", "torch"]
        assert folders(index, words="lamp", verdict="not borne out") == ["lamp"]


def test_a_block_is_found_by_its_kind(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, LAMPS)
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        entry = index.entry("lamp")

        assert entry is not None
        assert entry.blocks
        assert folders(index, block=entry.blocks[0].kind) == ["lamp", "lamp-two", "torch"]


def test_where_it_was_found_is_told(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, LAMPS)
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)

        (hit,) = find(index, Asked(words="second", value=parse_quantity("150 Ω")))

    assert any("second" in place for place in hit.places)
    assert any(place.startswith("R1") and "150 Ω" in place for place in hit.places)


def test_nothing_asked_is_an_error(tmp_path: Path) -> None:
    with open_index(tmp_path / INDEX_NAME) as index, pytest.raises(ImpossibleValue):
        find(index, Asked(words="-- !"))


@pytest.mark.parametrize("words", ['"', "a OR b", "NEAR(", "x*", "'; DROP TABLE words", "text:lamp"])
def test_no_word_is_taken_for_an_operator(tmp_path: Path, words: str) -> None:
    shelf = shelf_of(tmp_path, {"lamp": LAMPS["lamp"]})
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        try:
            find(index, Asked(words=words))
        except ImpossibleValue:
            assert not any(letter.isalnum() for letter in words)

        assert index.count() == 1


def test_only_what_changed_is_read_again(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, LAMPS)
    with open_index(shelf / INDEX_NAME) as index:
        assert update(index, shelf).read == 3
        assert update(index, shelf).read == 0

        (shelf / "torch" / "dossier.toml").write_text(lamp_text(title="Lantern"), encoding="utf-8")
        changed = update(index, shelf)
        assert (changed.read, changed.gone, changed.dossiers) == (1, 0, 3)
        assert folders(index, words="torch") == []
        assert folders(index, words="lantern") == ["torch"]

        (shelf / "torch" / "dossier.toml").unlink()
        assert update(index, shelf).gone == 1
        assert folders(index, part="led") == ["lamp", "lamp-two"]


def test_an_index_kept_up_equals_one_made_anew(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, LAMPS)
    with open_index(tmp_path / "kept.sqlite") as index:
        update(index, shelf)
        for name, text in (("lamp", LAMPS["torch"]), ("torch", LAMPS["lamp"]), ("new", LAMPS["lamp-two"])):
            (shelf / name).mkdir(exist_ok=True)
            (shelf / name / "dossier.toml").write_text(text, encoding="utf-8")
            update(index, shelf)
        kept = {folder: index.entry(folder) for folder in index.stamps()}
        words = folders(index, words="sets")
    with open_index(tmp_path / "anew.sqlite") as index:
        update(index, shelf)

        assert {folder: index.entry(folder) for folder in index.stamps()} == kept
        assert folders(index, words="sets") == words


def test_a_broken_dossier_is_named_and_stops_nothing(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, {**LAMPS, "broken": "[device\n", "empty": ""})
    with open_index(shelf / INDEX_NAME) as index:
        updated = update(index, shelf)

        assert updated.dossiers == 3
        assert set(updated.problems) == {"broken", "empty"}
        assert update(index, shelf).read == 2  # the two broken ones are tried again, the others are not
        (shelf / "broken" / "dossier.toml").write_text(LAMPS["lamp"], encoding="utf-8")
        assert set(update(index, shelf).problems) == {"empty"}


def test_an_entry_survives_the_index(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, {"lamp": LAMPS["lamp"]})
    made = entry_of("lamp", analyse(load_dossier(shelf / "lamp")))
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        kept = index.entry("lamp")

    assert kept is not None
    assert (kept.parts, kept.numbers, kept.blocks, kept.claims) == (
        made.parts, made.numbers, made.blocks, made.claims,
    )  # fmt: skip
    assert kept.labels == made.labels


def test_the_same_circuit_under_other_names_is_most_alike(tmp_path: Path) -> None:
    others = {
        f"other-{k}": lamp_text().replace('kind = "led"', 'kind = "zener"').replace("forward_drop", "breakdown_voltage")
        for k in range(3)
    }  # fmt: skip
    shelf = shelf_of(tmp_path, {**LAMPS, **others})
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        found = alike(index, analysed_entry(str(shelf), "lamp")[1])

    assert [one.folder for one in found[:2]] == ["lamp-two", "torch"]
    assert found[0].likeness == pytest.approx(1.0)
    assert found[0].markings == ("W5",)
    assert "led" in " ".join(found[0].blocks).lower()
    assert all(one.likeness < 0.9 for one in found[2:])


def test_two_revisions_are_alike_on_a_shelf_that_holds_no_other(tmp_path: Path) -> None:
    pair = {"first": lamp_text(), "second": lamp_text().replace('kind = "led"', 'kind = "zener"').replace(
        "forward_drop", "breakdown_voltage"
    )}  # fmt: skip
    shelf = shelf_of(tmp_path, {**pair, "twin": lamp_text(net="vcc")})
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        found = {one.folder: one.likeness for one in alike(index, analysed_entry(str(shelf), "first")[1])}

    assert found["twin"] == pytest.approx(1.0)
    assert 0.1 < found["second"] < 0.9


def test_overstatement_is_told_by_the_side_that_a_claim_takes() -> None:
    def claim(sense: str, claimed: float | None, found: float | None) -> ShelfClaim:
        return ShelfClaim(
            name="c", kind="k", says="", sense=sense, verdict="", claimed=claimed, found=found, unit="W"
        )

    assert claim("at least", 10.0, 5.0).overstated == pytest.approx(2.0)
    assert claim("at most", 1.0, 3.0).overstated == pytest.approx(3.0)
    assert claim("at least", 10.0, None).overstated is None
    assert claim("at least", 10.0, 0.0).overstated is None


def test_claims_are_counted_by_kind(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, LAMPS)
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        (record,) = claim_records(index)
        (some,) = claim_records(index, ["torch"])

    assert record.verdicts == {"not borne out": 2, "borne out": 1}
    assert record.overstated == pytest.approx((0.4 / 0.43, 1.0 / 0.43, 2.0 / 0.43))
    assert record.middle == pytest.approx(1.0 / 0.43)
    assert some.count == 1


def test_a_kind_without_numbers_has_no_median() -> None:
    assert math.isnan(ClaimRecord(kind="k", verdicts={"cannot tell": 1}, overstated=()).middle)


def test_an_index_of_another_version_is_made_anew(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, {"lamp": LAMPS["lamp"]})
    file = shelf / INDEX_NAME
    with open_index(file) as index:
        update(index, shelf)
    connection = sqlite3.connect(file)
    connection.execute("UPDATE told SET value = '0'")
    connection.commit()
    connection.close()

    with open_index(file) as index:
        assert index.count() == 0


def test_what_is_no_index_is_refused_and_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "notes.sqlite"
    file.write_text("my notes, and no index at all, long enough to be told from one" * 40, encoding="utf-8")

    with pytest.raises(DossierError, match="index"), open_index(file):
        pass
    assert file.read_text(encoding="utf-8").startswith("my notes")


def test_links_lead_nowhere_else(tmp_path: Path) -> None:
    outside = shelf_of(tmp_path / "outside", {"secret": LAMPS["torch"]})
    shelf = shelf_of(tmp_path / "shelf", {"lamp": LAMPS["lamp"]})
    (shelf / "link").symlink_to(outside)
    with open_index(shelf / INDEX_NAME) as index:
        assert update(index, shelf).dossiers == 1


@pytest.mark.parametrize("name", ["dossier.toml", "boards/main.json"])
def test_a_pipe_in_the_place_of_a_file_holds_no_shelf_up(tmp_path: Path, name: str) -> None:
    shelf = shelf_of(tmp_path, {"lamp": LAMPS["lamp"], "odd": LAMPS["lamp"]})
    (shelf / "odd" / "boards").mkdir()
    (shelf / "odd" / name).unlink(missing_ok=True)
    os.mkfifo(shelf / "odd" / name)
    with open_index(shelf / INDEX_NAME) as index:
        updated = update(index, shelf)

    assert updated.dossiers == 1
    assert "ordinary file" in updated.problems["odd"]


def test_a_missing_folder_is_told(tmp_path: Path) -> None:
    with open_index(tmp_path / INDEX_NAME) as index, pytest.raises(DossierError, match="no such folder"):
        update(index, tmp_path / "nowhere")


def test_accents_and_capitals_do_not_matter(tmp_path: Path) -> None:
    shelf = shelf_of(tmp_path, {"lamp": lamp_text(title="Lámpara de PIE (invented)")})
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        (hit,) = find(index, Asked(words="LAMPARA pie"))

    assert "Lámpara de PIE" in hit.places[0]


@pytest.mark.parametrize(
    "word", ["Straße", "STRASSE", "ﬁlter", "H₂O", "１２Ｖ", "x²", "100 µF", "İstanbul", "kΩ"]
)
def test_a_word_is_found_by_itself_in_whatever_form_it_was_typed(tmp_path: Path, word: str) -> None:
    title = "Straße ﬁlter H₂O １２Ｖ x² 100 µF İstanbul 4 kΩ (invented)"
    shelf = shelf_of(tmp_path, {"lamp": lamp_text(title=title)})
    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)

        assert folders(index, words=word) == ["lamp"]


def test_words_without_a_letter_are_not_passed_over_beside_something_else(tmp_path: Path) -> None:
    with open_index(tmp_path / INDEX_NAME) as index, pytest.raises(ImpossibleValue, match="no letter"):
        find(index, Asked(words="+++", part="led"))


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"part": "resitor"}, "no kind of part 'resitor'; did you mean 'resistor'"),
        ({"block": "no_such"}, "no kind of block 'no_such'"),
        ({"claim": "run_tim"}, "did you mean 'run_time'"),
        ({"verdict": "borne"}, "no verdict 'borne'"),
    ],
)
def test_a_kind_that_there_is_not_is_told_and_not_taken_for_an_empty_shelf(
    tmp_path: Path, asked: dict[str, str], words: str
) -> None:
    with open_index(tmp_path / INDEX_NAME) as index:
        with pytest.raises(UnknownName, match=words):
            folders(index, **asked)
        assert folders(index, part="zener", claim="run_time", verdict="cannot tell") == []


def test_what_takes_long_is_begun_first(tmp_path: Path) -> None:
    shelf = shelf_of(
        tmp_path, {"b": lamp_text(), "a": lamp_text(), "small": "[device]", "large": lamp_text()}
    )
    (shelf / "large" / "boards").mkdir()
    (shelf / "large" / "boards" / "main.json").write_text(" " * 10_000, encoding="utf-8")

    assert ["large", "a", "b", "small"] == largest_first(shelf, ["a", "b", "large", "small"])


def test_a_folder_that_cannot_be_looked_into_takes_nothing_off_the_shelf(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf = shelf_of(tmp_path, {"near": lamp_text(), "far/lamp": lamp_text(title="Far lamp (invented)")})
    real = os.scandir

    def away(path: str) -> object:
        if str(path).endswith("far"):
            raise OSError(errno.ESTALE, os.strerror(errno.ESTALE), str(path))
        return real(path)

    with open_index(shelf / INDEX_NAME) as index:
        update(index, shelf)
        with monkeypatch.context() as patch:
            patch.setattr(os, "scandir", away)
            updated = update(index, shelf)
        found = folders(index, words="far")
        again = update(index, shelf)

    assert (2, 0, 0) == (updated.dossiers, updated.read, updated.gone)
    assert "1 folders cannot be looked into" in updated.problems[str(shelf)]
    assert "Stale file handle" in updated.problems[str(shelf)]
    assert ["far/lamp"] == found
    assert {} == again.problems


def test_a_dossier_that_could_not_be_read_for_a_moment_is_read_the_next_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf = shelf_of(tmp_path, {"lamp": lamp_text()})

    def away(_: Path) -> object:
        raise DossierError("the folder cannot be reached (Stale file handle)", where="lamp")

    with open_index(shelf / INDEX_NAME) as index:
        with monkeypatch.context() as patch:
            patch.setattr("lidoff.dossier.load_dossier", away)
            first = update(index, shelf)
        second = update(index, shelf)

    assert {"lamp"} == set(first.problems)
    assert ({}, 1) == (second.problems, second.read)


def test_a_log_that_cannot_be_looked_at_is_no_end_of_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf = shelf_of(tmp_path, {"lamp": lamp_text()})
    (shelf / "lamp" / "logs").mkdir()
    (shelf / "lamp" / "logs" / "run.csv").write_text("time [s],U [V]\n0,1\n", encoding="utf-8")
    whole = stamp_of(shelf / "lamp")
    real = Path.stat

    def away(path: Path, **more: bool) -> os.stat_result:
        if path.name == "run.csv":
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return real(path, **more)

    monkeypatch.setattr(Path, "stat", away)

    assert whole != stamp_of(shelf / "lamp")
