"""The steps of one bore, from its first mouth inward: its walls, and the shoulders, floor and inserts between them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from areacalc.estimate import Estimate, total
from areacalc.shape.kinds import Floats, Surface, SurfaceKind
from areacalc.surface.features.axes import AXIAL, coaxial, frustum_mm2, sphere_zone_mm2, torus_zone_mm2
from areacalc.surface.features.bored import ALONG, STEEP_RAD, is_flank
from areacalc.surface.features.cut_skin import Skin
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.skin import BoreStep, BoreStepKind

WALLS = (BoreStepKind.BORE, BoreStepKind.COUNTERBORE, BoreStepKind.GROOVE, BoreStepKind.TAPER, BoreStepKind.COUNTERSINK)
ALIKE = 1e-3  # share of the radius by which lengths of one wall may differ
TIP = 0.05  # of its wider end: a cone at the floor that comes down to less is a drill's point
WITHIN = 0.02
"""Share of a narrower wall's radius by which the corners of a shoulder may lie inside it."""


@dataclass(frozen=True, slots=True)
class Length:
    """Patches of a bore along its axis: where they begin and end [mm], and their radius at both ends [mm].

    kind is that of their surface where it turns about the axis and faces it, None for what stands in the bore; way
    says that such is a flat across the axis, which faces along it (1) or against it (-1). round_mm2: a whole round of
    the surface between its ends, in closed form. flank: it is one of a thread.
    """

    patches: tuple[int, ...]
    kind: SurfaceKind | None
    begin: float
    end: float
    radius_begin: float
    radius_end: float
    way: int = 0
    round_mm2: float = 0.0
    flank: bool = False

    @property
    def radius(self) -> float:
        """The wider of both ends [mm]."""
        return max(self.radius_begin, self.radius_end)

    def turned(self) -> Length:
        return replace(self, begin=-self.end, end=-self.begin, radius_begin=self.radius_end,
                       radius_end=self.radius_begin, way=-self.way)  # fmt: skip


def length_of(skin: Skin, rims_mm: Floats, p: int, main: int) -> Length:
    """A patch along the axis of the main one; rims_mm (p, 2) as from Rims.ends_mm."""
    cut = skin.cut
    surface, axis = cut.surfaces[p], cut.surfaces[main]
    way = np.array(axis.direction)
    points = cut.corners(p).reshape(-1, 3) - np.array(axis.point)
    z = points @ way
    r = np.linalg.norm(points - z[:, None] * way, axis=1)
    begin, end = float(z.min()), float(z.max())
    kind = surface.kind if skin.wall.inward[p] and (p == main or coaxial(surface, axis)) else None
    if kind is SurfaceKind.CYLINDER and abs(float(r.max()) / surface.radius_mm - 1.0) > 0.01:
        kind = None
    if kind is not None:
        begin, end = _means(rims_mm[p], surface, axis, begin, end)
    if kind is SurfaceKind.CYLINDER:
        whole = frustum_mm2(surface.radius_mm, surface.radius_mm, end - begin)
        return Length((p,), kind, begin, end, surface.radius_mm, surface.radius_mm, round_mm2=whole)
    if kind in AXIAL or kind is SurfaceKind.SPHERE:
        ends = float(r[z.argmin()]), float(r[z.argmax()])
        if kind is SurfaceKind.SPHERE:
            whole = sphere_zone_mm2(surface.radius_mm, end - begin)
        elif kind is SurfaceKind.TORUS:
            whole = torus_zone_mm2(surface, points + np.array(axis.point))
        else:
            whole = frustum_mm2(*ends, end - begin)
        return Length((p,), kind, begin, end, *ends, round_mm2=whole)
    facing = 0
    if surface.kind is SurfaceKind.PLANE and abs(float(np.dot(surface.direction, axis.direction))) > ALONG:
        rows = cut.rows(p)
        facing = int(math.copysign(1, cut.mesh.area[rows] @ cut.mesh.normal[rows] @ way))
    flank = is_flank(cut, p, main)
    return Length((p,), None, begin, end, float(r.min()), float(r.max()), facing, flank=flank)


def _means(rims: Floats, surface: Surface, axis: Surface, begin: float, end: float) -> tuple[float, float]:
    """The ends of a wall, each the mean over the turn where a rim goes round there."""
    way, along = np.array(axis.direction), np.subtract(surface.point, axis.point)
    found = sorted(float(along @ way + z * np.dot(surface.direction, way)) for z in rims if not np.isnan(z))
    if len(found) == 2 and found[0] < found[1]:
        return found[0], found[1]
    if not found:
        return begin, end
    return (found[0], end) if found[0] - begin < end - found[0] else (begin, found[0])


