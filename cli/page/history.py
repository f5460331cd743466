"""Undo and redo: the benches before each change a person made, and what each change was, in words."""

from dataclasses import dataclass, field

from msgspec.structs import asdict, replace

from .answered import HistoryDocument
from .bench import Bench, BenchPart, Removed

_MOST = 200  # changes that can be undone
_SAME_S = 2.0  # changes to one thing within this time are one
_WORDS = {"up": "hanging", "liquid_line": "liquid line", "choices": "plugs and masks", "checked": "what may stay so"}


@dataclass(frozen=True, slots=True)
class Step:
    """The bench that a change was made to, or undone from; what the change was, and when [s]."""

    bench: Bench
    words: str
    at_s: float


@dataclass
class History:
    """What can be undone, the latest last, and what can be done again."""

    past: list[Step] = field(default_factory=list)
    future: list[Step] = field(default_factory=list)

    def keep(self, before: Bench, after: Bench, now_s: float) -> None:
        """Remember a change; one of the same thing right behind another is one with it."""
        words = said(before, after)
        if not words:
            return
        last = self.past[-1] if self.past else None
        if last is None or last.words != words or now_s - last.at_s > _SAME_S or self.future:
            self.past.append(Step(before, words, now_s))
        else:
            self.past[-1] = Step(last.bench, words, now_s)
        del self.past[:-_MOST], self.future[:]

    def document(self) -> HistoryDocument:
        """What undo and redo would do next."""
        return {
            "undo": self.past[-1].words if self.past else None,
            "redo": self.future[-1].words if self.future else None,
        }

    def travelled(self, now: Bench, back: bool, now_s: float) -> tuple[Bench, "History"] | None:
        """The bench one change back or forth from now, and what can be undone and done again there; None at the end."""
        steps, others = (self.past, self.future) if back else (self.future, self.past)
        if not steps:
            return None
        left, more = steps[:-1], [*others, Step(now, steps[-1].words, now_s)]
        moved = History(left, more) if back else History(more, left)
        return restored(now, steps[-1].bench, now_s), moved


def restored(now: Bench, then: Bench, now_s: float) -> Bench:
    """The bench as it was then, with revisions that go on; a part that was not there yet goes to the bin."""
    at = {p.id: p for p in now.parts}

    def part(old: BenchPart) -> BenchPart:
        is_now = at.get(old.id)
        if is_now is not None and replace(is_now, revision=0) == replace(old, revision=0):
            return is_now
        return replace(old, revision=max(old.revision, is_now.revision if is_now else 0) + 1)

    kept = {p.id for p in then.parts} | {r.part.id for r in then.removed}
    later = tuple(Removed(p, now_s) for p in now.parts if p.id not in kept)
    later += tuple(r for r in now.removed if r.part.id not in kept)
    settings = replace(then.settings, revision=now.settings.revision + 1, show=now.settings.show)
    return replace(then, parts=tuple(part(p) for p in then.parts), settings=settings, removed=(*then.removed, *later),
                   last_id=now.last_id)  # fmt: skip


def said(before: Bench, after: Bench) -> str:
    """What a change was, in a few words; "" where it changed nothing that can be undone."""
    old, new = ({p.id: p for p in bench.parts} for bench in (before, after))
    if added := [p.name for p in after.parts if p.id not in old]:
        return f"add {', '.join(added)}"
    if gone := [p.name for p in before.parts if p.id not in new]:
        return f"take off {', '.join(gone)}"
    changed = [words for p in after.parts if (words := _of_part(old[p.id], p))]
    settings = _of_settings(before, after)
    return "; ".join(changed[:3]) + ("; and more" if changed[3:] else "") if changed and not settings else settings


def _of_part(before: BenchPart, after: BenchPart) -> str:
    old, new = asdict(before), asdict(after)
    keys = [key for key in old if key not in ("revision", "file") and old[key] != new[key]]
    if "sketch" in keys:
        return f"sketch of {after.name}"
    words = dict.fromkeys(_WORDS.get(key, key) for key in keys)
    return f"{' and '.join(words)} of {after.name}" if words else ""


def _of_settings(before: Bench, after: Bench) -> str:
    old, new = before.settings, after.settings
    pairs = ((name, old.tables.get(name, {}), new.tables.get(name, {})) for name in {**old.tables, **new.tables})
    keys = [f"{name} {key}" for name, was, now in pairs for key in {**was, **now} if was.get(key) != now.get(key)]
    words = [*(["current density"] if old.density != new.density else []), *(each.replace("_", " ") for each in keys)]
    return ", ".join(words[:3]) + (" and more" if words[3:] else "")
