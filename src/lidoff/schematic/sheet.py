"""One sheet: units placed, boxes' pins put in order, rails joined, wires run, text set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.schematic.captions import place_captions
from lidoff.schematic.drawing import Area, Drawing, Junction, Label, RailMark, Repeat, Sheet, Symbol, Wire
from lidoff.schematic.earlier import earlier_places, known_spots
from lidoff.schematic.frames import notes_below, repeat_frames, repeat_table
from lidoff.schematic.ground_plan import GroundPlan, Spot
from lidoff.schematic.grounds import group_grounds, own_groups
from lidoff.schematic.kept import kept_sheet
from lidoff.schematic.labels import covered, place_labels
from lidoff.schematic.levels import Levels
from lidoff.schematic.mirror import mirror_mates
from lidoff.schematic.options import DrawingOptions, Group
from lidoff.schematic.page_cost import page_total, sizes_of
from lidoff.schematic.place import place_units
from lidoff.schematic.quality import text_faults, wires_cost
from lidoff.schematic.route import PinEnd
from lidoff.schematic.shapes import box_sides, outline_of
from lidoff.schematic.text import current_lines, lines_beside, voltage_text
from lidoff.schematic.unit import Unit, Variant
from lidoff.schematic.units import build_units
from lidoff.schematic.wiring import wire_up

__all__ = ["Facts", "lay_out"]

WIDEST_CURRENT, WIDEST_ALTERNATING = "−888 mA", "888 mA ac"
"""Kept free for currents, so that the layout is the same in every situation."""
MOST_TRIES = 3
TRIED_UNITS = 27
"""Small pages are searched several times: as often as this number holds their units."""
FURTHER = 100
"""Seed of the first of the searches that more effort than the usual adds."""
CROWDED = 60.0
"""What a text without a free place costs."""
FINAL_EVENNESS = 2.5
"""How much mirror images count when pages are compared."""
MOST_EVEN = 5.0
"""How much mirror images count in one search more, for circuits that have them."""
EVEN_EFFORT = 3.0
"""How much longer that search is on small pages: few are even."""
MOST_LEGS = 10
"""A signal net of more pins than this ends in named labels."""
EMPTY = (0.0, 0.0, 10.0, 6.0)
"""What a sheet without parts covers."""
Sides = Mapping[str, Mapping[str, Sequence[str]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What all sheets of a drawing share.

    Attributes
    ----------
    levels : Levels
        Of the circuit that is drawn.
    groups : tuple of Group
        Blocks.
    repeats : tuple of Repeat
        What is drawn once for several.
    options : DrawingOptions
        What a person chose.
    voltages, currents : mapping of str to float
        Solved values [V] [A].
    alternating : mapping of str to float
        Effective value of what alternates on a net round its voltage [V].
    alternating_currents : mapping of str to float
        Effective value of what alternates in a part round its current [A].
    notes : tuple of str
        What a reader must know of the numbers, written under the sheet.
    before : Drawing or None
        An earlier drawing whose places are kept.
    """

    levels: Levels
    groups: tuple[Group, ...]
    repeats: tuple[Repeat, ...]
    options: DrawingOptions
    voltages: Mapping[str, float]
    currents: Mapping[str, float]
    alternating: Mapping[str, float]
    alternating_currents: Mapping[str, float]
    notes: tuple[str, ...]
    before: Drawing | None = None


