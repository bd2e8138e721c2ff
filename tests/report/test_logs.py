"""Logs in a report: chart, sums, runs and how they were read."""

import xml.etree.ElementTree as ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.dossier import analyse, dossier_from_text
from lidoff.evidence import read_log, summary_of, time_words
from lidoff.report import Figure, Picture, Section, log_chart, log_file_svg, log_text, pages_of
from tests.dossier.build import lamp_text

RUN = "t [s],U [V],I [A]\n" + "".join(
    f"{10 * row},{4.1 - 0.001 * row:.3f},{0.5 if row < 360 else 0.0:.4f}\n"
    for row in range(400)
    if not 100 <= row < 130
)
ENTRY = """
[logs.evening]
file = "logs/run.csv"
title = "One evening"
"""


def chapter() -> Section:
    dossier = dossier_from_text(lamp_text(more=ENTRY), logs={"logs/run.csv": RUN.encode()})
    return next(one for one in pages_of(analyse(dossier)).sections if one.name == "logs")


def picture() -> Picture:
    found = log_chart(summary_of(read_log(RUN.encode())))
    assert found is not None
    return found


def words(svg: str) -> list[str]:
    return [text for text in ElementTree.fromstring(svg).itertext() if text.strip()]


def test_the_chapter_shows_every_log_with_its_title() -> None:
    blocks = chapter().blocks
    assert "One evening" in [getattr(block, "title", "") for block in blocks]
    (figure,) = (block for block in blocks if isinstance(block, Figure))
    assert figure.alt == "Chart of U and I over 1 h 6 min 30 s"


def test_the_chapter_tells_charge_runs_and_gaps() -> None:
    told = str(chapter())
    for said in ("499", "then cut off at U 3.741 V", "1 gap, the longest 5 min 10 s where 10 s is usual"):
        assert said in told


def test_a_dossier_without_logs_has_no_such_chapter() -> None:
    pages = pages_of(analyse(dossier_from_text(lamp_text())))
    assert "logs" not in [one.name for one in pages.sections]


@pytest.mark.parametrize("form", ["wide", "paper", "narrow"])
def test_a_chart_shows_channels_levels_and_times(form: str) -> None:
    assert {"U", "I", "600 mA", "0 mA", "30 min"} <= set(words(getattr(picture(), form)))


def test_a_gap_breaks_the_curve() -> None:
    whole = RUN.splitlines()
    without_gap = "\n".join(whole[:101])
    curves = [
        log_file_svg(summary_of(read_log(text.encode()))).count("stroke-linejoin:round")
        for text in (without_gap, RUN)
    ]
    assert [2, 4] == curves


def test_lines_of_the_terminal_are_short_enough() -> None:
    assert max(len(line) for line in log_text(summary_of(read_log(RUN.encode()))).splitlines()) <= 100


@pytest.mark.parametrize(
    ("seconds", "said"), [(86400.0 + 3661.0, "1 d 1 h 1 min 1 s"), (0.25, "0.25 s"), (119.6, "2 min")]
)
def test_times_are_told_as_a_clock_would(seconds: float, said: str) -> None:
    assert said == time_words(seconds)


@settings(deadline=None, max_examples=50)
@given(
    st.lists(st.one_of(st.floats(-1e6, 1e6), st.just(0.0), st.floats(1e-9, 1e-3)), min_size=2, max_size=40),
    st.floats(1e-3, 1e6),
    st.sampled_from(("U [V]", "I [A]", "P [W]", "glow", "T [°C]")),
)
def test_any_log_can_be_drawn_and_told(values: list[float], every: float, heading: str) -> None:
    rows = "\n".join(f"{every * number:.6f},{value:.9f}" for number, value in enumerate(values))
    summary = summary_of(read_log(f"t [s],{heading}\n{rows}\n".encode()))
    svg = log_file_svg(summary)
    assert not {"nan", "inf"} & set(svg.replace("M", " ").replace("L", " ").split())
    assert words(svg)
    assert log_text(summary)


def test_a_reading_from_a_log_names_the_log_in_place_of_an_instrument() -> None:
    taken = '[readings.charge]\nquantity = "charge"\nfrom_log = { log = "evening", take = "charge", channels = ["I"] }\n'
    dossier = dossier_from_text(lamp_text(more=f"{ENTRY}\n{taken}"), logs={"logs/run.csv": RUN.encode()})
    readings = next(one for one in pages_of(analyse(dossier)).sections if one.name == "readings")
    assert "log evening" in str(readings)
