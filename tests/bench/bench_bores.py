"""The current down many bores: the lines of 320 that all differ, with bounds, and one beside scipy's boundary values.

python tests/bench/bench_bores.py [--bores 320]
"""

import argparse
import math
import time

import numpy as np
from scipy.integrate import solve_bvp

from areacalc.bath.voltage import Polarisation, rise_per_um
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.plan.throw import wet_bores
from areacalc.surface.skin import BoreStep, Feature, FeatureKind, State
from areacalc.surface.wetted import Row
from areacalc.throw.bore_line import bore_line, plain_bore
from areacalc.throw.thrown import Evening, down_the_bore

WAGNER_MM = 1500.0


def drilled(number: int) -> Row:
    """One bore of a plate, no two alike."""
    diameter, depth = 2.0 + 0.01 * number, 20.0 + 0.1 * number
    area = Estimate.exact(math.pi * diameter * depth)
    x, y = (25.0 * k for k in divmod(number, 20))
    mouths, steps = ((x, y, 0.0), (x, y, depth)), (BoreStep(diameter, depth, area),)
    kind, axis = FeatureKind.THROUGH_BORE, (0.0, 0.0, 1.0)
    feature = Feature(f"bore-{number + 1}", kind, area, diameter, depth, axis, mouths, steps, floor_mm2=0.0)
    return Row(feature, State.WET, area)


def by_scipy(diameter_mm: float, depth_mm: float) -> float:
    """The mean share of a blind bore with a dry floor, by collocation."""
    section, skin = 0.25 * np.pi * diameter_mm**2, np.pi * diameter_mm
    found = solve_bvp(
        lambda _, y: np.stack([y[1] / section, skin * np.exp(y[0]) / WAGNER_MM]),
        lambda a, b: np.array([a[1] - 2.0 * diameter_mm * a[0], b[1]]),
        np.linspace(0.0, depth_mm, 11), np.zeros((2, 11)), tol=1e-4,
    )  # fmt: skip
    return float(-found.sol(0.0)[1] * WAGNER_MM / (skin * depth_mm))


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--bores", type=int, default=320)
    told = ask.parse_args()
    outside = given("density outside", 2.48, "A/dm2")
    kappa = given("conductivity", Estimate(58.0, 56.0, 60.0), "S/m")
    bath = Evening(kappa, Polarisation(), given("film", 12.0, "um"), rise_per_um(20.0))
    rows = [drilled(n) for n in range(told.bores)]
    start = time.perf_counter()
    found = wet_bores(rows)
    shaped = time.perf_counter()
    for each in found:
        down_the_bore(each.bore, bath, outside)
    print(f"{len(found)} bores made of features {1e3 * (shaped - start):8.1f} ms")
    print(f"{len(found)} bores with bounds       {1e3 * (time.perf_counter() - shaped):8.1f} ms")
    for what, solve in (("line", lambda d: bore_line(plain_bore(8.0, d, floor=False), WAGNER_MM).mean),
                        ("scipy.integrate.solve_bvp", lambda d: by_scipy(8.0, d))):  # fmt: skip
        solve(109.0)
        start = time.perf_counter()
        for k in range(20):
            mean = solve(110.0 + 0.001 * k)
        print(f"one of 8 x 110 mm by {what:28}{50.0 * (time.perf_counter() - start):8.2f} ms, mean {mean:.4f}")


if __name__ == "__main__":
    main()
