"""What a row of the recorder says of a well that has just died."""

from __future__ import annotations

from datetime import date

import numpy as np

from planner.forecast.life import Life
from planner.network.arrays import SHUT
from tests.building import layer, make, zoned_string


def test_the_row_on_which_a_well_dies_has_no_rate():
    """The step before it flowed, and its flow is still in the march when the well is found to be dead."""
    case = make(layers=[layer("a", 2000, 2020)], string=zoned_string([(2000.0, 2020.0)]), zones=["a"],
                schedule={"start": "2027-01-01", "end": "2028-01-01", "report": "month"})  # fmt: skip
    life = Life(case, None)
    life.run(date(2027, 3, 1))
    assert np.abs(life.march.work.outlet).max() > 0.0
    life.march.modes[0] = SHUT
    life._report()
    table = {name: np.array(rows) for name, rows in life.recorder.tables["well"].items()}
    for name in ("oil_rate", "liquid_rate", "gas_rate", "water_cut", "gas_oil_ratio"):
        assert table[name][-1] == 0.0
    assert table["oil_rate"][-2] > 0.0 and table["oil_volume"][-1] == table["oil_volume"][-2]