def steps_of(
    cut: PatchCut, areas: Sequence[Estimate], lengths: Sequence[Length], mouth_mm: float, far_mm: float, blind: bool
) -> tuple[BoreStep, ...] | None:
    """The steps between the first mouth and the floor or the other mouth; None where no wall lies between."""
    mouth, far = mouth_mm, far_mm
    slack = 1e-6 * max(abs(far), abs(mouth), far - mouth)
    thread = [x for x in lengths if x.flank]
    if thread:  # its root is a wall that goes round with it
        root = max(x.radius for x in thread)
        thread += [x for x in lengths if x.kind is SurfaceKind.CYLINDER and abs(x.radius - root) <= WITHIN * root]
        lengths = [x for x in lengths if x not in thread]
    walls = _joined(cut, [x for x in lengths if x.kind], slack + ALIKE * (far - mouth))
    # what a slanted mouth leaves beyond its middle lies at it
    walls = [replace(w, begin=min(max(w.begin, mouth), far), end=max(min(w.end, far), mouth)) for w in walls]
    walls.sort(key=lambda w: (w.begin + w.end, w.begin))
    if not any(w.end > w.begin for w in walls):
        return None
    kinds = _kinds(walls, mouth, far, blind, slack)
    between: dict[int, list[Length]] = {}
    inserts: list[Length] = []
    for x in lengths:
        if x.kind is None:
            gap = _gap(walls, x, slack + ALIKE * (far - mouth))
            (inserts if gap is None else between.setdefault(gap, [])).append(x)
    steps: list[BoreStep] = []
    for i in range(len(walls) + 1):
        if held := between.get(i):
            steps.append(_ring(areas, walls, i, held, far, blind))
        if i < len(walls):
            w = walls[i]
            least, most = sorted((2.0 * w.radius_begin, 2.0 * w.radius_end))
            area, whole = total(areas[p] for p in w.patches), w.round_mm2
            if thread:  # it has taken its share of the wall
                begin, end = _span(thread, w.begin, w.end)
                whole = max(area.value, whole * (1.0 - max(end - begin, 0.0) / max(w.end - w.begin, 1e-300)))
            steps.append(BoreStep(most, w.end - w.begin, area, kinds[i], least, w.begin - mouth, whole))
    if thread:
        area, (begin, end) = total(areas[p] for x in thread for p in x.patches), _span(thread, mouth, far)
        narrow = 2.0 * min(x.radius_begin for x in thread)
        steps.append(BoreStep(2.0 * root, end - begin, area, BoreStepKind.THREAD, narrow, begin - mouth, area.value))
    if inserts:
        most = 2.0 * max(x.radius for x in inserts)
        area = total(areas[p] for x in inserts for p in x.patches)
        begin = min(x.begin for x in inserts)
        steps.append(BoreStep(most, 0.0, area, BoreStepKind.INSERT, 0.0, max(begin - mouth, 0.0)))
    return tuple(steps)


def _span(lengths: Sequence[Length], mouth: float, far: float) -> tuple[float, float]:
    """Where lengths begin and end between the mouths."""
    return max(min(x.begin for x in lengths), mouth), min(max(x.end for x in lengths), far)


def _joined(cut: PatchCut, lengths: Sequence[Length], slack: float) -> list[Length]:
    """The lengths with those of one wall made one: arcs between keyways, faces that the file divides."""
    walls: list[Length] = []
    for x in sorted(lengths, key=lambda x: (x.begin, x.end)):
        same = next((i for i, w in enumerate(walls) if _one_wall(cut, w, x, slack)), None)
        if same is None:
            walls.append(x)
            continue
        w = walls[same]
        first, last = (w if w.begin <= x.begin else x), (w if w.end >= x.end else x)
        whole = max(w.round_mm2, x.round_mm2)
        if w.kind in (SurfaceKind.CYLINDER, SurfaceKind.CONE):
            whole = frustum_mm2(first.radius_begin, last.radius_end, last.end - first.begin)
        walls[same] = Length(w.patches + x.patches, w.kind, first.begin, last.end, first.radius_begin, last.radius_end,
                             round_mm2=whole)  # fmt: skip
    return walls


def _one_wall(cut: PatchCut, one: Length, two: Length, slack: float) -> bool:
    if one.kind is not two.kind or two.begin > one.end + slack:
        return False
    if one.kind is SurfaceKind.CONE:
        angles = [cut.surfaces[x.patches[0]].half_angle_rad for x in (one, two)]
        slopes = [x.radius_end - x.radius_begin for x in (one, two)]
        apart = abs(
            one.radius_begin
            + math.copysign(math.tan(angles[0]), slopes[0]) * (two.begin - one.begin)
            - two.radius_begin
        )
        return abs(angles[0] - angles[1]) <= ALIKE and slopes[0] * slopes[1] > 0 and apart <= 10 * ALIKE * one.radius
    if one.kind is SurfaceKind.CYLINDER:
        return abs(one.radius - two.radius) <= ALIKE * one.radius
    surfaces = [cut.surfaces[x.patches[0]] for x in (one, two)]
    near = np.linalg.norm(np.subtract(surfaces[0].point, surfaces[1].point))
    sizes = [s.minor_radius_mm or s.radius_mm for s in surfaces]
    return bool(near <= 10 * ALIKE * sizes[0] and abs(sizes[0] - sizes[1]) <= 10 * ALIKE * sizes[0])


