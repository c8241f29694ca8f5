"""What 12 candidate blanks cost to value: forecasts and processor time a member, as it would go on with 200 members.

    PYTHONPATH=. python tests/bench/blanks.py [members] [workers] [zones]

An invented well of several zones with three layers each, flooded from their edges at different speed. With 7 zones two
blanks stand in every gap (12 in all); with 12 zones one above each, so that 12 zones can be shut. Asserts nothing.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

from planner.decide.blank_grid import AUTO
from planner.decide.blanks import blanks
from planner.forecast.run import forecast
from planner.model.blank_value import BlankValues
from planner.model.case import Case
from planner.uncertainty.pool import Crew
from tests.building import element, layer, make

GAP, THICK, TOP = 36.0, 24.0, 2000.0
KH = (1.0, 3.0, 0.6, 2.0, 0.8, 1.5, 0.5, 1.2, 2.5, 0.7, 1.1, 0.9)


def well(zones: int = 7) -> Case:
    """The well. zones: 7 (two blanks a gap) or any other number (one blank above each zone)."""
    layers, string, ranges = [], [], []
    for k in range(zones):
        top = TOP + k * (THICK + GAP)
        layers += [
            layer(f"{k}{part}", top + 8.0 * n, top + 8.0 * (n + 1), permeability=f"{60.0 * KH[k] * (1 + n)} md",
                  support="flood", drainage_radius=f"{120 + 30 * ((k * 5 + n) % 4)} m")
            for n, part in enumerate("abc")
        ]  # fmt: skip
        string += _above(k, top, zones == 7)
        string.append(element("screen", top, top + THICK))
        ranges.append({"name": f"zone {k}", "path": f"layers.{k}c.permeability", "kind": "lognormal",
                       "p90": f"{90.0 * KH[k]} md", "p10": f"{360.0 * KH[k]} md"})  # fmt: skip
    return make(
        layers=layers, string=string, zones=[f"Z{k}" for k in range(zones)], uncertain=ranges,
        supports={"flood": {"kind": "constant pressure"}},
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": "140 bar", "liquid_rate": f"{60 * zones} m^3/day"}],
        schedule={"start": "2027-01-01", "end": "2047-01-01", "report": "month"}, numerics={"cells": 12},
        economics={"oil_price": "300 1/m^3", "water_cost": "20 1/m^3", "intervention_cost": 8e5, "tax": 0.3},
        late_life={"log_cost": 6e4},
    )  # fmt: skip


def _above(zone: int, top: float, double: bool) -> list[dict[str, object]]:
    if zone == 0:
        return [] if double else [element("blank pipe", top - 12.0, top, name="blank 0")]
    joint = element("isolation joint", top - 21.0, top - 15.0, name=f"seal {zone}")
    below = element("blank pipe", top - 15.0, top, name=f"blank {zone}" + ("b" if double else ""))
    over = element("blank pipe" if double else "casing", top - GAP, top - 21.0, name=f"blank {zone}a" if double else "")
    return [over, joint, below]


def _cpu() -> float:
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def measured(members: int, workers: int, zones: int) -> BlankValues:
    """Value the blanks and tell the times."""
    case = well(zones)
    forecast(case)
    wall, cpu = time.perf_counter(), _cpu()
    grid = AUTO if members >= 200 else "coarse"

    found = blanks(
        case, members, grid=grid, crew=Crew(workers), folder=Path(tempfile.mkdtemp()) / "run",
        progress=lambda share, text: print(f"{share:4.0%} {text}", flush=True),
    )  # fmt: skip
    wall, cpu = time.perf_counter() - wall, _cpu() - cpu
    a_member = found.seconds / members
    print(f"{zones} zones, {len(found.blanks)} blanks, {found.grid} grid: {members} members, "
          f"{found.forecasts // members} forecasts each")  # fmt: skip
    print(f"wall {wall:.0f} s, processor {cpu:.0f} s, of it {found.seconds:.0f} s in members ({a_member:.2f} s each) "
          f"and {cpu - found.seconds:.0f} s beside them (start, check of the grid, policies)")  # fmt: skip
    rest = cpu - found.seconds
    print(f"200 members on two processors, nothing else running: about {(100 * a_member + rest) / 60:.1f} min")
    return found


if __name__ == "__main__":
    given = [int(one) for one in sys.argv[1:]]
    found = measured(*(given + [20, 2, 7][len(given) :]))  # type: ignore[arg-type]
    for note in found.notes:
        print(note)
    for blank in found.blanks:
        print(blank.name, blank.worth[found.main], blank.alone[found.main].mean, blank.stands_in)
