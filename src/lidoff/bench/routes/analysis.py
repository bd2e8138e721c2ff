"""What the circuit does: analyses, drawing, what-if, waveforms."""

from __future__ import annotations

import hashlib
from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request, Response

from lidoff.bench import comparing, exploring, searching
from lidoff.bench.bench import Bench
from lidoff.bench.circuit_told import CircuitTold, circuit_told
from lidoff.bench.comparing import CompareAsked, Compared
from lidoff.bench.exploring import WaveformAnswer, WaveformAsked, WhatIfAnswer, WhatIfAsked, WhatIfClaims
from lidoff.bench.findings import with_decisions
from lidoff.bench.guard import DRAWING_POLICY
from lidoff.bench.jobs import Job
from lidoff.bench.models import AnalysisAnswer
from lidoff.bench.quick import Looks, Quick, View, lay_out_afresh, svg_of
from lidoff.bench.showing import page_svg, quick_answer
from lidoff.bench.trouble import trouble_of
from lidoff.dossier.looking_back import texts_at
from lidoff.errors import DossierError, ImpossibleValue, LidoffError

__all__ = ["routes"]

Wait = Annotated[int, Query(ge=0, le=60_000, description="longest wait for the present state [ms]")]
Flag = Literal["0", "1"]


def routes(bench: Bench) -> APIRouter:
    """Routes of the analysis."""
    router = APIRouter(prefix="/api", tags=["analysis"])

    @router.get("/analysis")
    def analysis(stage: Literal["quick", "full"] = "full", wait: Wait = 0) -> AnalysisAnswer:
        """Tell the newest analysis of a stage; `fresh` says whether it is of the present state."""
        if stage == "quick":
            quick = bench.live.quick(wait / 1e3)
            if quick is None:
                return _none("quick")
            return quick_answer(bench, quick)
        full = bench.live.full(wait / 1e3)
        if full is None:
            return _none("full")
        document = bench.state().document
        told = None if full.analysis is None else with_decisions(full.analysis, document)
        return AnalysisAnswer(
            revision=full.revision,
            generation=full.generation,
            stage="full",
            fresh=full.revision == bench.desk.revision,
            problem=None if full.problem is None else trouble_of(full.problem),
            analysis=told,  # type: ignore[arg-type]
        )

    @router.get("/circuit")
    def circuit(wait: Wait = 5000) -> CircuitTold:
        """Tell the parts and nets of the circuit."""
        quick = bench.live.quick(wait / 1e3)
        full = bench.live.full()
        blocks = (full.analysis or {}).get("blocks", []) if full is not None else []
        return circuit_told(quick, blocks)

    @router.get("/schematic.svg", response_class=Response)
    def schematic(
        request: Request,
        situation: Annotated[str, Query(max_length=80)] = "",
        currents: Flag = "0",
        theme: Literal["light", "dark", "print"] = "light",
        every_part: Flag = "0",
        zigzag: Flag = "0",
        tint: Flag = "0",
        style: Literal["inside", "outside"] = "inside",
        wait: Wait = 5000,
    ) -> Response:
        """Draw the circuit."""
        quick = bench.live.quick(wait / 1e3)
        if quick is None:
            raise DossierError("there is nothing to draw yet", remedy="begin the dossier, then add a part")
        looks = Looks(every_part=every_part == "1", zigzag=zigzag == "1", tint=tint == "1")
        view = View(looks=looks, situation=situation, currents=currents == "1", theme=theme)
        svg = svg_of(quick, view)
        quick.asked[view] = None
        if style == "outside":
            svg = page_svg(svg)
        mark = f'"{hashlib.sha256(svg.encode("utf-8")).hexdigest()[:24]}"'
        headers = {
            "X-Revision": str(quick.revision),
            "X-Fresh": "1" if quick.revision == bench.desk.revision else "0",
            "ETag": mark,
            "Content-Security-Policy": DRAWING_POLICY,
        }
        if request.headers.get("if-none-match") == mark:
            return Response(status_code=304, headers=headers)
        return Response(svg, media_type="image/svg+xml", headers=headers)

    @router.post("/schematic/afresh", status_code=204)
    def afresh() -> None:
        """Lay the drawing out anew; it is asked for as ever."""
        lay_out_afresh(_solved(bench))

    @router.post("/what-if")
    def what_if(asked: WhatIfAsked) -> WhatIfAnswer:
        """Solve a changed circuit beside the real one; nothing is saved."""
        return exploring.what_if(_solved(bench), asked)

    @router.post("/what-if/claims")
    def what_if_claims(asked: WhatIfAsked) -> WhatIfClaims:
        """Judge the claims as if the circuit were changed, beside the real verdicts; nothing is saved."""
        with bench.guard:
            documents, revision = dict(bench.desk.documents), bench.desk.revision
        changes = [change.model_dump() for change in asked.changes]
        answer = bench.beside.ask(exploring.what_if_claims, documents, bench.folder, changes).result()
        if isinstance(answer, LidoffError):
            raise answer
        return WhatIfClaims.model_validate({"revision": revision, **answer})  # type: ignore[dict-item]

    @router.post("/waveform")
    def waveform(asked: WaveformAsked) -> WaveformAnswer:
        """Tell voltages and currents over time in one situation."""
        return exploring.waveforms(_solved(bench), asked)

    @router.post("/compare")
    def compare(asked: CompareAsked) -> Compared:
        """Hold the circuit against another dossier's, an earlier state's, or the textbook's for one block."""
        return Compared.model_validate(_compared(bench, asked))

    @router.post("/next-readings")
    def next_readings() -> Job:
        """Start the search for readings that would tell most."""
        documents, folder = dict(bench.desk.documents), bench.folder
        return bench.jobs.start("next-readings", searching.next_readings, documents, folder)

    @router.post("/slips")
    def slips() -> Job:
        """Start the search for slips of tracing or reading that would explain the misfits."""
        return bench.jobs.start("slips", searching.slips, dict(bench.desk.documents), bench.folder)

    @router.get("/jobs/{job}")
    def job(job: str) -> Job:
        """Tell how a job stands."""
        return bench.jobs.told(job)

    @router.delete("/jobs/{job}")
    def cancel(job: str) -> Job:
        """End a job."""
        return bench.jobs.cancel(job)

    return router


