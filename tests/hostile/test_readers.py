"""Whatever is put before a reader, it reads it or says clearly what is wrong: no other error, and no end of time."""

from __future__ import annotations

import json
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.dossier import board_from_text, dossier_from_text
from lidoff.errors import DossierError, LidoffError
from lidoff.evidence import read_log
from lidoff.markings import decode
from lidoff.quantities import parse_accuracy, parse_quantity

DEMOS = Path(__file__).parents[2] / "demos"
PATIENT = settings(
    max_examples=120,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
MOST = 20.0
"""Processor time that one reading may take [s], whatever else keeps the machine busy."""
ODD = st.sampled_from(
    [
        "", "\x00", "=", '"', "'", "\\", "\u202e", "\ufeff", "9" * 400, "1e999", "-0", "nan", "inf", "±", "∞", "µ", "{}", "[]",
        "\n", "<img src=x onerror=alert(1)>", "=cmd|'/c calc'!A1", '#import "x"', "../../etc/passwd", "😀", "ſ", "١٢٣",
        "1,234.5.6", "0x10", "9" * 5000,
    ]
)  # fmt: skip


def reads(read: Callable[[], object]) -> None:
    """Read, in time; an error that is told to the user is an answer too."""
    told = "read"
    began = time.process_time()
    try:
        read()
    except LidoffError as error:
        told = str(error)
    assert told
    assert time.process_time() - began < MOST


@PATIENT
@given(text=st.text(max_size=200) | ODD)
def test_any_text_as_a_quantity(text: str) -> None:
    reads(lambda: parse_quantity(text))
    reads(lambda: parse_quantity(text, unit="V"))
    reads(lambda: parse_accuracy(text))


@PATIENT
@given(
    start=st.sampled_from(["4.7 kΩ", "12 V ± 5 %", "-3,3 mA", "2h 3min", "25 °C"]),
    odd=ODD,
    at=st.integers(0, 12),
)
def test_a_quantity_with_something_odd_in_it(start: str, odd: str, at: int) -> None:
    reads(lambda: parse_quantity(start[:at] + odd + start[at:]))


@PATIENT
@given(text=st.text(max_size=60) | ODD)
def test_any_text_as_a_marking(text: str) -> None:
    reads(lambda: decode(text))


@PATIENT
@given(text=st.text(max_size=400) | ODD)
def test_any_text_as_a_dossier(text: str) -> None:
    reads(lambda: dossier_from_text(text))


def changed(value: object, draw: Callable[[st.SearchStrategy[object]], object]) -> object:
    """Plain data with one of its places changed for something odd."""
    odd: st.SearchStrategy[object] = st.one_of(
        ODD, st.none(), st.booleans(), st.integers(), st.floats(), st.just([]), st.just({}), st.just([[]])
    )
    if isinstance(value, dict) and value:
        key = draw(st.sampled_from(sorted(value)))
        deeper = draw(st.integers(0, 5))
        rest = {name: one for name, one in value.items() if name != key}
        if deeper == 0:
            return {**rest, str(draw(ODD)): value[key]}
        return {**rest, key: changed(value[key], draw)}
    if isinstance(value, list) and value:
        at = draw(st.integers(0, len(value) - 1))
        assert isinstance(at, int)
        return [*value[:at], changed(value[at], draw), *value[at + 1 :]]
    return draw(odd)


@settings(PATIENT, max_examples=60)
@given(data=st.data(), demo=st.sampled_from(["crumb-vacuum", "insect-lure", "night-light"]))
def test_a_dossier_with_one_thing_changed(data: st.DataObject, demo: str) -> None:
    from lidoff.dossier.toml_text import toml_text

    document = tomllib.loads((DEMOS / demo / "dossier.toml").read_text(encoding="utf-8"))
    odd = changed(document, data.draw)
    try:
        text = toml_text(odd)  # type: ignore[arg-type]
    except (TypeError, LidoffError):
        return  # TOML has no word for it
    reads(lambda: dossier_from_text(text))


@settings(PATIENT, max_examples=60)
@given(data=st.data(), file=st.sampled_from(sorted(DEMOS.glob("*/boards/*.json"))))
def test_a_board_with_one_thing_changed(data: st.DataObject, file: Path) -> None:
    document = json.loads(file.read_text(encoding="utf-8"))
    odd = changed(document, data.draw)
    reads(lambda: board_from_text(json.dumps(odd), file.stem))


@PATIENT
@given(text=st.text(max_size=400) | ODD)
def test_any_text_as_a_board(text: str) -> None:
    reads(lambda: board_from_text(text, "main"))


@PATIENT
@given(content=st.binary(max_size=400))
def test_any_bytes_as_a_log(content: bytes) -> None:
    reads(lambda: read_log(content))


WRITTEN = st.sampled_from(["12:00:01", "2026-01-02 03:04:05", "OL", "1,5", "mA"])
CELLS = st.lists(st.lists(st.one_of(ODD, st.floats().map(str), WRITTEN), max_size=5), max_size=12)


@PATIENT
@given(rows=CELLS, between=st.sampled_from([",", ";", "\t"]), head=st.booleans())
def test_any_table_as_a_log(rows: list[list[str]], between: str, head: bool) -> None:
    lines = [between.join(["time", "current [mA]"])] if head else []
    lines.extend(between.join(row) for row in rows)
    reads(lambda: read_log("\n".join(lines).encode("utf-8", "surrogatepass")))


@pytest.mark.parametrize("deep", [500, 5_000, 100_000])
def test_deep_nesting_is_refused_and_not_followed(deep: int) -> None:
    reads(lambda: dossier_from_text("a = " + "[" * deep + "]" * deep))
    reads(lambda: dossier_from_text("[" + ".".join(["a"] * deep) + "]"))
    reads(lambda: board_from_text("[" * deep + "]" * deep, "main"))


@pytest.mark.parametrize(
    "number", ["9" * 5_000, "-" + "9" * 5_000, "0x" + "f" * 5_000, "9223372036854775808"]
)
def test_a_number_beyond_all_numbers_is_told_and_not_choked_on(number: str) -> None:
    for text in (f"a = {number}", f"[device]\ntitle = {number}", f"notes = [[{number}]]"):
        with pytest.raises(DossierError, match="64 bits"):
            dossier_from_text(text)
    reads(lambda: board_from_text(f'{{"name": {number}}}', "main"))
