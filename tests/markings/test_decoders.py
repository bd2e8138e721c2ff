"""What every decoder must hold to; a new decoder is covered the moment its file exists."""

from __future__ import annotations

import inspect
import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lidoff.errors import LidoffError
from lidoff.markings import MARKED_PARTS, Decoder, Reading, all_decoders, decode, describe
from lidoff.quantities import Quantity

EACH = pytest.mark.parametrize("decoder", all_decoders().values(), ids=lambda decoder: decoder.name)

# Letters and signs that prints are made of, so that random text comes near to real markings.
PRINTED = st.text(alphabet="0123456789RKMLpnuµmFVNJCXYZAWGDHS .,/%°~+-±²٣Ωabr", max_size=14)
EXAMPLES = [decoder.example for decoder in all_decoders().values()]


def mended(example: str, start: int, put: str, gone: int) -> str:
    """Example with some characters replaced, as a worn print or a slip of the finger would have it."""
    return example[:start] + put + example[start + gone :]


NEARLY = st.builds(
    mended,
    st.sampled_from(EXAMPLES),
    st.integers(0, 12),
    st.text("0158ABKMRV. ²Ω", max_size=2),
    st.integers(0, 2),
)
COLOURED = st.lists(
    st.sampled_from(
        ["black", "bn", "rd", "orange", "ye", "gn", "bl", "vt", "grey", "wh", "gd", "silver", "pk", "?"]
    ),
    max_size=7,
).map(" ".join)


def readings(decoder: Decoder, text: str) -> tuple[Reading, ...]:
    try:
        return decoder.read(text)
    except LidoffError:
        return ()


@EACH
def test_its_example_is_decoded_by_itself(decoder: Decoder) -> None:
    assert decoder.name in {meaning.decoder for meaning in decode(decoder.example)}


@EACH
def test_its_example_says_something(decoder: Decoder) -> None:
    for reading in decoder.read(decoder.example):
        assert reading.says or reading.value is not None


@EACH
def test_it_names_a_source(decoder: Decoder) -> None:
    assert len(decoder.source) > 5


@EACH
def test_its_name_and_title_are_fit_for_print(decoder: Decoder) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9_]+", decoder.name)
    assert decoder.title[0].islower() or decoder.title.startswith(("EIA", "American", "Zener", "LED"))


@EACH
def test_its_file_has_a_docstring(decoder: Decoder) -> None:
    module = inspect.getmodule(decoder.read)
    assert module is not None
    assert module.__doc__


@EACH
def test_empty_and_unprintable_texts_are_none_of_its_own(decoder: Decoder) -> None:
    for text in ("", " ", "\x00", "Ω", "٣٣٣", "²²²"):
        assert decoder.read(text) == ()


@EACH
@settings(max_examples=60, deadline=None)
@given(text=NEARLY | PRINTED | COLOURED | st.text(max_size=12))
@example(text="²²²")
@example(text="٣٣٣")
def test_any_text_gives_sound_readings_or_a_plain_error(decoder: Decoder, text: str) -> None:
    for reading in readings(decoder, text):
        assert reading.what in decoder.about
        assert 0 < reading.plausibility <= 1
        assert reading.how
        if reading.limits is not None:
            assert isinstance(reading.value, Quantity)
            assert reading.limits.low <= reading.value.value <= reading.limits.high


@settings(max_examples=300, deadline=None)
@given(text=NEARLY | PRINTED | COLOURED | st.text(max_size=130))
@example(text="1N4790")
@example(text="0p0")
@example(text="0R000")
@example(text="AWG 99")
@example(text="0V0")
def test_any_text_decodes_or_raises_one_of_our_errors(text: str) -> None:
    try:
        told = [describe(meaning) for meaning in decode(text)]
    except LidoffError as error:
        told = [error.remedy or str(error.faults)]
    assert told
    assert all(told)


@settings(max_examples=100, deadline=None)
@given(text=NEARLY | PRINTED | COLOURED)
def test_meanings_come_in_order_and_only_once(text: str) -> None:
    try:
        meanings = decode(text)
    except LidoffError:
        return
    assert [meaning.plausibility for meaning in meanings] == sorted(
        (meaning.plausibility for meaning in meanings), reverse=True
    )
    assert len(set(map(repr, meanings))) == len(meanings)


def test_top_marks_speak_only_of_known_parts() -> None:
    assert all_decoders()["top_marks"].about == MARKED_PARTS
