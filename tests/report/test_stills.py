"""Stills: what there is to show is shown, in the order asked for, as pictures of the size asked for."""

import io
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image

from lidoff.dossier import analyse, load_dossier
from lidoff.errors import DossierError, ImpossibleValue, UnknownName
from lidoff.fonts import text_width
from lidoff.report import (
    Story,
    all_scenes,
    missing_scenes,
    stage_of,
    still_svg,
    stills_of,
    stills_png,
    story_of,
    walk_html,
    write_stills,
)
from lidoff.report.boardpaint import CallOut, spread, words_beside
from lidoff.report.paint import lines_of
from lidoff.report.scenes.boards import pins_that_fit
from lidoff.report.scenes.words import _sum
from tests.report.boards import write_board
from tests.report.build import bare, changed, fan, hostile


@cache
def fan_story() -> Story:
    return story_of(fan())


def names(story: Story) -> list[str]:
    return [still.name for still in stills_of(story)]


def ordered(*entries: str) -> Story:
    listed = ", ".join(f'"{entry}"' for entry in entries)
    return story_of(changed(("[publication]\n", f"[publication]\nstills = [{listed}]\n")))


def test_every_claim_with_a_found_value_has_its_sum() -> None:
    found = [f"sum-{one.claim.name}" for one in fan().claims if one.found is not None]
    assert found == [name for name in names(fan_story()) if name.startswith("sum-")]


def test_the_usual_order_begins_with_the_title_and_ends_with_the_verdicts() -> None:
    told = names(fan_story())
    assert ("title", "verdicts") == (told[0], told[-1])


def test_a_dossier_orders_its_stills() -> None:
    assert ["verdicts", "title"] == names(ordered("verdicts", "title"))


def test_a_scene_stands_for_all_its_stills() -> None:
    every = [name for name in names(fan_story()) if name.startswith("sum-")]
    assert [*every, "title"] == names(ordered("sum", "title"))


def test_an_unknown_still_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match=r"no still 'verdict'(.|\n)*verdicts"):
        stills_of(ordered("verdict"))


def test_a_dossier_captions_a_still() -> None:
    story = story_of(changed(("[publication]\n", '[publication]\ncaptions = { title = "Inside a fan" }\n')))
    assert "Inside a fan" == stills_of(story)[0].caption


def test_a_dossier_that_says_nothing_has_a_title_alone() -> None:
    assert ["title"] == names(story_of(bare()))


def test_without_a_board_its_scenes_say_what_they_need() -> None:
    missing = {scene.name: scene.needs for scene in missing_scenes(fan_story())}
    assert {"board", "net", "through"} <= missing.keys()
    assert "no board is traced" == missing["board"]


def test_every_scene_says_what_it_shows_and_needs() -> None:
    assert all(scene.says and scene.needs for scene in all_scenes().values())


@pytest.mark.parametrize("shape", ["wide", "tall"])
def test_no_text_is_smaller_than_a_phone_can_show(shape: str) -> None:
    stage = stage_of("wide" if shape == "wide" else "tall")
    for still in stills_of(fan_story()):
        if still.name.startswith("schematic"):
            continue  # the whole is for the eye; its blocks follow enlarged
        svg = still_svg(still, stage, foot="foot")
        sizes = [float(size) for size in re.findall(r'<text [^>]*font-size="([\d.]+)"', _outside(svg))]
        for width, shown, inside in re.findall(_INNER, svg, re.DOTALL):
            factor = float(width) / float(shown)
            letters = re.findall(r'font-size="([\d.]+)"', inside)
            sizes += [float(size) * factor for size in letters if "dim" not in inside]
        assert 28.0 <= min(sizes), still.name


_INNER = r'<svg x="[^"]+" y="[^"]+" width="([\d.]+)"[^>]*viewBox="[-\d.]+ [-\d.]+ ([\d.]+) [^>]*>(.*?)</svg>'


def _outside(svg: str) -> str:
    """A still without the pictures nested in it."""
    return re.sub(r"<svg x=.*?</svg>", "", svg, flags=re.DOTALL)


def test_a_blocks_letters_can_be_read_and_something_of_it_stands_out() -> None:
    stage = stage_of("wide")
    blocks = [still for still in stills_of(fan_story()) if still.name.startswith("block-")]
    assert blocks
    for still in blocks:
        for width, shown, inside in re.findall(_INNER, still_svg(still, stage), re.DOTALL):
            assert ' lit"' in inside
            assert float(width) / float(shown) * 11.0 >= 15.0, still.name


