"""One change of a TOML text, with its comments and layout kept.

The text is changed where the key stands and read back by the standard reader; what it then says must be what the same
change of the plain data gives. A layout that cannot hold the change (a list of tables in braces, dotted keys that
another header goes on with) has the one top-level section written anew.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping

from lidoff.dossier.plain_edits import MoveAt, Operation, Path, RemoveAt, RenameAt, SetAt, changed
from lidoff.dossier.toml_outline import Block, Pair, Spot, outline_of
from lidoff.dossier.toml_text import inline_text, key_text, toml_text, value_text
from lidoff.errors import DossierError

__all__ = ["changed_text"]


class _CannotHold(Exception):
    """The text's own layout cannot hold the change."""


def changed_text(text: str, operation: Operation) -> str:
    """TOML text after one operation.

    Parameters
    ----------
    text : str
        Valid TOML.
    operation : Operation
        What to do.

    Returns
    -------
    str
        Valid TOML that says the same as the plain data after the operation, tables left empty aside.

    Raises
    ------
    UnknownName, ImpossibleValue
        As for `lidoff.dossier.plain_edits.changed`.
    DossierError
        The text cannot be changed so.
    """
    data = tomllib.loads(text)
    wanted = changed(data, operation)
    try:
        new = _Surgery(text).done(operation, data)
        if _says(new, wanted):
            return new
    except _CannotHold:
        pass
    new = _rewritten(text, str(operation.path[0]), wanted)
    if not _says(new, wanted):
        raise DossierError(
            f"{'.'.join(map(str, operation.path))} cannot be changed in the file as it is laid out",
            remedy="change it in the file by hand",
        )
    return new


def _says(text: str, wanted: object) -> bool:
    try:
        return _filled(tomllib.loads(text)) == _filled(wanted)
    except (tomllib.TOMLDecodeError, RecursionError):
        return False


def _filled(data: object) -> object:
    """Data without tables and lists that hold nothing, which a text need not tell; true and 1 kept apart."""
    if isinstance(data, Mapping):
        entries = {name: _filled(value) for name, value in data.items()}
        return {name: value for name, value in entries.items() if value not in ({}, [])}
    if isinstance(data, (list, tuple)):
        return [_filled(value) for value in data]
    return (type(data).__name__, data)


def _rewritten(text: str, section: str, wanted: object) -> str:
    """Text with one top-level section written anew, at the place of its first line."""
    assert isinstance(wanted, dict)
    pieces = [(b.start, b.last) for b in outline_of(text) if b.path[:1] == (section,)]
    pieces += [
        (p.start, p.end) for b in outline_of(text) if not b.path for p in b.pairs if p.keys[0] == section
    ]
    plain = toml_text({section: wanted[section]}) if section in wanted else ""
    is_pair = not plain.startswith("[")
    for start, end in sorted(pieces, reverse=True):
        text = text[:start] + text[end:]
    place = 0 if is_pair or not pieces else min(pieces)[0]
    if not pieces and not is_pair:
        place = len(text)
    return _inserted(text, place, plain)


def _inserted(text: str, place: int, piece: str) -> str:
    """Text with whole lines put in, in its own line ends."""
    if not piece:
        return text
    if place and not text[:place].endswith("\n"):
        text, place = text[:place] + "\n" + text[place:], place + 1
    if "\r\n" in text:
        piece = piece.replace("\r\n", "\n").replace("\n", "\r\n")
    return text[:place] + piece + text[place:]


