"""Parts on a board of which the dossier does not tell yet what they are."""

from lidoff.board import Board, PlacedPart, place_part
from lidoff.dossier import analyse, board_text, circuit_of, dossier_from_text
from lidoff.dossier.untold import UntoldPart, untold_parts
from tests.dossier.test_traced import HEAD, LAYOUT, PERFECT, parts_of_layout, true_nets

FIRST = LAYOUT.bodies[0].reference


def of_perfect(text: str) -> tuple[UntoldPart, ...]:
    dossier = dossier_from_text(HEAD + text, boards={"boards/lamp.json": PERFECT})
    return untold_parts(dossier.parts, dossier.traced)


def lands_of_first() -> dict[str, str]:
    return {pin.rpartition(".")[2]: net for pin, net in true_nets().items() if pin.startswith(f"{FIRST}.")}


def test_every_placed_part_without_an_entry_is_told_with_its_lands_and_nets() -> None:
    found = of_perfect("")
    assert [body.reference for body in LAYOUT.bodies] == [one.reference for one in found]
    first = found[0]
    assert ("lamp", LAYOUT.bodies[0].side) == (first.board, first.side)
    assert lands_of_first() == dict(first.lands)


def test_a_told_part_is_no_longer_untold() -> None:
    rest = parts_of_layout().replace(f"[parts.{FIRST}]", "[parts.X99]")
    assert [FIRST] == [one.reference for one in of_perfect(rest)]
    assert () == of_perfect(parts_of_layout())


def test_nets_of_an_untold_part_have_the_names_that_they_will_have_in_the_circuit() -> None:
    bare = board_text(
        Board(name="lamp", outline=((0.0, 0.0), (30.0, 0.0), (30.0, 20.0)), parts=(resistor(),))
    )
    dossier = dossier_from_text(HEAD, boards={"boards/lamp.json": bare})
    before = untold_parts(dossier.parts, dossier.traced)[0]
    told = dossier_from_text(HEAD + '[parts.R1]\nkind = "fuse"\n', boards={"boards/lamp.json": bare})
    assert dict(circuit_of(told).parts[0].pins) == dict(before.lands)


def resistor() -> PlacedPart:
    return place_part("0603", reference="R1", side="front", first=(5.0, 5.0), second=(6.6, 5.0))


def test_the_finding_of_an_untold_part_says_where_to_tell_it() -> None:
    dossier = dossier_from_text(HEAD, boards={"boards/lamp.json": PERFECT})
    told = [one.remedy for one in analyse(dossier).findings if f"{FIRST} (" in one.what]
    assert [
        f"say its kind and value under Circuit on the workbench, or as [parts.{FIRST}]; or take it off the board"
    ] == told
