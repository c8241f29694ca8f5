"""How well an ensemble uses two processes, as ratios in one run; asserts nothing.

    PYTHONPATH=. python tests/bench/ensemble.py [members]

wall: time of one process over twice that of two, which is what a user sees on an idle machine of two cores; the start
of the workers counts. cpu: processor time of the work in one process over that of all processes together when two
share it, which other people's work on the machine does not disturb: what hand-outs, writing and starting cost.
"""

from __future__ import annotations

import os
import resource
import shutil
import sys
import tempfile
import time
from pathlib import Path

from planner.forecast.run import forecast
from planner.network.zone_layers import zone_layers
from planner.uncertainty.draws import draw
from planner.uncertainty.pool import Crew
from planner.uncertainty.runner import run
from tests.unit.uncertainty.ranged import ranged_case, summed_up


def measured(workers: int, members: int) -> tuple[float, float]:
    """Wall and processor seconds of an ensemble, children included."""
    case = ranged_case(
        schedule={"start": "2027-01-01", "end": "2042-01-01", "report": "month"},
        numerics={"cells": 12},
    )
    draws = draw(case, members, 1, zone_layers(case))
    forecast(case)
    folder = Path(tempfile.mkdtemp())
    wall, cpu = time.perf_counter(), _cpu()
    run(case, draws, [None, *case.what_ifs], summed_up, folder / "run", crew=Crew(workers))
    found = time.perf_counter() - wall, _cpu() - cpu
    shutil.rmtree(folder)
    return found


def _cpu() -> float:
    """Processor seconds of this process, of the server that workers are forked from, and of workers that have ended."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    running = 0.0
    for pid in Path(f"/proc/{os.getpid()}/task/{os.getpid()}/children").read_text().split():
        fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
        running += sum(int(fields[k]) for k in (11, 12, 13, 14)) / os.sysconf("SC_CLK_TCK")
    return running + sum(one.ru_utime + one.ru_stime for one in used)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    (wall_1, cpu_1), (wall_2, cpu_2) = measured(1, count), measured(2, count)
    print(f"{count} members, 3 forecasts each: one process {wall_1:.1f} s ({cpu_1:.1f} s cpu), "
          f"two {wall_2:.1f} s ({cpu_2:.1f} s cpu)")  # fmt: skip
    print(f"efficiency on two processes: wall {wall_1 / (2.0 * wall_2):.2f}, cpu {cpu_1 / cpu_2:.2f}")