def lay_out(circuit: Circuit, facts: Facts, *, title: str, named: frozenset[str] = frozenset()) -> Sheet:
    """Lay one sheet out.

    Parameters
    ----------
    circuit : Circuit
        Parts of this sheet.
    facts : Facts
        What all sheets share.
    title : str
        Over the sheet.
    named : frozenset of str
        Signal nets that go on elsewhere and end in named labels here.

    Returns
    -------
    Sheet
        In grid steps, its upper left corner wherever it came to lie.
    """
    if not circuit.parts:
        return Sheet(
            title=title, symbols=(), wires=(), junctions=(), marks=(), labels=(), areas=(), box=EMPTY
        )
    options, levels = facts.options, facts.levels
    flagged = {
        net: role for net, role in levels.role.items() if role != "signal" and net not in levels.plain - named
    }
    for net, pins in circuit.nets.items():
        if net not in flagged and (net in named or len(pins) > MOST_LEGS):
            flagged[net] = "label"
    series = {repeat.drawn[0]: repeat for repeat in facts.repeats if repeat.series}
    text = {part.reference: _lines(part.reference, circuit, series) for part in circuit.parts}
    kept_free = dict(text)
    if options.currents and facts.currents:
        widest = WIDEST_ALTERNATING if any(map(_alternates, circuit.parts)) else WIDEST_CURRENT
        for reference in text:
            if reference in facts.currents:
                delivers = kind_of(circuit.part(reference)).supplies
                amps = -facts.currents[reference] if delivers else facts.currents[reference]
                alternates = facts.alternating_currents.get(reference, 0.0)
                text[reference] = [*text[reference], *current_lines(amps + 0.0, alternates)]
                kept_free[reference] = [*kept_free[reference], widest]
    kept = kept_sheet(facts.before, circuit, repeats=facts.repeats, options=options, flagged=flagged)
    page = _best_page(circuit, facts, flagged, kept_free) if kept is None else _page_of(kept)
    written = {
        net: voltage_text(volts, facts.alternating.get(net, 0.0)) for net, volts in facts.voltages.items()
    }
    sheet = _tinted(_labelled(page, circuit, facts, text, written), facts.groups)
    table = repeat_table(facts.repeats, circuit, sheet.box)
    box = _box(sheet.symbols, sheet.wires, sheet.marks, sheet.labels, sheet.areas, table)
    table = [*table, *notes_below(facts.notes, box)]
    box = _box(sheet.symbols, sheet.wires, sheet.marks, sheet.labels, sheet.areas, table)
    return replace(sheet, title=title, labels=(*sheet.labels, *table), box=box)


def _alternates(part: Part) -> bool:
    """Whether the part drives the circuit with something that changes with time."""
    kind = kind_of(part)
    return kind.supplies and any(element.law.timed for element in kind.elements(part))


def _labelled(
    page: _Page,
    circuit: Circuit,
    facts: Facts,
    text: Mapping[str, Sequence[str]],
    voltages: Mapping[str, str],
) -> Sheet:
    """Page with its frames and text."""
    symbols, wires, marks = page.symbols, page.wires, page.marks
    frames = repeat_frames(facts.repeats, symbols, wires)
    labels = place_labels(circuit, symbols, wires, marks, text, voltages, facts.options, frames)
    return Sheet(
        title="",
        symbols=tuple(symbols),
        wires=tuple(wires),
        junctions=tuple(page.junctions),
        marks=tuple(marks),
        labels=tuple(labels),
        areas=tuple(frames),
        box=_box(symbols, wires, marks, labels, frames),
    )


def _tinted(sheet: Sheet, groups: Sequence[Group]) -> Sheet:
    """Sheet with a ground and a caption for each group."""
    if not groups:
        return sheet
    grounds = group_grounds(groups, sheet.symbols, sheet.wires, sheet.labels)
    if not grounds:
        return sheet
    captions, grounds = place_captions(grounds, covered(sheet))
    labels, areas = (*sheet.labels, *captions), (*grounds, *sheet.areas)
    box = _box(sheet.symbols, sheet.wires, sheet.marks, labels, areas)
    return replace(sheet, labels=labels, areas=areas, box=box)


def _lines(reference: str, circuit: Circuit, series: Mapping[str, Repeat]) -> list[str]:
    lines = lines_beside(circuit.part(reference))
    if reference in series:
        run = series[reference].instances
        lines = [f"{run[0][0]}…{run[-1][0]}", *lines[1:], f"{len(run)} in series"]
    return lines


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """A placement with its wires, what it costs, and how many texts find no free place on it."""

    symbols: list[Symbol]
    marks: list[RailMark]
    wires: list[Wire]
    junctions: list[Junction]
    cost: float
    crowded: int = 0


