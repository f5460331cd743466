"""One way to hang a part: the air it traps, the liquid it carries out, the skin left dry, with bounds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from areacalc.estimate import Estimate
from areacalc.fact import fact, quantity
from areacalc.shape.body import Body
from areacalc.shape.kinds import Floats, Ints, Note
from areacalc.surface.air.bath_skin import BathSkin, bath_skin
from areacalc.surface.air.compressed import Under, compressed
from areacalc.surface.air.direction import tilted
from areacalc.surface.air.fills import FREE_MM, HOLDS_MM, Fill
from areacalc.surface.air.liquid_line import LiquidLine, dry_at_line
from areacalc.surface.air.narrow import LEAST_GAP_MM, Ways, wide_ways, width_at_mm
from areacalc.surface.air.narrow_mouths import Facing, FillVerdict, alike, verdicts
from areacalc.surface.air.trapped_air import Trapped, carried_liquid, trapped_air, unit
from areacalc.surface.air.vent import leaky, without
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import DryShare, State, Vector, vector
from areacalc.surface.wetted import bare_areas

if TYPE_CHECKING:
    from areacalc.surface.wetted import WettedArea

ACCURACY_DEG = 5.0  # chosen: how far off upright a person hangs a part by eye
COMPASS = 8
LEANS = (0.5, 1.0)  # of the accuracy: air that is trapped half way over may leave all the way over
_NO_MM2 = 1e-6
_BECAUSE = "how accurately it hangs"
_BECAUSE_NARROW = "narrow vents"
_BECAUSE_FACETS = "the file's flats against the true curves"
_BECAUSE_TRAP = "vents that run down and then up"


@dataclass(frozen=True, slots=True)
class By:
    """How a part is hung: how far off a person may hang it, the gap that lets no air by, and how deep if it matters."""

    accuracy_deg: float = ACCURACY_DEG
    gap_mm: float = LEAST_GAP_MM
    under: Under | None = None


@dataclass(frozen=True, eq=False)
class Case:
    """One reading: what is trapped, and the area of each triangle left dry (k,) below and above the line."""

    air: Trapped
    airlocked_mm2: Floats
    above_mm2: Floats | None


@dataclass(frozen=True, eq=False)
class Hanging:
    """A part hung with `up` (unit, in its own axes) pointing up.

    case: as it hangs, slits under gap_mm and vents that run down and then up shut; others: leaned over by half and all
    of accuracy_deg to eight sides, with the slits open, with those vents open, and with curved skin over and under its
    facets at the line. liquid: what it carries out.
    line_mm: the height of the liquid line along up, None for fully submerged. slits, traps: whether such slits and such
    vents were met. under: how deep the air was pressed together, None where it was not. narrow: the bores, and the
    chambers behind them, in which surface tension may hold air.
    """

    up: Vector
    skin: BathSkin
    case: Case
    others: tuple[Case, ...]
    liquid: Trapped
    gap_mm: float
    accuracy_deg: float
    slits: bool
    line_mm: float | None = None
    traps: bool = False
    under: Under | None = None
    narrow: tuple[FillVerdict, ...] = ()

    @property
    def air(self) -> Trapped:
        """What is trapped as it hangs."""
        return self.case.air

    @cached_property
    def airlocked_mm2(self) -> Estimate:
        """The skin under trapped air over all readings."""
        every, own = (self.case, *self.others), self.skin.true_share
        return self._over_all([float(c.airlocked_mm2 @ own) for c in every], [c.air.doubt_mm2 for c in every])

    @cached_property
    def trapped_air_mm3(self) -> Estimate:
        """The volume of the trapped air over all readings."""
        every = (self.case, *self.others)
        return self._over_all([c.air.volume_mm3 for c in every], [c.air.doubt_mm3 for c in every])

    @cached_property
    def vent_widths_mm(self) -> tuple[float | None, ...]:
        """For each pocket the width of the slit, hole or mouth by which its air would leave; None for an open edge."""
        return tuple(width_at_mm(self.skin, pocket.gate) for pocket in self.air.pockets)

    @cached_property
    def dry_shares(self) -> tuple[DryShare, ...]:
        """What wetted_area takes: the shares of the body's triangles under air, and above the line."""
        every = (self.case, *self.others)
        dry = [self.skin.share(c.airlocked_mm2) for c in every]
        if (doubt := self.air.doubt_mm2) > 0.0:  # what facets leave open, as if there were less and more of it
            off = doubt / self.air.area_mm2
            dry += [dry[0] * max(0.0, 1.0 - off), np.minimum(dry[0] * (1.0 + off), 1.0)]
        shares = [_dry_share(State.AIRLOCKED, dry)]
        above = [self.skin.share(c.above_mm2) for c in every if c.above_mm2 is not None]
        if above:
            shares.append(_dry_share(State.ABOVE_LINE, above))
        if self.doubted:
            likely, most = (self._held([v for v in self.doubted if v.stays or every]) for every in (False, True))
            value, least = (sum(each) for each in zip(*((s.value, s.low) for s in shares), strict=True))
            held = [likely * (1.0 - value).clip(0.0), np.zeros(len(likely)), most * (1.0 - least).clip(0.0)]
            shares.append(_dry_share(State.AIR_HELD, held))
        return tuple(shares)

    @property
    def doubted(self) -> tuple[FillVerdict, ...]:
        """The narrow bores and chambers that may keep their air by surface tension, whatever their shape traps."""
        return tuple(v for v in self.narrow if v.clings in (Fill.HOLDS, Fill.IN_DOUBT))

    def _held(self, verdicts: Iterable[FillVerdict]) -> Floats:
        """The share of each of the body's triangles in these rooms."""
        area = np.zeros(len(self.skin.corners))
        for each in verdicts:
            area[each.room.rows] = np.linalg.norm(self.skin.cross_mm2[each.room.rows], axis=1)
        return self.skin.share(area)

    @property
    def notes(self) -> tuple[Note, ...]:
        """What was not certain, but for what stays in narrow bores (see told)."""
        found = list(self.skin.notes)
        if self.air.small_mm2 > 0.0:
            found.append(Note(fact(SurfaceNote.SMALL_POCKETS, area=quantity(self.air.small_mm2, "mm2"))))
        if self.slits:
            found.append(Note(fact(SurfaceNote.NARROW_VENTS, gap=quantity(self.gap_mm, "mm"))))
        if self.traps:
            found.append(Note(fact(SurfaceNote.WATER_TRAP)))
        if self.line_mm is not None and not self.skin.open:
            found += self._line_notes(self.line_mm)
        if self.under is not None:
            depth, density = quantity(self.under.depth_mm, "mm"), quantity(self.under.density_kg_per_m3, "kg/m3")
            found.append(Note(fact(SurfaceNote.AIR_PRESSED, depth=depth, density=density)))
        return tuple(found)

    def told(self, wetted: WettedArea) -> tuple[Note, ...]:
        """The notes, and what stays in narrow bores, those alike together, as far as the wetted area loses by it.

        A bore that looks down and traps air by its shape is among them where it keeps it though turned over.
        """
        kinds = {Fill.HOLDS: SurfaceNote.AIR_HELD, Fill.IN_DOUBT: SurfaceNote.AIR_MAY_BE_HELD}
        bare, counted_mm2 = bare_areas(wetted.rows), dict[tuple[str, bool], float]()  # as bare, and as wet
        wet_mm2 = {row.feature.name: row.area_mm2.value for row in wetted.rows if row.state is State.WET}
        for row in wetted.rows:
            if row.state is State.AIR_HELD:
                name, whole, held = row.feature.name, row.feature.area_mm2, row.area_mm2
                counted_mm2[name, True] = bare[name].value
                doubt_mm2 = held.high * whole.value / whole.high - held.value
                counted_mm2[name, False] = min(doubt_mm2, wet_mm2.get(name, 0.0))
        plain_mm2: defaultdict[tuple[str, bool], float] = defaultdict(float)
        shut = {row.feature.name for row in wetted.rows if row.state is State.AIRLOCKED and row.area_mm2.value > 0.0}
        told = [v for v in self.doubted
                if v.clings is Fill.HOLDS or v.facing is not Facing.DOWN
                or shut.isdisjoint(v.room.features)]  # fmt: skip
        for each in told:
            for name, mm2 in each.room.areas_mm2.items():
                plain_mm2[name, each.stays] += mm2

        def area_mm2(one: FillVerdict) -> float:
            keys = [((name, one.stays), mm2) for name, mm2 in one.room.areas_mm2.items()]
            return sum(mm2 / plain_mm2[key] * counted_mm2.get(key, 0.0) for key, mm2 in keys)

        return *self.notes, *(
            Note(fact(
                kinds[same[0].clings], features=tuple(dict.fromkeys(n for v in same for n in v.room.features)),
                across=quantity(same[0].room.diameter_mm, "mm"), chamber=int(same[0].room.chamber),
                area=quantity(sum(map(area_mm2, same)), "mm2"), stays=int(same[0].stays),
                helps=tuple(map(str, same[0].helps)), under=quantity(HOLDS_MM, "mm"), upto=quantity(FREE_MM, "mm"),
            ))
            for same in alike(v for v in told if area_mm2(v) > _NO_MM2)
        )  # fmt: skip

    def _line_notes(self, line_mm: float) -> list[Note]:
        height = self.skin.points[self.skin.corners] @ np.asarray(self.up)
        if line_mm <= float(height.min()) + self.skin.rounding_mm:
            return [Note(fact(SurfaceNote.LINE_BELOW_PART), warns=True)]
        if line_mm >= float(height.max()) - self.skin.rounding_mm:
            return [Note(fact(SurfaceNote.LINE_ABOVE_PART))]
        return []

    def _over_all(self, values: list[float], doubts: list[float]) -> Estimate:
        low = max(0.0, min(value - doubt for value, doubt in zip(values, doubts, strict=True)))
        high = max(value + doubt for value, doubt in zip(values, doubts, strict=True))
        because = ((_BECAUSE,) * (self.accuracy_deg > 0.0) + (_BECAUSE_NARROW,) * self.slits
                   + (_BECAUSE_TRAP,) * self.traps + (_BECAUSE_FACETS,) * any(doubts))  # fmt: skip
        return Estimate(values[0], low, high, because if high > low else ())


