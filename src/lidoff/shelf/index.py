"""The index of a shelf: one SQLite file, made from the folders and made anew from them at any time."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from lidoff.errors import DossierError
from lidoff.shelf.entry import ShelfBlock, ShelfClaim, ShelfEntry, ShelfNumber, ShelfPart
from lidoff.shelf.folding import folded

__all__ = ["INDEX_NAME", "Index", "open_index"]

INDEX_NAME = "shelf.sqlite"
FORMAT = "4"
TABLES = """
CREATE TABLE IF NOT EXISTS told (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS dossiers (
    id INTEGER PRIMARY KEY, folder TEXT UNIQUE NOT NULL, stamp TEXT NOT NULL, problem TEXT NOT NULL DEFAULT '',
    title TEXT NOT NULL DEFAULT '', maker TEXT NOT NULL DEFAULT '', model TEXT NOT NULL DEFAULT '',
    parts INTEGER NOT NULL DEFAULT 0);
CREATE TABLE IF NOT EXISTS parts (
    dossier INTEGER NOT NULL, reference TEXT NOT NULL, kind TEXT NOT NULL, marking TEXT NOT NULL, package TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS numbers (
    dossier INTEGER NOT NULL, reference TEXT NOT NULL, parameter TEXT NOT NULL, value REAL NOT NULL, unit TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS blocks (dossier INTEGER NOT NULL, kind TEXT NOT NULL, title TEXT NOT NULL, parts TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS claims (
    dossier INTEGER NOT NULL, name TEXT NOT NULL, kind TEXT NOT NULL, says TEXT NOT NULL, sense TEXT NOT NULL,
    verdict TEXT NOT NULL, claimed REAL, found REAL, unit TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS labels (
    label INTEGER NOT NULL, dossier INTEGER NOT NULL, count INTEGER NOT NULL, PRIMARY KEY (label, dossier)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS texts (dossier INTEGER NOT NULL, place TEXT NOT NULL, text TEXT NOT NULL);
CREATE VIRTUAL TABLE IF NOT EXISTS words USING fts5 (text, tokenize = "unicode61 remove_diacritics 2", prefix = '2 3');
CREATE INDEX IF NOT EXISTS parts_kind ON parts (kind, dossier);
CREATE INDEX IF NOT EXISTS parts_marking ON parts (marking COLLATE NOCASE, dossier);
CREATE INDEX IF NOT EXISTS parts_dossier ON parts (dossier);
CREATE INDEX IF NOT EXISTS numbers_value ON numbers (unit, value, dossier);
CREATE INDEX IF NOT EXISTS numbers_dossier ON numbers (dossier);
CREATE INDEX IF NOT EXISTS blocks_kind ON blocks (kind, dossier);
CREATE INDEX IF NOT EXISTS blocks_dossier ON blocks (dossier);
CREATE INDEX IF NOT EXISTS claims_kind ON claims (kind, verdict, dossier);
CREATE INDEX IF NOT EXISTS claims_dossier ON claims (dossier);
CREATE INDEX IF NOT EXISTS labels_dossier ON labels (dossier, label, count);
CREATE INDEX IF NOT EXISTS texts_dossier ON texts (dossier);
"""
DEPENDENT = ("parts", "numbers", "blocks", "claims", "labels", "texts")


class Index:
    """An open index.

    Parameters
    ----------
    connection : sqlite3.Connection
        From `open_index`.
    """

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection

    def stamps(self) -> dict[str, str]:
        """By folder: stamp of the files that its entry was made from."""
        return dict(self.connection.execute("SELECT folder, stamp FROM dossiers"))

    def problems(self) -> dict[str, str]:
        """By folder: why a dossier could not be read."""
        return dict(
            self.connection.execute(
                "SELECT folder, problem FROM dossiers WHERE problem <> '' ORDER BY folder"
            )
        )

    def count(self) -> int:
        """Dossiers that could be read."""
        return int(self.connection.execute("SELECT count(*) FROM dossiers WHERE problem = ''").fetchone()[0])

    def keep(self, entry: ShelfEntry, stamp: str) -> None:
        """Put an entry in, in place of an earlier one of the same folder."""
        with self._change():
            number = self._fresh(entry.folder, stamp)
            self.connection.execute(
                "UPDATE dossiers SET title = ?, maker = ?, model = ?, parts = ?, problem = '' WHERE id = ?",
                (entry.title, entry.maker, entry.model, len(entry.parts), number),
            )
            self._many("parts", ((number, p.reference, p.kind, p.marking, p.package) for p in entry.parts), 5)
            self._many(
                "numbers", ((number, n.reference, n.parameter, n.value, n.unit) for n in entry.numbers), 5
            )
            self._many("blocks", ((number, b.kind, b.title, " ".join(b.parts)) for b in entry.blocks), 4)
            self._many("claims", ((number, *_claim_row(claim)) for claim in entry.claims), 9)
            self._many("labels", ((label, number, count) for label, count in entry.labels.items()), 3)
            self._many("texts", ((number, place, text) for place, text in entry.texts.items()), 3)
            self.connection.execute(
                "INSERT INTO words (rowid, text) VALUES (?, ?)",
                (number, folded("\n".join(entry.texts.values()))),
            )

    def keep_problem(self, folder: str, stamp: str, problem: str) -> None:
        """Note that a dossier could not be read, and why."""
        with self._change():
            number = self._fresh(folder, stamp)
            self.connection.execute("UPDATE dossiers SET problem = ? WHERE id = ?", (problem, number))

    def forget(self, folder: str) -> None:
        """Take the entry of a folder out."""
        with self._change():
            number = self._number(folder)
            if number is not None:
                self._clear(number)
                self.connection.execute("DELETE FROM dossiers WHERE id = ?", (number,))

    def words_of(self, table: str, column: str) -> list[str]:
        """Different words of a column, sorted.

        Parameters
        ----------
        table, column : str
            Of the index's own.

        Returns
        -------
        list of str
            Without the empty one.
        """
        rows = self.connection.execute(f"SELECT DISTINCT {column} FROM {table} ORDER BY {column}")
        return [word for (word,) in rows if word]

    def entry(self, folder: str) -> ShelfEntry | None:
        """Entry of a folder, without its texts; None where there is none."""
        row = self.connection.execute(
            "SELECT id, title, maker, model FROM dossiers WHERE folder = ? AND problem = ''", (folder,)
        ).fetchone()
        if row is None:
            return None
        number, title, maker, model = row

        def rows(query: str) -> Iterator[tuple[object, ...]]:
            yield from self.connection.execute(f"{query} WHERE dossier = ? ORDER BY rowid", (number,))

        return ShelfEntry(
            folder=folder,
            title=title,
            maker=maker,
            model=model,
            parts=tuple(
                ShelfPart(reference=str(r), kind=str(k), marking=str(m), package=str(p))
                for r, k, m, p in rows("SELECT reference, kind, marking, package FROM parts")
            ),
            numbers=tuple(
                ShelfNumber(reference=str(r), parameter=str(p), value=float(str(v)), unit=str(u))
                for r, p, v, u in rows("SELECT reference, parameter, value, unit FROM numbers")
            ),
            blocks=tuple(
                ShelfBlock(kind=str(k), title=str(t), parts=tuple(str(p).split()))
                for k, t, p in rows("SELECT kind, title, parts FROM blocks")
            ),
            claims=tuple(claim for _, claim in self.claims(folder)),
            labels=dict(
                self.connection.execute("SELECT label, count FROM labels WHERE dossier = ?", (number,))
            ),
        )

    def claims(self, folder: str = "") -> Iterator[tuple[str, ShelfClaim]]:
        """Claims on the shelf, in the order in which they were put in.

        Parameters
        ----------
        folder : str, optional
            The folder of the one dossier to read; of all of them if empty.

        Yields
        ------
        folder : str
            Where the claim's dossier lies.
        claim : ShelfClaim
            The claim with its verdict and the sums' figures.
        """
        of_one = "WHERE folder = ? " if folder else ""
        for place, name, kind, says, sense, verdict, claimed, found, unit in self.connection.execute(
            "SELECT folder, name, kind, says, sense, verdict, claimed, found, unit FROM claims "
            f"JOIN dossiers ON dossiers.id = claims.dossier {of_one}ORDER BY claims.rowid",
            (folder,) if folder else (),
        ):
            yield place, ShelfClaim(
                name=name, kind=kind, says=says, sense=sense, verdict=verdict, claimed=claimed, found=found, unit=unit,
            )  # fmt: skip

    def _number(self, folder: str) -> int | None:
        row = self.connection.execute("SELECT id FROM dossiers WHERE folder = ?", (folder,)).fetchone()
        return None if row is None else int(row[0])

    def _fresh(self, folder: str, stamp: str) -> int:
        """Number of a folder's entry, with nothing in it."""
        number = self._number(folder)
        if number is None:
            made = self.connection.execute(
                "INSERT INTO dossiers (folder, stamp) VALUES (?, ?)", (folder, stamp)
            )
            assert made.lastrowid is not None
            return made.lastrowid
        self._clear(number)
        self.connection.execute(
            "UPDATE dossiers SET stamp = ?, title = '', maker = '', model = '', parts = 0 WHERE id = ?",
            (stamp, number),
        )
        return number

    def _clear(self, number: int) -> None:
        self.connection.execute("DELETE FROM words WHERE rowid = ?", (number,))
        for table in DEPENDENT:
            self.connection.execute(f"DELETE FROM {table} WHERE dossier = ?", (number,))

    def _many(self, table: str, rows: Iterable[tuple[object, ...]], columns: int) -> None:
        self.connection.executemany(f"INSERT INTO {table} VALUES ({', '.join('?' * columns)})", rows)

    @contextmanager
    def _change(self) -> Iterator[None]:
        """All of it or nothing."""
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            yield
        except BaseException:
            self.connection.execute("ROLLBACK")
            raise
        self.connection.execute("COMMIT")


def _claim_row(claim: ShelfClaim) -> tuple[object, ...]:
    return (
        claim.name, claim.kind, claim.says, claim.sense, claim.verdict, claim.claimed, claim.found, claim.unit,
    )  # fmt: skip


@contextmanager
def open_index(file: Path, *, afresh: bool = False) -> Iterator[Index]:
    """Open the index of a shelf; it is made where there is none, or none of this version.

    Parameters
    ----------
    file : Path
        The SQLite file.
    afresh : bool
        Whether to begin with an empty one.

    Yields
    ------
    Index
        Closed at the end.

    Raises
    ------
    DossierError
        The file cannot be opened or is no index.
    """
    try:
        if afresh:
            _remove(file)
        connection = _connected(file)
    except (OSError, sqlite3.Error) as error:
        raise DossierError(
            f"the index of the shelf cannot be opened ({error})",
            where=str(file),
            remedy="choose another place for it with --index, or make it anew with --afresh",
        ) from None
    try:
        yield Index(connection)
    except sqlite3.Error as error:
        raise DossierError(
            f"the index of the shelf cannot be used ({error})",
            where=str(file),
            remedy="make it anew with --afresh: all that is in it stands in the dossiers",
        ) from None
    finally:
        connection.close()


def _connected(file: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(file, timeout=20.0, isolation_level=None)
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = NORMAL")
        connection.executescript(TABLES)
        row = connection.execute("SELECT value FROM told WHERE name = 'format'").fetchone()
        if row is None:
            connection.execute("INSERT OR REPLACE INTO told VALUES ('format', ?)", (FORMAT,))
        elif row[0] != FORMAT:
            connection.close()
            _remove(file)
            return _connected(file)
    except BaseException:
        connection.close()
        raise
    return connection


def _remove(file: Path) -> None:
    for suffix in ("", "-wal", "-shm"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
