"""The list of limit tables for the documentation, made from the tables themselves."""

from __future__ import annotations

from importlib.resources import files

from lidoff.hazards.limits import limit_table

__all__ = ["table_names", "tables_text", "with_tables"]

BEGINS = "<!-- made from the tables themselves: do not edit below this line -->"
ENDS = "<!-- made from the tables themselves: do not edit above this line -->"


def table_names() -> tuple[str, ...]:
    """Names of all limit tables, sorted."""
    return tuple(
        sorted(
            entry.name.removesuffix(".toml")
            for entry in (files("lidoff.hazards") / "tables").iterdir()
            if entry.name.endswith(".toml")
        )
    )


def tables_text() -> str:
    """Markdown table of every limit table: what it is, where it comes from, how it was read."""
    lines = ["| table | source | how it was read |", "|---|---|---|"]
    for name in table_names():
        table = limit_table(name)
        seen = "**from memory**" if table.from_memory else table.seen
        lines.append(f"| `{name}` | {table.source} | {seen} |")
    return "\n".join(lines)


def with_tables(page: str) -> str:
    """Page with the part between the two marks made anew.

    Parameters
    ----------
    page : str
        Markdown with both marks in it.

    Returns
    -------
    str
    """
    head, _, rest = page.partition(BEGINS)
    _, _, tail = rest.partition(ENDS)
    return f"{head}{BEGINS}\n\n{tables_text()}\n\n{ENDS}{tail}"