def _dry_share(state: State, cases: list[Floats]) -> DryShare:
    stack = np.stack(cases)
    return DryShare(state, cases[0], stack.min(axis=0), stack.max(axis=0), tuple(cases))


def hanging(
    part: Body | BathSkin, up: Vector | Floats, line: LiquidLine | None = None, accuracy_deg: float = ACCURACY_DEG,
    gap_mm: float = LEAST_GAP_MM, under: Under | None = None, filled: Iterable[str] = (),
) -> Hanging:  # fmt: skip
    """Everything about one way to hang a part.

    under: how deep the part goes, for air that is pressed together; None leaves it as large as it was shut in.
    filled: the names of narrow bores that a person fills before the part goes under.
    Raises BadInput for a direction without length.
    """
    skin = part if isinstance(part, BathSkin) else bath_skin(part)
    upright = unit(up)
    ways = wide_ways(skin, gap_mm)
    leaned = [tilted(upright, share * accuracy_deg, k * 360.0 / COMPASS) for share in LEANS for k in range(COMPASS)]
    if accuracy_deg <= 0.0:
        leaned = []
    cases = [_case(skin, each, line, ways, under) for each in (upright, *leaned)]
    if ways is not None:
        cases.append(_case(skin, upright, line, None, under))
    gone = leaky(cases[0].air, ways)
    if gone.any():
        cases.append(_dry(without(cases[0].air, gone), line, ways))
    if line is not None and (off_mm := _off_mm(skin, upright)).any():
        cases += [_dry(cases[0].air, line, ways, way * off_mm) for way in (1.0, -1.0)]
    liquid = carried_liquid(skin, upright, wide=ways)
    height = None if line is None else line.height_mm(skin.points[skin.corners] @ upright)
    if height is not None:  # none has run into a cup whose brim stood out of the bath
        liquid = without(liquid, np.array([-pocket.level_mm > height for pocket in liquid.pockets], bool))
    narrow = verdicts(skin, upright, accuracy_deg, filled, height)
    liquid = left_in(liquid, [each.room.rows for each in narrow if each.stays])
    return Hanging(vector(upright), skin, cases[0], tuple(cases[1:]), liquid, gap_mm, accuracy_deg, ways is not None,
                   height, bool(gone.any()), under, narrow)  # fmt: skip


