"""What makes the difference in value between two what-ifs, by zone and by cause; the bars add up exactly.

The value of a revenue is volume x mean price x mean discount factor. A difference of such products is shared among its
three causes by the average over all orders in which they can change one after another (the value of Shapley 1953, A
value for n-person games), so nothing is left over and no order is preferred. Costs, royalty and tax are differences of
present values as they stand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from planner.base.errors import CaseError, Problem
from planner.decide.money import STRING_STORE, CashFlow
from planner.model.case import Case
from planner.model.results import Comparison, Floats

WELL = ""  # zone of a cause that belongs to no zone
COSTS = (
    ("operating cost", "operating_cost"),
    ("injection", "injection_cost"),
    ("job cost", "job_cost"),
    ("string and rig", "capital_cost"),
    ("royalty", "royalty"),
    ("tax", "tax"),
)
SMALL = 1e-9  # of the largest bar: a bar below it is no bar


@dataclass(frozen=True)
class Bar:
    """What one cause adds to the value, in the case's currency; zone '': the well as a whole."""

    cause: str
    zone: str
    value: float


@dataclass(frozen=True)
class Waterfall:
    """From the net present value of one what-if to that of another, cause by cause."""

    first: str
    second: str
    first_value: float
    second_value: float
    bars: tuple[Bar, ...]

    @property
    def unexplained(self) -> float:
        """What the bars leave of the difference: rounding, or the sum of bars too small to show."""
        return self.second_value - self.first_value - sum(bar.value for bar in self.bars)


def waterfall(
    first: CashFlow, second: CashFlow, first_rate: float, second_rate: float | None = None,
    names: tuple[str, str] = ("base", "what-if"),
) -> Waterfall:  # fmt: skip
    """The difference in net present value of two cash flows by zone and cause.

    first_rate, second_rate: discount rates per year (the second: none for the same). Zones are matched by name; one
    that is in a single stream counts as giving nothing in the other.
    """
    factors = _discount(first, first_rate), _discount(second, first_rate if second_rate is None else second_rate)
    bars = list(_zone_bars(first, second, factors))
    for cause, field in COSTS:
        costs = [float(factor @ getattr(flow, field)) for flow, factor in zip((first, second), factors, strict=True)]
        bars.append(Bar(cause, WELL, costs[0] - costs[1]))
    largest = max((abs(bar.value) for bar in bars), default=0.0)
    kept = tuple(bar for bar in bars if abs(bar.value) > SMALL * largest)
    return Waterfall(*names, float(factors[0] @ first.net), float(factors[1] @ second.net), kept)


def _discount(flow: CashFlow, rate: float) -> Floats:
    return np.asarray((1.0 + rate) ** -flow.years)


Pair = tuple[Floats, Floats]


def _zone_bars(first: CashFlow, second: CashFlow, factors: Pair) -> Iterator[Bar]:
    """What each zone adds, by cause; what stands in the string is one bar."""
    for zone in dict.fromkeys((*first.zones.names, *second.zones.names)):
        bars = list(_one_zone(first, second, factors, zone))
        if zone == STRING_STORE:
            yield Bar(STRING_STORE, WELL, sum(bar.value for bar in bars))
        else:
            yield from bars


def _one_zone(first: CashFlow, second: CashFlow, factors: Pair, zone: str) -> Iterator[Bar]:
    """Volume, price and timing of what a zone sells, and what its water and handling cost."""
    flows = tuple(zip((first, second), factors, strict=True))
    for phase in ("oil", "gas"):
        before, after = (_parts(flow, factor, phase, zone) for flow, factor in flows)
        shares = _shapley(before, after)
        for cause, share in zip((phase, f"{phase} price", f"{phase} deferred or advanced"), shares, strict=True):
            yield Bar(cause, zone, share)
    for cause, field in (("water handled", "water_cost"), ("oil and gas handled", "handling_cost")):
        costs = [float(factor @ _column(flow, field, zone)) for flow, factor in flows]
        yield Bar(cause, zone, costs[0] - costs[1])


def _column(flow: CashFlow, field: str, zone: str) -> Floats:
    if zone not in flow.zones.names:
        return np.zeros(len(flow.net))
    values: Floats = getattr(flow.zones, field)
    return values[:, flow.zones.names.index(zone)]


@dataclass(frozen=True)
class _Parts:
    """Present value of a revenue as volume times price times discount factor; NaN for what does not exist."""

    volume: float
    price: float
    discount: float
    value: float


def _parts(flow: CashFlow, factor: Floats, phase: str, zone: str) -> _Parts:
    volume = _column(flow, f"{phase}_volume", zone)
    revenue = _column(flow, f"{phase}_revenue", zone)
    total, earned = float(volume.sum()), float(revenue.sum())
    value = float(factor @ revenue)
    size, money = float(np.abs(volume).sum()), float(np.abs(revenue).sum())
    if abs(total) <= 1e-6 * size or abs(earned) <= 1e-6 * money or total == 0.0 or earned == 0.0:
        return _Parts(total, float("nan"), float("nan"), value)
    return _Parts(total, earned / total, value / earned, value)


def _shapley(before: _Parts, after: _Parts) -> tuple[float, float, float]:
    """The difference of the two values shared among volume, price and timing.

    Where one of the two sells nothing (or its sums all but cancel) it has no price of its own: all is volume.
    """
    whole = after.value - before.value
    if np.isnan(before.price) or np.isnan(after.price):
        return whole, 0.0, 0.0
    a = (before.volume, before.price, before.discount)
    b = (after.volume, after.price, after.discount)
    shares = tuple(_share(a, b, k) for k in range(3))
    return shares[0] + whole - sum(shares), shares[1], shares[2]


def _share(a: tuple[float, ...], b: tuple[float, ...], k: int) -> float:
    """Shapley share of factor k in b0 b1 b2 - a0 a1 a2: others both old or both new count 1/3, mixed 1/6 each."""
    i, j = (n for n in range(3) if n != k)
    mean = (a[i] * a[j] + b[i] * b[j]) / 3.0 + (a[i] * b[j] + b[i] * a[j]) / 6.0
    return (b[k] - a[k]) * mean


def waterfall_between(comparison: Comparison, first: str, second: str) -> Waterfall:
    """The waterfall from one what-if of a comparison to another; 'base' is the base.

    Raises CaseError for a name of which the comparison has no forecast, ValueError where it carries no cash flows.
    """
    flows: dict[str, CashFlow] = comparison.extra.get("cash_flow", {})
    case = comparison.extra.get("case")
    if not isinstance(case, Case) or not flows:
        raise ValueError("this comparison carries no cash flows; make it with planner.api.compare")
    unknown = [name for name in (first, second) if name not in flows]
    if unknown:
        remedy = f"Use one of: {', '.join(flows)}."
        raise CaseError(
            [Problem("", "what_ifs", name, "there is no forecast of this name", remedy) for name in unknown]
        )
    return waterfall(flows[first], flows[second], case.economics.discount_rate, names=(first, second))


def waterfalls(comparison: Comparison) -> tuple[Waterfall, ...]:
    """From the base to every what-if that ran; none where the comparison carries no cash flows."""
    if not comparison.extra.get("cash_flow"):
        return ()
    return tuple(waterfall_between(comparison, comparison.base.name, run.name) for run in comparison.others)
