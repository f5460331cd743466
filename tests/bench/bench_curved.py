"""Curved shapes cut coarsely and finely: how far facets and value are off, how wide the bounds are. A markdown table.

python -m tests.bench.bench_curved [SEEDS]
"""

import statistics
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "surface"))
import curved_shapes as curved


def main() -> None:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    print("| shape | meshes | inside the bounds | farther off than the facets | facets off | value off | width |")
    print("|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for name in curved.SHAPES:
            found = [each for seed in range(seeds) for each in curved.drawn(name, seed, Path(folder))]
            inside = sum(each.inside for each in found)
            farther = sum(each.error > each.facets_error + 2e-6 for each in found)
            middle = [statistics.median(getattr(e, w) for e in found) for w in ("facets_error", "error", "width")]
            told = " | ".join(f"{100.0 * part:.2g} %" for part in middle)
            print(f"| {name} | {len(found)} | {inside} | {farther} | {told} |", flush=True)


if __name__ == "__main__":
    main()
