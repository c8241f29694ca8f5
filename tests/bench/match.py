"""Twin experiments over many seeds: how often the truth lies inside the 90 % ranges. Prints, asserts nothing.

Run: .venv/bin/python tests/bench/match.py [SEEDS] [MEMBERS] [WORKERS]
"""

from __future__ import annotations

import math
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from planner.uncertainty.matching import MatchOptions, match
from planner.uncertainty.pool import Crew
from tests.unit.uncertainty.twin import TRUTH, plan, tiny, with_data


def main(seeds: int = 40, members: int = 40, workers: int = 1) -> None:
    """One line a seed, then the shares with the error that so many seeds leave."""
    hits: dict[str, list[bool]] = {}
    for seed in range(1, seeds + 1):
        began = time.perf_counter()
        case = with_data(tiny(), TRUTH, seed, plan())
        run = match(case, MatchOptions(members=members, seed=seed), crew=Crew(workers))
        for one, truth in zip(run.parameters, TRUTH.values(), strict=True):
            hits.setdefault(one.name, []).append(one.low <= truth <= one.high)
        told = " ".join("in " if hits[name][-1] else "OUT" for name in hits)
        print(f"seed {seed:3d}: {told}  misfit {run.overall[1]:.2f}  {time.perf_counter() - began:.1f} s", flush=True)
    for name, got in {**hits, "all": [one for part in hits.values() for one in part]}.items():
        share = sum(got) / len(got)
        error = math.sqrt(0.9 * 0.1 / len(got))
        print(f"{name}: {sum(got)} of {len(got)} = {share:.3f}; 0.900 +- {error:.3f} expected")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:4]))
