"""ISO 68-1 / ISO 724 basic profile: developed area a mm of length, and basic diameters (d2, d1) of coarse threads.

The areas were integrated numerically from the helicoid of the basic profile (quadrature to 1e-9), independently of the
closed form in the code; the diameters are ISO 724's.
"""

import math

import numpy as np
import pytest
from scipy.integrate import dblquad

from areacalc.shape.profile.thread import parse_thread

# thread, ISO 724 d1, developed area of the basic profile [mm2/mm]
TABLE = [
    ("M2", 1.567, 9.0333), ("M2.5", 2.013, 11.4371), ("M3", 2.459, 13.8411),
    ("M4", 3.242, 18.3576), ("M5", 4.134, 23.1658), ("M6", 4.917, 27.6822),
    ("M8", 6.647, 37.1529), ("M10", 8.376, 46.6238), ("M12", 10.106, 56.0949),
    ("M14", 11.835, 65.5660), ("M16", 13.835, 75.7699), ("M18", 15.294, 84.5083),
    ("M20", 17.294, 94.7124),
]  # fmt: skip


@pytest.mark.parametrize(("name", "d1", "area"), TABLE)
def test_iso_coarse_threads(name, d1, area):
    thread = parse_thread(name)
    assert thread.minor_mm == pytest.approx(d1, abs=5.1e-4)
    assert thread.area_per_length_mm == pytest.approx(area, abs=6e-5)


def test_the_flank_against_quadrature_of_the_helicoid():
    thread = parse_thread("M10x1.5")
    b, tan = thread.pitch_mm / (2 * math.pi), math.tan(math.pi / 6)

    def element(r, _):  # |x_r x x_theta| of (r cos t, r sin t, r tan a + b t)
        return math.sqrt(r * r * (1 + tan * tan) + b * b)

    flank, _ = dblquad(element, 0, 2 * math.pi, thread.minor_mm / 2, thread.major_mm / 2, epsrel=1e-12)
    flats = math.pi * thread.pitch_mm * (thread.major_mm / 8 + thread.minor_mm / 4)
    assert thread.area_per_length_mm == pytest.approx((2 * flank + flats) / thread.pitch_mm, rel=1e-11)


def test_a_fine_pitch_on_a_large_rod_nears_the_planar_limit():
    """As d >> P the basic profile's developed length is 1.625 times the pitch cylinder (ISO 68-1 geometry)."""
    thread = parse_thread("M1000x0.1")
    pitch_diameter_mm = thread.major_mm - 0.649519 * thread.pitch_mm
    assert thread.area_per_length_mm / (math.pi * pitch_diameter_mm) == pytest.approx(1.625, abs=1e-4)


@pytest.mark.parametrize(
    ("name", "major_in", "tpi"),
    [("3/8-16", 0.375, 16), ("1/4-20 UNC", 0.25, 20), ("#10-32", 0.190, 32), ("1 1/8-7", 1.125, 7)],
)
def test_unified_threads_have_the_same_form(name, major_in, tpi):
    """ASME B1.1 (from memory): 60 degree form, P = 1/tpi, basic minor diameter d - 1.082532 P."""
    thread = parse_thread(name)
    assert thread.major_mm == pytest.approx(25.4 * major_in, rel=1e-12)
    assert thread.minor_mm == pytest.approx(25.4 * (major_in - 1.082532 / tpi), abs=1e-5)
    assert np.isfinite(thread.area_per_length_mm)
