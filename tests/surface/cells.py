"""Space in small cells: what of it rising liquid fills, and the faces between metal and room. No level is known."""

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Cells = NDArray[np.bool_]


def flooded(metal: Cells, round_edges: bool = False) -> tuple[Cells, Cells]:
    """The cells of room (x, y, z) that stay dry under liquid, and all that have a way in.

    round_edges: what meets in an edge or a corner alone has a way there.

    The liquid rises a layer at a time from below and runs wherever it may, where the air can get away.
    """
    near = ndimage.generate_binary_structure(3, 3 if round_edges else 1)
    free, wet, border = ~metal, np.zeros(metal.shape, bool), np.ones(metal.shape, bool)
    border[1:-1, 1:-1, 1:-1] = False
    for k in range(metal.shape[2]):
        layer = np.arange(metal.shape[2]) <= k
        while True:
            air, _ = ndimage.label(free & ~wet, near)
            leads_out = np.isin(air, np.setdiff1d(np.unique(air[border]), [0]))
            may = free & layer & (wet | leads_out)
            fresh = ndimage.binary_propagation((wet | border) & may, near, mask=may) & ~wet
            if not fresh.any():
                break
            lowest = fresh.any(axis=(0, 1)).argmax()  # what runs over a sill fills the hollow from its bottom
            wet[:, :, lowest] |= fresh[:, :, lowest]
    room, _ = ndimage.label(free, near)
    sealed = free & ~np.isin(room, np.unique(room[border & free]))
    return free & ~wet & ~sealed, free & ~sealed


def faces(metal: Cells, room: Cells) -> int:
    """How many faces of cells lie between the two."""
    count = 0
    for axis in range(3):
        m, r = np.moveaxis(metal, axis, 0), np.moveaxis(room, axis, 0)
        count += int((m[1:] & r[:-1]).sum() + (m[:-1] & r[1:]).sum())
    return count


def touches_by_an_edge(cells: Cells) -> bool:
    """Whether anywhere two cells, of metal or of room, meet in an edge or a corner alone."""
    for one, two in ((0, 1), (0, 2), (1, 2)):
        c = np.moveaxis(cells, (one, two), (0, 1))
        a, b, d, e = c[:-1, :-1], c[1:, :-1], c[:-1, 1:], c[1:, 1:]
        if ((a == e) & (b == d) & (a != b)).any():
            return True
    parts = [cells[i : i - 1 or None, j : j - 1 or None, k : k - 1 or None] for i, j, k in np.ndindex(2, 2, 2)]
    corners = [np.stack([parts[n], parts[7 - n]]) for n in range(4)]
    whole = np.stack(parts).sum(axis=0)
    return any((((pair == value).all(axis=0)) & (whole == count)).any()
               for pair in corners for value, count in ((True, 2), (False, 6)))  # fmt: skip
