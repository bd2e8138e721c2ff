"""Write what is made from the loader's own table: the JSON Schema in the package and the references in the docs."""

from pathlib import Path

from lidoff.dossier.claim_pages import claims_text
from lidoff.dossier.published import dossier_schema_text
from lidoff.dossier.reference import kinds_text, with_reference

ROOT = Path(__file__).parents[1]
SCHEMA = ROOT / "src" / "lidoff" / "dossier" / "schema" / "dossier.schema.json"
PAGE = ROOT / "docs" / "dossier-format.md"
KINDS = ROOT / "docs" / "kinds-of-part.md"
CLAIMS = ROOT / "docs" / "kinds-of-claim.md"

if __name__ == "__main__":
    SCHEMA.write_text(dossier_schema_text(), encoding="utf-8")
    KINDS.write_text(kinds_text(), encoding="utf-8")
    CLAIMS.write_text(claims_text(), encoding="utf-8")
    PAGE.write_text(with_reference(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