def _page_of(sheet: Sheet) -> _Page:
    """Page of an earlier sheet, as it stands."""
    return _Page(
        symbols=list(sheet.symbols),
        marks=list(sheet.marks),
        wires=list(sheet.wires),
        junctions=list(sheet.junctions),
        cost=0.0,
    )


def _best_page(
    circuit: Circuit, facts: Facts, flagged: Mapping[str, str], text: Mapping[str, Sequence[str]]
) -> _Page:
    """The best of a few searches, judged with the wires as they really run."""
    options, levels = facts.options, facts.levels
    together = [*own_groups(facts.groups), *(Group(parts=r.drawn) for r in facts.repeats if len(r.drawn) > 1)]

    def units(sides: Sides) -> list[Unit]:
        return build_units(
            circuit,
            levels,
            flagged,
            text,
            pinned=options.pinned,
            zigzag=options.zigzag_resistors,
            sides=sides,
        )

    def page(plan: GroundPlan, made: Sequence[Unit], sides: Sides) -> _Page:
        plan.evenness = FINAL_EVENNESS
        across, down = plan.origin
        placed = [
            (made[number].variants[spot.variant], replace(spot, x=spot.x - across, y=spot.y - down))
            for number, spot in sorted(plan.spots.items())
        ]
        symbols = _symbols(circuit, placed, options, sides)
        flags = [f.moved(spot.x, spot.y) for variant, spot in placed for f in variant.flags]
        ends = [
            PinEnd(lead.net, lead.x + spot.x, lead.y + spot.y, lead.dx, lead.dy)
            for variant, spot in placed
            for lead in variant.wires
        ]
        marks, wires, junctions = wire_up(circuit, symbols, flags, ends, buses=options.buses)
        cost = (
            page_total(plan, sizes_of(made))
            - sum(plan.wire_cost.values())
            + wires_cost(symbols, wires, marks)
        )
        bare = _Page(symbols=symbols, marks=marks, wires=wires, junctions=junctions, cost=cost)
        crowded = text_faults(_labelled(bare, circuit, facts, text, {}))
        return replace(bare, cost=cost + CROWDED * crowded, crowded=crowded)

    def search(seed: int, effort: float, evenness: float = 1.0, start: GroundPlan | None = None) -> _Page:
        plan = place_units(
            circuit,
            levels,
            made,
            together,
            effort=effort,
            seed=seed,
            start=start,
            evenness=evenness,
            tall=options.tall,
        )
        return page(plan, made, sides)

    earlier = earlier_places(facts.before, text)
    if earlier is not None:
        sides: Sides = earlier.sides(circuit)
        made = units(sides)
        known = known_spots(made, earlier)
        if known:
            return page(
                place_units(circuit, levels, made, together, known=known, tall=options.tall), made, sides
            )
    sides = {}
    first: GroundPlan | None = None
    if any(_sortable(circuit, reference) for reference in text):
        made = units({})
        first = place_units(
            circuit, levels, made, together, effort=0.15 * min(options.effort, 1.0), tall=options.tall
        )
        sides = _sorted_sides(circuit, first, made)
    made = units(sides)
    effort = min(options.effort, 1.0)
    tries = max(1, min(MOST_TRIES, int(effort * TRIED_UNITS / max(len(made), 1))))
    small = tries == MOST_TRIES
    even = bool(mirror_mates(circuit, levels, made))
    weight = 1.0 if small else FINAL_EVENNESS
    pages = [search(seed, effort, weight, first if seed == 0 else None) for seed in range(tries)]
    if small and even:
        pages.extend(search(seed, EVEN_EFFORT * effort, MOST_EVEN) for seed in range(tries))
    # More effort is further searches, each twice as long as the one before, so that it never gives a worse page.
    length, left = effort, options.effort - effort
    while 0.0 < length <= left:
        pages.append(search(FURTHER + len(pages), length, FINAL_EVENNESS, first))
        length, left = 2.0 * length, left - length
    most = len(pages) + tries
    while min(pages, key=_cost).crowded and len(pages) < most:
        pages.append(search(len(pages), effort / 2.0))
    return min(pages, key=_cost)


