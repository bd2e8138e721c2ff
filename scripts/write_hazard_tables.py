"""Write the list of limit tables into the page on hazards."""

from pathlib import Path

from lidoff.hazards.reference import with_tables

PAGE = Path(__file__).parents[1] / "docs" / "hazards.md"

if __name__ == "__main__":
    PAGE.write_text(with_tables(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
