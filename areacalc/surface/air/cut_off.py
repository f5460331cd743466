"""Skin that lies below the air of a pocket and can be reached through that air alone: it stays dry as well."""

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.connected import connected
from areacalc.surface.air.air_loops import wet_pieces
from areacalc.surface.air.bath_skin import BathSkin
from areacalc.surface.air.narrow import Ways
from areacalc.surface.air.rays import first_along
from areacalc.surface.air.sweep_loops import peaks


def cut_off(skin: BathSkin, up: Floats, height_mm: Floats, label: Ints, ways: Ways) -> tuple[Ints, NDArray[np.bool_]]:
    """The labels with every point that no liquid reaches given to the pocket above it, and which those points are (p,).

    What is left of the space around the part once its pockets are taken out hangs together along the skin and, from
    each lowest point of the metal, straight down: no such line enters a pocket, since what stands over air is air.
    """
    none = np.zeros(len(label), bool)
    if not (label >= 0).any():
        return label, none
    piece = wet_pieces(ways.corners, label)
    used = np.zeros(len(label), bool)
    used[skin.corners] = True
    wet = np.nonzero((piece >= 0) & used)[0]
    names = np.unique(piece[wet])
    if len(names) == 1:
        return label, none
    rank = np.empty(len(label))
    rank[np.argsort(-height_mm, kind="stable")] = np.arange(len(label))
    main = piece[wet[rank[wet].argmax()]]
    pit = peaks(skin.corners, skin.points, -up, rank, *skin.spokes)
    pit = pit[(piece[pit] >= 0) & (piece[pit] != main)]
    hit = first_along(skin, pit, -up)
    under = skin.corners[hit]
    below = piece[under[np.arange(len(under)), height_mm[under].argmin(axis=1)]]
    below[hit < 0] = main
    dry = ~_reached(names, piece[pit], below, main)
    if not dry.any():
        return label, none
    lost = np.zeros(len(label), bool)
    lost[wet] = dry[np.searchsorted(names, piece[wet])]
    return _given(skin, label, piece, lost), lost


def _reached(names: Ints, one: Ints, two: Ints, main: int) -> NDArray[np.bool_]:
    held = two >= 0
    a, b = np.searchsorted(names, one[held]), np.searchsorted(names, two[held])
    _, label = connected(len(names), a, b)
    return np.asarray(label == label[np.searchsorted(names, main)])


def _given(skin: BathSkin, label: Ints, piece: Ints, lost: NDArray[np.bool_]) -> Ints:
    """Give each lost piece to a pocket that it shares an edge with; a piece without one (a body afloat) to none."""
    start = skin.corners.ravel()
    end = skin.corners[:, [1, 2, 0]].ravel()
    touch = lost[start] & (label[end] >= 0)
    owner = np.full(len(label), -2, np.int32)
    owner[piece[start[touch]]] = label[end[touch]]
    made = label.copy()
    made[lost] = owner[piece[lost]]
    return made
