"""Beginning a dossier in an empty folder: a device of one's own, or a copy of an invented one."""

from __future__ import annotations

from fastapi import APIRouter

from lidoff.bench.bench import Bench
from lidoff.bench.models import Acknowledged, Beginning, Beginnings, Begun

__all__ = ["routes"]


def routes(bench: Bench) -> APIRouter:
    """Routes of the beginning."""
    router = APIRouter(prefix="/api", tags=["beginning"])

    @router.get("/beginnings")
    def beginnings() -> Beginnings:
        """Tell the invented dossiers that a copy can be begun with."""
        import tomllib

        from lidoff.dossier.demos import demo_names, demos_folder

        demos = demos_folder()
        found = []
        for name in demo_names(demos):
            told = tomllib.loads((demos / name / "dossier.toml").read_text(encoding="utf-8"))
            found.append(Beginning(name=name, title=str(told["device"]["title"])))
        return Beginnings(demos=found)

    @router.post("/begin")
    def begin(asked: Begun) -> Acknowledged:
        """Begin the dossier."""
        if asked.demo is not None:
            return bench.begin_demo(asked.demo, id=asked.id, page=asked.page)
        return bench.begin_empty(asked.title, id=asked.id, page=asked.page)

    return router