def _kinds(walls: Sequence[Length], mouth: float, far: float, blind: bool, slack: float) -> list[BoreStepKind]:
    """What each wall is called: by its surface, and by what lies on either side of it."""
    round_ = [w.radius for w in walls if w.kind is SurfaceKind.CYLINDER]
    least = min(round_, default=0.0)
    kinds = []
    for i, w in enumerate(walls):
        at_mouth = w.begin <= mouth + slack or (not blind and w.end >= far - slack)
        at_floor = blind and w.end >= far - slack
        sharp = min(w.radius_begin, w.radius_end) < TIP * w.radius
        if w.kind is SurfaceKind.CYLINDER:
            sides = [[v.radius for v in side if v.kind is SurfaceKind.CYLINDER] for side in (walls[:i], walls[i + 1 :])]
            narrower = [min(side, default=math.inf) < 0.999 * w.radius for side in sides]
            wide = w.radius > 1.001 * least
            kinds.append(
                BoreStepKind.GROOVE if wide and all(narrower)
                else BoreStepKind.COUNTERBORE if wide and any(narrower) else BoreStepKind.BORE
            )  # fmt: skip
        elif w.kind is SurfaceKind.CONE:
            slope = abs(w.radius_end - w.radius_begin) / max(w.end - w.begin, 1e-300)
            if at_floor and sharp:
                kinds.append(BoreStepKind.DRILL_POINT)
            elif slope <= math.tan(STEEP_RAD):
                kinds.append(BoreStepKind.TAPER)
            else:
                kinds.append(BoreStepKind.COUNTERSINK if at_mouth else BoreStepKind.SHOULDER)
        else:
            kinds.append(
                BoreStepKind.FLOOR if at_floor else BoreStepKind.COUNTERSINK if at_mouth else BoreStepKind.SHOULDER
            )
    return kinds


def _gap(walls: Sequence[Length], x: Length, slack: float) -> int | None:
    """The number of the wall before which a patch lies between walls; None if it stands beside one.

    A flat across the axis lies where it leads from one radius to the next, and faces so. A shoulder drawn in several
    levels lies beside both walls, and within neither.
    """
    last = len(walls)
    if not x.way:
        return last if walls[-1].end - slack <= x.begin else None
    for beside in (False, True):
        for i in range(last + 1):
            begin = walls[i - 1].end if i else -math.inf
            end = walls[i].begin if i < last else math.inf
            inner = 0 < i < last
            if inner and not _leads(walls[i - 1].radius_end, walls[i].radius_begin, x):
                continue
            if not beside and begin - slack <= x.begin and x.end <= end + slack:
                return i
            if beside and inner and walls[i - 1].begin < x.end + slack and walls[i].end > x.begin - slack:
                return i
    return None


def _leads(before: float, after: float, x: Length) -> bool:
    """Whether a flat across the axis reaches out over the narrower of two radii, and faces as the shoulder does."""
    narrow, wide = sorted((before, after))
    near, out = sorted((x.radius_begin, x.radius_end))
    over = near >= (1.0 - WITHIN) * narrow and out > (1.0 + ALIKE) * narrow
    return over and wide > (1.0 + ALIKE) * narrow and x.way == (-1 if before > after else 1)


def _ring(
    areas: Sequence[Estimate], walls: Sequence[Length], i: int, held: Sequence[Length], far: float, blind: bool
) -> BoreStep:
    """The shoulder between two walls, or the floor after the last."""
    before, after = walls[i - 1] if i else None, walls[i] if i < len(walls) else None
    area = total(areas[p] for x in held for p in x.patches)
    at = before.end if before else walls[0].begin
    mouth = walls[0].begin
    if after is None or before is None:
        last = before or walls[0]
        radius = last.radius_end if before else last.radius_begin
        kind = BoreStepKind.FLOOR if after is None and blind else BoreStepKind.SHOULDER
        disk = frustum_mm2(0.0, radius, 0.0)
        if not all(x.way for x in held):  # a rounded floor has up to twice the area of a flat one
            disk = min(max(disk, area.value), 2.0 * disk)
        depth = max(far - at, 0.0) if kind is BoreStepKind.FLOOR else 0.0
        return BoreStep(2.0 * radius, depth, area, kind, 0.0, at - mouth, disk)
    least, most = sorted((2.0 * before.radius_end, 2.0 * after.radius_begin))
    ring = frustum_mm2(before.radius_end, after.radius_begin, 0.0)
    return BoreStep(most, max(after.begin - at, 0.0), area, BoreStepKind.SHOULDER, least, at - mouth, ring)