@pytest.mark.parametrize("says", ["front says 10000 mAh", "in gold on the front of the box"])
@pytest.mark.parametrize("shape", ["wide", "tall"])
def test_the_bars_of_a_sum_keep_clear_of_its_lines_and_of_the_verdict(shape: str, says: str) -> None:
    stage = stage_of("wide" if shape == "wide" else "tall")
    (first, *_) = (
        one for one in fan_story().analysis.claims if one.found is not None and one.claimed is not None
    )
    result = replace(first, sum=f"500 mA × 4.46 h = 2230 mAh ± 30 mAh; {says}")
    svg = _sum(result).paint(stage, "“10 000 mAh”")
    bars = [float(y) for y in re.findall(r'<rect x="[^"]+" y="([\d.]+)"[^>]*height="50"', svg)]
    lines = [
        (float(y), float(size))
        for y, size, said in re.findall(
            r'<text x="[^"]+" y="([\d.]+)" font-size="([\d.]+)"[^>]*>([^<]*)<', svg
        )
        if said not in ("found", "printed")
    ]
    above = [y + 0.25 * size for y, size in lines if y < bars[0]]
    beneath = [y - 0.75 * size for y, size in lines if y > bars[0]]
    assert max(above) + 10.0 <= min(bars)
    assert max(bars) + 50.0 + 10.0 <= min(beneath)


@pytest.mark.parametrize("shape", ["wide", "tall"])
def test_no_text_leaves_the_still(shape: str) -> None:
    stage = stage_of("wide" if shape == "wide" else "tall")
    for still in stills_of(fan_story()):
        svg = re.sub(r"<svg x=.*?</svg>", "", still_svg(still, stage, foot="foot"))
        for x, size, rest, said in re.findall(
            r'<text x="([\d.]+)" y="[\d.]+" font-size="([\d.]+)"([^>]*)>([^<]*)<', svg
        ):
            width = text_width(said, float(size), bold="600" in rest)
            right = float(x) if 'anchor="end"' in rest else float(x) + width
            assert right <= stage.width, (still.name, said)


@pytest.mark.parametrize(
    ("size", "pixels"),
    [("1920x1080", (1920, 1080)), ("3840x2160", (3840, 2160)), ("1080x1920", (1080, 1920))],
)
def test_stills_have_the_size_asked_for(tmp_path: Path, size: str, pixels: tuple[int, int]) -> None:
    files = write_stills(ordered("title"), tmp_path, size=size)
    with Image.open(files[1]) as picture:
        assert pixels == picture.size


def test_files_are_numbered_in_order(tmp_path: Path) -> None:
    files = write_stills(ordered("verdicts", "title"), tmp_path)
    assert ["walk.html", "01-verdicts.png", "02-title.png"] == [file.name for file in files]


def test_stills_that_are_no_longer_among_them_are_taken_away(tmp_path: Path) -> None:
    write_stills(ordered("verdicts", "title"), tmp_path)
    (tmp_path / "my own.png").write_bytes(b"kept")
    write_stills(ordered("title"), tmp_path)
    assert ["01-title.png", "my own.png", "walk.html"] == sorted(file.name for file in tmp_path.iterdir())


def test_an_unknown_size_names_the_known_ones(tmp_path: Path) -> None:
    with pytest.raises(ImpossibleValue, match="1080x1920"):
        write_stills(fan_story(), tmp_path, size="640x480")


@pytest.mark.parametrize(("clear", "corner"), [(True, 0), (False, 255)])
def test_a_clear_still_has_no_ground(clear: bool, corner: int) -> None:
    stage = stage_of("wide", clear=clear)
    (png,) = stills_png([still_svg(stills_of(fan_story())[-1], stage)], stage)
    assert corner == Image.open(io.BytesIO(png)).convert("RGBA").getpixel((3, 3))[3]  # type: ignore[index]


def test_the_same_story_gives_the_same_bytes() -> None:
    stage = stage_of("wide")
    svgs = [still_svg(still, stage) for still in stills_of(fan_story())]
    assert stills_png(svgs[:2], stage) == stills_png(svgs[:2], stage)


def test_hostile_texts_stay_texts() -> None:
    svgs = [still_svg(still, stage_of("wide"), foot="x") for still in stills_of(story_of(hostile()))]
    elements = [element for svg in svgs for element in ElementTree.fromstring(svg).iter()]
    assert [] == [
        one.tag for one in elements if one.tag.rpartition("}")[2] in ("script", "img", "a", "foreignObject")
    ]
    assert [] == [name for one in elements for name in one.attrib if name.lower().startswith("on")]


def test_the_walk_needs_nothing_but_itself() -> None:
    html = walk_html(fan_story(), stills_of(fan_story()))
    assert not re.findall(r'(?:src|href)="(?!#|data:)[^"]*"', html)
    assert len(stills_of(fan_story())) == html.count('class="still"')


def test_a_board_is_shown_from_both_sides_and_through(tmp_path: Path) -> None:
    write_board(tmp_path)
    told = names(story_of(fan(), tmp_path))
    assert ["board-main-front", "board-main-back", "through-main"] == [
        name for name in told if name.startswith(("board", "through"))
    ]


