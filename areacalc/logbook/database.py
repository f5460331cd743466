"""The logbook's file: one SQLite database, every change a transaction, what is changed or removed kept as history."""

import contextlib
import json
import os
import re
import sqlite3
from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from areacalc.errors import BadInput
from areacalc.logbook.records import TABLES, LogRecord

R = TypeVar("R", bound=LogRecord)
_IS_OURS = 0x61726561  # "area", SQLite's mark of whose file it is
_WAIT_S = 10.0
_SQL = (files(__package__) / "versions.sql").read_text("utf-8")
MIGRATIONS = tuple(re.split(r"^-- version \d+$", _SQL, flags=re.M)[1:])
"""What makes each version of the file out of the one before."""


class Database:
    """A logbook's file held open. Raises BadInput where it cannot be opened, or is no logbook.

    A file that is not there is made at the first change; until then the logbook is empty.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._there = path.exists()
        with self._told():
            self._db = self._opened() if self._there else _in_memory()

    def close(self) -> None:
        self._db.close()

    @contextlib.contextmanager
    def change(self) -> Iterator[None]:
        """What is done inside is kept whole once this ends, or not at all. Raises BadInput."""
        if not self._there:
            self._make()
        with self._told():
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._db.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    self._db.execute("ROLLBACK")
                raise

    def add(self, table: str, record: LogRecord) -> int:
        """Add a record; its number."""
        values = {name: value for name, value in plain(record).items() if name != "number" or value}
        names = ", ".join(f'"{name}"' for name in values)
        with self._told():
            made = self._db.execute(
                f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(values))})", list(values.values())
            )
        return int(made.lastrowid or 0)

    def update(self, table: str, record: LogRecord) -> None:
        """Put a record in the place of the one of its number, which is kept as history."""
        values = plain(record)
        places = ", ".join(f'"{name}" = :{name}' for name in values)
        with self._told():
            self._db.execute(f"UPDATE {table} SET {places} WHERE number = :number", values)

    def remove(self, table: str, number: int) -> None:
        """Take a record out; what it was is kept as history."""
        with self._told():
            self._db.execute(f"DELETE FROM {table} WHERE number = ?", (number,))

    def find(self, kind: type[R], where: str = "1", *given: object) -> list[R]:
        """The records of a kind for which a condition holds, in the order of their numbers."""
        table = next(name for name, each in TABLES.items() if each is kind)
        with self._told():
            found = self._db.execute(f"SELECT * FROM {table} WHERE {where} ORDER BY number", given).fetchall()
        try:
            return [record_of(kind, dict(row)) for row in found]
        except ValueError as wrong:
            raise BadInput(str(self.path), f"holds a {table} that this areacalc cannot read ({wrong})",
                           "start again if areacalc was updated; else put back a backup") from None  # fmt: skip

    def history(self, table: str, number: int) -> list[tuple[str, dict[str, Any]]]:
        """What a record was before, oldest first: when it was changed, and its values until then."""
        with self._told():
            rows = self._db.execute("SELECT at, was FROM history WHERE kind = ? AND of = ? ORDER BY number",
                                    (table, number)).fetchall()  # fmt: skip
        return [(row["at"], json.loads(row["was"])) for row in rows]

    def readings_before(self, run: int) -> list[tuple[int, str, dict[str, Any]]]:
        """The readings of a run that were corrected or taken back: number, when that was, and the values until then."""
        with self._told():
            rows = self._db.execute("SELECT of, at, was FROM history WHERE kind = 'reading' AND "
                                    "json_extract(was, '$.run') = ? ORDER BY number", (run,)).fetchall()  # fmt: skip
        return [(row["of"], row["at"], json.loads(row["was"])) for row in rows]

    def copy_to(self, target: Path) -> None:
        """A copy of the whole file, right even while others write. Raises BadInput."""
        with self._told(), contextlib.closing(sqlite3.connect(target)) as copy:
            self._db.backup(copy)

    def _make(self) -> None:
        """Make the file, readable by the user alone."""
        self._db.close()
        try:
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            os.close(os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600))
        except OSError as trouble:
            raise BadInput(str(self.path), f"cannot be written: {trouble.strerror}", _ELSEWHERE) from None
        with self._told():
            opened = self._opened()
        self._db.close()
        self._db = opened
        self._there = True

    def _opened(self) -> sqlite3.Connection:
        db = _connected(str(self.path))
        try:
            self._bring_up_to_date(db)
        except BaseException as trouble:
            try:
                # an earlier file that may only be read; a change is refused as there
                if isinstance(trouble, sqlite3.Error) and trouble.sqlite_errorcode & 0xFF == sqlite3.SQLITE_READONLY:
                    copy = _in_memory(db)
                    copy.execute("PRAGMA query_only = ON")
                    return copy
            finally:
                db.close()
            raise
        return db

    def _bring_up_to_date(self, db: sqlite3.Connection) -> None:
        mark = db.execute("PRAGMA application_id").fetchone()[0]
        version = db.execute("PRAGMA user_version").fetchone()[0]
        if mark != _IS_OURS and (mark or version or db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]):
            raise BadInput(str(self.path), "is a database of another program", _ELSEWHERE)
        if version > len(MIGRATIONS):
            raise BadInput(str(self.path), f"was written by a newer areacalc (version {version} of the file)",
                           "update areacalc")  # fmt: skip
        if version < len(MIGRATIONS):
            _migrate(db)

    @contextlib.contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except (sqlite3.Error, OSError) as trouble:
            what, remedy = next(
                ((what, remedy) for sign, what, remedy in _TROUBLES if sign in str(trouble)),
                (f"cannot be used ({trouble})", _ELSEWHERE),
            )
            raise BadInput(str(self.path), what, remedy) from None


_EXACT = """CASE typeof(old."{name}") WHEN 'real' THEN json(printf('%!.17g', old."{name}")) ELSE old."{name}" END"""
_ELSEWHERE = "name another file for the logbook"
_TROUBLES = (
    ("locked", "is being written by another program", "wait until that is done, and try again"),
    ("readonly", "may not be written", "check the permissions of the file and its folder"),
    ("unable to open", "cannot be opened", "check the name, and the permissions of the file and its folder"),
    ("full", "cannot be written: the disk is full", "make room, and try again"),
    ("disk I/O", "cannot be written: the disk gives an error or is full", "make room, and try again"),
    ("not a database", "is not a logbook", _ELSEWHERE),
    ("malformed", "is damaged", "put back a backup: areacalc logbook backup makes them"),
)


def plain(record: LogRecord) -> dict[str, Any]:
    """A record as the values of one row; what holds several things is JSON."""
    values = msgspec.to_builtins(record)
    return {
        k: json.dumps(v, ensure_ascii=False) if isinstance(v, dict | list | tuple) else v for k, v in values.items()
    }


def record_of(kind: type[R], row: Mapping[str, Any], strict: bool = True) -> R:
    """The record in a row. Raises ValueError for a damaged one. strict: numbers are not read out of text."""
    held = {field.name for field in msgspec.structs.fields(kind) if field.name in ("parts", "settings", "course")}
    values = {k: json.loads(v) if k in held and isinstance(v, str) else v for k, v in row.items()}
    return msgspec.convert(values, kind, strict=strict)


def _connected(name: str) -> sqlite3.Connection:
    db = sqlite3.connect(name, timeout=_WAIT_S, isolation_level=None, check_same_thread=False)
    db.row_factory = sqlite3.Row
    try:
        db.execute("PRAGMA synchronous = EXTRA")  # what is acknowledged outlasts a loss of power
        db.execute("PRAGMA foreign_keys = ON")
    except sqlite3.Error:
        db.close()
        raise
    return db


def _in_memory(earlier: sqlite3.Connection | None = None) -> sqlite3.Connection:
    db = _connected(":memory:")
    if earlier is not None:
        earlier.backup(db)
    _migrate(db)
    return db


def _migrate(db: sqlite3.Connection) -> None:
    """Bring the file to this version, in one transaction; a second process waits and finds it done."""
    db.execute("BEGIN IMMEDIATE")
    try:
        version = db.execute("PRAGMA user_version").fetchone()[0]
        for script in MIGRATIONS[version:]:
            for statement in script.split(";"):
                db.execute(statement)
        for table in TABLES:
            _keep_history(db, table)
        db.execute(f"PRAGMA application_id = {_IS_OURS}")
        db.execute(f"PRAGMA user_version = {len(MIGRATIONS)}")
        db.execute("COMMIT")
    except BaseException:
        db.execute("ROLLBACK")
        raise


def _keep_history(db: sqlite3.Connection, table: str) -> None:
    """Let the database itself keep what is changed or removed."""
    columns = [row["name"] for row in db.execute(f"PRAGMA table_info({table})")]
    was = ", ".join(f"'{name}', {_EXACT.format(name=name)}" for name in columns)
    for event in ("UPDATE", "DELETE"):
        name = f"{table}_{event.lower()}_kept"
        db.execute(f"DROP TRIGGER IF EXISTS {name}")
        db.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON {table} BEGIN INSERT INTO history (kind, of, at, was) VALUES "
            f"('{table}', old.number, strftime('%Y-%m-%dT%H:%M:%SZ', 'now'), json_object({was})); END"
        )
