"""Every feature of a part's skin found and named, from a mesh's triangles or from exact faces."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np

from areacalc.estimate import Estimate
from areacalc.fact import fact
from areacalc.shape.body import Body
from areacalc.shape.kinds import Note, SurfaceKind
from areacalc.shape.mesh.soundness import judge, judge_sheets, refuse_soup
from areacalc.surface.arrangement import arranged
from areacalc.surface.bodies import bodies
from areacalc.surface.exposed import Look
from areacalc.surface.features.border import Rims
from areacalc.surface.features.bored import bored
from areacalc.surface.features.creases import creases
from areacalc.surface.features.cut_skin import Skin, holes
from areacalc.surface.features.few_flats import FlatRing, coarse_bores, flats_meant, read_lands, read_rings
from areacalc.surface.features.naming import named
from areacalc.surface.features.patches import PatchCut, cut_faces, cut_mesh
from areacalc.surface.features.pieces import Piece, found_pieces
from areacalc.surface.features.true_area import true_areas
from areacalc.surface.features.walls import walls
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import Arrangement, Feature, Patch, SurfaceMap

_FEW = 20_000  # triangles: up to here to begin a thread takes longer than it saves


def find_features(body: Body, as_drawn: bool = False) -> SurfaceMap:
    """The skin of a body as patches and named features.

    as_drawn takes the facets of a mesh for the part's true shape: no round surface is read into them.
    """
    if _exact(body):
        _ = body.topology  # worked out once, before two threads ask for it
    else:
        refuse_soup(body)
    if len(body.triangles) < _FEW:  # soon done
        found = _found(body, as_drawn)
        return replace(found, notes=(*found.notes, *_sound(body)))
    with ThreadPoolExecutor(1) as beside:  # whether the mesh is sound is looked into on another core meanwhile
        sound = beside.submit(_sound, body)
        found = _found(body, as_drawn)
        return replace(found, notes=(*found.notes, *sound.result()))


def _sound(body: Body) -> tuple[Note, ...]:
    if not _exact(body):
        return judge(body)
    # sheets in the file itself: the mesh of a solid may gape and its areas still hold
    drawn_open = not body.closed and any(note.code == "open-surfaces" for note in body.notes)
    return judge_sheets(body) if drawn_open else ()


def _exact(body: Body) -> bool:
    """Whether every triangle comes from a face whose area is known."""
    return len(body.faces) > 0 and len(body.face_of_triangle) == len(body.triangles)


def _found(body: Body, as_drawn: bool) -> SurfaceMap:
    mesh = body.topology
    turned = bodies(mesh, body.solid_of_triangle)
    bent = creases(mesh.points, turned.corners, turned.across)
    exact, meant = _exact(body), list[FlatRing]()
    read = [Note(fact(SurfaceNote.FLIPPED, count=turned.flipped))] if turned.flipped else []
    guessed = not exact and not as_drawn
    cut = cut_faces(body, bent, mesh.triangle_of) if exact else cut_mesh(bent, as_drawn)
    if guessed:
        cut, meant = flats_meant(coarse_bores(cut))
    if exact:
        areas, known = _exact_areas(body, cut), ~cut.are(SurfaceKind.FREE_FORM)
    else:
        areas, known, arc = true_areas(cut)
        read += arc.notes()
        known &= arc.most <= arc.least  # strips that may be a curve lie on no surface that is known
    arrangement = arranged(body, turned, Look(bent, cut, areas, known))
    drawn = cut.surfaces
    if guessed:
        areas, rings = read_rings(cut, areas, meant)
        areas, cut = read_lands(cut, areas)
        read += rings
    rim, wall = Rims.of(cut.edge, cut.surfaces), walls(cut, turned.shell_of)
    host = holes(cut, rim)
    bore_of = bored(cut, wall, host)
    skin = Skin(cut, rim, wall, areas, host, bore_of, drawn).with_bores(bore_of)
    pieces = found_pieces(skin, turned)
    features = named(pieces)
    if doubtful := tuple(feature.name for feature, piece in features if pieces[piece].doubt):
        read.append(Note(fact(SurfaceNote.NOT_A_BORE, features=doubtful)))
    notes = (*read, *arrangement.notes)
    return _map(body, skin, pieces, features, arrangement, notes, as_drawn)


def _exact_areas(body: Body, cut: PatchCut) -> list[Estimate]:
    areas = []
    for own, sum_mm2 in zip(cut.faces, cut.facet_mm2, strict=True):
        if not own:
            areas.append(Estimate(float(sum_mm2), float(sum_mm2), float(sum_mm2), ("facets without an exact face",)))
            continue
        value = sum(body.faces[f].area_mm2 for f in own)
        error = sum(body.faces[f].area_error_mm2 for f in own)
        areas.append(Estimate(value, value - error, value + error))
    return areas


def _map(
    body: Body, skin: Skin, pieces: list[Piece], features: list[tuple[Feature, int]], arrangement: Arrangement,
    notes: tuple[Note, ...], as_drawn: bool,
) -> SurfaceMap:  # fmt: skip
    feature_of_patch = np.zeros(len(skin.cut.surfaces), np.int32)
    for index, (_, piece) in enumerate(features):
        feature_of_patch[list(pieces[piece].patches)] = index
    areas = np.array([e.value for e in skin.areas])
    order = np.lexsort((-np.round(areas, 6), feature_of_patch))
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order), dtype=np.int32)
    patches = tuple(_patch(body, skin, int(p), int(feature_of_patch[p])) for p in order)
    triangle_of = body.topology.triangle_of
    patch_of = np.full(len(body.triangles), -1, np.int32)
    patch_of[triangle_of] = rank[skin.cut.patch_of]
    feature_of = np.full(len(body.triangles), -1, np.int32)
    feature_of[triangle_of] = feature_of_patch[skin.cut.patch_of]
    return SurfaceMap(body, patches, tuple(f for f, _ in features), patch_of, feature_of, notes, as_drawn, arrangement)


def _patch(body: Body, skin: Skin, p: int, feature: int) -> Patch:
    own = skin.cut.faces[p] if skin.cut.faces else ()
    face = body.faces[own[0]] if own else None
    return Patch(
        skin.drawn[p], skin.areas[p], float(skin.cut.facet_mm2[p]), feature, face.name if face else "",
        face.colour if face else None,
    )  # fmt: skip