def test_a_net_is_lit_on_both_sides(tmp_path: Path) -> None:
    write_board(tmp_path)
    story = story_of(fan(), tmp_path)
    still = next(one for one in stills_of(story) if one.name == "net-main-tap")
    svg = still_svg(still, stage_of("wide"))
    assert ("on the front" in svg, "on the back" in svg) == (True, True)


def test_the_back_is_turned_to_be_seen_from_behind(tmp_path: Path) -> None:
    write_board(tmp_path)
    still = next(one for one in stills_of(story_of(fan(), tmp_path)) if one.name == "board-main-back")
    assert re.search(r"scale\(-[\d.]+ [\d.]+\)", still_svg(still, stage_of("wide")))


def test_a_photo_outside_the_dossier_is_not_read(tmp_path: Path) -> None:
    inside = tmp_path / "dossier"
    write_board(inside)
    (inside / "photos" / "front.png").rename(tmp_path / "front.png")
    file = inside / "boards" / "main.json"
    file.write_text(file.read_text().replace("photos/front.png", "../front.png"))
    svg = still_svg(
        next(one for one in stills_of(story_of(fan(), inside)) if one.name == "board-main-front"),
        stage_of("wide"),
    )
    assert "data:image" not in svg


def test_a_board_that_is_no_json_names_its_file(tmp_path: Path) -> None:
    (tmp_path / "boards").mkdir()
    (tmp_path / "boards" / "main.json").write_text("{")
    with pytest.raises(DossierError, match=r"boards/main\.json"):
        story_of(fan(), tmp_path)


def test_call_outs_keep_apart() -> None:
    placed = spread([10.0, 11.0, 12.0, 90.0], 20.0, 0.0, 100.0)
    assert [10.0, 30.0, 50.0, 90.0] == placed


def test_call_outs_stay_within_their_room() -> None:
    placed = spread([95.0, 96.0, 97.0], 20.0, 0.0, 100.0)
    assert [60.0, 80.0, 100.0] == placed


def test_call_outs_of_several_lines_keep_each_their_own_room() -> None:
    assert [10.0, 40.0, 50.0] == spread([10.0, 11.0, 12.0], [30.0, 10.0], 0.0, 100.0)


def test_too_many_call_outs_stand_closer_by_the_same_share() -> None:
    assert [0.0, 60.0, 80.0] == pytest.approx(spread([0.0, 0.0, 0.0], [90.0, 30.0], 0.0, 80.0))


LONG = CallOut(
    text="U1 charges the cell, first with a steady current, then at a steady voltage of its own",
    part="U1",
    x=0.0,
    y=0.0,
)


def test_a_long_call_out_is_told_whole_where_there_is_room() -> None:
    (lines,) = words_beside([LONG], 420.0, 400.0, 30.0)
    assert LONG.text == " ".join(lines)


def test_a_long_call_out_among_many_is_cut_after_a_word() -> None:
    for lines in words_beside([LONG] * 8, 300.0, 600.0, 30.0):
        assert len(lines) == 2
        told = " ".join(lines)
        assert told.endswith("…")
        assert re.match(rf"{re.escape(told.removesuffix('…'))}[ ,]", LONG.text)


def test_a_net_of_many_pins_tells_how_many_are_not_listed() -> None:
    told = pins_that_fit(tuple(f"R{number}.1" for number in range(1, 41)), 700.0)
    listed, more = re.fullmatch(r"joins (.*) and (\d+) more", told).groups()  # type: ignore[union-attr]
    assert 40 == len(listed.split(", ")) + int(more)


def test_a_net_of_few_pins_lists_them_all() -> None:
    assert "joins R1.1, R2.2 and C1.plus" == pins_that_fit(("R1.1", "R2.2", "C1.plus"), 700.0)


def test_a_line_is_not_broken_between_number_and_unit() -> None:
    held = "12\N{NO-BREAK SPACE}V"
    assert ["about", held] == lines_of(f"about {held}", 50.0, 14.0)


def test_a_log_is_drawn_over_time_with_its_sums() -> None:
    demo = Path(__file__).parents[2] / "demos" / "crumb-vacuum"
    story = story_of(analyse(load_dossier(demo)))
    stills = [still for still in stills_of(story) if still.name.startswith("log-")]
    assert len(story.analysis.dossier.logs) == len(stills) > 0
    svg = still_svg(stills[0], stage_of("tall"))
    assert "mAh ±" in svg.replace("\N{NO-BREAK SPACE}", " ")


def test_stills_print_numbers_as_the_report_does() -> None:
    story = story_of(changed(("[publication]\n", '[publication]\nnumbers = "comma"\nunits = ["mW"]\n')))
    still = next(one for one in stills_of(story) if one.name == "sum-motor_power")
    html = walk_html(story, [still]).replace("\N{NO-BREAK SPACE}", " ")
    assert "3,66 V × 553,3 mA" in html
    assert "mW ±" in html
