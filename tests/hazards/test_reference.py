"""The list of limit tables in the documentation is that of the tables themselves."""

from pathlib import Path

from lidoff.hazards import limit_table
from lidoff.hazards.reference import table_names, tables_text, with_tables

PAGE = Path(__file__).parents[2] / "docs" / "hazards.md"


def test_the_page_lists_the_tables_as_they_are() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert with_tables(page) == page, "run scripts/write_hazard_tables.py"


def test_a_recalled_table_is_marked_in_the_list() -> None:
    lines = {line.split("`")[1]: line for line in tables_text().splitlines()[2:]}
    assert set(lines) == set(table_names())
    assert all(("**from memory**" in lines[name]) is limit_table(name).from_memory for name in lines)