def _off_mm(skin: BathSkin, up: Floats) -> Floats:
    """How far the true surface may lie off each triangle over the line, which is told from the part's lowest or top."""
    off_mm, height = skin.off_mm(up), (skin.points @ up)[skin.corners]
    ends = (height.min(axis=1) <= height.min() + skin.rounding_mm) | (
        height.max(axis=1) >= height.max() - skin.rounding_mm
    )
    return np.asarray(off_mm + off_mm[ends].max())


def left_in(liquid: Trapped, held: Sequence[Ints]) -> Trapped:
    """The liquid that stands in cups, without those in which air is held; held: the triangles of the skin there."""
    if not held or not liquid.pockets:
        return liquid
    wet = np.where((liquid.skin.parent >= 0) & (liquid.pocket_of >= 0), liquid.dry_mm2, 0.0)
    wet[np.concatenate(held)] = 0.0
    return without(liquid, np.bincount(liquid.pocket_of.clip(0), wet, len(liquid.pockets)) <= _NO_MM2)


def _case(skin: BathSkin, up: Floats, line: LiquidLine | None, ways: Ways | None, under: Under | None) -> Case:
    air = trapped_air(skin, up, wide=ways)
    if under is not None:
        air = compressed(air, under)
    return _dry(air, line, ways)


def _dry(air: Trapped, line: LiquidLine | None, ways: Ways | None, raised_mm: Floats | float = 0.0) -> Case:
    if line is None:
        return Case(air, air.dry_mm2, None)
    skin = air.skin
    height = line.height_mm(skin.points[skin.corners] @ air.up)
    held = carried_liquid(skin, air.up, wide=ways)
    return Case(air, *dry_at_line(air, held, height, raised_mm))
