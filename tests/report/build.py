"""Analyses for the tests of the report: a fan that has something to tell in every chapter, and a device with hostile names."""

from functools import cache
from pathlib import Path

from lidoff.dossier import Analysis, analyse, dossier_from_text
from lidoff.report import Block, ReportPages, Section, pages_of

FAN = (Path(__file__).parent / "data" / "fan.toml").read_text(encoding="utf-8")
HOSTILE = (Path(__file__).parent / "data" / "hostile.toml").read_text(encoding="utf-8")
BARE = '[device]\ntitle = "a box"\n'


@cache
def fan() -> Analysis:
    """Analysis of the fan."""
    return analyse(dossier_from_text(FAN))


@cache
def hostile() -> Analysis:
    """Analysis of a device whose every text is made to break out of its page."""
    return analyse(dossier_from_text(HOSTILE))


@cache
def bare() -> Analysis:
    """Analysis of a dossier that says nothing but its title."""
    return analyse(dossier_from_text(BARE))


@cache
def fan_pages() -> ReportPages:
    """Pages of the fan."""
    return pages_of(fan())


def changed(*changes: tuple[str, str]) -> Analysis:
    """Analysis of the fan with some of its text changed; a change that changes nothing is a mistake of the test."""
    text = FAN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return analyse(dossier_from_text(text))


def section_of(pages: ReportPages, name: str) -> Section:
    """Section of that name."""
    return next(section for section in pages.sections if section.name == name)


def texts_of(value: object) -> list[str]:
    """Every text within a block or section."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, tuple):
        return [text for one in value for text in texts_of(one)]
    names = getattr(value, "__dataclass_fields__", {})
    return [text for name in names if name != "picture" for text in texts_of(getattr(value, name))]


def words_of(*blocks: Block | Section) -> str:
    """All text of some blocks, joined."""
    return "\n".join(text for block in blocks for text in texts_of(block))