class _Surgery:
    """Changes at the places of one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.blocks = outline_of(text)

    def done(self, operation: Operation, data: object) -> str:
        if isinstance(operation, RenameAt):
            return self.renamed(operation.path, operation.to)
        if isinstance(operation, RemoveAt):
            return self.removed(operation.path)
        if isinstance(operation, MoveAt):
            return self.moved(operation, data)
        if isinstance(operation, SetAt):
            if self.exists(operation.path):
                return self.replaced(operation.path, operation.value)
            return self.added(operation.path, operation.value, "")
        return self.added(operation.path, operation.value, operation.before)

    # ---- finding

    def pair_at(self, path: Path) -> tuple[Block, Pair] | None:
        """Pair on lines of its own that is just this path."""
        for block in self.blocks:
            if block.path == path[: len(block.path)]:
                for pair in block.pairs:
                    if (*block.path, *pair.keys) == path:
                        return block, pair
        return None

    def value_at(self, path: Path) -> tuple[Spot, bool] | None:
        """Value at a path, and whether it stands in braces or brackets."""
        for block in self.blocks:
            if block.path == path[: len(block.path)]:
                for pair in block.pairs:
                    keys = (*block.path, *pair.keys)
                    if keys == path[: len(keys)]:
                        found = _inside(pair.value, path[len(keys) :])
                        if found is not None:
                            return found, len(keys) < len(path)
        return None

    def blocks_at(self, path: Path) -> list[Block]:
        return [block for block in self.blocks if block.path[: len(path)] == path and block.path]

    def exists(self, path: Path) -> bool:
        return self.value_at(path) is not None or bool(self.blocks_at(path))

    # ---- changing

    def replaced(self, path: Path, value: object) -> str:
        found = self.value_at(path)
        if found is not None:
            spot, inside = found
            return self.text[: spot.start] + _written(value, inside) + self.text[spot.end :]
        blocks = self.blocks_at(path)
        if not isinstance(value, dict) or any(isinstance(key, int) for key in path):
            raise _CannotHold
        start = blocks[0].body if blocks[0].path == path else blocks[0].start
        first = blocks[0].start if blocks[0].path != path else self.header_line(blocks[0])
        piece = _block_text(path, value)
        text = self.text
        for block in reversed(blocks[1:]):
            text = text[: block.start] + text[block.last :]
        return _inserted(text[:first] + text[max(start, blocks[0].last) :], first, piece)

    def header_line(self, block: Block) -> int:
        return self.text.rfind("\n", 0, block.places[0][0]) + 1

    def added(self, path: Path, value: object, before: str) -> str:
        parent, key = path[:-1], path[-1]
        if isinstance(key, int):
            return self.added_entry(parent, key, value)
        held = self.value_at(parent) if parent else None
        if held is not None:
            return self.added_inside(held[0], key, value, before)
        if isinstance(value, dict) and value and len(path) <= 2:
            return self.added_block(path, value, before)
        own = next((b for b in self.blocks if b.path == parent and (b.path or not parent)), None)
        if own is None:
            if any(isinstance(step, int) for step in parent):
                raise _CannotHold
            return self.added_block(parent, {key: value}, "")
        line = f"{key_text(key)} = {_written(value, False)}\n"
        if before:
            found = self.pair_at((*parent, before))
            if found is None:
                raise _CannotHold
            return _inserted(self.text, found[1].start, line)
        return _inserted(self.text, own.last, line)

    def added_block(self, path: Path, value: dict[str, object], before: str) -> str:
        """Block under a header of its own: before a row, after its siblings, or at the end."""
        piece = _block_text(path, value)
        if before:
            later = self.blocks_at((*path[:-1], before))
            if not later:
                raise _CannotHold
            return _inserted(self.text, later[0].start, piece + "\n")
        siblings = self.blocks_at(path[:-1]) if len(path) > 1 else []
        if siblings:
            return _inserted(self.text, siblings[-1].last, "\n" + piece)
        end = self.text.rstrip()
        return _inserted(end + "\n" if end else "", len(end) + 1 if end else 0, ("\n" if end else "") + piece)

    def added_inside(self, spot: Spot, key: str, value: object, before: str) -> str:
        if spot.kind != "table":
            raise _CannotHold
        pair = f"{key_text(key)} = {_written(value, True)}"
        if not spot.pairs:
            return self.text[: spot.start] + "{ " + pair + " }" + self.text[spot.end :]
        later = next((one for one in spot.pairs if one.keys == (before,)), None) if before else None
        if later is not None:
            return self.text[: later.start] + pair + ", " + self.text[later.start :]
        end = spot.pairs[-1].end
        return self.text[:end] + ", " + pair + self.text[end:]

    def added_entry(self, parent: Path, number: int, value: object) -> str:
        held = self.value_at(parent)
        if held is not None:
            spot = held[0]
            if spot.kind != "array":
                raise _CannotHold
            piece = _written(value, True)
            if not spot.entries:
                return self.text[: spot.start] + f"[{piece}]" + self.text[spot.end :]
            if number in (-1, len(spot.entries)):
                end = spot.entries[-1].end
                return self.text[:end] + ", " + piece + self.text[end:]
            start = spot.entries[number].start
            return self.text[:start] + piece + ", " + self.text[start:]
        entries = [block for block in self.blocks_at(parent) if block.path == (*parent, block.path[-1])]
        if not isinstance(value, dict) or not entries or any(isinstance(key, int) for key in parent):
            raise _CannotHold
        lines = "".join(f"{key_text(name)} = {_written(entry, False)}\n" for name, entry in value.items())
        piece = f"[[{'.'.join(key_text(str(key)) for key in parent)}]]\n{lines}"
        if number in (-1, len(entries)):
            return _inserted(self.text, self.blocks_at(parent)[-1].last, "\n" + piece)
        return _inserted(self.text, entries[number].start, piece + "\n")

    def removed(self, path: Path) -> str:
        pair = self.pair_at(path)
        if pair is not None:
            return self.text[: pair[1].start] + self.text[pair[1].end :]
        blocks = self.blocks_at(path)
        if blocks:
            text = self.text
            for block in reversed(blocks):
                text = _closed(text[: block.start], text[block.last :])
            return text
        held = self.value_at(path[:-1])
        if held is None:
            raise _CannotHold
        spot = held[0]
        pieces = (
            [(one.start, one.end) for one in spot.pairs]
            if spot.kind == "table"
            else [(one.start, one.end) for one in spot.entries]
        )
        number = (
            path[-1] if isinstance(path[-1], int) else [one.keys for one in spot.pairs].index((path[-1],))
        )
        start, end = pieces[number]
        if number + 1 < len(pieces):
            return self.text[:start] + self.text[pieces[number + 1][0] :]
        if number:
            return self.text[: pieces[number - 1][1]] + self.text[end:]
        return self.text[:start].rstrip(" ") + self.text[end:].lstrip(" ")

    def moved(self, operation: MoveAt, data: object) -> str:
        path = operation.path
        blocks = self.blocks_at(path)
        if blocks and isinstance(path[-1], str):
            pieces = [self.text[block.start : block.last] for block in blocks]
            rest = self.removed(path)
            names = [name for name in _held(data, path[:-1]) if name != path[-1]]
            other = _Surgery(rest)
            following = names[operation.to] if operation.to < len(names) else ""
            later = other.blocks_at((*path[:-1], following)) if following else []
            piece = "\n".join(one.rstrip("\n") + "\n" for one in pieces)
            if following and not later:
                raise _CannotHold
            if later:
                return _inserted(rest, later[0].start, piece + "\n")
            last = other.blocks_at(path[:-1])
            if not last:
                raise _CannotHold
            return _inserted(rest, last[-1].last, "\n" + piece)
        pair = self.pair_at(path)
        if pair is not None:
            return self.moved_line(pair[0], pair[1], operation.to)
        held = self.value_at(path[:-1])
        if held is None:
            raise _CannotHold
        return self.text[: held[0].start] + _written(
            _held(changed(data, operation), path[:-1]), held[1]
        ) + self.text[held[0].end :]  # fmt: skip

    def moved_line(self, block: Block, pair: Pair, to: int) -> str:
        others = [one for one in block.pairs if one is not pair]
        if to > len(others) or any(len(one.keys) > 1 for one in block.pairs):
            raise _CannotHold
        line = self.text[pair.start : pair.end]
        place = others[to].start if to < len(others) else block.last
        if place <= pair.start:
            return _inserted(self.text[: pair.start] + self.text[pair.end :], place, line)
        return (
            self.text[: pair.start]
            + _inserted(self.text[pair.end : place], place - pair.end, line)
            + self.text[place:]
        )

    def renamed(self, path: Path, to: str) -> str:
        places = {
            block.places[len(path) - 1] for block in self.blocks_at(path) if len(block.path) >= len(path)
        }
        for block in self.blocks:
            if block.path == path[: len(block.path)] and len(block.path) < len(path):
                for pair in block.pairs:
                    places.update(_key_places(pair, path[len(block.path) :]))
        text = self.text
        for start, end in sorted(places, reverse=True):
            text = text[:start] + key_text(to) + text[end:]
        return text


def _held(data: object, path: Path) -> dict[str, object]:
    for key in path:
        data = data[key]  # type: ignore[index]
    return data  # type: ignore[return-value]


def _inside(spot: Spot, rest: Path) -> Spot | None:
    """Value below another, by keys of tables in braces and positions in lists."""
    if not rest:
        return spot
    if spot.kind == "array" and isinstance(rest[0], int):
        return _inside(spot.entries[rest[0]], rest[1:]) if 0 <= rest[0] < len(spot.entries) else None
    for pair in spot.pairs:
        if pair.keys == rest[: len(pair.keys)]:
            found = _inside(pair.value, rest[len(pair.keys) :])
            if found is not None:
                return found
    return None


def _key_places(pair: Pair, rest: Path) -> list[tuple[int, int]]:
    """Places of the last key of a path, in a pair or inside its value."""
    if pair.keys[: len(rest)] == rest:
        return [pair.places[len(rest) - 1]]
    if pair.keys != rest[: len(pair.keys)]:
        return []
    spot: Spot | None = pair.value
    rest = rest[len(pair.keys) :]
    while spot is not None and rest and isinstance(rest[0], int):
        spot = spot.entries[rest[0]] if spot.kind == "array" and rest[0] < len(spot.entries) else None
        rest = rest[1:]
    return [place for one in spot.pairs for place in _key_places(one, rest)] if spot is not None else []


def _written(value: object, inside: bool) -> str:
    return inline_text(value) if inside else value_text(value)


def _block_text(path: Path, value: Mapping[str, object]) -> str:
    """Lines of a table under its own header, and of the tables in it that have theirs."""
    nested: object = value
    for key in reversed(path):
        nested = {str(key): nested}
    assert isinstance(nested, dict)
    return toml_text(nested)


def _closed(before: str, after: str) -> str:
    """Two pieces of a text without the blank lines that would double between them."""
    if before.endswith("\n\n") and after.startswith("\n"):
        return before + after[1:]
    return before + after
