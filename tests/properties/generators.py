"""Shared strategies: circuits, readings and whole dossiers, all of them possible ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hypothesis import strategies as st

from lidoff.circuit import Circuit, Kind, Part, Situation, all_kinds
from lidoff.dossier import (
    Board,
    Decision,
    Device,
    Dossier,
    OwnWords,
    PartEntry,
    Photo,
    Publication,
    SituationEntry,
    Wire,
)
from lidoff.dossier.drawing import DrawingChoices
from lidoff.evidence import (
    CAUTIONS,
    RESPONDS,
    AcrossPart,
    Claim,
    FromReading,
    FromStatement,
    FromTrial,
    InPart,
    Instrument,
    IntoPin,
    NamedQuantity,
    NetVoltage,
    Range,
    Reading,
    Source,
    Target,
    Trial,
)
from lidoff.schematic import Pinned

__all__ = [
    "circuits",
    "decisions",
    "dossiers",
    "instruments",
    "names",
    "part_entries",
    "pins",
    "readings",
    "situations_for",
    "solvable_dossiers",
    "texts",
    "written",
]

NETS = ("gnd", "usb_5v", "out", "gate", "net with space", 'net "7"', "ε")


def names() -> st.SearchStrategy[str]:
    """Names an analyst may give: letters, digits, and now and then a space, a dot, a quote or Greek."""
    return st.text(st.sampled_from("abcXYZ019_-. \"'ΩµéΔ"), min_size=1, max_size=12).filter(str.strip)


def texts() -> st.SearchStrategy[str]:
    """Running text of any length, with line breaks and all that a file in UTF-8 can hold."""
    any_letter = st.characters(codec="utf-8")
    return st.text(st.one_of(st.sampled_from("ab \n\t\"\\'#="), any_letter), max_size=40)


def filled() -> st.SearchStrategy[str]:
    """Running text that says something."""
    return texts().filter(str.strip)


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of three digits between two sizes, evenly over the decades."""
    return st.floats(low, high, allow_subnormal=False).map(lambda value: float(f"{value:.3g}"))


def written(unit: str, low: float = 0.001, high: float = 1000.0) -> st.SearchStrategy[str]:
    """A quantity as a person writes it, some with ±."""
    spread = st.sampled_from(("", " ± 5 %", " ± 1 %"))
    return st.builds(lambda value, tail: f"{value!r} {unit}{tail}", numbers(low, high), spread)


@st.composite
def circuits(draw: st.DrawFn, *, most: int = 8) -> Circuit:
    """One supply and a connected net of resistors and diodes that it drives; always solvable."""
    count = draw(st.integers(1, most))
    nets = ["gnd", "in"]
    parts = [
        Part(
            reference="V1",
            kind="dc_supply",
            pins={"plus": "in", "minus": "gnd"},
            values={"voltage": draw(numbers(1.0, 20.0)), "resistance": draw(st.sampled_from((0.0, 0.5)))},
        )
    ]
    for number in range(count):
        # Each part starts on a net that is there already, so the circuit hangs together.
        start = draw(st.sampled_from(nets))
        end = draw(st.sampled_from([*(net for net in nets if net != start), f"n{number}"]))
        if end not in nets:
            nets.append(end)
        if draw(st.booleans()):
            values = {"resistance": draw(numbers(10.0, 1e5))}
            parts.append(
                Part(reference=f"R{number}", kind="resistor", pins={"1": start, "2": end}, values=values)
            )
        else:
            # A resistor of its own keeps every diode's current within reason.
            between = f"d{number}"
            parts.append(
                Part(
                    reference=f"R{number}",
                    kind="resistor",
                    pins={"1": start, "2": between},
                    values={"resistance": draw(numbers(100.0, 1e4))},
                )
            )
            parts.append(
                Part(
                    reference=f"D{number}",
                    kind=draw(st.sampled_from(("diode", "led"))),
                    pins={"anode": between, "cathode": end},
                )
            )
    return Circuit(parts=tuple(parts))


