"""Write ``docs/blocks.md`` from the catalogues of blocks, economies and guesses."""

from pathlib import Path

from lidoff.insight.pages import blocks_page

PAGE = Path(__file__).parents[1] / "docs" / "blocks.md"

if __name__ == "__main__":
    PAGE.write_text(blocks_page(), encoding="utf-8")
