"""The line of a bore against the whole field round and in the part: bilinear finite elements on rings.

The elements know nothing of lines or mouths. They are first held against closed forms of their own: coaxial cylinders
ln(b/a)/(2 pi kappa L) (electrostatics), and the disk in an insulating plane, 1/(4 kappa a) (J. Newman, J. Electrochem.
Soc. 113 (1966) 501), with its potential (2/pi) arccot(xi) in oblate spheroidal coordinates as the far border.

The field is w = -u / V0, so that the density on metal is exp(w) of the outside's: Laplace in the bath, dw/dn =
-exp(w) / L on metal, L the Wagner length.
"""

import itertools
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.sparse import coo_array, diags_array
from scipy.sparse.linalg import splu

from areacalc.throw.bore_line import AT_A_THIN_END, IN_A_FACE, bore_line, plain_bore

GAUSS = np.array([-1.0, 1.0]) / np.sqrt(3.0)


@dataclass(frozen=True)
class Rings:
    """Nodes where lines of r and z cross [mm]; bath (nr - 1, nz - 1) says which cells the bath fills."""

    r: np.ndarray
    z: np.ndarray
    bath: np.ndarray

    def node(self, i, j):
        return i * len(self.z) + j

    @property
    def conducts(self):
        """The matrix of 2 pi r grad w . grad v over the bath."""
        i, j = np.nonzero(self.bath)
        wide, high = self.r[i + 1] - self.r[i], self.z[j + 1] - self.z[j]
        nodes = np.stack([self.node(i, j), self.node(i + 1, j), self.node(i + 1, j + 1), self.node(i, j + 1)])
        local = np.zeros((4, 4, len(i)))
        for x in GAUSS:
            for y in GAUSS:
                in_r = np.array([-(1 - y), 1 - y, 1 + y, -(1 + y)])[:, None] / (2.0 * wide)
                in_z = np.array([-(1 - x), -(1 + x), 1 + x, 1 - x])[:, None] / (2.0 * high)
                weight = 2.0 * np.pi * (self.r[i] + 0.5 * (1 + x) * wide) * wide * high / 4.0
                local += weight * (in_r[:, None] * in_r[None] + in_z[:, None] * in_z[None])
        rows, columns = np.broadcast_to(nodes[:, None], local.shape), np.broadcast_to(nodes[None], local.shape)
        size = len(self.r) * len(self.z)
        return coo_array((local.ravel(), (rows.ravel(), columns.ravel())), shape=(size, size)).tocsr()

    def skin(self, keep):
        """The metal's area at every node [mm2], of the faces between bath and metal whose middle (r, z) is kept."""
        area = np.zeros(len(self.r) * len(self.z))
        i, j = np.nonzero(self.bath[1:] != self.bath[:-1])  # faces at r[i + 1]
        on = keep(self.r[i + 1], 0.5 * (self.z[j] + self.z[j + 1]))
        i, j = i[on], j[on]
        half = np.pi * self.r[i + 1] * (self.z[j + 1] - self.z[j])
        np.add.at(area, self.node(i + 1, j), half)
        np.add.at(area, self.node(i + 1, j + 1), half)
        i, j = np.nonzero(self.bath[:, 1:] != self.bath[:, :-1])  # faces at z[j + 1]
        on = keep(0.5 * (self.r[i] + self.r[i + 1]), self.z[j + 1])
        i, j = i[on], j[on]
        a, b = self.r[i], self.r[i + 1]
        np.add.at(area, self.node(i, j + 1), np.pi * (b - a) * (2 * a + b) / 3.0)
        np.add.at(area, self.node(i + 1, j + 1), np.pi * (b - a) * (a + 2 * b) / 3.0)
        return area


def held_field(rings, fixed, values):
    """The field with some nodes held, and what flows out of each node."""
    matrix = rings.conducts
    touched = matrix.diagonal() > 0
    free = touched & ~fixed
    w = np.where(fixed, values, 0.0)
    w[free] = splu(matrix[free][:, free].tocsc()).solve(-(matrix @ w)[free])
    return w, matrix @ w