def situations_for(circuit: Circuit) -> st.SearchStrategy[tuple[Situation, ...]]:
    """One to three situations that set the supply's voltage."""
    return st.lists(numbers(0.5, 20.0), min_size=1, max_size=3).map(
        lambda volts: tuple(
            Situation(name=f"s{number}", settings={circuit.parts[0].reference: {"voltage": value}})
            for number, value in enumerate(volts)
        )
    )


@st.composite
def solvable_dossiers(draw: st.DrawFn) -> Dossier:
    """The dossier of a circuit that can be solved in all its situations."""
    circuit = draw(circuits())
    units = {"voltage": "V", "resistance": "Ω"}

    def told(values: Mapping[str, float | str]) -> dict[str, str]:
        return {name: f"{value!r} {units[name]}" for name, value in values.items()}

    return Dossier(
        device=Device(title="circuit"),
        parts=tuple(
            PartEntry(
                reference=part.reference, kind=part.kind, pins=dict(part.pins), values=told(part.values)
            )
            for part in circuit.parts
        ),
        situations=tuple(
            SituationEntry(
                name=situation.name,
                settings={reference: told(values) for reference, values in situation.settings.items()},
            )
            for situation in draw(situations_for(circuit))
        ),
    )


@st.composite
def part_entries(draw: st.DrawFn, reference: str, boards: Sequence[str] = ()) -> PartEntry:
    """A part of any kind, with the values of an ordinary one, its pins on any nets."""
    kind: Kind = draw(st.sampled_from(list(all_kinds().values())))
    example = kind.example_part(reference)
    parameters = kind.parameters_of(example)
    values = {
        name: value if isinstance(value, str) else f"{value!r} {parameters[name].unit}".strip()
        for name, value in {**_needed(kind, example), **example.values}.items()
    }
    return PartEntry(
        reference=reference,
        kind=kind.name,
        pins={pin: draw(st.sampled_from(NETS)) for pin in example.pins},
        values=values,
        pin_roles=dict(example.pin_roles),
        pin_names={pin: draw(filled()) for pin in example.pins if draw(st.booleans())},
        marking=draw(texts()),
        package=draw(st.sampled_from(("", "0603", "SOT-23"))),
        does=draw(texts()),
        board=draw(st.sampled_from(("", *boards))),
        stock_line=draw(texts()),
        unit_cost=draw(st.sampled_from(("", "0.02 EUR at 100"))),
        reel_cost=draw(st.sampled_from(("", "9 EUR for 5000"))),
    )


def _needed(kind: Kind, example: Part) -> dict[str, float | str]:
    """Values that a part of the kind must tell, where its example leaves them out."""
    return {
        name: 1.0
        for name, parameter in kind.parameters_of(example).items()
        if parameter.typical is None and name not in example.values
    }


@st.composite
def instruments(draw: st.DrawFn, name: str = "meter") -> Instrument:
    """A meter for volts, amperes and seconds."""
    share = draw(st.sampled_from(("0.5 %", "1 %", "0.05 % of reading + 0.02 % of range")))
    return Instrument(
        name=name,
        title=draw(texts()),
        ranges=(
            Range(measures="voltage dc", accuracy=f"±({share} + 3 counts)", up_to="6 kV", resolution="1 mV"),
            Range(measures="current dc", accuracy=f"±({share} + 2 counts)", up_to="10 kA", burden="0.05 Ω"),
            Range(
                measures="voltage ac",
                accuracy=f"±({share} + 5 counts)",
                up_to="1 kV",
                crest_factor=draw(st.sampled_from(("", "3"))),
                band=draw(st.sampled_from(("", "400 Hz", "45 Hz to 1 kHz"))),
                responds=draw(st.sampled_from(("", *RESPONDS))),
            ),
            Range(measures="time", accuracy="1 s"),
        ),
        input_resistance=draw(st.sampled_from(("", "10 MΩ", "1 MΩ"))),
        note=draw(texts()),
    )