def _none(stage: Literal["quick", "full"]) -> AnalysisAnswer:
    return AnalysisAnswer(revision=-1, generation=0, stage=stage, fresh=False, problem=None, analysis=None)


def _compared(bench: Bench, asked: CompareAsked) -> object:
    with bench.guard:
        state = dict(bench.desk.documents), bench.desk.revision
        earlier = None if asked.revision is None else dict(texts_at(bench.desk, asked.revision))
    if sum((bool(asked.shelf), earlier is not None, bool(asked.textbook))) != 1:
        raise ImpossibleValue(
            "the circuit is to be held against nothing, or against several things at once",
            remedy="name a dossier of the shelf, an earlier state, or a part of a block",
        )
    if asked.shelf:
        other = comparing.dossier_on_shelf(bench.settings.shelf_of(bench.folder)[0], asked.shelf)
        answer = bench.beside.ask(comparing.compared_with_dossier, *state, other).result()
    elif earlier is not None:
        answer = bench.beside.ask(comparing.compared_with_earlier, *state, earlier, asked.revision).result()
    else:
        answer = bench.beside.ask(comparing.compared_with_textbook, *state, asked.textbook).result()
    if isinstance(answer, LidoffError):
        raise answer
    return answer


def _solved(bench: Bench) -> Quick:
    quick = bench.live.quick(5.0)
    if quick is None:
        raise DossierError("there is no circuit yet", remedy="begin the dossier, then add a part")
    return quick
