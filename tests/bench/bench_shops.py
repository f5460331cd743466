"""How often a plan's intervals hold what happens in simulated shops, and how much wider they are than what happens.

python tests/bench/bench_shops.py
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "plan"))
from shops import draw, run
from test_simulated_shops import COUNT, LOADS, held


def main() -> None:
    print(f"{COUNT} shops each, values anywhere between their ends (and at the ends); width over 95 of 100 shops")
    for load, made in LOADS.items():
        plan = made()
        inside, at_ends = (run(plan, draw(plan, COUNT, 1, corners)) for corners in (False, True))
        print(f"\n{load}")
        for name, seen in inside.items():
            figure, share = plan.figures.get(name), held(plan, name, seen)
            ends = held(plan, name, at_ends[name])
            spread = np.subtract(*np.quantile(np.where(np.isfinite(seen), seen, 1e9), [0.975, 0.025]))
            wide = figure.estimate.width / spread if figure is not None and spread > 1e-9 else 0.0
            print(f"  {name:16} {100 * share:5.1f} %  {100 * ends:5.1f} %  width {wide:.2f}")


if __name__ == "__main__":
    main()