def targets(parts: Sequence[PartEntry]) -> st.SearchStrategy[Target]:
    """What a reading of a circuit of these parts can be about."""
    options: list[st.SearchStrategy[Target]] = [names().map(lambda name: NamedQuantity(name=name))]
    nets = sorted({net for part in parts for net in part.pins.values()})
    if nets:
        net = st.sampled_from(nets)
        options.append(
            st.builds(
                lambda one, other: NetVoltage(net=one, against=other), net, st.sampled_from(["", *nets])
            )
        )
    if parts:
        part = st.sampled_from(parts)
        options.append(part.map(lambda one: AcrossPart(reference=one.reference)))
        options.append(
            st.builds(
                lambda what, one: InPart(what=what, reference=one.reference),
                st.sampled_from(("current", "power")),
                part,
            )
        )
        pins = [(one.reference, pin) for one in parts for pin in one.pins]
        options.append(st.sampled_from(pins).map(lambda pair: IntoPin(reference=pair[0], pin=pair[1])))
    return st.one_of(options)


@st.composite
def readings(
    draw: st.DrawFn,
    name: str,
    parts: Sequence[PartEntry] = (),
    situations: Sequence[str] = (),
    with_instrument: bool = True,
) -> Reading:
    """A reading of anything, once or repeatedly, by the meter or by eye."""
    target = draw(targets(parts))
    unit = target.unit or draw(st.sampled_from(("V", "A", "s")))
    shown = draw(
        st.lists(numbers(0.001, 1000.0).map(lambda value: f"{value!r} {unit}"), min_size=1, max_size=3)
    )
    in_circuit = bool(target.unit)
    return Reading(
        name=name,
        target=target,
        shown=tuple(shown),
        situation=draw(st.sampled_from(situations if situations and in_circuit else ["", *situations])),
        instrument="meter" if with_instrument and unit != "W" and draw(st.booleans()) else "",
        note=draw(texts()),
        crest_factor=draw(st.sampled_from(("", "1.4", "3.5"))),
        frequency=draw(st.sampled_from(("", "50 Hz", "20 kHz"))),
    )


@st.composite
def claims(
    draw: st.DrawFn,
    name: str,
    known: Sequence[Reading],
    situations: Sequence[str],
    tried: Sequence[Trial] = (),
) -> Claim:
    """A claim of power, its inputs read, solved or stated, some missing, or one that trials answer."""
    sources: list[st.SearchStrategy[Source]] = [st.builds(FromStatement, value=written("V"), why=filled())]
    if known:
        sources.append(st.sampled_from(known).map(lambda reading: FromReading(reading=reading.name)))
    inputs: dict[str, Source] = {}
    if draw(st.booleans()):
        inputs["voltage"] = draw(st.one_of(sources))
    if draw(st.booleans()) and situations:
        inputs["current"] = FromStatement(value=draw(written("A")), why=draw(filled()))
    if draw(st.booleans()) and tried:
        return Claim(
            name=name,
            kind="success_rate",
            says=draw(filled()),
            value="90 %",
            inputs={"tries": FromTrial(trial=draw(st.sampled_from(tried)).name)},
            trials=tuple(trial.name for trial in tried if draw(st.booleans())),
        )
    return Claim(
        name=name,
        kind="power_input",
        says=draw(filled()),
        value=draw(written("W")),
        where=draw(texts()),
        sense=draw(st.sampled_from(("", "at least", "at most", "about"))),
        tolerance=draw(st.sampled_from(("", "10 %", "1 W"))),
        inputs=inputs,
        note=draw(texts()),
    )


