"""Which way to hang a part: directions tried over the sphere and along its bores, ranked by what they do."""

import heapq
import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.air.bath_skin import BathSkin
from areacalc.surface.air.direction import tilted
from areacalc.surface.air.drag_out import FILM_ML_PER_M2
from areacalc.surface.air.hanging import ACCURACY_DEG, left_in
from areacalc.surface.air.narrow import Ways
from areacalc.surface.air.narrow_mouths import rooms, verdicts
from areacalc.surface.air.trapped_air import trapped_air
from areacalc.surface.features.axes import turned_axis
from areacalc.surface.skin import SurfaceMap, Vector, vector

TILTS_DEG = (10.0, 20.0, 30.0, 45.0, 60.0, 75.0, 84.0)  # the last: lying, and still not level if it leans by 5
FEW_TILTS_DEG = (20.0, 60.0)
SPHERE = 100
_ALIKE = 1e-3  # of the skin: less of it dry is no reason to hang the part another way
_ALIKE_MM = FILM_ML_PER_M2.low * 1e-3  # on all the skin: less carried out than clings to it counts as nothing
_APART_DEG = 12.0  # ways nearer each other than this are one to a person
_SIDES = 4  # a direction is leaned to
_LEANED = 40  # directions that are leaned over at most
_NEAR_DEG = 12.0  # what directions so near do tells which to lean over first
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class HangingOutcome:
    """What one direction does: dry skin [mm2] and air [mm3] going down, liquid carried out coming up [mm3].

    marks_mm2: the part of the faces to be seen that air or standing liquid touches (0 where none are named).
    bare_mm2: the dry skin and what surface tension keeps bare in narrow bores.
    """

    dry_mm2: float
    air_mm3: float
    carried_mm3: float
    marks_mm2: float = 0.0
    bare_mm2: float = 0.0


@dataclass(frozen=True, slots=True)
class Ranked:
    """A direction up (unit) with its outcome, and the worst of it and of leaning a little to any side.

    most is None where the direction was so far behind that leaning was not tried. simple: one that a person would
    choose: an axis, a bore, or so many degrees off one.
    """

    up: Vector
    outcome: HangingOutcome
    most: HangingOutcome | None = None
    simple: bool = False


def directions(count: int) -> Floats:
    """Directions (count, 3) spread evenly over the sphere, each with its opposite beside it: count must be even.

    Published: R. Swinbank, R. J. Purser, Q. J. R. Meteorol. Soc. 132 (2006) 1769 (the golden spiral), on one half.

    >>> d = directions(10)
    >>> d.shape, bool(np.allclose(d[:5], -d[5:])), bool(np.allclose((d**2).sum(axis=1), 1.0))
    ((10, 3), True, True)
    """
    half = count // 2
    z = (np.arange(half) + 0.5) / half
    turn = np.arange(half) * math.pi * (3.0 - math.sqrt(5.0))
    r = np.sqrt(1.0 - z**2)
    upper = np.stack([r * np.cos(turn), r * np.sin(turn), z], axis=1)
    return np.concatenate([upper, -upper])


def chosen(skin: SurfaceMap | None, tilts_deg: Sequence[float] = TILTS_DEG) -> Floats:
    """The directions that a person would try: the axes, along each bore, and so many degrees off those (k, 3)."""
    bases = [*np.eye(3)]
    if skin is not None:
        bases += [np.asarray(feature.axis, float) for feature in skin.features if feature.axis is not None]
    bases = _distinct([each for base in bases for each in (base, -base)])
    leaned = [
        tilted(base, tilt, towards) for base in bases for tilt in tilts_deg for towards in (0.0, 90.0, 180.0, 270.0)
    ]
    return np.array(_distinct([*bases, *leaned]))


