"""Tax on a monthly stream: with relief for losses at once, or by calendar years with losses carried forward."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.model.economics import Economics
from planner.model.results import Floats


def tax_of(taxable: Floats, ends: NDArray[np.datetime64], economics: Economics) -> Floats:
    """Tax of each month [months]; negative where a loss earns relief.

    taxable: revenue less royalty and costs [months]; ends: datetime64[D] of the months. Losses carried forward: the
    tax of a calendar year falls on what is left of its income after the losses of earlier years, without limit of time
    or share, and is paid in the last month of the year that the stream has; losses left at the end are lost.
    """
    if economics.losses == "relief":
        return economics.tax * taxable
    years = (ends - np.timedelta64(1, "D")).astype("datetime64[Y]")  # a month that ends on 1 January is last year's
    tax = np.zeros(len(taxable))
    carried = 0.0
    for year in np.unique(years):
        months = np.flatnonzero(years == year)
        income = float(taxable[months].sum())
        used = min(carried, max(income, 0.0))
        carried += max(-income, 0.0) - used
        tax[months[-1]] = economics.tax * (max(income, 0.0) - used)
    return tax
