"""What a page shows of the circuit, as answers carry it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidoff.bench.models import AnalysisAnswer, Shown, Shows
from lidoff.bench.quick import Looks, Quick, View, quick_json
from lidoff.bench.trouble import trouble_of

if TYPE_CHECKING:
    from lidoff.bench.bench import Bench

__all__ = ["LONGEST", "page_svg", "quick_answer", "shown_after", "view_of"]

LONGEST = 0.15
"""How long the answer to an edit waits for its drawing [s]: an edit that moves parts about is told first, and drawn later."""


def view_of(shows: Shows) -> View:
    """View that a page shows."""
    looks = Looks(every_part=shows.every_part, zigzag=shows.zigzag, tint=shows.tint)
    return View(looks=looks, situation=shows.situation, currents=shows.currents)


def quick_answer(bench: Bench, quick: Quick) -> AnalysisAnswer:
    """Quick stage as it is told.

    Parameters
    ----------
    bench : Bench
        Tells whether it is of the present state.
    quick : Quick
        The stage.

    Returns
    -------
    AnalysisAnswer
        With the problem in the place of the numbers where there is no circuit.
    """
    return AnalysisAnswer(
        revision=quick.revision,
        generation=quick.generation,
        stage="quick",
        fresh=quick.revision == bench.desk.revision,
        problem=None if quick.problem is None else trouble_of(quick.problem),
        analysis=None if quick.circuit is None else quick_json(quick),  # type: ignore[arg-type]
    )


def shown_after(bench: Bench, shows: Shows | None) -> Shown | None:
    """What a page shows, of the present state.

    Parameters
    ----------
    bench : Bench
        The server.
    shows : Shows or None
        What it shows, if anything.

    Returns
    -------
    Shown or None
        None where it shows nothing, or where nothing was ready soon enough.
    """
    if shows is None:
        return None
    quick, svg = bench.live.shown(view_of(shows), LONGEST)
    if quick is None:
        return None
    return Shown(quick=quick_answer(bench, quick), svg=None if svg is None else page_svg(svg))


def page_svg(svg: str) -> str:
    """Drawing without its style element, which a page's policy would not let act."""
    start = svg.find("<style>")
    end = svg.find("</style>", start)
    return svg if start < 0 or end < 0 else svg[:start] + svg[end + len("</style>") :]