def best_hanging(
    part: BathSkin, named: SurfaceMap | None = None, seen: Floats | None = None, wide: Ways | None = None,
    sphere: int = SPHERE, accuracy_deg: float = ACCURACY_DEG, progress: Progress | None = None,
    most_work: int | None = None, filled: Iterable[str] = (),
) -> tuple[Ranked, ...]:  # fmt: skip
    """Every direction tried, the best first: least bare skin, then least under trapped air, which no syringe gets out,
    then least carried out, then fewest marks on seen faces.

    The leading ones are leaned by accuracy_deg to four sides and ranked by the worst: a bore hung dead level traps
    nothing on paper. named: the part's features, whose bores give directions of their own; of a turned part
    each lean is tried once.
    seen (m,): 1 for the body's triangles that are to be seen. progress is called with how many are done, of how many at
    most. most_work: triangles times directions; of a finer mesh fewer leans are tried, and none where that is too many.
    filled: the names of bores that a person fills.
    """
    axis = turned_axis(named) if named is not None and seen is None else None
    for tilts_deg in (TILTS_DEG, FEW_TILTS_DEG, ()):
        simple = chosen(named, tilts_deg)
        if axis is not None:
            leans = {round(float(up @ axis), 4) + 0.0: up for up in simple[::-1]}  # it is the same all round
            simple = np.array(list(leans.values())[::-1])
        if len(simple) * len(part.corners) <= (most_work or math.inf):
            break
    else:
        return ()
    ups = _distinct([*simple, *directions(sphere)]) if sphere and axis is None else _distinct(simple)
    known = {_key(up) for up in simple}
    trial = _Trial(part, seen, wide, tuple(filled))
    turns = _distinct([turn for up in ups for turn in (up, -up)])
    most = len(turns) + (_SIDES * 2 * _LEANED if accuracy_deg > 0.0 else 0)
    done = itertools.count(1)

    def told() -> None:
        if progress is not None:
            progress(next(done), most)

    found = dict(zip(map(_key, turns), trial.outcomes(turns, told), strict=True))
    outcomes = [_both(found[_key(up)], found[_key(-up)]) for up in ups]
    queue = []
    near = np.array(ups) @ np.array(ups).T >= math.cos(math.radians(_NEAR_DEG))  # itself among them
    near[: len(simple), len(simple) :] = False  # so that the sphere changes nothing of which simple way is best
    for index, (up, around) in enumerate(zip(ups, near, strict=True)):
        ranked = Ranked(vector(up), outcomes[index], None, _key(up) in known)
        feared = replace(ranked, most=_worst([outcomes[i] for i in np.nonzero(around)[0]]))
        queue.append((trial.worth(feared), index, ranked))
    heapq.heapify(queue)
    for _ in range(_LEANED if accuracy_deg > 0.0 else 0):
        _, index, first = heapq.heappop(queue)
        if first.most is None:
            first = replace(first, most=trial.leaned(first, accuracy_deg, told))
            heapq.heappush(queue, (trial.worth(first), index, first))
        else:
            heapq.heappush(queue, (trial.worth(first), index, first))
            break
    if progress is not None:
        count = next(done) - 1
        progress(count, count)
    return tuple(ranked for _, _, ranked in sorted(queue, key=lambda each: (each[2].most is None, *each[:2])))


def one_way(
    part: BathSkin, up: Vector, seen: Floats | None = None, wide: Ways | None = None,
    accuracy_deg: float = ACCURACY_DEG, filled: Iterable[str] = (),
) -> Ranked:  # fmt: skip
    """What one direction does, and the worst of leaning it, as best_hanging has them."""
    trial = _Trial(part, seen, wide, tuple(filled))
    way = np.asarray(up, float)
    ranked = Ranked(vector(way), _both(*trial.outcomes([way, -way])))
    return replace(ranked, most=trial.leaned(ranked, accuracy_deg)) if accuracy_deg > 0.0 else ranked


