"""The desk behind the page: the bench as it stands, the work under way, and who waits for a change."""

import asyncio
import contextlib
import time
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Literal, cast

import msgspec
from msgspec.structs import replace

from areacalc.bath.window import window
from areacalc.errors import AreacalcError, BadInput, CannotRun, said_of
from areacalc.logbook.logbook import Logbook, now
from areacalc.logbook.records import Run

from . import shop
from .answer import Found, answer
from .answered import Awaited, BenchDocument, BenchPartDocument, FirstLook, Line
from .at_tank import AtTank
from .bench import MOST_PARTS, Bench, BenchPart, changed_part, changed_settings
from .fields import fields
from .hang_jobs import UnderJob, WaysJob
from .history import History
from .jobs import PartJob, PlanJob, Stage, Tell
from .load_text import load_text, opened, shown_file
from .sketch_cells import cells
from .store import Store
from .workers import Pool

Document = dict[str, Any]


class Stale(Exception):
    """The change was made to something that another window has changed since."""


@dataclass(frozen=True, slots=True)
class FoundPart:
    """What was found of a part, and the job that found it: another state of the part is another job."""

    of: PartJob
    found: Found


class Desk:
    """Holds the one bench. All methods run on the server's own loop; heavy work goes to the pool.

    A change is kept on the disk first and shown then; one that cannot be kept leaves everything as it was. What was
    found of the parts is never kept: it is worked out again at every start.
    """

    def __init__(self, store: Store, pool: Pool, speed: float = 1.0) -> None:
        self.store = store
        self.pool = pool
        self.bench, self.notice = store.read()
        with contextlib.suppress(BadInput):  # a logbook that cannot be written takes them the next time
            shop.hand_over(store, self.bench)
            self.bench = replace(self.bench, shop={})
        store.tidy(self.bench)
        self.revision = time.time_ns() // 1_000_000  # no window of an earlier start has seen this number
        self.outcomes: dict[str, FoundPart] = {}
        self.stages: dict[str, Stage] = {}
        self.searches: dict[str, Stage] = {}  # for the best way to hang a part
        self.history = History()
        self.looks: dict[str, FirstLook] = {}  # first looks at parts whose skin is still being found
        self.pictures: set[str] = set()  # what a window may ask for
        self._work: dict[str, asyncio.Task[None]] = {}
        self._plan: tuple[int, asyncio.Task[Document]] | None = None
        self.rack: Document | None = None  # as last planned
        self._changed = asyncio.Condition()
        self._ending = False
        self.at_tank = AtTank(speed)

    def start(self) -> None:
        """Work out what lies on the bench."""
        for part in self.bench.parts:
            self._evaluate(part)

    async def let_go(self) -> None:
        """Answer those who wait for a change: the page is about to end."""
        self._ending = True
        async with self._changed:
            self._changed.notify_all()

    def close(self) -> None:
        """Stop all work and let the folder go."""
        for task in self._work.values():
            task.cancel()
        self.pool.close()
        self.store.close()

    def document(self) -> BenchDocument:
        """The bench, the work under way and the answer, as JSON."""
        found = {id: outcome.found for id, outcome in self.outcomes.items()}
        parts = [self._part_document(p, found.get(p.id, Found())) for p in self.bench.parts]
        updating = [p.name for p in self.bench.parts if p.id in found and self.outcomes[p.id].of != self._job(p)]
        return {
            "revision": self.revision, "parts": parts, "settings": msgspec.to_builtins(self.bench.settings),
            "answer": answer(self.bench, found, self._all_wet_looks()) | {"updating": updating},
            "awaited": [each["file"] for each in self.bench.awaited], "running": self.pool.running(),
            "removed": [{"id": r.part.id, "name": r.part.name, "at_s": r.at_s} for r in self.bench.removed],
            "fields": fields(self.bench.settings.tables), "shop": shop.shop_tables(),
            "history": self.history.document(), "notice": self.notice,
        }  # fmt: skip

    def _all_wet_looks(self) -> dict[str, FirstLook]:
        """First looks that the area may be taken from: of parts that nothing is plugged or masked on."""
        plain = {p.id for p in self.bench.parts if not any(p.choices.values())}
        return {id: look for id, look in self.looks.items() if id in plain}

    def _part_document(self, part: BenchPart, found: Found) -> BenchPartDocument:
        stage, search = self.stages.get(part.id), self.searches.get(part.id)
        made = {
            **msgspec.to_builtins(part), **asdict(found), "cells": cells(part.sketch) if part.sketch else None,
            "look": self.looks.get(part.id), "stage": stage.words if stage else None,
            "share": stage.share if stage else None, "search": search.share if search else None,
        }  # fmt: skip
        return cast("BenchPartDocument", made)

    async def wait(self, after: int, longest_s: float) -> bool:
        """Wait until the revision is another than `after`; False where the time ran out."""
        async with self._changed:
            try:
                await asyncio.wait_for(
                    self._changed.wait_for(lambda: self._ending or self.revision != after), longest_s
                )
            except TimeoutError:
                return False
        return self.revision != after

    async def add(self, name: str, file: str, unit: str | None = None, sketch: Document | None = None) -> BenchPart:
        """Put a stored file on the rack. Raises BadInput where there is no room; the file is let go then."""
        try:
            if len(self.bench.parts) >= MOST_PARTS:
                raise BadInput("the rack", f"holds {MOST_PARTS} kinds of parts already", "take one off first")
            number = self.bench.last_id + 1
            part = BenchPart(f"p{number}", name, file, unit=unit, sketch=sketch)
            said = next((each for each in self.bench.awaited if each["file"] == name), None)
            if said is not None:
                change = {k: v for k, v in said.items() if k not in ("file", "name")}
                part = replace(changed_part(part, change), revision=1)
            awaited = tuple(each for each in self.bench.awaited if each is not said)
            await self._set(replace(self.bench.with_part(part), last_id=number, awaited=awaited), part)
        except AreacalcError:
            if file not in self.bench.files:
                self.store.drop(file)
            raise
        return part

    async def change(self, id: str, revision: int, change: Mapping[str, Any]) -> BenchPart:
        """Change a part as a person asks. Raises KeyError, Stale, BadInput."""
        old = self._current(id, revision)
        part = changed_part(old, change)
        await self._replace(old, part)
        return part

    async def redraw(self, id: str, revision: int, name: str, file: str, sketch: Document) -> BenchPart:
        """Give a sketched part another sketch. Raises KeyError, Stale."""
        old = self._current(id, revision)
        part = replace(old, name=name, file=file, sketch=sketch, revision=old.revision + 1)
        await self._replace(old, part)
        return part

    async def remove(self, id: str) -> None:
        """Take a part off the rack, into the bin, and stop the work on it. Raises KeyError."""
        await self._set(self.bench.without(id, time.time()))
        self._stop(id)

    async def put_back(self, id: str) -> BenchPart:
        """Hang up again a part that was taken off. Raises KeyError, BadInput where there is no room."""
        if len(self.bench.parts) >= MOST_PARTS:
            raise BadInput("the rack", f"holds {MOST_PARTS} kinds of parts already", "take one off first")
        bench = self.bench.with_back(id)
        await self._set(bench, bench.part(id))
        return bench.part(id)

    async def set(self, revision: int, change: Mapping[str, Any]) -> None:
        """Change the settings. Raises Stale, BadInput."""
        if revision != self.bench.settings.revision:
            raise Stale
        settings = changed_settings(self.bench.settings, change)
        moved = self.bench.parts if settings.density != self.bench.settings.density else ()
        await self._set(replace(self.bench, settings=settings), *moved)

    async def keep(self, table: Literal["bath", "tank"], name: str, values: Mapping[str, Any] | None) -> None:
        """Keep a bath or tank of the shop under a name, or forget it. Raises BadInput, UnknownName."""
        await asyncio.to_thread(shop.keep, table, name, values)
        await self._tell()

    async def travel(self, back: bool) -> None:
        """Take back the last change, or make it again. Raises BadInput where nothing is left to take back."""
        travelled = self.history.travelled(self.bench, back, time.time())
        if travelled is None:
            raise BadInput("undo" if back else "redo", "has nothing left to do", "change something first")
        before, (then, history) = self.bench, travelled
        self.store.write(then)
        self.bench, self.history = then, history
        for id in {p.id for p in before.parts} - {p.id for p in then.parts}:
            self._stop(id)
        for part in then.parts:
            if part.id not in self.outcomes or self.outcomes[part.id].of != self._job(part):
                self._evaluate(part)
        await self._tell()

    async def open_load(self, text: str) -> Awaited:
        """Take over a load file: its tables, and its choices for parts that are here.

        Raises BadInput with every mistake in it.
        """
        change, lines = opened(text)
        settings = changed_settings(self.bench.settings, change)
        here = {shown_file(p): p for p in reversed(self.bench.parts)} | {p.name: p for p in reversed(self.bench.parts)}
        bench, awaited, moved = replace(self.bench, settings=settings), [], []
        for line in lines:
            part = here.get(line["file"]) or here.get(line["name"])
            if part is None:
                awaited.append(line)
                continue
            part = changed_part(part, {k: v for k, v in line.items() if k not in ("file", "name")})
            bench = bench.with_part(part)
            moved.append(part)
        await self._set(replace(bench, awaited=tuple(awaited)), *moved)
        beside = [part.id for part in self.bench.parts if part.id not in {each.id for each in moved}]
        return {"awaited": [line["file"] for line in awaited], "beside": beside}

    async def plan(self) -> Document:
        """The plan of what lies on the bench, worked out once for each state of it. Raises AreacalcError."""
        if self._plan is None or self._plan[0] != self.revision:
            if self._plan is not None and not self._plan[1].done():
                self._plan[1].cancel()
            job = PlanJob(str(self.store.parts), load_text(self._usable()), {p.file: p.name for p in self.bench.parts},
                          self.bench.settings.show == "in")  # fmt: skip
            self._plan = self.revision, asyncio.create_task(self.pool.do(job, _to_nobody))
        working = self._plan[1]
        try:
            self.rack = (document := await asyncio.shield(working))["rack"]
            return document
        except asyncio.CancelledError:
            if not working.cancelled():
                raise
            return await self.plan()  # the bench changed meanwhile: of what is there now

    async def begin_run(self) -> None:
        """Write down that the current of this load was switched on. Raises AreacalcError."""
        await self.plan()
        await asyncio.to_thread(self.at_tank.begin, self._written(shop.names_of(self.bench.settings.tables)),
                                str(self.store.parts))  # fmt: skip

    async def log(self, remark: str) -> None:
        """Write the run as planned into the logbook. Raises AreacalcError."""
        plan = await self.plan()
        if not plan["can_run"]:
            raise CannotRun("the load", "the plan cannot be run as it stands, so no such run is logged",
                            "change the load to what was run")  # fmt: skip
        names = shop.names_of(self.bench.settings.tables)
        written = {"text": self._written(names), "folder": str(self.store.parts), **names}
        with Logbook() as book:
            book.add_run(msgspec.convert({**plan["run"], "when": now(), "remark": remark, **written}, Run))

    async def ways(self, id: str) -> Document:
        """The ways to hang a part, the best first. Raises KeyError, AreacalcError."""

        def tell(told: Stage | Document) -> None:
            if isinstance(told, Stage):
                self.searches[id] = told
                self._telling = asyncio.create_task(self._tell())

        try:
            found: Document = await self.pool.do(WaysJob(self._job(self.bench.part(id))), tell)
            return found
        finally:
            self.searches.pop(id, None)

    async def going_under(self, id: str) -> Document:
        """The part going under as it hangs, in pictures. Raises KeyError, AreacalcError."""
        found: Document = await self.pool.do(UnderJob(self._job(self.bench.part(id))), _to_nobody)
        return found

    def _job(self, part: BenchPart) -> PartJob:
        return PartJob(str(self.store.parts), part.file, str(self.store.views), part.name, part.unit,
                       dict(part.choices), part.up, part.liquid_line,
                       window(self.bench.settings.density).middle_a_per_dm2)  # fmt: skip

    def _written(self, names: Mapping[str, str]) -> str:
        """The load as it is written down with a run, with the shop's bath and tank by their names."""
        return load_text(self._usable(), names=names)

    def _usable(self) -> Bench:
        """The bench with the parts that can be planned, without the sentences that could not be used."""
        parts = []
        for part in self.bench.parts:
            outcome = self.outcomes.get(part.id)
            if outcome is None or outcome.found.result is None:
                continue
            unused = {(each["key"], each["words"]) for each in outcome.found.result["unused"]}
            lost = {key: None for key in ("up", "liquid_line") if (key, getattr(part, key)) in unused}
            choices = {k: tuple(w for w in ws if (k, w) not in unused) for k, ws in part.choices.items()}
            parts.append(replace(part, choices=choices, **lost))
        return replace(self.bench, parts=tuple(parts))

    def _current(self, id: str, revision: int) -> BenchPart:
        part = self.bench.part(id)
        if part.revision != revision:
            raise Stale
        return part

    async def _replace(self, old: BenchPart, part: BenchPart) -> None:
        await self._set(self.bench.with_part(part), *([part] if self._job(old) != self._job(part) else []))

    async def _set(self, bench: Bench, *moved: BenchPart) -> None:
        """Keep the bench, then show it and work out again the parts that moved.

        Raises BadInput where it cannot be kept; all is as it was then.
        """
        self.store.write(bench)
        self.history.keep(self.bench, bench, time.time())
        self.bench = bench
        for part in moved:
            self._evaluate(part)
        await self._tell()

    async def _tell(self) -> None:
        self.revision += 1
        async with self._changed:
            self._changed.notify_all()

    def _stop(self, id: str) -> None:
        if task := self._work.pop(id, None):
            task.cancel()
        for kept in (self.stages, self.looks, self.outcomes):
            kept.pop(id, None)

    def _evaluate(self, part: BenchPart) -> None:
        """Work the part out in the background; the work under way on an earlier state of it ends first."""
        before = self._work.get(part.id)
        self.stages[part.id] = Stage("waiting its turn")
        if (last := self.outcomes.get(part.id)) and last.found.refused:
            del self.outcomes[part.id]  # what was refused of the state before says nothing of this one
        self._work[part.id] = asyncio.create_task(self._evaluated(part.id, before))

    async def _evaluated(self, id: str, before: asyncio.Task[None] | None) -> None:
        if before is not None:
            with contextlib.suppress(asyncio.CancelledError):
                await asyncio.shield(before)
        if self._work.get(id) is not asyncio.current_task():
            return  # a later state of the part is on its way
        job = self._job(self.bench.part(id))
        try:
            found = Found(**await self.pool.do(job, self._teller(id)))
            self.pictures |= {found.view} if found.view else set()
        except AreacalcError as bad:
            found = Found(refused=error_document(bad))
        if self._work.get(id) is asyncio.current_task():
            for under_way in (self._work, self.stages, self.looks):
                under_way.pop(id, None)
            self.outcomes[id] = FoundPart(job, found)
            await self._tell()

    def _teller(self, id: str) -> Tell:
        def tell(told: Stage | Document) -> None:
            if id in self.stages:
                if isinstance(told, Stage):
                    self.stages[id] = told
                else:
                    self.looks[id] = cast("FirstLook", told)
                    self.pictures |= {told["view"]} if told["view"] else set()
                self._telling = asyncio.create_task(self._tell())

        return tell


def _to_nobody(_: Stage | Document) -> None:
    """For work whose stages are not shown."""


def error_document(bad: AreacalcError) -> Line:
    """A refusal as JSON: where, what, remedy, and the one line they make."""
    where = str(bad.where)
    said = said_of(where, bad.what) if where else bad.what[:1].upper() + bad.what[1:]
    line = " ".join(f"{said}; {bad.remedy}".split())
    told: Line = {"where": where, "what": bad.what, "remedy": bad.remedy, "line": line}
    if mistakes := [asdict(m) for m in getattr(bad, "mistakes", ())]:
        told["mistakes"] = mistakes
    return told
