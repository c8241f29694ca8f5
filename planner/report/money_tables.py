"""Money as tables: where the difference in value between what-ifs comes from."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from planner.decide.waterfall import Waterfall
from planner.report.frames import Column, Style, frame

FIELD = Style()


def waterfall_table(found: Waterfall, style: Style = FIELD) -> pd.DataFrame:
    """The bars of one waterfall, a row each: cause, zone, what it adds to the net present value."""
    return frame(
        (
            Column("cause", "", [bar.cause for bar in found.bars]),
            Column("zone", "", [bar.zone or "well" for bar in found.bars]),
            Column("adds to npv", "money", [bar.value for bar in found.bars]),
        ),
        style,
    )


def causes_table(found: Sequence[Waterfall], style: Style = FIELD) -> pd.DataFrame:
    """What each cause adds to the value of every what-if against the base, all zones together; a row each what-if."""
    causes = list(dict.fromkeys(bar.cause for one in found for bar in one.bars))
    sums = [{cause: sum(bar.value for bar in one.bars if bar.cause == cause) for cause in causes} for one in found]
    columns = [Column(cause, "money", [row[cause] for row in sums]) for cause in causes]
    total = Column("npv against base", "money", [one.second_value - one.first_value for one in found])
    return frame((Column("what-if", "", [one.second for one in found]), *columns, total), style)