def _cost(page: _Page) -> float:
    return page.cost


def _sortable(circuit: Circuit, reference: str) -> bool:
    part = circuit.part(reference)
    sides = box_sides(part)
    return outline_of(part).name == "box" and (len(sides["left"]) > 1 or len(sides["right"]) > 1)


def _sorted_sides(circuit: Circuit, plan: GroundPlan, units: Sequence[Unit]) -> Sides:
    """Pins of each box's sides in the order in which their wires come in."""
    places: dict[str, list[tuple[str, int, int]]] = {}
    centre: dict[str, tuple[int, int]] = {}
    for number, spot in plan.spots.items():
        for shape, ox, oy in units[number].variants[spot.variant].shapes:
            centre[shape.reference] = (spot.x + ox, spot.y + oy)
            for lead in shape.leads:
                place = (shape.reference, spot.x + ox + lead.x, spot.y + oy + lead.y)
                places.setdefault(lead.net, []).append(place)
    sorted_sides: dict[str, dict[str, list[str]]] = {}
    for part in circuit.parts:
        if not _sortable(circuit, part.reference):
            continue
        x0, y0 = centre[part.reference]
        own = {pin: rank for rank, pin in enumerate(part.pins)}

        def pull(pin: str, part: object = part, x0: int = x0, y0: int = y0) -> tuple[float, float]:
            """Where the rest of the pin's net lies, from the box's centre; a rail pulls nowhere."""
            reference = part.reference  # type: ignore[attr-defined]
            net = part.pins[pin]  # type: ignore[attr-defined]
            others = [(x, y) for r, x, y in places[net] if r != reference]
            if not others or len(others) > MOST_LEGS:
                return (0.0, 0.0)
            return (
                sum(x for x, _ in others) / len(others) - x0,
                sum(y for _, y in others) / len(others) - y0,
            )

        sides = box_sides(part)
        sorted_sides[part.reference] = {
            side: sorted(pins, key=lambda pin: (pull(pin)[side in ("left", "right")], own[pin]))
            for side, pins in sides.items()
        }
    return sorted_sides


def _symbols(
    circuit: Circuit, placed: Sequence[tuple[Variant, Spot]], options: DrawingOptions, sides: Sides
) -> list[Symbol]:
    symbols = []
    for variant, spot in placed:
        for shape, ox, oy in variant.shapes:
            part = circuit.part(shape.reference)
            outline = outline_of(part, zigzag=options.zigzag_resistors, pin_order=sides.get(part.reference))
            symbols.append(Symbol(shape=shape, outline=outline, x=spot.x + ox, y=spot.y + oy))
    return symbols


def _box(*kinds: Sequence[Symbol | Wire | RailMark | Label | Area]) -> tuple[float, float, float, float]:
    boxes: list[tuple[float, float, float, float]] = []
    for item in (item for items in kinds for item in items):
        if isinstance(item, Symbol):
            x0, y0, x1, y1 = item.body
            boxes.append((float(x0), float(y0), float(x1), float(y1)))
            boxes.extend((item.x + p.x, item.y + p.y, item.x + p.x, item.y + p.y) for p in item.shape.leads)
        elif isinstance(item, Wire):
            boxes.append(
                (min(item.x0, item.x1), min(item.y0, item.y1), max(item.x0, item.x1), max(item.y0, item.y1))
            )
        elif isinstance(item, RailMark):
            boxes.append((item.x - 1.0, item.y - 2.0, item.x + 1.0, item.y + 2.0))
        else:
            boxes.append(item.box)
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes),
    )  # fmt: skip
