"""What 12 candidate blanks cost to value: forecasts and processor time a member, and what 200 members come to.

    PYTHONPATH=. python tests/bench/blanks.py [members] [zones]

An invented well of several zones with three layers each, flooded from their edges at different speed. With 7 zones two
blanks stand in every gap (12 in all); with 12 zones one above each, so that 12 zones can be shut. Asserts nothing.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from planner.decide.blank_grid import CHECKED
from planner.decide.blanks import MEMBERS_SHARE, blanks
from planner.forecast.run import forecast
from planner.model.blank_value import BlankValues
from planner.model.case import Case
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


def measured(members: int, zones: int) -> BlankValues:
    """Value the blanks in one process on the coarse grid and tell the processor time of every stage."""
    case = well(zones)
    forecast(case)
    times: dict[str, float] = {}

    def told(share: float, text: str) -> None:
        stage = "check" if share > MEMBERS_SHARE else "members"
        times[stage] = time.process_time()
        print(f"{share:4.0%} {text}", file=sys.stderr, flush=True)

    began = time.process_time()
    found = blanks(case, members, grid="coarse", folder=Path(tempfile.mkdtemp()) / "run", progress=told)
    ended = time.process_time()
    of_members, check = times["members"] - began, times["check"] - times["members"]
    a_member, rest = of_members / members, ended - times["check"]
    print(f"{zones} zones, {len(found.blanks)} blanks, coarse grid: {members} members, "
          f"{found.forecasts // members} forecasts and {a_member:.2f} s of processor time each")  # fmt: skip
    print(f"own grid, {CHECKED} members to check it: {check / CHECKED:.2f} s each; policies of {members}: {rest:.1f} s")
    print(f"200 members on two free processors: about {(100 * a_member + 0.5 * check + rest) / 60:.1f} min")
    return found


if __name__ == "__main__":
    given = [int(one) for one in sys.argv[1:]]
    found = measured(*(given + [10, 7][len(given) :]))
    print(next(note for note in found.notes if note.startswith("Forecasts are on a coarse grid")))
    for group in found.groups:
        print(", ".join(group.blanks), group.worth[found.main])
