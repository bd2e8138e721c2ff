"""The pages of the site: made ones are current, links lead somewhere, and what they show as a dossier can be read as one."""

import json
import re
import tomllib
from pathlib import Path

import pytest

from lidoff.dossier import analyse, dossier_from_text, trace_dossier
from lidoff.errors import PhotoRefused
from lidoff.report import all_chapters, pages_of
from scripts.run_notebooks import notebooks, ran, texts_of
from scripts.write_reference import pages

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
PAGES = sorted([*DOCS.rglob("*.md"), ROOT / "README.md", ROOT / "CONTRIBUTING.md"])
MADE = pages()


def named(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()


@pytest.mark.parametrize("name", MADE)
def test_a_made_page_is_current(name: str) -> None:
    message = "run .venv/bin/python -m scripts.write_reference"
    assert MADE[name] == (DOCS / name).read_text(encoding="utf-8"), message


def test_no_room_has_a_page_that_is_no_longer_made() -> None:
    assert [] == [file.name for file in (DOCS / "api").glob("*.md") if f"api/{file.name}" not in MADE]


@pytest.mark.parametrize("file", PAGES, ids=named)
def test_every_link_leads_to_a_file(file: Path) -> None:
    text = re.sub(r"```.*?```", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)
    targets = re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text)
    local = [target for target in targets if "://" not in target and not target.startswith("mailto:")]
    assert [] == [target for target in local if not (file.parent / target).exists()]


@pytest.mark.parametrize("file", sorted((DOCS / "how-to").glob("*.md")), ids=named)
def test_what_a_how_to_page_shows_of_a_dossier_can_be_parsed(file: Path) -> None:
    for block in re.findall(r"```toml\n(.*?)```", _dedented(file.read_text(encoding="utf-8")), re.DOTALL):
        assert tomllib.loads(block)


def test_the_publication_that_is_shown_can_be_printed() -> None:
    text = (DOCS / "how-to" / "publish.md").read_text(encoding="utf-8")
    (block,) = re.findall(r"```toml\n(.*?)```", text, re.DOTALL)
    dossier = dossier_from_text(f'[device]\ntitle = "a box"\n{block}')
    assert set(dossier.publication.words) <= set(all_chapters())
    assert "Ada Bench" == pages_of(analyse(dossier)).author


def test_the_board_that_is_shown_has_all_that_tracing_asks_for_but_its_photo(tmp_path: Path) -> None:
    text = _dedented((DOCS / "how-to" / "trace-a-board.md").read_text(encoding="utf-8"))
    (block,) = re.findall(r"```toml\n(.*?)```", text, re.DOTALL)
    (tmp_path / "dossier.toml").write_text(f'[device]\ntitle = "a box"\n{block}', encoding="utf-8")
    with pytest.raises(PhotoRefused, match="the file cannot be read"):
        trace_dossier(tmp_path)


def _dedented(text: str) -> str:
    """Page with the blocks inside lists moved to the left."""
    return re.sub(r"(?m)^   ", "", text)


@pytest.mark.parametrize("file", notebooks(), ids=named)
def test_a_notebook_runs_and_gives_what_is_stored_with_it(file: Path) -> None:
    stored = json.loads(file.read_text(encoding="utf-8"))
    message = "run .venv/bin/python -m scripts.run_notebooks"
    assert texts_of(stored) == texts_of(ran(stored)), message


def test_there_is_a_notebook_for_a_newcomer() -> None:
    assert "first-look.ipynb" in [file.name for file in notebooks()]
