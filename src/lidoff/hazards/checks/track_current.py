"""How far board tracks warm by the current they carry."""

from __future__ import annotations

from functools import partial

from lidoff.circuit import Part, Solution, Waveforms, kind_of, settings_of
from lidoff.circuit.kind import Array
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import Load, highest_load
from lidoff.hazards.subject import Subject
from lidoff.quantities import Quantity, format_quantity, propagate

__all__ = ["MEMBERS", "track_rise", "track_width"]

SQUARE_MIL = (25.4e-6) ** 2  # [m²]
CURVE_SPREAD = 0.3  # relative, 95 %: how far the curves' own points lie apart; common practice, no source


def track_rise(current: float, width: float, thickness: float, *, inside: bool = False) -> float:
    """How much warmer than its surroundings a track gets.

    Parameters
    ----------
    current : float
        Effective [A].
    width, thickness : float
        Of the copper [m].
    inside : bool, optional
        Whether it lies inside the board.

    Returns
    -------
    float
        [K]

    References
    ----------
    .. [1] IPC-2221, conductor current curves, as the fit I = k·ΔT^0.44·A^0.725 (A in square mils).

    Examples
    --------
    >>> round(track_rise(1.0, 0.3004e-3, 35.0e-6), 1)
    10.0
    """
    table = limit_table("track_current").entries
    scale = table["internal" if inside else "external"]
    area = width * thickness / SQUARE_MIL
    rise: float = (current / (scale * area ** table["area_power"])) ** (1.0 / table["rise_power"])
    return rise


def track_width(current: float, rise: float, thickness: float, *, inside: bool = False) -> float:
    """Width at which a track warms by so much; the other parameters as for `track_rise` [m]."""
    table = limit_table("track_current").entries
    scale = table["internal" if inside else "external"]
    area = (current / (scale * rise ** table["rise_power"])) ** (1.0 / table["area_power"])
    width: float = area * SQUARE_MIL / thickness
    return width


def _look(subject: Subject) -> tuple[Hazard, ...]:
    found = []
    for part in subject.circuit.parts:
        if {"width", "thickness"} <= set(kind_of(part).parameters_of(part)):
            load = highest_load(subject, partial(_current, part.reference), "A")
            if load is not None:
                found.append(_held(part, load))
    return tuple(found)


def _current(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.current(reference)


def _held(part: Part, load: Load) -> Hazard:
    table = limit_table("track_current").entries
    numbers = settings_of(part)
    inputs = [
        Quantity(
            numbers[name], "m", part.spreads[name].standard(numbers[name]) if name in part.spreads else 0.0
        )
        for name in ("width", "thickness")
    ]
    rise = propagate(track_rise, (load.value, *inputs), unit="K")
    own = 0.5 * CURVE_SPREAD * rise.value
    rise = Quantity(rise.value, "K", (rise.uncertainty**2 + own**2) ** 0.5)
    limit = Quantity(table["rise"], "K")
    outcome = at_most(rise, limit)
    what = (
        f"{part.reference} ({format_quantity(inputs[0])} wide, {format_quantity(inputs[1])} thick) carries "
        f"{format_quantity(load.value)} ({load.seen} in {titled(load.situation)}) and warms by {format_quantity(rise)}"
    )
    if outcome != "within the limit":
        needed = track_width(load.value.value, limit.value, inputs[1].value)
        what += f"; {format_quantity(Quantity(needed, 'm'), digits=2)} of width would keep to {format_quantity(limit)}"
    return Hazard(
        check="track current",
        title=f"track {part.reference} warms by more than {format_quantity(limit)}"
        if outcome == "beyond the limit"
        else f"heat of track {part.reference}",
        outcome=outcome,
        severity="caution",
        what=f"{what}.",
        value=rise,
        limit=limit,
        limit_says="usual rise over the board; common practice, no source",
        source=limit_table("track_current").words,
        assumed=("a track on the outside of a board, alone, in still air", *load.assumed),
        parts=(part.reference,),
        situations=(load.situation,),
        remedy="look at it for discolouring, and measure it with a thermal camera under full load",
    )


MEMBERS = (
    HazardCheck(
        name="track current",
        title="Current in tracks",
        look=_look,
        says="How far each told track warms by its highest effective current.",
        source="IPC-2221, fitted curves",
        cautions=("heat",),
        not_checked=(
            "tracks that the dossier does not tell as parts",
            "necks, vias and solder joints",
            "neighbouring tracks, and copper planes that cool",
        ),
    ),
)
