"""Help while typing: what a text means, and the words that there are."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter

from lidoff.bench.bench import Bench
from lidoff.bench.models import Plain, Understand, Understood
from lidoff.bench.understanding import understood_of
from lidoff.bench.vocabulary import Vocabulary, vocabulary

__all__ = ["routes"]


def routes(_bench: Bench) -> APIRouter:
    """Routes of the help."""
    router = APIRouter(prefix="/api", tags=["typing"])

    @router.post("/understand")
    def understand(asked: Understand) -> Understood:
        """Tell what was understood of a text; not to understand it is no fault of the request."""
        return understood_of(asked, date.today())

    @router.get("/vocabulary")
    def words() -> Vocabulary:
        """Tell kinds of part, kinds of claim, packages and the other words that forms offer."""
        return vocabulary()

    @router.get("/schema")
    def schema() -> Plain:
        """Tell the JSON Schema of ``dossier.toml``, of which the forms are made."""
        from lidoff.dossier import dossier_schema

        return dossier_schema()  # type: ignore[return-value]

    return router
