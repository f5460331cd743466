"""The skin of a turned part, straight from its profile: exact, and with every bore already a feature."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from areacalc.estimate import Estimate, total
from areacalc.fact import fact, quantity
from areacalc.shape.body import Body, summed, triangle_areas_mm2
from areacalc.shape.kinds import Note
from areacalc.shape.profile.profile import Profile, Segment, TurnedBore
from areacalc.shape.profile.thread import Thread
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import BoreStep, BoreStepKind, Feature, FeatureKind, Patch, SurfaceMap, Vector, included


def surface_of(body: Body) -> SurfaceMap:
    """The SurfaceMap of a Body made by revolve: one patch a segment, features outside, ends and bores.

    Raises ValueError for a Body that has no profile.
    """
    profile = body.profile
    if profile is None:
        raise ValueError("this body was not turned from a profile")
    segments, grooves = _with_grooves(body, profile)
    profile = replace(profile, segments=segments)
    order = sorted(profile.features, key=lambda name: (_FIRST.get(name, len(_FIRST)), name))
    index = {name: i for i, name in enumerate(order)}
    facet = summed(triangle_areas_mm2(body.vertices, body.triangles), body.face_of_triangle, len(profile.segments))
    patches = tuple(
        Patch(face.surface, s.area_mm2, float(facet[k]), index[s.feature], s.name)
        for k, (s, face) in enumerate(zip(profile.segments, body.faces, strict=True))
    )
    features = tuple(grooves.get(name) or _feature(name, profile) for name in order)
    feature_of = np.array([p.feature for p in patches], np.int32)[body.face_of_triangle]
    return SurfaceMap(body, patches, features, body.face_of_triangle, feature_of, tuple(_thread_notes(profile)))


def _thread_notes(profile: Profile) -> Iterable[Note]:
    """What each thread has more than its plain wall, since a size tells the wall alone."""
    for s in profile.segments:
        if isinstance(s.dress, Thread):
            skin, plain = s.area_mm2.value, s.smooth_area_mm2
            yield Note(fact(
                SurfaceNote.THREAD_SURFACE, feature=s.feature, thread=s.dress.name, surface=quantity(skin, "mm2"),
                plain=quantity(plain, "mm2"),
            ))  # fmt: skip


_FIRST = {"outside": 0, "left-end": 1, "right-end": 2}


def _with_grooves(body: Body, profile: Profile) -> tuple[tuple[Segment, ...], dict[str, Feature]]:
    """The segments, those of grooves in the outside under the names of these, and the grooves by name."""
    radii = np.array([s.at(k / 8)[1] for s in profile.segments if s.feature == "outside" for k in range(9)])
    if (radii >= np.minimum(*(np.maximum.accumulate(r[::w])[::w] for r, w in ((radii, 1), (radii, -1)))) - 1e-9).all():
        return profile.segments, {}
    from areacalc.surface.bodies import bodies
    from areacalc.surface.features.creases import creases
    from areacalc.surface.features.patches import cut_faces
    from areacalc.surface.features.profile_grooves import named_grooves

    solids = bodies(body.topology, body.solid_of_triangle)
    skin = creases(body.topology.points, solids.corners, solids.across)
    cut = cut_faces(body, skin, body.topology.triangle_of)
    outside = np.array([profile.segments[own[0]].feature == "outside" for own in cut.faces], bool)
    segments = list(profile.segments)

    def told(patches: Sequence[int]) -> tuple[Estimate, str]:
        mine = [profile.segments[f] for p in patches for f in cut.faces[p]]
        return total(s.area_mm2 for s in mine), _dress_note(mine)

    grooves = {}
    for groove, patches in named_grooves(cut, solids.shell_of, outside, told):
        grooves[groove.name] = groove
        for f in (f for p in patches for f in cut.faces[p]):
            segments[f] = replace(segments[f], feature=groove.name)
    return tuple(segments), grooves


def _feature(name: str, profile: Profile) -> Feature:
    mine = [s for s in profile.segments if s.feature == name]
    area = total(s.area_mm2 for s in mine)
    bore = next((b for b in profile.bores if b.feature == name), None)
    if bore is None:
        across = 2 * max(r for s in mine for _, r in (s.start, s.end)) if name == "outside" else None
        return Feature(name, FeatureKind.OUTSIDE, area, across, note=_dress_note(mine))
    runs_out = abs(mine[-1].end[0] - bore.from_mm) < 1e-9  # to the mouth: so the outline goes round for a left one
    return _bore(bore, [s.reversed() for s in reversed(mine)] if runs_out else mine)


def _bore(bore: TurnedBore, chain: list[Segment]) -> Feature:
    walls = [s for s in chain if s.start[0] != s.end[0] and "point" not in s.name]
    floors = [s for s in chain if "floor" in s.name or "point" in s.name]
    shoulders = [s for s in chain if "shoulder" in s.name]
    mouths: tuple[Vector, ...] = ((bore.from_mm, 0.0, 0.0),)
    if bore.through:
        mouths = (*mouths, (bore.to_mm, 0.0, 0.0))
    inward = 1.0 if bore.to_mm > bore.from_mm else -1.0
    kind = FeatureKind.THROUGH_BORE if bore.through else FeatureKind.BLIND_BORE
    radius = min(min(s.start[1], s.end[1]) for s in walls) if walls else max(s.start[1] for s in chain)
    area, wall, floor, shoulder = (total(s.area_mm2 for s in some) for some in (chain, walls, floors, shoulders))
    return Feature(
        bore.feature, kind, area, 2 * radius, abs(bore.to_mm - bore.from_mm), (inward, 0.0, 0.0), mouths,
        _steps(chain, bore.from_mm), wall.value, floor.value, shoulder.value, _dress_note(chain),
        opens=((-inward, 0.0, 0.0), (inward, 0.0, 0.0))[: len(mouths)],
    )  # fmt: skip


def _dress_note(mine: list[Segment]) -> str:
    """The threads and knurls that make a feature's area more than its plain walls'."""
    worn = (s.dress.name + " thread" if isinstance(s.dress, Thread) else "knurl" for s in mine if s.dress)
    return included(dict.fromkeys(worn))


def _steps(chain: list[Segment], mouth_mm: float) -> tuple[BoreStep, ...]:
    """The segments of a bore from its first mouth inward, which lies at mouth_mm along the axis."""
    kinds = [_KINDS.get(s.name.rpartition(", ")[2], BoreStepKind.BORE) for s in chain]
    least = min((s.start[1] for s, kind in zip(chain, kinds, strict=True) if kind is BoreStepKind.BORE), default=0.0)
    return tuple(
        BoreStep(
            2 * max(s.start[1], s.end[1]),
            abs(s.end[0] - s.start[0]),
            s.area_mm2,
            BoreStepKind.COUNTERBORE if kind is BoreStepKind.BORE and s.start[1] > least else kind,
            2 * min(s.start[1], s.end[1]),
            abs(s.start[0] - mouth_mm),
        )
        for s, kind in zip(chain, kinds, strict=True)
    )


_KINDS = {
    "chamfer": BoreStepKind.COUNTERSINK,
    "shoulder": BoreStepKind.SHOULDER,
    "floor": BoreStepKind.FLOOR,
    "drill point": BoreStepKind.DRILL_POINT,
}
