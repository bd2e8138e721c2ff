"""What a chip without a name may be: kinds of guess, and their ranking with reasons. Never a fact."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from lidoff.catalogue import catalogue
from lidoff.circuit import Circuit
from lidoff.insight.around import Around
from lidoff.insight.view import view_of
from lidoff.insight.wording import by_number, told_parts

__all__ = [
    "Clue",
    "Guess",
    "GuessKind",
    "PinGuess",
    "Unnamed",
    "all_guesses",
    "told_guess",
    "unnamed_parts",
]

UNKNOWN = 0.0
"""Score of "something else": a guess without a single clue stays below it; our choice."""
WORTH_TELLING = 0.03
"""Share from which a guess is told; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clue:
    """One thing that speaks for a guess where it holds, and against it where it does not.

    Attributes
    ----------
    says : str
        What is seen, as a person says it.
    holds : callable (Around) → bool
    weight : float
        Natural logarithm of how much likelier this is for such a chip than for another; our choice, tuned on the examples.
    missing : float
        The same where it does not hold, negative.
    lacks : str
        How its absence is told; empty to leave it untold.
    """

    says: str
    holds: Callable[[Around], bool]
    weight: float
    missing: float = 0.0
    lacks: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GuessKind:
    """One sort of chip that a nameless one may be.

    Attributes
    ----------
    name, title : str
    example : callable () → Circuit
        A circuit whose nameless chip ``U1`` is one.
    clues : tuple of Clue
    pins : tuple of (int, int)
        Least and most pins that such chips have.
    prior : float
        Natural logarithm of how much commoner such chips are on cheap boards than others; our choice.
    source : str
        Where the usual surroundings are described.
    """

    name: str
    title: str
    example: Callable[[], Circuit]
    clues: tuple[Clue, ...]
    pins: tuple[int, int] = (3, 64)
    prior: float = 0.0
    source: str = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """One guess at what a chip is.

    Attributes
    ----------
    kind, title : str
    share : float
        Its share of the belief among all guesses and "something else", 0 to 1.
    reasons, against : tuple of str
        What speaks for it, what against.
    """

    kind: str
    title: str
    share: float
    reasons: tuple[str, ...]
    against: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PinGuess:
    """Likely role of one pin.

    Attributes
    ----------
    pin, net : str
    role : str
        ``supply``, ``ground``, ``output``, ``input``, or empty where nothing tells.
    why : str
    """

    pin: str
    net: str
    role: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unnamed:
    """A chip without a name, and what it may be.

    Attributes
    ----------
    reference : str
    guesses : tuple of Guess
        The likeliest first; empty where nothing speaks for anything.
    pins : tuple of PinGuess
        Pins whose role the dossier does not tell.
    """

    reference: str
    guesses: tuple[Guess, ...]
    pins: tuple[PinGuess, ...]

    @property
    def rest(self) -> float:
        """Share of the belief that none of the guesses told is right."""
        return 1.0 - sum(one.share for one in self.guesses)


@cache
def all_guesses() -> Mapping[str, GuessKind]:
    """Every kind of guess by name, sorted."""
    from lidoff.insight import guesses

    return catalogue(guesses, of=GuessKind)


def unnamed_parts(circuit: Circuit, *, references: Sequence[str] = ()) -> tuple[Unnamed, ...]:
    """Chips without a name, and what their surroundings suggest.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    references : sequence of str, optional
        Which parts; every box without a marking that says what it does, if not given.

    Returns
    -------
    tuple of Unnamed
        By reference.

    Notes
    -----
    Clues are added as logarithms of likelihood ratios, as if they were independent given what the chip is, and turned into
    shares beside "something else". The weights are choices: the order means more than the shares.
    """
    view = view_of(circuit)
    wanted = set(references) or {
        one.reference for one in view.by_kind.get("box", ()) if len(one.nets) >= 3 and not one.part.does
    }
    found = []
    for one in sorted(view.parts, key=lambda part: by_number(part.reference)):
        if one.reference in wanted:
            around = Around(view=view, chip=one)
            found.append(Unnamed(reference=one.reference, guesses=_ranked(around), pins=_pins(around)))
    return tuple(found)


def _ranked(around: Around) -> tuple[Guess, ...]:
    number = len(around.chip.nets)
    scored = [
        (_score(around, kind), kind)
        for kind in all_guesses().values()
        if kind.pins[0] <= number <= kind.pins[1]
    ]
    top = max((score for score, _ in scored), default=UNKNOWN)
    top = max(top, UNKNOWN)
    whole = math.exp(UNKNOWN - top) + sum(math.exp(score - top) for score, _ in scored)
    guesses = []
    for score, kind in sorted(scored, key=lambda pair: (-pair[0], pair[1].name)):
        share = math.exp(score - top) / whole
        if share >= WORTH_TELLING and score > UNKNOWN:
            guesses.append(
                Guess(
                    kind=kind.name,
                    title=kind.title,
                    share=share,
                    reasons=tuple(clue.says for clue in kind.clues if clue.holds(around)),
                    against=tuple(clue.lacks for clue in kind.clues if clue.lacks and not clue.holds(around)),
                )
            )
    return tuple(guesses)


def _score(around: Around, kind: GuessKind) -> float:
    return kind.prior + sum(clue.weight if clue.holds(around) else clue.missing for clue in kind.clues)


ROLES = (
    ("output", ("gate",), "it reaches a gate"),
    ("output", ("base",), "it reaches a transistor's base"),
    ("output", ("sounder",), "it reaches a sounder"),
    ("output", ("coil",), "it is on a coil"),
    ("output", ("led",), "it reaches an LED"),
    ("input", ("button",), "a button is on it"),
    ("input", ("divider",), "the tap of two resistors is on it"),
    ("input", ("sensor",), "a sensor is on it"),
    ("input", ("optocoupler output",), "an optocoupler's output is on it"),
    ("input", ("sense resistor",), "a small resistor that carries a current is on it"),
    ("input", ("pad",), "a pad of copper is on it"),
    ("input", ("resistor to ground",), "only a resistor to the ground sets it"),
)
"""Role of a pin, what it must be joined to, and how that is told; the first that fits counts. Common practice, no source."""


def _pins(around: Around) -> tuple[PinGuess, ...]:
    found = []
    for pin, net in around.chip.nets.items():
        if around.chip.part.pin_roles.get(pin):
            continue
        role, why = "", "nothing tells"
        if pin in around.grounds:
            role, why = "ground", "it is on a ground"
        elif pin in around.supplies:
            role, why = "supply", "it is on a supply"
            if "capacitor to ground" in around.near[pin]:
                why = "it is on a supply, with a capacitor to the ground"
        else:
            for told, words, reason in ROLES:
                if set(words) <= around.near[pin]:
                    role, why = told, reason
                    break
        found.append(PinGuess(pin=pin, net=net, role=role, why=why))
    return tuple(found)


def told_guess(one: Unnamed) -> str:
    """The ranking in a sentence."""
    if not one.guesses:
        return f"nothing round {one.reference} says what it may be"
    first = one.guesses[0]
    others = told_parts([f"{other.title} ({_percent(other.share)})" for other in one.guesses[1:3]])
    more = f"; else {others}" if others else ""
    return f"{one.reference} may be a {first.title} ({_percent(first.share)}){more}"


def _percent(share: float) -> str:
    return f"{100.0 * min(share, 0.99):.0f} %"
