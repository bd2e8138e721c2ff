"""The tables and keys of ``dossier.toml``: the one place that says what may stand in it."""

from __future__ import annotations

from lidoff.dossier.forms import Choice, Either, Field, Flag, ListOf, NamedEntries, Table, Text, Value
from lidoff.evidence import CAUTIONS, MEASURES, SENSES
from lidoff.hazards import MATERIAL_GROUPS, OVERVOLTAGE_CATEGORIES, POLLUTION_DEGREES, SURFACES

__all__ = ["DOSSIER", "PART"]

TEXT = Text()
FILLED = Text(filled=True)
VALUE = Value()
VALUES = Either((VALUE, ListOf(VALUE, 1)))
WORDS = NamedEntries(FILLED)


def _text(name: str, says: str, *, required: bool = False) -> Field:
    return Field(name=name, form=FILLED if required else TEXT, says=says, required=required)


DEVICE = Table(
    title="device",
    fields=(
        _text("title", "what it is", required=True),
        _text("maker", "who made or sells it"),
        _text("model", "type or model number"),
        _text("bought", "where and when it was bought"),
        _text("price", "what it cost"),
        _text("summary", "what it does, in a sentence or two"),
    ),
)
RANGE = Table(
    title="a range of an instrument",
    fields=(
        Field(name="measures", form=Choice(tuple(MEASURES)), says="what the range measures", required=True),
        _text("accuracy", 'as its data sheet states it, such as "±(0.5 % + 3)"', required=True),
        Field(name="up_to", form=VALUE, says='its full scale, such as "6 V"'),
        Field(name="resolution", form=VALUE, says='step of the last digit, such as "1 mV"'),
        Field(name="burden", form=VALUE, says="for currents: the resistance it puts into the circuit"),
    ),
)
INSTRUMENT = Table(
    title="an instrument",
    fields=(
        _text("title", "what it is"),
        Field(name="ranges", form=ListOf(RANGE), says="its measuring ranges with their accuracy"),
        Field(name="input_resistance", form=VALUE, says='of its voltage input, such as "10 MΩ"'),
        _text("calibrated", "when and how it was last checked"),
        _text("note", "anything else"),
    ),
)
SITUATION = Table(
    title="a situation",
    fields=(
        _text("title", "one line for the reader"),
        Field(
            name="set",
            form=NamedEntries(Either((VALUE, NamedEntries(VALUE)))),
            says='by reference: what is set, such as J1 = { voltage = "5.02 V" } or S1 = "closed"',
        ),
    ),
)
TARGET = (
    _text("voltage", "net whose voltage is told"),
    _text("against", "net that the voltage is told against, if not the ground"),
    _text("across", "part whose voltage is told, first pin of its path against the second"),
    _text("current", 'part, or "U1.vdd" for the current into one pin; of a supply, what it delivers'),
    _text("power", "part; what it takes up, of a supply what it delivers"),
    _text("quantity", 'a quantity that is not in the circuit, such as "run time"'),
)
READING = Table(
    title="a reading",
    fields=(
        *TARGET,
        Field(
            name="shown",
            form=VALUES,
            says="what the display showed, digits as shown; a list for repeats",
            required=True,
        ),
        _text("situation", "where it was taken"),
        _text("instrument", "name of the instrument"),
        Field(name="measures", form=Choice(tuple(MEASURES)), says="where the unit alone does not tell"),
        Field(
            name="range", form=VALUE, says="full scale of the range used, if not the smallest that holds it"
        ),
        _text("note", "how it was taken"),
    ),
)
TRIAL = Table(
    title="a trial",
    fields=(
        _text("what", "what was tried", required=True),
        _text("seen", "what was seen", required=True),
        _text("situation", "in which situation"),
        _text("duration", "for how long"),
    ),
)
FROM_SOLUTION = Table(
    title="a number from the solved circuit",
    fields=(_text("situation", "in which situation", required=True), *TARGET[:-1]),
)
FROM_STATEMENT = Table(
    title="a stated number",
    fields=(
        Field(name="value", form=VALUE, says="with unit, and ± where it is not exact", required=True),
        _text("why", "on what ground", required=True),
    ),
)
CLAIM = Table(
    title="a claim",
    fields=(
        _text("kind", "kind of claim", required=True),
        _text("says", "the words as printed", required=True),
        Field(name="value", form=VALUE, says="what is claimed, with unit", required=True),
        _text("where", "where it is printed"),
        Field(name="sense", form=Choice(SENSES), says="how it is read, if not as usual for its kind"),
        Field(name="tolerance", form=VALUE, says='what is granted to it, such as "10 %"'),
        Field(
            name="from",
            form=NamedEntries(Either((FILLED, FROM_SOLUTION, FROM_STATEMENT))),
            says='by role: name of a reading, { situation = "…", current = "M1" }, or { value = "…", why = "…" }',
        ),
        _text("note", "how you read it"),
    ),
)
PART = Table(
    title="a part",
    fields=(
        _text("kind", "kind of part", required=True),
        Field(name="pins", form=NamedEntries(FILLED), says="net of each pin", required=True),
        Field(name="value", form=VALUE, says="its main value, such as the resistance of a resistor"),
        _text("marking", "what is printed on it"),
        _text("package", "its body"),
        _text("does", "what it does here"),
        _text("board", "the board it sits on"),
        Field(
            name="pin_roles",
            form=NamedEntries(Choice(("supply", "ground", "input", "output", "both", "programming"))),
            says="for boxes and controllers: role of each pin",
        ),
        Field(name="pin_names", form=WORDS, says="for boxes and controllers: label of each pin"),
    ),
    others=VALUE,
)
WIRE = Table(
    title="a wire",
    fields=(
        Field(name="joins", form=ListOf(FILLED, 2), says="nets that it makes one", required=True),
        _text("colour", "its colour"),
        _text("does", "what it carries"),
    ),
)
BOARD = Table(title="a board", fields=(_text("title", "what it is"),))
PHOTO = Table(
    title="a photo",
    fields=(
        _text("file", "path inside the folder", required=True),
        _text("board", "board that it shows"),
        Field(name="side", form=Choice(("front", "back")), says="side that it shows"),
        _text("caption", "for the reader"),
    ),
)
DISTANCE = Table(
    title="a distance",
    fields=(
        Field(name="between", form=ListOf(FILLED, 2), says="the two nets", required=True),
        Field(name="creepage", form=VALUE, says='shortest way along the surface, such as "2.1 mm ± 0.2 mm"'),
        Field(name="clearance", form=VALUE, says="shortest way through air"),
        Field(
            name="insulation",
            form=Choice(("basic", "reinforced")),
            says="what is asked of it; basic if left out",
        ),
        Field(name="surface", form=Choice(SURFACES), says="what it lies on; a printed board if left out"),
        Field(name="pollution_degree", form=Choice(POLLUTION_DEGREES), says="2 if left out"),
        Field(name="material_group", form=Choice(MATERIAL_GROUPS), says="IIIa if left out"),
        Field(name="overvoltage_category", form=Choice(OVERVOLTAGE_CATEGORIES), says="II if left out"),
        Field(
            name="working_voltage",
            form=VALUE,
            says="effective voltage between the nets, if not to be taken from the solved circuit",
        ),
        Field(name="mains", form=VALUE, says="mains voltage, line to neutral, that impulses come from"),
        _text("note", "how it was measured"),
    ),
)
LIGHT = Table(
    title="a light",
    fields=(
        Field(name="parts", form=ListOf(FILLED), says="parts that shine together"),
        Field(name="peak", form=VALUE, says='peak of its spectrum, such as "395 nm"', required=True),
        Field(name="width", form=VALUE, says="full width of the peak at half its height", required=True),
        Field(name="radiant_power", form=VALUE, says="of all the parts together", required=True),
        Field(name="distance", form=VALUE, says="from which it is looked at", required=True),
        Field(name="beam_angle", form=VALUE, says='full angle of its cone, such as "30°"'),
        Field(name="exposure", form=VALUE, says="time a day; eight hours if left out"),
        _text("note", "where the figures come from"),
    ),
)
PUBLICATION = Table(
    title="publication",
    fields=(
        _text("title", "title of the report"),
        _text("author", "who signs it"),
        _text("date", "as it is to be printed"),
        _text("licence", "terms of use"),
        _text("summary", "what was found, in a few sentences"),
    ),
)
DOSSIER = Table(
    title="the dossier",
    fields=(
        Field(name="format", form=Choice(("1",)), says="version of this format"),
        Field(
            name="invented",
            form=Either((Flag(), TEXT)),
            says="that the device is made up: true, or the words to print",
        ),
        Field(name="ground", form=FILLED, says="net that voltages are told against; gnd if left out"),
        Field(
            name="cautions",
            form=ListOf(Choice(tuple(CAUTIONS))),
            says="dangers whose usual cautions are printed",
        ),
        Field(name="notes", form=ListOf(FILLED), says="anything else, one paragraph each"),
        Field(name="device", form=DEVICE, says="the gadget", required=True),
        Field(name="publication", form=PUBLICATION, says="about the report itself"),
        Field(name="claims", form=NamedEntries(CLAIM), says="what box, label and listing claim"),
        Field(name="instruments", form=NamedEntries(INSTRUMENT), says="what was measured with"),
        Field(
            name="situations", form=NamedEntries(SITUATION), says="what is set while measuring and solving"
        ),
        Field(name="readings", form=NamedEntries(READING), says="what was measured"),
        Field(name="trials", form=NamedEntries(TRIAL), says="what was tried"),
        Field(
            name="rails",
            form=NamedEntries(Choice(("supply", "ground", "signal"))),
            says="role of single nets",
        ),
        Field(name="parts", form=NamedEntries(PART), says="the circuit, part by part"),
        Field(name="wires", form=NamedEntries(WIRE), says="wires that make one net of several"),
        Field(name="boards", form=NamedEntries(BOARD), says="the circuit boards"),
        Field(
            name="distances",
            form=NamedEntries(DISTANCE),
            says="distances between nets, to be held against what their voltage asks for",
        ),
        Field(name="light", form=NamedEntries(LIGHT), says="light that eyes or skin may meet"),
        Field(name="photos", form=ListOf(PHOTO), says="photos in the folder"),
    ),
)
"""All that may stand in ``dossier.toml``."""
