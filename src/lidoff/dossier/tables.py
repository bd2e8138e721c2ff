"""The tables and keys of ``dossier.toml``: the one place that says what may stand in it."""

from __future__ import annotations

from lidoff.dossier.drawing import FARTHEST_PIN
from lidoff.dossier.formats import NEWEST
from lidoff.dossier.forms import Choice, Either, Field, Flag, ListOf, NamedEntries, Table, Text, Value, Whole
from lidoff.dossier.hazard_forms import HAZARD_FIELDS
from lidoff.dossier.log_forms import LOG, TAKEN
from lidoff.evidence import CAUTIONS, MEASURES, RESPONDS, SENSES

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
        Field(
            name="burden",
            form=VALUE,
            says='for currents: what it puts into the circuit, "0.1 Ω" or "1.8 mV/mA"',
        ),
        Field(name="crest_factor", form=VALUE, says="for AC: the largest that its accuracy holds for"),
        _text("band", 'for AC: frequencies that its accuracy holds for, such as "45 Hz to 1 kHz"'),
        Field(
            name="responds",
            form=Choice(RESPONDS),
            says="for AC: what it makes its reading of (true rms if not told)",
        ),
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
    _text("against", "the other net, if not the ground"),
    _text("across", "part whose voltage is told, first pin of its path against the second"),
    _text("current", 'part, or "U1.vdd" for the current into one pin; of a supply, what it delivers'),
    _text("power", "part; what it takes up, of a supply what it delivers"),
    _text("quantity", 'a quantity that is not in the circuit, such as "run time"'),
)
READING = Table(
    title="a reading",
    fields=(
        *TARGET,
        _text("resistance", "net that the red probe touches, on the ohm range, without power"),
        _text("diode", "net that the red probe touches, on the diode range, without power"),
        Field(
            name="shown",
            form=VALUES,
            says="what the display showed, digits as shown; a list for repeats; without power also over range",
        ),
        Field(name="from_log", form=TAKEN, says="in place of shown: what is taken from a log"),
        _text("situation", "where it was taken"),
        _text("instrument", "name of the instrument"),
        Field(name="measures", form=Choice(tuple(MEASURES)), says="where the unit alone does not tell"),
        Field(
            name="range", form=VALUE, says="full scale of the range used, if not the smallest that holds it"
        ),
        Field(name="crest_factor", form=VALUE, says="for AC: peak over rms value of the signal, where known"),
        Field(name="frequency", form=VALUE, says="for AC: of the signal, where known"),
        _text("read_with", "reading whose repeats were taken at the same moments"),
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
        _text("worked", 'how often it worked, for what was tried several times: "9 of 10"'),
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
FROM_TRIAL = Table(
    title="a share of tries",
    fields=(_text("trial", "name of the trial, which tells how often it worked", required=True),),
)
CLAIM = Table(
    title="a claim",
    fields=(
        _text("kind", "kind of claim", required=True),
        _text("says", "the words as printed", required=True),
        Field(
            name="value",
            form=VALUE,
            says="what is claimed, with unit, or a word that the kind knows",
            required=True,
        ),
        _text("where", "where it is printed"),
        Field(name="sense", form=Choice(SENSES), says="how it is read, if not as usual for its kind"),
        Field(name="tolerance", form=VALUE, says='what is granted to it, such as "10 %"'),
        Field(
            name="from",
            form=NamedEntries(Either((FILLED, FROM_SOLUTION, FROM_STATEMENT, FROM_TRIAL))),
            says=(
                'by role: name of a reading, { situation = "…", current = "M1" }, { value = "…", why = "…" }, or '
                '{ trial = "…" }'
            ),
        ),
        Field(name="trials", form=ListOf(FILLED), says="trials that speak to it, told beside the verdict"),
        _text("note", "how you read it"),
    ),
)
PART = Table(
    title="a part",
    fields=(
        _text("kind", "kind of part", required=True),
        Field(
            name="pins",
            form=NamedEntries(FILLED),
            says="net of each pin; what a traced board tells may be left out",
        ),
        Field(name="value", form=VALUE, says="its main value, such as the resistance of a resistor"),
        _text("marking", "what is printed on it"),
        _text("package", "its body"),
        _text("does", "what it does here"),
        _text("board", "the board it sits on"),
        Field(
            name="lands",
            form=NamedEntries(Either((FILLED, ListOf(FILLED, 1)))),
            says='on a traced board: land of the package under each pin, where it bears another name, such as { gate = "1" }',
        ),
        Field(
            name="stands_for",
            form=ListOf(FILLED, 1),
            says="for a steady supply that is no part of the device: the parts, an alternating supply among them, that it "
            "stands for on average; it feeds the circuit at rest, they feed it over time",
        ),
        _text("stock_line", "a stock line that such a part can be had under"),
        _text("unit_cost", "what one costs, with currency and number bought"),
        _text("reel_cost", "what a reel costs, with currency and number on it"),
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
BOARD = Table(
    title="a board",
    fields=(
        _text("title", "what it is"),
        Field(name="width", form=VALUE, says='its edge from left to right on the front, such as "38 mm"'),
        Field(name="height", form=VALUE, says="its edge from top to bottom; one of the two is enough"),
        Field(name="thickness", form=VALUE, says="of the laminate; 1.6 mm if left out"),
    ),
)
PHOTO = Table(
    title="a photo",
    fields=(
        _text("file", "path inside the folder", required=True),
        _text("board", "board that it shows; none is traced from a photo that does not say it"),
        Field(name="side", form=Choice(("front", "back")), says="side that it shows"),
        Field(
            name="shows",
            form=Choice(("whole", "close-up")),
            says="a close-up is laid into the photo of the whole side; several whole ones are made one without glare",
        ),
        _text("caption", "for the reader"),
    ),
)
OWN_WORDS = Table(
    title="own words for a chapter",
    fields=(
        _text("before", "Markdown that stands at the head of the chapter"),
        _text("instead", "Markdown that stands in place of what the chapter would say"),
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
        Field(
            name="numbers",
            form=Choice(("point", "comma")),
            says="decimal sign of numbers with units; point if left out",
        ),
        Field(name="units", form=ListOf(FILLED), says='units to print in, such as ["mA", "mW"]'),
        Field(
            name="words",
            form=NamedEntries(OWN_WORDS),
            says="your own words, by name of a chapter of the report",
        ),
        Field(name="stills", form=ListOf(FILLED), says="scenes or stills, in the order they are to stand in"),
        Field(name="captions", form=WORDS, says="caption of a still, by its name"),
    ),
)
DECISION = Table(
    title="a decision",
    fields=(
        _text("finding", "name of the finding", required=True),
        Field(
            name="says",
            form=Choice(("accepted", "dismissed")),
            says="whether it is taken for true or put aside",
            required=True,
        ),
        _text("reason", "why; must be told where it is dismissed"),
        Field(name="parts", form=ListOf(FILLED), says="parts that the finding is about"),
        Field(name="nets", form=ListOf(FILLED), says="nets that it is about"),
        Field(name="claims", form=ListOf(FILLED), says="claims that it is about"),
        Field(name="readings", form=ListOf(FILLED), says="readings that it is about"),
        Field(name="situations", form=ListOf(FILLED), says="situations that it is about"),
    ),
)
STEPS = Whole(least=-FARTHEST_PIN, most=FARTHEST_PIN)
PINNED = Table(
    title="a pinned part",
    fields=(
        Field(name="x", form=STEPS, says="centre of its symbol in grid steps to the right", required=True),
        Field(name="y", form=STEPS, says="and downwards", required=True),
        Field(name="quarter_turns", form=Whole(least=0, most=3), says="turned clockwise so many times"),
        Field(name="mirrored", form=Flag(), says="whether left and right change places before turning"),
    ),
)
DRAWING = Table(
    title="the drawing",
    fields=(
        Field(
            name="every_part",
            form=Flag(),
            says="whether repeats are drawn out in place of once with their number",
        ),
        Field(name="keep_apart", form=ListOf(FILLED), says="parts that are always drawn themselves"),
        Field(
            name="similar_values",
            form=Flag(),
            says="whether groups that differ in values alone are drawn once too",
        ),
        Field(name="resistors", form=Choice(("box", "zigzag")), says="shape of resistors; box if left out"),
        Field(
            name="effort",
            form=Whole(least=1, most=20),
            says="how many times longer than usual a good placement is searched for; 1 if left out",
        ),
        Field(name="pinned", form=NamedEntries(PINNED), says="parts that were placed by hand, by reference"),
    ),
)
DOSSIER = Table(
    title="the dossier",
    fields=(
        Field(
            name="format",
            form=Whole(least=NEWEST, most=NEWEST),
            says="version of this format; older ones are read too",
            required=True,
        ),
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
        Field(name="logs", form=NamedEntries(LOG), says="what a meter or logger wrote over time"),
        Field(name="trials", form=NamedEntries(TRIAL), says="what was tried"),
        Field(
            name="rails",
            form=NamedEntries(Choice(("supply", "ground", "signal"))),
            says="role of single nets",
        ),
        Field(name="parts", form=NamedEntries(PART), says="the circuit, part by part"),
        Field(name="wires", form=NamedEntries(WIRE), says="wires that make one net of several"),
        Field(name="boards", form=NamedEntries(BOARD), says="the circuit boards"),
        *HAZARD_FIELDS,
        Field(name="photos", form=ListOf(PHOTO), says="photos in the folder"),
        Field(name="drawing", form=DRAWING, says="what was chosen about the schematic"),
        Field(name="decisions", form=NamedEntries(DECISION), says="what was said of single findings"),
    ),
)
"""All that may stand in ``dossier.toml``."""