@st.composite
def dossiers(draw: st.DrawFn, *, most_parts: int = 5) -> Dossier:
    """A dossier that the loader accepts, of parts of any kind on any nets; seldom a circuit that makes sense."""
    boards = tuple(
        Board(name=name, title=draw(texts())) for name in draw(st.lists(names(), max_size=2, unique=True))
    )
    references = [f"P{number}" for number in range(draw(st.integers(0, most_parts)))]
    parts = tuple(draw(part_entries(reference, [board.name for board in boards])) for reference in references)
    situations = tuple(
        SituationEntry(name=name, title=draw(texts()), settings=draw(_settings(parts)))
        for name in draw(st.lists(names(), max_size=3, unique=True))
    )
    words = [situation.name for situation in situations]
    meter = draw(instruments())
    known = tuple(
        draw(readings(name, parts, words)) for name in draw(st.lists(names(), max_size=4, unique=True))
    )
    nets = sorted({net for part in parts for net in part.pins.values()})
    tried = tuple(
        Trial(
            name=name,
            what=draw(filled()),
            seen=draw(filled()),
            duration=draw(st.sampled_from(("", "30 s"))),
            worked=draw(st.sampled_from(("0 of 3", "9 of 10", "20 of 20"))),
        )
        for name in draw(st.lists(names(), max_size=2, unique=True))
    )
    return Dossier(
        device=Device(title=draw(filled()), maker=draw(texts()), summary=draw(texts())),
        claims=tuple(
            draw(claims(name, known, words, tried))
            for name in draw(st.lists(names(), max_size=2, unique=True))
        ),
        instruments=(meter,),
        situations=situations,
        readings=known,
        trials=tried,
        parts=parts,
        wires=(Wire(name="w", joins=("out", "gate"), colour=draw(texts())),) if draw(st.booleans()) else (),
        boards=boards,
        photos=tuple(
            Photo(file=f"photos/{n}.jpg", side=draw(st.sampled_from(("", "front", "back"))))
            for n in range(draw(st.integers(0, 2)))
        ),
        ground=draw(st.sampled_from(("gnd", "usb_5v"))),
        rails={
            net: draw(st.sampled_from(("supply", "ground", "signal"))) for net in nets if draw(st.booleans())
        },
        notes=tuple(draw(st.lists(filled(), max_size=2))),
        cautions=tuple(draw(st.lists(st.sampled_from(sorted(CAUTIONS)), max_size=3, unique=True))),
        invented=draw(texts()),
        publication=draw(publications()),
        drawing=DrawingChoices(
            every_part=draw(st.booleans()),
            keep_apart=tuple(part.reference for part in parts if draw(st.booleans())),
            resistors=draw(st.sampled_from(("", "zigzag"))),
            pinned={part.reference: draw(pins()) for part in parts if draw(st.booleans())},
        ),
        decisions=tuple(draw(decisions(name)) for name in draw(st.lists(names(), max_size=2, unique=True))),
    )


def pins() -> st.SearchStrategy[Pinned]:
    """Place in the drawing."""
    steps = st.integers(-50, 50)
    return st.builds(Pinned, x=steps, y=steps, quarter_turns=st.integers(0, 3), mirrored=st.booleans())


@st.composite
def decisions(draw: st.DrawFn, name: str) -> Decision:
    """What was said of a finding that may or may not be there any more."""
    return Decision(
        name=name,
        finding=draw(st.sampled_from(("over_rating", "misfit"))),
        says=draw(st.sampled_from(("accepted", "dismissed"))),
        reason=draw(filled()),
        parts=tuple(draw(st.lists(names(), max_size=2))),
    )


@st.composite
def publications(draw: st.DrawFn) -> Publication:
    """What is printed about a report, with own words and chosen stills."""
    chapters = draw(st.lists(st.sampled_from(("found", "claims", "hazards")), max_size=2, unique=True))
    return Publication(
        title=draw(texts()),
        author=draw(texts()),
        numbers=draw(st.sampled_from(("", "point", "comma"))),
        units=tuple(draw(st.lists(st.sampled_from(("mA", "mW")), max_size=2, unique=True))),
        words={name: OwnWords(before=draw(filled()), instead=draw(texts())) for name in chapters},
        stills=tuple(draw(st.lists(st.sampled_from(("claims", "schematic")), max_size=2, unique=True))),
        captions={name: draw(filled()) for name in draw(st.lists(st.just("schematic"), max_size=1))},
    )


@st.composite
def _settings(draw: st.DrawFn, parts: Sequence[PartEntry]) -> dict[str, dict[str, str]]:
    """Settings of a situation: some parts set to what they are told to be."""
    return {part.reference: dict(part.values) for part in parts if draw(st.booleans()) and part.values}
