"""The rows of a run, kept on the disk as they come, so that a run that was stopped goes on where it was: what is known
stays, the rest is measured."""

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager
from pathlib import Path

from areacalc.errors import BadInput
from areacalc.many.asked import Asked, digest, stamp
from areacalc.many.record import Record

_MARK = 0x726F_7773  # "rows": a file of kept rows says so in its head
_STRANGE = "not a database"
SUFFIX = ".rows"
"""The file of kept rows beside a table: table.csv -> table.csv.rows."""


class Kept(AbstractContextManager["Kept"]):
    """Rows by the path of their file, each with the marks it holds for. One SQLite file, used by one run at a time.

    A row is there whole or not at all, however the run ends. Raises BadInput: in use, damaged, cannot be written.
    """

    def __init__(self, file: Path) -> None:
        self._file = file
        try:
            self._rows = sqlite3.connect(file, timeout=1.0, isolation_level=None)
            self._refuse_strange()
            # a kill of the run loses nothing; a loss of power may, and then the file is found damaged
            for setting in ("locking_mode = EXCLUSIVE", "journal_mode = DELETE", "synchronous = OFF"):
                self._rows.execute(f"PRAGMA {setting}")
            self._rows.execute(
                "CREATE TABLE IF NOT EXISTS part (path TEXT PRIMARY KEY, digest TEXT, asked TEXT, row TEXT)"
            )
        except sqlite3.Error as trouble:
            if hasattr(self, "_rows"):
                self._rows.close()
            raise self._refused(trouble) from None

    def __exit__(self, *_: object) -> None:
        self._rows.close()

    def has(self, path: Path, digest: str, asked: str) -> bool:
        """Whether a row holds for this content and these settings."""
        found = self._rows.execute("SELECT digest, asked FROM part WHERE path = ?", (_key(path),)).fetchone()
        return bool(found == (digest, asked))

    def put(self, path: Path, digest: str, asked: str, record: Record) -> None:
        """Keep a row. Raises BadInput where the disk is full."""
        row = json.dumps(record, ensure_ascii=True)
        try:
            self._rows.execute("INSERT OR REPLACE INTO part VALUES (?, ?, ?, ?)", (_key(path), digest, asked, row))
        except sqlite3.Error as trouble:
            raise self._refused(trouble) from None

    def record(self, path: Path) -> Record:
        """The row of a file. Raises KeyError."""
        found = self._rows.execute("SELECT digest, row FROM part WHERE path = ?", (_key(path),)).fetchone()
        if found is None:
            raise KeyError(path)
        record: Record = json.loads(found[1])
        return {"path": _key(path), **record, "digest": found[0]}

    def _refuse_strange(self) -> None:
        """Raise sqlite3.DatabaseError for a file that another program keeps its own tables in."""
        (mark,) = self._rows.execute("PRAGMA application_id").fetchone()
        (tables,) = self._rows.execute("SELECT count(*) FROM sqlite_master").fetchone()
        if mark == _MARK:
            return
        if tables:
            raise sqlite3.DatabaseError(_STRANGE)
        self._rows.execute(f"PRAGMA application_id = {_MARK}")

    def _refused(self, trouble: sqlite3.Error) -> BadInput:
        words = str(trouble)
        if "locked" in words:
            return BadInput(str(self._file), "is in use by another run", "wait until it ends, or name another table")
        if any(each in words for each in (_STRANGE, "malformed", "no such column")):
            remedy = "move it away; all files are measured again then"
            return BadInput(str(self._file), "holds no kept rows, or is damaged", remedy)
        remedy = "make room" if "full" in words else "check the folder, or choose another"
        return BadInput(str(self._file), f"cannot be written: {words}", remedy)


def _key(path: Path) -> str:
    return str(path).encode("utf-8", "backslashreplace").decode("utf-8")  # no two names become one


Jobs = Iterable[tuple[Path, str]]
RowsMade = Callable[[Jobs, Asked], Iterator[tuple[Path, str, Record]]]
"""Who measures: jobs of path and digest in, rows out as they are done (`Crew.records`, `Cluster.records`)."""


def bring_up_to_date(
    paths: Sequence[Path], asked: Asked, kept: Kept, measured: RowsMade, done: Callable[[bool], object]
) -> None:
    """Measure every file whose row is not there or no longer holds.

    A row of a file that changed meanwhile, or that could not be measured but may be another time, holds for nothing.

    done is called once a file; with True where its row was there already.
    """
    mark = asked.mark
    before: dict[Path, object] = {}

    def jobs() -> Jobs:
        for path in paths:
            before[path] = stamp(path)
            content = digest(path)
            if content and kept.has(path, content, mark):
                del before[path]
                done(True)
            else:
                yield path, content

    for path, content, record in measured(jobs(), asked):
        changed = before.pop(path) != stamp(path)
        passing = record.pop("passing", False)
        kept.put(path, "" if changed or passing else content, mark, record)
        done(False)
