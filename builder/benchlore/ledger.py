"""What was worked out in earlier runs, as rows of plain text in one file; a run's changes are kept together or not at all.

SQLite keeps the file whole when the machine stops, and lets one run see one state of it.  Whatever is wrong with the
file costs time and nothing else: then the ledger is an empty one in memory.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

TABLES = ("state", "entry", "work", "number", "reader", "problem", "posting", "retired")

AT_A_TIME = 500  # names in one question


class Row(NamedTuple):
    """What is kept under a name: a key (a digest of what it was made from or of what it is) and a text."""

    key: str
    text: str


GONE = Row("", "\0gone")


class Lost(Exception):
    """The file failed while it held what this run needs: do it again without one."""


class Ledger:
    """Rows by table and name.  Changes are held in memory until ``flush`` or ``keep``."""

    def __init__(self, path: Path | None, version: str) -> None:
        """Open the ledger at ``path``; one that another version of the code wrote counts as empty."""
        self._changed: dict[str, dict[str, Row]] = {table: {} for table in TABLES}
        self._path, self._process = path, os.getpid()
        self._connection = _opened(path, version)
        self._generation = _generation(self._connection)
        self._handed_over = False
        self._writable = True

    def get(self, table: str, name: str) -> Row | None:
        """The row of that name, or None."""
        changed = self._changed[table].get(name)
        if changed is not None:
            return None if changed is GONE else changed
        if (connection := self._own()) is None:
            return None
        found = connection.execute(f'SELECT key, text FROM "{table}" WHERE name = ?', (name,)).fetchone()
        return Row(*found) if found else None

    def some(self, table: str, names: Iterable[str]) -> dict[str, Row]:
        """Those rows that there are of these names: cheaper than one by one."""
        changed = self._changed[table]
        found, asked = {}, []
        for name in names:
            if name in changed:
                found[name] = changed[name]
            else:
                asked.append(name)
        if (connection := self._own()) is not None:
            for start in range(0, len(asked), AT_A_TIME):
                part = asked[start : start + AT_A_TIME]
                query = f'SELECT name, key, text FROM "{table}" WHERE name IN ({",".join("?" * len(part))})'
                found |= {name: Row(key, text) for name, key, text in connection.execute(query, part)}
        return {name: row for name, row in found.items() if row is not GONE}

    def keys(self, table: str) -> dict[str, str]:
        """Every name of a table with its key."""
        known = {}
        if (connection := self._own()) is not None:
            known = dict(connection.execute(f'SELECT name, key FROM "{table}"').fetchall())
        for name, row in self._changed[table].items():
            if row is GONE:
                known.pop(name, None)
            else:
                known[name] = row.key
        return known

    def rows(self, table: str, start: str = "") -> Iterator[tuple[str, Row]]:
        """Every row of a table whose name begins so, in no order that means anything."""
        changed = self._changed[table]
        if (connection := self._own()) is not None:
            asked = f'SELECT name, key, text FROM "{table}" WHERE name >= ? AND name < ?'
            for name, key, text in connection.execute(asked, (start, start + "\U0010ffff")):
                if name not in changed:
                    yield name, Row(key, text)
        yield from ((name, row) for name, row in changed.items() if row is not GONE and name.startswith(start))

    def put(self, table: str, name: str, key: str, text: str) -> None:
        """Keep a row."""
        self._changed[table][name] = Row(key, text)

    def remove(self, table: str, name: str) -> None:
        """Keep it no longer."""
        self._changed[table][name] = GONE

    def flush(self) -> None:
        """Hand the changes to the file without keeping them yet, to make room.  Raises ``Lost``."""
        if self._connection is None or not self._writable:
            return
        try:
            for table, rows in self._changed.items():
                gone = [(name,) for name, row in rows.items() if row is GONE]
                self._connection.executemany(f'DELETE FROM "{table}" WHERE name = ?', gone)
                kept = [(name, *row) for name, row in rows.items() if row is not GONE]
                self._connection.executemany(f'INSERT OR REPLACE INTO "{table}" VALUES (?, ?, ?)', kept)
        except sqlite3.Error as error:
            if self._handed_over:
                raise Lost from error
            self._writable = False  # another run was first, or the disk is full: what changed stays in memory
        else:
            self._handed_over = True
            self._changed = {table: {} for table in TABLES}

    def keep(self) -> None:
        """Keep all changes in one step; where another run was first, or the machine refuses, they are not kept.  Raises ``Lost``."""
        if any(self._changed.values()) or self._handed_over:
            self.put("state", "generation", "", str(self._generation + 1))
            self.flush()
        if self._connection is not None and self._handed_over:
            try:
                self._connection.execute("COMMIT")
                self._connection.execute("BEGIN")
                self._generation = _generation(self._connection)
            except sqlite3.Error as error:
                raise Lost from error
            self._handed_over = False

    def _own(self) -> sqlite3.Connection | None:
        """The connection of this process: a forked helper opens one of its own, which must see what its parent saw."""
        if self._connection is not None and os.getpid() != self._process:
            self._inherited, self._process = self._connection, os.getpid()  # held, so that it is not closed here
            self._connection = sqlite3.connect(f"file:{self._path}?mode=ro", uri=True, isolation_level=None)
            self._connection.execute("BEGIN")
            if _generation(self._connection) != self._generation:
                raise Lost
        return self._connection


def _generation(connection: sqlite3.Connection | None) -> int:
    """How often the file was kept; also what makes this connection see one state of it from now on."""
    found = connection.execute("SELECT text FROM state WHERE name = 'generation'").fetchone() if connection else None
    return int(found[0]) if found else 0


def _opened(path: Path | None, version: str) -> sqlite3.Connection | None:
    """A connection that sees the file as it is now until it is kept or closed; None where there is no such file to be had."""
    if path is None:
        return None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        for _ in range(2):
            if (connection := _prepared(path, version)) is not None:
                return connection
            path.unlink(missing_ok=True)  # damaged, or not ours: it is only a memory
    except (sqlite3.Error, OSError):
        pass
    return None


def _prepared(path: Path, version: str) -> sqlite3.Connection | None:
    """The connection, its tables empty when another version wrote them; None when the file is damaged."""
    connection = sqlite3.connect(path, timeout=0, isolation_level=None, cached_statements=64)
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = NORMAL")
        connection.execute("BEGIN")
        try:
            known = connection.execute("SELECT key FROM state WHERE name = 'version'").fetchone()
        except sqlite3.OperationalError:
            known = None
        if known != (version,):
            for table in TABLES:
                connection.execute(f'DROP TABLE IF EXISTS "{table}"')
                connection.execute(f'CREATE TABLE "{table}" (name TEXT PRIMARY KEY, key TEXT, text TEXT) WITHOUT ROWID')
            connection.execute("INSERT INTO state VALUES ('version', ?, '')", (version,))
            connection.execute("COMMIT")
            connection.execute("BEGIN")
        return connection
    except sqlite3.OperationalError:
        connection.close()
        raise  # another run holds it, or the machine refuses
    except sqlite3.DatabaseError:
        connection.close()
        return None
