"""The rack of a planned load, drawn to scale in its tank, with each part's silhouette as it hangs."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import repeat

import numpy as np

from areacalc.part.part import Part
from areacalc.plan.plan import Plan
from areacalc.plant.drawing import WALL_MM, Outline, Outlines, Scene, SeenMouth, drawn
from areacalc.plant.hung import Points, Way
from areacalc.plant.paper import Drawing
from areacalc.shape.mesh.topology import Topology
from areacalc.surface.sides import main_bore

_MOST_TRIANGLES = 20_000  # of more the hull is drawn
_GRID_MM = 1e-4
_FINE = 0.002  # of a part's size: what a line on paper does not show


def outlines(parts: Sequence[Part], ways: Sequence[Way]) -> tuple[Outlines, ...]:
    """The silhouettes of parts, each as its way hangs it."""
    return tuple(_outlines(part, way) for part, way in zip(parts, ways, strict=True))


@lru_cache(maxsize=16)
def _outlines(part: Part, way: Way) -> Outlines:
    along, across, up = (np.array(axis) for axis in way.axes)
    views = ((along, -up), (across, -up), (along, across))
    front, side, plan = (_silhouette(part, right, down) for right, down in views)
    right = np.stack([along, -up], axis=1)
    corner = (part.body.topology.points @ right).min(axis=0)
    mouths = tuple(_mouths(part, right, corner))
    return Outlines(front, side, plan, mouths, tuple((float(x), float(y)) for x, y in right))


def _mouths(part: Part, right: Points, corner: Points) -> Iterator[SeenMouth]:
    """The mouths of a part as they are seen, those of its main bore first; of two that differ each with its width."""
    main = main_bore(part.skin)
    for feature in sorted(part.skin.features, key=lambda each: each is not main):
        wide = [step.diameter_mm for step in feature.steps if step.kind not in ("floor", "shoulder")]
        differ = len(feature.mouths) == 2 and len(wide) > 1 and abs(wide[0] - wide[-1]) > 1e-3 * wide[0]
        for mouth, across_mm in zip(feature.mouths, (wide[0], wide[-1]) if differ else repeat(None), strict=False):
            x, y = np.asarray(mouth) @ right - corner
            yield SeenMouth(feature.name, float(x), float(y), across_mm)


def _silhouette(part: Part, right: Points, down: Points) -> Outline:
    """The outer edge of what is seen, from the corner of its box: it runs where the surface turns away from the eye."""
    import shapely

    mesh = part.body.topology
    flat = mesh.points @ np.stack([right, down], axis=1)
    flat = flat - flat.min(axis=0)
    whole = shapely.MultiPoint(flat).convex_hull
    if len(mesh.corners) <= _MOST_TRIANGLES:
        noded = shapely.union_all(shapely.linestrings(_turning(mesh, flat)), grid_size=_GRID_MM)
        pieces = shapely.get_parts(shapely.union_all(shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))))
        if len(pieces) == 1:
            whole = pieces[0]
    edge = shapely.simplify(whole, _FINE * float(np.ptp(flat, axis=0).max()))
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(shapely.get_exterior_ring(edge)))


def _turning(mesh: Topology, flat: Points) -> Points:
    """The edges (k, 2, 2) that have one of their two triangles toward the eye, or one triangle alone."""
    a, b, c = (flat[mesh.corners[:, k]] for k in range(3))
    facing = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0]) > 0.0
    beyond = mesh.across
    turns = (beyond < 0) | (facing[beyond] != facing[:, None])
    triangle, side = np.nonzero(turns & ((beyond < 0) | (np.arange(len(beyond))[:, None] < beyond)))
    ends = np.stack([mesh.corners[triangle, side], mesh.corners[triangle, (side + 1) % 3]], axis=1)
    edges: Points = flat[ends]
    return edges


def rack_drawing(plan: Plan, inch: bool = False) -> Drawing | None:
    """The load in its tank; None where it is not laid out."""
    scene = rack_scene(plan, inch)
    return None if scene is None else drawn(scene)


def rack_scene(plan: Plan, inch: bool = False) -> Scene | None:
    """What is drawn of a load; None where it is not laid out, or a size of the tank is not known."""
    rack, load = plan.plant.room.layout, plan.load
    if rack is None or not rack.room.is_whole:
        return None
    shapes = outlines([each.part for each in plan.parts if each.part is not None], rack.ways)
    return Scene(f"{load.name}: the rack in its tank", (), rack, load.tank.freeboard_mm or 0.0, WALL_MM, load.cathodes,
                 outlines=shapes, inch=inch, hangs_by=load.rack)  # fmt: skip