def polarised_field(rings, skin, fixed, wagner_length_mm, at_cathode):
    """The field with metal that takes exp(w) of the outside's density, by Newton's method."""
    matrix = rings.conducts
    free = (matrix.diagonal() > 0) & ~fixed
    w = np.where(fixed, at_cathode, 0.0)
    pull = skin / wagner_length_mm
    for _ in range(50):
        taken = pull * np.exp(w)
        wrong = -(matrix @ w + taken)[free]
        step = splu((matrix[free][:, free] + diags_array(taken[free])).tocsc()).solve(wrong)
        w[free] += step
        if np.abs(step).max() < 1e-11:
            return w
    raise AssertionError("no solution found")


def spaced(*stops):
    """Lines from stop to stop: (where, how far apart there) pairs, the spacing growing evenly between them."""
    at = [stops[0][0]]
    for (a, step_a), (b, step_b) in itertools.pairwise(stops):
        count = max(2, int(np.ceil((b - a) / np.sqrt(step_a * step_b))))
        ratio = (step_b / step_a) ** (1.0 / count)
        lengths = ratio ** np.arange(count)
        at += list(a + (b - a) * np.cumsum(lengths) / lengths.sum())
    return np.array(at)


def tube_field(bore_mm, wall_mm, depth_mm, wagner_length_mm, fine=1.0, through=False, far_mm=60.0):
    """Shares of the outside's density: (bore's mean, at its deepest on the wall), for a tube in a round tank."""
    a, b = 0.5 * bore_mm, 0.5 * bore_mm + wall_mm
    floor = 0.0 if through else wall_mm
    r = spaced((0.0, 0.16 * a / fine), (a, 0.08 * a / fine), (b, 0.1 * wall_mm / fine), (b + far_mm, 6.0 / fine))
    inside = 0.1 * a / fine
    ends = [(depth_mm, inside)] if through else [(depth_mm, inside), (depth_mm + floor, inside)]
    z = spaced((-far_mm, 6.0 / fine), (0.0, inside), (depth_mm / 2, 2.0 / fine), *ends,
               (depth_mm + floor + far_mm, 6.0 / fine))  # fmt: skip
    rc, zc = 0.5 * (r[1:] + r[:-1])[:, None], 0.5 * (z[1:] + z[:-1])[None]
    metal = (rc < b) & (rc > a) & (zc > 0) & (zc < depth_mm)
    metal |= (rc < b) & (zc > depth_mm) & (zc < depth_mm + floor)
    rings = Rings(r, z, ~metal)
    eps = 1e-6

    def within(x, y):
        return (x < a + eps) & (y > eps) & (y < depth_mm + eps)

    inner, outer = rings.skin(within), rings.skin(lambda x, y: ~within(x, y))
    fixed = np.repeat(np.arange(len(r)) == len(r) - 1, len(z))
    at_cathode = 0.0
    for _ in range(30):  # the cathode's level that puts the outside's mean at 1
        w = polarised_field(rings, inner + outer, fixed, wagner_length_mm, at_cathode)
        off = np.log((outer * np.exp(w)).sum() / outer.sum())
        if abs(off) < 1e-9:
            break
        at_cathode -= off
    share = np.exp(w)
    on_wall = rings.node(int(np.abs(r - a).argmin()), np.arange(len(z))[(z > -eps) & (z < depth_mm + eps)])
    return (inner * share).sum() / inner.sum(), share[on_wall].min()


