"""Pages: the chapters in order, what each tells, links that lead somewhere, numbers that count up."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from lidoff.dossier import Analysis, SolvedSituation, UnsolvedSituation, analyse, dossier_from_text
from lidoff.evidence import CAUTIONS
from lidoff.report import (
    Chapter,
    Figure,
    Items,
    Notice,
    Table,
    Verdicts,
    all_chapters,
    chapters_in_order,
    pages_of,
)
from lidoff.report.pages import date_of
from tests.report.build import bare, changed, fan, fan_pages, hostile, section_of, words_of

ORDER = [
    "What we found", "Claims", "Schematic", "How it works, block by block", "What they saved",
    "What limits the current", "Cautions",
    "Hazards", "Further findings", "Parts", "Readings", "Misfits", "Operating points", "How it was checked", "Sources",
    "What was not checked",
]  # fmt: skip


def test_chapters_stand_in_the_order_of_a_report() -> None:
    told = [section.title for section in fan_pages().sections]
    assert ORDER == [title for title in told if title in ORDER]  # other chapters may stand between these


@pytest.mark.parametrize("chapter", all_chapters().values(), ids=lambda chapter: chapter.name)
def test_a_chapter_tells_itself_in_full(chapter: Chapter) -> None:
    assert chapter.title
    assert chapter.says.endswith(".")
    assert re.fullmatch(r"[a-z][a-z-]*", chapter.name)


@pytest.mark.parametrize("chapter", all_chapters().values(), ids=lambda chapter: chapter.name)
def test_a_chapter_bears_a_dossier_without_anything(chapter: Chapter) -> None:
    assert isinstance(chapter.build(bare()), tuple)


def test_no_two_chapters_share_a_place() -> None:
    places = [chapter.place for chapter in chapters_in_order()]
    assert sorted(set(places)) == places


@pytest.mark.parametrize("of", [fan, hostile, bare])
def test_rows_are_as_wide_as_their_table(of: Callable[[], Analysis]) -> None:
    blocks = [block for section in pages_of(of()).sections for block in section.blocks]
    tables = [block for block in blocks if isinstance(block, Table)]
    assert [] == [
        table.caption for table in tables if any(len(row.cells) != len(table.columns) for row in table.rows)
    ]


def test_tables_and_figures_are_counted_from_one() -> None:
    blocks = [block for section in fan_pages().sections for block in section.blocks]
    tables = [block.number for block in blocks if isinstance(block, Table) and not block.folded]
    figures = [block.number for block in blocks if isinstance(block, Figure) and not block.folded]
    assert [list(range(1, len(tables) + 1)), list(range(1, len(figures) + 1))] == [tables, figures]


def test_what_paper_leaves_out_is_not_counted() -> None:
    blocks = [block for section in fan_pages().sections for block in section.blocks]
    folded = [block for block in blocks if isinstance(block, Figure | Table) and block.folded]
    assert folded
    assert {0} == {block.number for block in folded}


def test_a_link_to_what_is_not_there_is_taken_out() -> None:
    text = 'title = "a"\n[situations.on]\n[readings.r]\nquantity = "time"\nshown = "3 s"\n'
    pages = pages_of(analyse(dossier_from_text(f"[device]\n{text}")))
    items = [block for section in pages.sections for block in section.blocks if isinstance(block, Items)]
    linked = {target for block in items for entry in block.entries for _, target in entry.links}
    assert {"at-reading-r"} == linked  # the situation has no part of its own in a report without a circuit


def test_every_claim_opens_with_its_verdict_and_sum() -> None:
    block = next(b for b in section_of(fan_pages(), "found").blocks if isinstance(b, Verdicts))
    assert [
        ("10 W turbo motor", "not borne out"),
        ("only 120 g", "borne out"),
        ("up to 4 hours on one charge", "cannot tell from these readings"),
        ("2000 mAh", "cannot tell from these readings"),
        ("4 LEDs", "borne out"),
    ] == [(row.says, row.verdict) for row in block.rows]
    assert block.rows[0].sum.startswith("3.66 V × 553.3 mA = 2.03 W ± 0.1")


def test_an_open_verdict_names_the_reading_that_would_tell() -> None:
    block = next(b for b in section_of(fan_pages(), "found").blocks if isinstance(b, Verdicts))
    assert [False, False, True, True, False] == [
        row.telling.startswith("What would tell: a ") for row in block.rows
    ]


def test_the_summary_counts_the_verdicts() -> None:
    told = words_of(section_of(fan_pages(), "found"))
    counts = (
        "Of five claims, two are borne out, one is not borne out and two cannot be told from these readings."
    )
    assert counts in told


def test_the_summary_names_the_readings_that_do_not_agree() -> None:
    told = words_of(section_of(fan_pages(), "found"))
    assert "Five of the seven readings agree with the circuit as redrawn" in told
    assert "motor voltage and led 2 ballast do not" in told


def test_the_analysts_own_summary_comes_first() -> None:
    first = section_of(fan_pages(), "found").blocks[0]
    assert words_of(first).startswith("The fan runs and is light")


def test_the_usual_caution_is_printed_for_each_danger_with_who_says_so() -> None:
    notices = [b for b in section_of(fan_pages(), "cautions").blocks if isinstance(b, Notice)]
    found = "Found by lidoff in the circuit: B1 is a lithium-ion cell. The dossier names it too."
    assert [
        f"{CAUTIONS['lithium']} {found}",
        f"{CAUTIONS['moving parts']} Named in the dossier.",
        f"{CAUTIONS['stored charge']} Named in the dossier.",
    ] == [n.text for n in notices]


def test_no_danger_named_is_not_a_finding_that_there_is_none() -> None:
    told = words_of(section_of(pages_of(bare()), "cautions"))
    assert "not a finding that there is none" in told


def test_cautions_defer_to_local_codes() -> None:
    assert "Local codes" in words_of(section_of(fan_pages(), "cautions"))
    assert "licensed" in words_of(section_of(fan_pages(), "cautions"))


def test_every_reading_has_its_row() -> None:
    table = next(b for b in section_of(fan_pages(), "readings").blocks if isinstance(b, Table))
    rows = {row.cells[0].text: [cell.text for cell in row.cells[2:]] for row in table.rows}
    notes = {row.cells[0].text: row.cells[-1].note for row in table.rows}
    assert ["421 mV ± 6 mV", "0.88 V ± 0.09 V", "+9.9 u, misfit"] == rows["led 2 ballast"]
    assert "predicted 450 mV more" == notes["led 2 ballast"]
    assert ["112.0 g ± 1.3 g", "–", "not compared"] == rows["weight"]
    assert 10 == len(rows)


def test_a_part_tells_what_it_does_and_how_hard_it_works() -> None:
    table = next(b for b in section_of(fan_pages(), "parts").blocks if isinstance(b, Table))
    row = next(row for row in table.rows if row.cells[0].text == "R1")
    assert ["R1", "sets the current of D1", "47 Ω ± 5 %", "91 % of power rating"] == [
        c.text for c in row.cells
    ]
    assert "16 mW of 18 mW, light alone" == row.cells[3].note


def test_a_typical_rating_is_called_typical() -> None:
    table = next(b for b in section_of(fan_pages(), "parts").blocks if isinstance(b, Table))
    motor = next(row for row in table.rows if row.cells[0].text == "M1")
    assert "(typical)" in motor.cells[3].note


def test_nets_stand_side_by_side_over_the_situations() -> None:
    table = next(b for b in section_of(fan_pages(), "operating-points").blocks if isinstance(b, Table))
    assert ["Net", "Fan on full, light on", "Light alone", "Switched off"] == [c.title for c in table.columns]
    row = next(row for row in table.rows if row.cells[0].text == "gate")
    assert ["gate", "3.85 V ± 0.09 V", "0 V", "0 V"] == [cell.text for cell in row.cells]


def test_what_takes_most_power_comes_first_and_the_rest_is_folded_away() -> None:
    tables = [b for b in section_of(fan_pages(), "operating-points").blocks if isinstance(b, Table)]
    shown = next(table for table in tables if not table.folded)
    everything = next(table for table in tables if "parts that carry current" in table.folded)
    assert ["B1", "M1"] == [row.cells[0].text for row in shown.rows][:2]
    assert len(shown.rows) < len(everything.rows)


def test_what_hardly_carries_current_is_not_told_one_by_one() -> None:
    section = section_of(fan_pages(), "operating-points")
    rows = [row.cells[0].text for b in section.blocks if isinstance(b, Table) for row in b.rows]
    assert "C1" not in rows
    told = words_of(section)
    assert "The supplies deliver next to nothing." in told
    assert "No part carries more than 1 nA or takes more than 1 µW here." in told


def test_a_supply_behind_capacitors_alone_is_not_said_to_deliver_nanowatts() -> None:
    text = (
        'format = 2\n[device]\ntitle = "Made up"\n'
        '[parts.V1]\nkind = "dc_supply"\nvalue = "40 V"\npins = { plus = "p", minus = "gnd" }\n'
        '[parts.C1]\nkind = "capacitor"\nvalue = "100 µF"\npins = { 1 = "p", 2 = "m" }\n'
        '[parts.C2]\nkind = "capacitor"\nvalue = "100 µF"\npins = { 1 = "m", 2 = "gnd" }\n'
    )
    told = words_of(section_of(pages_of(analyse(dossier_from_text(text))), "operating-points"))
    assert "The supplies deliver next to nothing." in told


def test_the_schematic_bears_the_voltages_of_the_situation_most_read() -> None:
    figure = next(b for b in section_of(fan_pages(), "circuit").blocks if isinstance(b, Figure))
    assert "with its solved voltages: light alone." in figure.caption
    assert "Contacts" not in figure.caption
    assert ">3.92 V<" in figure.picture.wide


def test_every_other_situation_has_its_own_folded_schematic() -> None:
    blocks = section_of(fan_pages(), "operating-points").blocks
    figures = [block for block in blocks if isinstance(block, Figure)]
    assert ["fan on full, light on", "switched off"] == [
        f.caption.partition("voltages: ")[2].partition(".")[0] for f in figures
    ]
    assert all(figure.folded for figure in figures)
    assert ">3.86 V<" in figures[0].picture.wide


def test_a_long_title_of_a_situation_gives_way_to_its_name_in_tables() -> None:
    long = changed(('title = "light alone"', 'title = "light alone, a minute after switching on"'))
    section = section_of(pages_of(long), "operating-points")
    table = next(b for b in section.blocks if isinstance(b, Table))
    assert "Reading" in [column.title for column in table.columns]
    assert "Reading: light alone, a minute after switching on" in words_of(section)


def test_a_misfit_tells_what_its_prediction_hangs_on() -> None:
    told = words_of(section_of(fan_pages(), "misfits"))
    assert "Voltage across R2 (light alone): read as 421 mV ± 6 mV, predicted as 0.88 V ± 0.09 V" in told
    assert "B1's state of charge (69 %) and D2's forward drop (31 %)" in told


def test_the_worst_misfit_comes_first() -> None:
    block = next(b for b in section_of(fan_pages(), "misfits").blocks if isinstance(b, Items))
    assert ["Led 2 ballast", "Motor voltage"] == [entry.title for entry in block.entries]


def test_no_misfit_is_said_in_words() -> None:
    agreeing = changed(('shown = "0.421 V"', 'shown = "0.89 V"'), ("3.66 V ± 0.05 V", "3.80 V ± 0.05 V"))
    told = words_of(section_of(pages_of(agreeing), "misfits"))
    assert "every reading taken in the circuit agrees" in told


def test_findings_do_not_repeat_claims_and_misfits() -> None:
    block = next(b for b in section_of(fan_pages(), "findings").blocks if isinstance(b, Items))
    titles = [entry.title for entry in block.entries]
    assert any("R1 near or over the power rating" in title for title in titles)
    assert [] == [title for title in titles if "Misfit" in title or "Not borne out" in title]


def test_a_situation_that_does_not_settle_is_told_in_its_place() -> None:
    first, *others = fan().situations
    unsolved = UnsolvedSituation(
        situation=first.situation, what="gate would not settle", nets=("gate", "drive")
    )
    analysis = replace(fan(), situations=(unsolved, *others))
    told = words_of(section_of(pages_of(analysis), "operating-points"))
    assert "gate would not settle. Nets that would not settle: gate and drive." in told
    assert (
        "no operating point was found for running"
        in words_of(section_of(pages_of(analysis), "found")).lower()
    )


def test_a_net_that_nothing_fixes_has_no_voltage() -> None:
    first, *others = fan().situations
    assert isinstance(first, SolvedSituation)
    nets = {net: value for net, value in first.nets.items() if net != "gate"}
    loose = replace(first, nets=nets, undetermined=("gate",))
    section = section_of(pages_of(replace(fan(), situations=(loose, *others))), "operating-points")
    assert "nothing fixes it" in words_of(section)
    assert "Nothing fixes the voltage of gate here." in words_of(section)


def test_every_kind_of_part_names_its_source() -> None:
    told = words_of(section_of(fan_pages(), "sources"))
    assert "Ohm's law" in told
    assert "JCGM 100:2008" in told
    assert "±(0.5 % + 3)" in told


def test_what_was_not_checked_is_told() -> None:
    told = words_of(section_of(fan_pages(), "unchecked"))
    assert "no edges or surges shorter than what was solved" in told
    assert "Whether the sample is typical: one device was opened." in told


def test_the_rules_of_decision_are_told() -> None:
    told = words_of(section_of(fan_pages(), "method"))
    assert "twice the standard uncertainty (k = 2)" in told


def test_only_a_calendar_date_dates_the_file() -> None:
    assert [date(2024, 5, 31), None] == [date_of("2024-05-31"), date_of("last week")]


def test_equal_analyses_give_equal_pages() -> None:
    assert fan_pages() == pages_of(changed(("PF-2", "PF-2")))


@pytest.mark.parametrize("of", [fan, bare])
def test_a_report_never_calls_anything_safe(of: Callable[[], Analysis]) -> None:
    told = words_of(*pages_of(of()).sections)
    assert [] == re.findall(r"(?i)\bun?safe\w*", told)
