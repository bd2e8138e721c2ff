"""Files that lie in or beside a dossier, and what a meter answers: each is read, or told in words what is wrong with it."""

from __future__ import annotations

import io
import os
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from lidoff.board import by_hand_from_dict, read_photo
from lidoff.dossier import Photo, load_dossier
from lidoff.dossier.board_work import side_photo
from lidoff.errors import DossierError, LidoffError, PhotoRefused
from lidoff.hazards import measured_spectrum
from lidoff.markings import marks_from_rows
from lidoff.meters.asking import FINEST, answer_of, ask_from
from lidoff.report.translating import translated_share
from tests.board.test_by_hand import DECIDED
from tests.dossier.build import lamp_text
from tests.hostile.test_readers import ODD, PATIENT, changed, reads

IN_A_FOLDER = settings(PATIENT, suppress_health_check=list(HealthCheck))
HEIC = Path(__file__).parents[1] / "board" / "data" / "red_corner.heic"


# ---- photos


@cache
def photo_bytes(ending: str) -> bytes:
    """Small photo of noise."""
    if ending == "heic":
        return HEIC.read_bytes()
    out = io.BytesIO()
    picture = np.random.default_rng(5).integers(0, 255, (24, 32, 3), np.uint8)
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.fromarray(picture).save(out, {"jpg": "JPEG", "png": "PNG", "tif": "TIFF"}[ending], exif=exif)
    return out.getvalue()


@settings(IN_A_FOLDER, max_examples=8)  # each starts a process
@given(ending=st.sampled_from(["jpg", "png", "tif", "heic"]), data=st.data())
def test_a_photo_with_some_bytes_changed_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, ending: str, data: st.DataObject
) -> None:
    content = bytearray(photo_bytes(ending))
    places = st.lists(
        st.tuples(st.integers(0, len(content) - 1), st.integers(0, 255)), min_size=1, max_size=8
    )
    for at, byte in data.draw(places):
        content[at] = byte
    del content[data.draw(st.integers(len(content) // 2, len(content))) :]
    file = tmp_path_factory.mktemp("photo") / f"a.{ending}"
    file.write_bytes(content)
    reads(lambda: read_photo(file))


# ---- spectra, texts, tables of marks, decisions by hand

CELL = st.one_of(ODD, st.floats().map(str), st.integers(200, 900).map(str))


@PATIENT
@given(
    head=st.sampled_from(["nm,W/m2/nm", "wavelength (nm); µW/cm²/nm", "m\tW/m3", "nm", ""]),
    rows=st.lists(st.lists(CELL, max_size=3), max_size=12),
    between=st.sampled_from([",", ";", "\t"]),
)
def test_any_table_as_a_spectrum(head: str, rows: list[list[str]], between: str) -> None:
    text = "\n".join([head, *(between.join(row) for row in rows)])
    reads(lambda: measured_spectrum(text.encode("utf-8", "surrogatepass")).sum())


@PATIENT
@given(content=st.binary(max_size=300))
def test_any_bytes_as_a_spectrum(content: bytes) -> None:
    reads(lambda: measured_spectrum(content))


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("400," + "9" * 200_000, "no table"),
        ("1e300,1", "do not lie between"),
        ("0,1", "do not lie between"),
        ("400,1e308", "more than any lamp"),
    ],
)
def test_a_spectrum_beyond_what_light_has_is_refused(rows: str, words: str) -> None:
    text = f"nm,W/m2/nm\n{rows}\n401,1\n402,1\n403,1\n404,1\n"
    with pytest.raises(LidoffError, match=words):
        measured_spectrum(text.encode())


@settings(IN_A_FOLDER, max_examples=60)
@given(
    content=st.one_of(
        st.binary(max_size=100),
        st.sampled_from([b"[" * 100_000, b'{"a":' * 100_000, b"9" * 5_000, b'{"a": 1}', b"null", b"\xff{}"]),
    )
)
def test_any_bytes_as_translated_texts(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    file = tmp_path_factory.mktemp("texts") / "de.json"
    file.write_bytes(content)
    reads(lambda: translated_share(file))


ROWS: dict[str, Any] = {
    "mark": [
        {
            "mark": "Q7",
            "package": "SOT-23",
            "source": "data sheet",
            "candidates": [{"part": "EX7", "what": "diode", "says": "40 V"}],
        }
    ]
}


@PATIENT
@given(data=st.data())
def test_a_table_of_marks_with_one_thing_changed(data: st.DataObject) -> None:
    odd = changed(ROWS, data.draw)
    reads(lambda: marks_from_rows(odd if isinstance(odd, dict) else {"mark": odd}))


@PATIENT
@given(data=st.data())
def test_decisions_by_hand_with_one_thing_changed(data: st.DataObject) -> None:
    odd: Any = changed(DECIDED, data.draw)
    reads(lambda: by_hand_from_dict(odd if isinstance(odd, dict) else {"parts": odd}))


# ---- what a meter answers


@PATIENT
@given(text=st.text(max_size=80) | ODD)
def test_any_answer_of_a_meter(text: str) -> None:
    assert len(answer_of(text).cell) <= len(text) + 40 - FINEST
    reads(lambda: ask_from(text))


@pytest.mark.parametrize("text", ["1E-999999999", "1E+999999999", "1E999999999999999999", "-1e-4000000"])
def test_an_answer_with_an_exponent_beyond_all_meters_is_no_number(text: str) -> None:
    assert ("", None) == (answer_of(text).cell, answer_of(text).number)


def test_the_finest_answer_is_a_number() -> None:
    assert Decimal("1E-60") == answer_of("1E-60").number


# ---- links and pipes


@pytest.mark.parametrize("pipe", [True, False])
def test_a_board_that_is_a_link_or_a_pipe_is_not_read(tmp_path: Path, pipe: bool) -> None:
    folder = tmp_path / "lamp"
    (folder / "boards").mkdir(parents=True)
    (folder / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
    if pipe:
        os.mkfifo(folder / "boards" / "main.json")
    else:
        (tmp_path / "secret.json").write_text("{}", encoding="utf-8")
        (folder / "boards" / "main.json").symlink_to(tmp_path / "secret.json")
    with pytest.raises(DossierError, match="ordinary file" if pipe else "leads out of the folder"):
        load_dossier(folder)


def test_logs_that_lie_elsewhere_by_a_link_are_not_read(tmp_path: Path) -> None:
    folder = tmp_path / "lamp"
    folder.mkdir()
    (tmp_path / "private").mkdir()
    (tmp_path / "private" / "run.csv").write_text("t [s],I [A]\n0,1\n1,2\n", encoding="utf-8")
    (folder / "logs").symlink_to(tmp_path / "private")
    text = lamp_text() + '\n[logs.run]\nfile = "logs/run.csv"\n'
    (folder / "dossier.toml").write_text(text, encoding="utf-8")
    with pytest.raises(DossierError, match="leads out of the folder"):
        load_dossier(folder)


@pytest.mark.parametrize("pipe", [True, False])
def test_a_photo_that_is_a_link_or_a_pipe_is_not_read(tmp_path: Path, pipe: bool) -> None:
    folder = tmp_path / "lamp"
    (folder / "photos").mkdir(parents=True)
    if pipe:
        os.mkfifo(folder / "photos" / "a.png")
    else:
        (tmp_path / "private.png").write_bytes(photo_bytes("png"))
        (folder / "photos" / "a.png").symlink_to(tmp_path / "private.png")
    told = [Photo(file="photos/a.png", board="main", side="front")]
    with pytest.raises(PhotoRefused, match="no ordinary file of the dossier"):
        side_photo(told, folder, "main", "front")