def test_coaxial_cylinders():
    """ln(b/a)/(2 pi kappa L), 10 in 50 mm, 100 mm long: 0.0426917 ohm at 60 S/m."""
    r, z = np.geomspace(10.0, 50.0, 257), np.linspace(0.0, 100.0, 5)
    rings = Rings(r, z, np.ones((256, 4), bool))
    column = np.repeat(np.arange(257), 5)
    _, out = held_field(rings, (column == 0) | (column == 256), (column == 0).astype(float))
    conductance_m = out[column == 0].sum() * 1e-3
    assert 1.0 / (60.0 * conductance_m) == pytest.approx(0.0426917, rel=1e-5)


def test_a_disk_in_an_insulating_plane():
    """1/(4 kappa a): 10 mm in 60 S/m is 0.416667 ohm."""
    a, far = 10.0, 60.0
    r = spaced((0.0, 0.6), (a, 0.02), (far, 2.0))
    z = spaced((0.0, 0.02), (far, 2.0))
    rings = Rings(r, z, np.ones((len(r) - 1, len(z) - 1), bool))
    x, y = (g.ravel() for g in np.meshgrid(r / a, z / a, indexing="ij"))
    s = x**2 + y**2 - 1.0
    xi = np.sqrt(0.5 * (s + np.sqrt(s**2 + 4.0 * y**2)))
    exact = 2.0 / np.pi * np.arctan2(1.0, xi)
    disk = (y == 0.0) & (x <= 1.0 + 1e-12)
    border = (x >= far / a - 1e-9) | (y >= far / a - 1e-9)
    _, out = held_field(rings, disk | border, np.where(disk, 1.0, exact))
    assert 1e3 / (60.0 * out[disk].sum()) == pytest.approx(0.416667, rel=5e-4)


# bore, depth, Wagner length [mm], through
BORES = [
    (20.0, 100.0, 1500.0, False),
    *(pytest.param(*case, marks=pytest.mark.slow) for case in (
        (8.0, 110.0, 1733.0, False), (8.0, 110.0, 2600.0, False), (3.0, 40.0, 1500.0, False), (3.0, 90.0, 1500.0, True),
        (5.0, 25.0, 1500.0, False), (12.0, 150.0, 1500.0, False), (20.0, 200.0, 2600.0, False),
        (20.0, 200.0, 1000.0, True),
    )),
]  # fmt: skip


def test_a_tube_of_12_mm_closed_at_one_end():
    """8 x 110 mm in a bath of 60 S/m at 1.50 A/dm2 outside, V0 4.33 V: 0.83 A/dm2 in the mean, 0.61 at the bottom."""
    mean, least = tube_field(8.0, 2.0, 110.0, 10.0 * 60.0 * 4.3333 / 1.5)
    assert (1.5 * mean, 1.5 * least) == pytest.approx((0.83, 0.61), abs=0.005)


@pytest.mark.parametrize(("bore", "depth", "wagner", "through"), BORES)
def test_the_line_is_within_a_percent_of_the_field_at_a_wide_face(bore, depth, wagner, through):
    mean, least = tube_field(bore, 2.0 * bore, depth, wagner, through=through)
    line = bore_line(plain_bore(bore, depth, through), wagner, mouth=IN_A_FACE)
    assert (line.mean, line.least) == pytest.approx((mean, least), rel=0.01)


@pytest.mark.parametrize(("bore", "depth", "wagner", "through"), BORES)
def test_the_line_is_within_a_percent_of_the_field_at_a_thin_end(bore, depth, wagner, through):
    mean, least = tube_field(bore, max(0.15 * bore, 1.0), depth, wagner, through=through)
    line = bore_line(plain_bore(bore, depth, through), wagner, mouth=AT_A_THIN_END)
    assert (line.mean, line.least) == pytest.approx((mean, least), rel=0.01)


@pytest.mark.slow
def test_the_elements_converge():
    coarse, middle, fine = (tube_field(8.0, 2.0, 110.0, 1733.0, k)[0] for k in (0.5, 1.0, 2.0))
    assert abs(fine - middle) < 0.4 * abs(middle - coarse)
    assert abs(fine - middle) < 1e-3
