from pathlib import Path

import pytest

from lidoff.circuit import all_kinds
from lidoff.dossier.claim_pages import claims_text
from lidoff.dossier.reference import kinds_text, reference_text, with_reference
from lidoff.dossier.tables import DOSSIER
from lidoff.evidence import all_claim_kinds

DOCS = Path(__file__).parents[2] / "docs"
REMEDY = "run: python scripts/write_dossier_reference.py"


def test_the_page_of_the_format_is_up_to_date() -> None:
    page = (DOCS / "dossier-format.md").read_text(encoding="utf-8")
    assert page == with_reference(page), REMEDY


def test_the_page_of_the_kinds_is_up_to_date() -> None:
    assert (DOCS / "kinds-of-part.md").read_text(encoding="utf-8") == kinds_text(), REMEDY


def test_the_page_of_every_kind_of_claim_is_current() -> None:
    assert (DOCS / "kinds-of-claim.md").read_text(encoding="utf-8") == claims_text(), REMEDY


@pytest.mark.parametrize("name", [field.name for field in DOSSIER.fields])
def test_every_key_at_the_top_is_in_the_reference(name: str) -> None:
    assert f"| `{name}` |" in reference_text()


@pytest.mark.parametrize("name", list(all_claim_kinds()))
def test_every_kind_of_claim_is_in_the_reference(name: str) -> None:
    assert f"| `{name}` |" in reference_text()


@pytest.mark.parametrize("name", list(all_kinds()))
def test_every_kind_of_part_has_its_heading(name: str) -> None:
    assert f"## `{name}`: " in kinds_text()


def test_what_stands_around_the_reference_is_kept() -> None:
    page = (DOCS / "dossier-format.md").read_text(encoding="utf-8")
    assert with_reference(page + "behind").endswith("behind")
    assert with_reference(page).startswith("# The dossier\n")
