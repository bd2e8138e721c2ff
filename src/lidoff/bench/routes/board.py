"""Boards: what was traced, their pictures in tiles, following copper, distances, and what to probe next."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Response
from pydantic import Field, JsonValue

from lidoff.bench import tracing
from lidoff.bench.bench import Bench
from lidoff.bench.board_told import BoardTold, board_told
from lidoff.bench.files import file_inside
from lidoff.bench.following import Followed, followed
from lidoff.bench.jobs import Job
from lidoff.bench.models import Closed, Name
from lidoff.bench.probing import ProbePlanTold, probe_plan_told
from lidoff.bench.traced_nets import nets_on
from lidoff.bench.trouble import Trouble, trouble_of
from lidoff.dossier.edits import Side, Traced
from lidoff.errors import ImpossibleValue, LidoffError

__all__ = ["routes"]

Wait = Annotated[int, Query(ge=0, le=60_000, description="longest wait for the present state [ms]")]
Spot = tuple[float, float]


class FollowAsked(Closed):
    """A click on copper."""

    side: Side
    at_mm: Spot


class DistanceAsked(Closed):
    """Two nets, by their names in the circuit."""

    first: Name
    second: Name
    pollution_degree: Annotated[int, Field(ge=1, le=3)] = 2


class WayTold(Closed):
    """One shortest way between two nets, with its expanded uncertainty."""

    value_mm: float
    uncertainty_mm: float
    path_mm: list[Spot]
    side: str


class DistanceTold(Closed):
    """Creepage and clearance between two nets."""

    creepage: WayTold | None
    clearance: WayTold | None
    problem: Trouble | None = None


class TraceAsked(Closed):
    """Whether registrations, outline and found holes are to be made anew; what was said by hand always stays."""

    afresh: bool = False


def routes(bench: Bench) -> APIRouter:
    """Routes of the boards."""
    router = APIRouter(prefix="/api/boards/{board}", tags=["boards"])

    @router.get("")
    def board_shown(board: Name, wait: Wait = 3000) -> BoardTold:
        """Tell a board: sides, copper, parts, holes, nets, beeps, contradictions and doubts."""
        quick = bench.live.quick(wait / 1e3)
        found = bench.traced(board)
        revision = bench.desk.revision
        if found is None:
            return _untraced(bench, board, revision)
        return board_told(found, None if quick is None else quick.dossier, revision)

    @router.get("/{side}/tiles/{z}/{x}/{y}.jpg", response_class=Response)
    def board_tile(board: Name, side: Side, z: int, x: int, y: int) -> Response:
        """Give one tile of a side's flat picture."""
        found = bench.traced(board)
        sides = [] if found is None else [one for one in found.board.sides if one.side == side]
        if found is None or not sides or sides[0].registration is None:
            raise ImpossibleValue(
                f"the {side} of {board} was not laid on the board yet", remedy="trace it, or mark its corners"
            )
        file = file_inside(bench.folder, sides[0].photo)
        data = bench.pictures.flat_tile(file, sides[0].registration, side, found.board.size, (z, x, y))
        return Response(data, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=3600"})

    @router.post("/trace")
    def trace(board: Name, asked: TraceAsked) -> Job:
        """Start tracing a board from its photos; what is found goes in as one edit that can be undone."""
        bench.check_writable()
        base, documents = bench.desk.revision, bench.desk.documents

        def put_in(found: JsonValue) -> JsonValue:
            assert isinstance(found, dict)
            done = bench.edit(Traced(board=board, value=found["board"]), base=base, id="", page="")
            return {"revision": done.revision}

        arguments = (dict(documents), bench.folder, board, asked.afresh)
        return bench.jobs.start("trace", tracing.trace, *arguments, then=put_in)

    @router.post("/follow")
    def follow(board: Name, asked: FollowAsked) -> Followed:
        """Tell how far the copper under a click reaches."""
        quick = bench.live.quick()
        found = bench.traced_or_refused(board)
        return followed(found, None if quick is None else quick.dossier, asked.side, asked.at_mm)

    @router.post("/distance")
    def distance(board: Name, asked: DistanceAsked) -> DistanceTold:
        """Measure between two nets, over the surface and through air."""
        from lidoff.board import Distance, net_distance

        quick = bench.live.quick()
        found = bench.traced_or_refused(board)
        names = nets_on(None if quick is None else quick.dossier, found)
        groups = [
            [own for own, name in names.items() if name == asked_for] or [asked_for]
            for asked_for in (asked.first, asked.second)
        ]

        def way(one: Distance, side: str) -> WayTold:
            path = [(float(x), float(y)) for x, y in one.path]
            return WayTold(value_mm=one.length, uncertainty_mm=2.0 * one.uncertainty, path_mm=path, side=side)

        try:
            measured = net_distance(found.board, *groups, pollution_degree=asked.pollution_degree)
        except LidoffError as error:
            return DistanceTold(creepage=None, clearance=None, problem=trouble_of(error))
        return DistanceTold(
            creepage=way(measured.creepage, measured.creepage_side),
            clearance=way(measured.clearance, measured.clearance_side),
        )

    @router.get("/probe-plan")
    def probe_plan(board: Name) -> ProbePlanTold:
        """Tell the fewest probes that settle what is in doubt, in walking order."""
        return probe_plan_told(bench.traced_or_refused(board))

    return router


def _untraced(bench: Bench, board: str, revision: int) -> BoardTold:
    """Board of which nothing was traced yet; unknown ones are refused."""
    bench.check_board(board)
    return BoardTold(
        board=board,
        revision=revision,
        size_mm=None,
        outline_mm=[],
        sides=[],
        parts=[],
        holes=[],
        wires=[],
        beeps=[],
        nets=[],
        contradictions=[],
        doubts=[],
    )
