"""A tube's current where the law of volts is taken as straight: the transmission line of electrochemical engineering.

cosh((L - x)/lambda)/cosh(L/lambda) along a blind hole, tanh(N)/N in the mean, N = L/lambda, lambda =
sqrt(kappa Rp d/4): standard, as in Newman & Thomas-Alyea, Electrochemical Systems, on porous electrodes (quoted from
memory; the equation is a line of algebra from Ohm's law). Our laws, of volts and of a film as thick as its current made
it, must come to it where the drop is small.
"""

import math

import pytest

from areacalc.bath.voltage import Polarisation
from areacalc.throw.bore_line import bore_line, plain_bore


def slope_ohm_m2(law, density_a_per_dm2):
    """dV/di at a density: V0 / i, the polarisation resistance that evens out the current."""
    return law.volts_per_e_fold.value / (100.0 * density_a_per_dm2)


def decay_mm(slope_ohm_m2, kappa_s_per_m, diameter_mm):
    return 1e3 * math.sqrt(kappa_s_per_m * slope_ohm_m2 * diameter_mm * 1e-3 / 4.0)


@pytest.mark.parametrize("n", [0.01, 0.03, 0.1])
def test_a_film_that_resists_alone_is_as_straight_in_a_short_bore(n):
    """Film and current lag alike, so the film's slope counts twice: its length is lambda^2 2/d."""
    film, diameter = 1500.0, 8.0
    depth = n * math.sqrt(2.0 * film * diameter / 4.0)
    line = bore_line(plain_bore(diameter, depth, floor=False), 1e-4 * film, film, nodes_a_decay=100)
    assert 1.0 - line.mean / line.mouth == pytest.approx(n**2 / 3.0, rel=2.0 * n + 0.02)
    assert 1.0 - line.least / line.mouth == pytest.approx(n**2 / 2.0, rel=2.0 * n + 0.02)
    # at the mouth, 4 a F (1 - s^2) is what the wall takes
    taken = line.mean * math.pi * diameter * depth
    assert 2.0 * diameter * film * (1.0 - line.mouth**2) == pytest.approx(taken, rel=2e-3)


@pytest.mark.parametrize("n", [0.01, 0.03, 0.1])
def test_a_short_bore_follows_the_straight_law(n):
    """What it lacks of the mouth is N^2/3 in the mean and N^2/2 at the bottom, to the next order in N."""
    law = Polarisation()
    density, kappa, diameter = 1.5, 60.0, 8.0
    wagner = 1e3 * kappa * slope_ohm_m2(law, density)
    depth = n * decay_mm(slope_ohm_m2(law, density), kappa, diameter)
    line = bore_line(plain_bore(diameter, depth, floor=False), wagner)
    assert 1.0 - line.mean / line.mouth == pytest.approx(n**2 / 3.0, rel=2.0 * n + 0.02)
    assert 1.0 - line.least / line.mouth == pytest.approx(n**2 / 2.0, rel=2.0 * n + 0.02)


@pytest.mark.parametrize("n", [0.5, 1.0, 2.0, 3.0, 5.0])
def test_the_exponential_law_keeps_more_inside_than_the_straight_one(n):
    """Steeper at the mouth, flatter inside: the wall's own resistance rises as its density falls."""
    decay = math.sqrt(2600.0 * 8.0 / 4.0)
    line = bore_line(plain_bore(8.0, n * decay, floor=False), 2600.0)
    assert line.least / line.mouth > 1.0 / math.cosh(n)
    assert line.mean / line.mouth > math.tanh(n) / n
