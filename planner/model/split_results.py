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
    if_done: float = 0.0  # the same if the job is sure to succeed; 0 where the user gives the worth


@dataclass(frozen=True)
class WholeCheck:
    """A string with so many seals forecast as a whole, beside the sum of its parts; money, net present value.

    screen: what its pay without screen and the seals it lacks cost; choice: what it is worth to shut its zones by rule;
    both against screen over all pay and a seal in every barrier, nothing shut. value: as that of the result. NaN, and
    why, where a forecast could not be computed.
    """

    seals: int
    screen_parts: float
    screen_whole: float
    choice_parts: float
    choice_whole: float
    value_parts: float
    value_whole: float
    why: str = ""

    @property
    def difference(self) -> float:
        """What the whole is worth more than the sum of its parts."""
        return self.value_whole - self.value_parts


@dataclass(frozen=True)
class SplitResult:
    """A proposed string, what it is worth and costs, and what it was chosen from.

    value: screen_worth + shut_worth - weighted cost, against no string at all; use differences. cost: of joints and
    rig, undiscounted; cost_weight: value of a unit of it. by_seals: number of seals -> best value with just as many.
    gap: what the best string might be worth more (0: proved best). free_value: best value without any wish.
    check: the proposal as a whole; checks: the best strings with just so many seals (without a limit on cost); none
    where the worths were given. members: of the draws over which values are expected, 0: none.
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
    members: int = 0
    check: WholeCheck | None = None
    checks: tuple[WholeCheck, ...] = ()
    dropped: tuple[str, ...] = ()
    warnings: tuple[str, ...] = field(default=())
