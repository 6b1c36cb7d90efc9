"""How fast are weights handed out, and how far from the least spread can they be?

    python bench/weights.py            24 to 400 units of different lengths
    python bench/weights.py --toy      the least that shows that it runs

Prints processor seconds, spread, floor and the growth with the number of units. Asserts nothing.
"""

from __future__ import annotations

import argparse
import time

import numpy as np

from crossfell.loom.combined import hand_out_together

OWNED = ((50.0, 6), (100.0, 6), (200.0, 6), (250.0, 5), (500.0, 6))


def case(units: int, seed: int) -> tuple[float, float, float]:
    """Seconds, spread and floor of units that all ask for something else."""
    rng = np.random.default_rng(seed)
    wanted, bobbin = rng.uniform(300, 900, units).round(), rng.uniform(20, 60, units).round(1)
    owned = [(mass, 1 + count * units // 12) for mass, count in OWNED]
    start = time.process_time()
    handed = hand_out_together(wanted, bobbin, owned)
    return time.process_time() - start, handed.spread, handed.least


def main() -> None:
    """Print one row for each number of units: the slowest of its cases and the widest gap."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--toy", action="store_true")
    sizes, seeds = ((6,), 1) if asked.parse_args().toy else ((24, 48, 100, 400), 5)
    case(6, 0)  # the solver is loaded
    base = 0.0
    for units in sizes:
        rows = [case(units, seed) for seed in range(seeds)]
        slowest = max(seconds for seconds, _, _ in rows)
        gap = max(spread / least for _, spread, least in rows) - 1
        base = base or slowest / units
        growth = slowest / units / base
        print(f"{units:4} units  {slowest:6.3f} s  gap at most {gap:.2%}  {growth:4.1f} x linear")


if __name__ == "__main__":
    main()