@dataclass(frozen=True, eq=False)
class _Trial:
    part: BathSkin
    seen: Floats | None
    wide: Ways | None
    filled: tuple[str, ...] = ()

    def outcomes(self, ups: Sequence[Floats], told: Callable[[], None] = lambda: None) -> list[HangingOutcome]:
        """What each direction traps, two at a time; what it carries out is that of its opposite."""
        from concurrent.futures import ThreadPoolExecutor

        part = self.part
        _ = part.spokes, part.tree, part.area_mm2, part.true_share, rooms(part)  # once, before the threads share them
        done = []
        with ThreadPoolExecutor(2) as pool:
            try:
                for outcome in pool.map(self._air, ups):
                    done.append(outcome)
                    told()
            except BaseException:  # whoever stops it should not wait for the rest
                pool.shutdown(wait=True, cancel_futures=True)
                raise
        return done

    def _air(self, up: Floats) -> HangingOutcome:
        air, true = trapped_air(self.part, up, wide=self.wide), self.part.true_share
        marks = 0.0 if self.seen is None else float((air.dry_mm2 * true) @ self.seen[self.part.parent])
        held, other = self._held(up), self._held(-up)
        carried = left_in(air, other).volume_mm3
        rows = np.concatenate(held) if held else np.empty(0, np.int32)
        more = (np.linalg.norm(self.part.cross_mm2[rows], axis=1) - air.dry_mm2[rows]).clip(0.0)
        dry = float(air.dry_mm2 @ true)
        return HangingOutcome(dry, air.volume_mm3, carried, marks, dry + float(more @ true[rows]))

    def _held(self, up: Floats) -> list[Ints]:
        """The triangles of the narrow bores and chambers in which surface tension holds the air."""
        return [v.room.rows for v in verdicts(self.part, up, 0.0, self.filled) if v.stays]

    def leaned(self, ranked: Ranked, accuracy_deg: float, told: Callable[[], None] = lambda: None) -> HangingOutcome:
        """The worst of a direction and of leaning it to four sides, figure by figure."""
        ups = [tilted(np.asarray(ranked.up), accuracy_deg, k * 360.0 / _SIDES) for k in range(_SIDES)]
        found = self.outcomes([turn for up in ups for turn in (up, -up)], told)
        pairs = zip(found[::2], found[1::2], strict=True)
        return _worst([ranked.outcome, *(_both(air, liquid) for air, liquid in pairs)])

    def worth(self, ranked: Ranked) -> tuple[float, ...]:
        """Coarse first, so that a hair's breadth less air does not outweigh a cup of acid; of equal ones the driest."""
        at_most = ranked.most or ranked.outcome
        area = max(float(self.part.whole_mm2.sum()), 1e-300)
        bare, dry, carried, marks = (
            x / area for x in (at_most.bare_mm2, at_most.dry_mm2, at_most.carried_mm3, at_most.marks_mm2)
        )
        return (round(bare / _ALIKE), round(dry / _ALIKE), round(carried / _ALIKE_MM), round(marks / _ALIKE),
                not ranked.simple, carried, bare, dry)  # fmt: skip


def is_free(ranked: Sequence[Ranked], part: BathSkin) -> bool:
    """Whether no way that a person would choose traps or carries more than another: it hangs as one likes."""
    trial = _Trial(part, None, None)
    return len({trial.worth(each)[:3] for each in ranked if each.simple}) == 1


def apart(ranked: Sequence[Ranked], named: SurfaceMap, count: int) -> tuple[Ranked, ...]:
    """The first ways that a person would tell apart: on a turned part those that lean the same are one."""
    axis = turned_axis(named)
    kept: list[Ranked] = []
    for way in ranked:
        ups = np.array([each.up for each in kept]).reshape(-1, 3)
        if axis is None:
            off = np.degrees(np.arccos(np.clip(ups @ np.array(way.up), -1.0, 1.0)))
        else:
            mine = math.acos(float(np.clip(axis @ np.array(way.up), -1.0, 1.0)))
            off = np.abs(np.degrees(np.arccos(np.clip(ups @ axis, -1.0, 1.0)) - mine))
        if len(kept) < count and not (off < _APART_DEG).any():
            kept.append(way)
    return tuple(kept)


def _worst(outcomes: Sequence[HangingOutcome]) -> HangingOutcome:
    return HangingOutcome(*(max(getattr(each, field.name) for each in outcomes) for field in fields(HangingOutcome)))


def _both(air: HangingOutcome, liquid: HangingOutcome) -> HangingOutcome:
    return HangingOutcome(air.dry_mm2, air.air_mm3, liquid.carried_mm3, air.marks_mm2 + liquid.marks_mm2, air.bare_mm2)


def _distinct(ups: Iterable[Floats]) -> list[Floats]:
    return list({_key(up): np.asarray(up, float) for up in reversed(list(ups))}.values())[::-1]


def _key(up: Floats) -> tuple[float, ...]:
    return tuple(round(float(x), 6) + 0.0 for x in up)
