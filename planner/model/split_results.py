"""Frozen records of a proposed split into zones, in SI and the case's currency."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.model.case import Case
from planner.model.suitability_results import Barrier, Sand, Seat


@dataclass(frozen=True)
class TallyRow:
    """One joint of the proposed string, top-down; element: the name under which it stands in the string."""

    number: int
    kind: str
    element: str
    length: float
    top_md: float
    base_md: float


@dataclass(frozen=True)
class ZoneProposal:
    """One zone of the proposal. shut_worth: of being able to shut it on its own later; 0 where that is not possible.

    pay: m of its sands along the hole; open_pay: m of that behind screen.
    """

    name: str
    sands: tuple[str, ...]
    top_md: float
    base_md: float
    shuttable: bool
    shut_worth: float
    pay: float
    open_pay: float


@dataclass(frozen=True)
class InstallRow:
    """Joints of one kind: how many, their length (m), cost, and rig time (s) to run and expand them."""

    kind: str
    joints: int
    length: float
    cost: float
    rig_time: float


@dataclass(frozen=True)
class WishCost:
    """What a wish of the user costs: value of the best string without it less that with it. NaN: cannot be met."""

    wish: str
    pinned: bool
    cost: float


@dataclass(frozen=True)
class GroupValue:
    """Worth of being able to shut sands `first` to `last` together, and how it was found."""

    first: str
    last: str
    worth: float
    rule: str  # the rule that gave it, '' where shutting never paid, 'given' where the user gives it


@dataclass(frozen=True)
class SplitResult:
    """A proposed string, what it is worth and costs, and what it was chosen from.

    value: screen_worth + shut_worth - weighted cost, against no string at all; use differences. cost: of joints and
    rig, undiscounted; cost_weight: value of a unit of it. by_seals: number of seals -> best value with just as many.
    gap: what the best string might be worth more (0: proved best). free_value: best value without any wish.
    pay_worth: worth of screen over the upper quarter, middle half and lower quarter of each sand, per m. case: the same
    well with the string.
    """

    well: str
    sands: tuple[Sand, ...]
    barriers: tuple[Barrier, ...]
    seats: tuple[Seat, ...]
    tally: tuple[TallyRow, ...]
    zones: tuple[ZoneProposal, ...]
    install: tuple[InstallRow, ...]
    value: float
    screen_worth: float
    shut_worth: float
    cost: float
    rig_time: float
    cost_weight: float
    lost_pay: float
    lost_worth: float
    by_seals: dict[int, float]
    gap: float
    free_value: float
    wishes: tuple[WishCost, ...]
    groups: tuple[GroupValue, ...]
    pay_worth: tuple[tuple[float, float, float], ...]
    forecasts: int
    case: Case
    dropped: tuple[str, ...] = ()
    warnings: tuple[str, ...] = field(default=())
