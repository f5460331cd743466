"""Solids of revolution in closed form (Pappus and Guldinus; any calculus text): areas and volumes of turned parts."""

import math

import pytest

from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.turn import profile_of

PI = math.pi
DRILL = 4 / math.tan(math.radians(59))  # depth of a 118 degree point, 8 mm across

# words, area [mm2], volume [mm3]
CASES = {
    "cylinder": ("0 20, 30 20", 2 * PI * 10 * 30 + 2 * PI * 100, PI * 100 * 30),
    "tube": ("0 40, 50 40; bore through 16", 2 * PI * 28 * 50 + 2 * PI * (400 - 64), PI * (400 - 64) * 50),
    "frustum": ("0 30, 20 16", PI * 23 * math.sqrt(449) + PI * (225 + 64), PI * 20 * (225 + 120 + 64) / 3),
    "sphere": ("0 0, 20 0 arc r10", 4 * PI * 100, 4 / 3 * PI * 1000),
    "sphere by its centre": ("0 0, 20 0 arc centre 10 0", 4 * PI * 100, 4 / 3 * PI * 1000),
    "cap": ("0 0, 5 19.493588689617926 arc r12", 2 * PI * 12 * 5 + PI * 95, PI * 25 * (36 - 5) / 3),
    "blind bore with a drill point": (
        "0 20, 40 20; bore right 8 x 25",
        2 * PI * 10 * 40 + 2 * PI * 100 - PI * 16 + 2 * PI * 4 * 25 + PI * 16 / math.sin(math.radians(59)),
        PI * 100 * 40 - PI * 16 * 25 - PI * 16 * DRILL / 3,
    ),
    "stepped bore": (
        "0 20, 40 20; bore left 12 x 10, 6 x 30 flat",
        2 * PI * 10 * 40 + 2 * PI * 100 - PI * 36 + 2 * PI * 6 * 10 + 2 * PI * 3 * 20 + PI * 36,
        PI * 100 * 40 - PI * 36 * 10 - PI * 9 * 20,
    ),
    "edge round of radius 3 on a disc of 40": (
        "0 40, 10 40 r3, 10 0",
        559.898491948 + 2 * PI * 20 * 7 + PI * 17**2 + PI * 400,
        None,
    ),
    "fillet of radius 3 where a shaft of 40 meets a shoulder": (
        "0 60, 10 60, 10 40 r3, 30 40",
        624.454035836 + 2 * PI * 30 * 10 + PI * (900 - 23**2) + 2 * PI * 20 * 17 + PI * 900 + PI * 400,
        None,
    ),
    "chamfered end": ("0 20, 30 20 c2, 30 0", PI * 100 + 2 * PI * 10 * 28 + PI * 18 * math.sqrt(8) + PI * 64, None),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_exact_area_and_volume(case):
    words, area, volume = CASES[case]
    profile = profile_of(words)
    assert profile.area_mm2.value == pytest.approx(area, rel=1e-10 if "radius 3" in case else 1e-12)
    if volume is not None:
        assert profile.volume_mm3 == pytest.approx(volume, rel=1e-12)


def test_a_torus_made_of_two_arcs():
    """Torus 25/6: 4 pi^2 R r = 5921.762641, drawn as a ring with a round inside."""
    from areacalc.shape.kinds import UnitBasis, UnitHow
    from areacalc.shape.profile.profile import Profile, Segment

    top = Segment((-6.0, 25.0), (6.0, 25.0), (0.0, 25.0), -PI)
    low = Segment((6.0, 25.0), (-6.0, 25.0), (0.0, 25.0), -PI)
    ring = Profile("ring", "ring", (top, low), (), UnitBasis("mm", UnitHow.GIVEN))
    assert ring.area_mm2.value == pytest.approx(5921.762641, abs=5e-7)
    assert ring.volume_mm3 == pytest.approx(17765.287922, abs=5e-7)
    assert revolve(ring).closed


@pytest.mark.parametrize("case", CASES)
def test_the_turned_mesh_is_closed_and_nears_the_exact_area_at_second_order(case):
    import numpy as np

    profile = profile_of(CASES[case][0])
    errors = np.array([0.08, 0.02, 0.005])
    short = []
    for chord in errors:
        body = revolve(profile, chord)
        assert body.closed
        assert body.topology.oriented
        a, b, c = (body.vertices[body.triangles[:, k]] for k in range(3))
        assert np.einsum("ij,ij->", a, np.cross(b, c)) / 6 == pytest.approx(profile.volume_mm3, rel=5e-2)  # outward
        short.append(profile.area_mm2.value - body.facet_area_mm2)
    assert min(short) > 0
    # the chord error falls with the square of the flats, the area's shortfall in proportion to it
    assert -np.polyfit(np.log(1 / errors), np.log(short), 1)[0] == pytest.approx(1.0, abs=0.2)
