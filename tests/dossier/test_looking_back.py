"""Earlier states of a dossier: each is told as it was, whatever was done, undone and done again since."""

from pathlib import Path

import pytest

from lidoff.dossier.edits import BeginBoard, Set
from lidoff.dossier.looking_back import texts_at
from lidoff.errors import UnknownName
from tests.dossier.desks import desk_in


def test_every_state_is_told_as_it_was(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        seen = [dict(desk.documents)]
        desk.edit(Set(path=("device", "title"), value="one"), base=0, id="a")
        seen.append(dict(desk.documents))
        desk.edit(BeginBoard(board="main", size_mm=(30.0, 20.0)), base=1, id="b")
        seen.append(dict(desk.documents))
        desk.undo(base=2, id="c")
        seen.append(dict(desk.documents))
        desk.undo(base=3, id="d")
        seen.append(dict(desk.documents))
        desk.redo(base=4, id="e")
        seen.append(dict(desk.documents))
        assert seen == [dict(texts_at(desk, revision)) for revision in range(6)]


@pytest.mark.parametrize("revision", [-1, 1])
def test_a_state_that_never_was_is_refused(tmp_path: Path, revision: int) -> None:
    with desk_in(tmp_path) as desk, pytest.raises(UnknownName, match="choose one from 0 to 0"):
        texts_at(desk, revision)
