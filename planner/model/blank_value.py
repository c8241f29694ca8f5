"""What blank pipes are worth: results of `blanks`. Money is of the reference date of the case's economics."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import isnan
from typing import Any

from planner.model.ensemble import Flip

NOTHING, PLAN, RULE, BY_WELL, BY_LOG, PERFECT = (
    "do nothing", "fixed plan", "trigger rule", "regression, well data", "regression, logs too", "perfect information",
)  # fmt: skip


@dataclass(frozen=True)
class Worth:
    """A mean over the members and its standard error, money."""

    mean: float
    error: float


@dataclass(frozen=True)
class WayOfActing:
    """Value of acting in one way with every blank there, against doing nothing. acts: share of the members in which it
    acts; logs: production logs a member.
    """

    name: str
    value: Worth
    acts: float
    logs: float


@dataclass(frozen=True)
class ZoneToShut:
    """A zone that can be shut: by what, the blanks without any one of which it cannot, gain by date over the members.

    used: share of the members in which the main way of acting shuts it; chance: that the job succeeds;
    either: blanks of each of which one is enough.
    """

    zone: str
    shut_by: str
    blanks: tuple[str, ...]
    gains: tuple[Worth, ...]
    used: float
    chance: float = 1.0
    either: tuple[tuple[str, ...], ...] = ()

    @property
    def needs(self) -> str:
        """The blanks that it needs, in words."""
        return ", ".join((*self.blanks, *(" or ".join(one) for one in self.either)))


@dataclass(frozen=True)
class BlankPrice:
    """What a blank costs, part by part, money; NaN for what the case does not say.

    pipe, rig: of its joints and of running them. lost_screen: what a screen in its place would have given, 0 in shale;
    why: reason where that is not known. screen_saved: cost of that screen. beside: layers that it passes, none: shale.
    The element that is set in it later is in the cost of the job, so in the worth.
    """

    pipe: float
    rig: float
    lost_screen: float
    screen_saved: float
    beside: tuple[str, ...] = ()
    why: str = ""

    @property
    def total(self) -> float:
        """The sum of what is known; NaN where neither the pipe nor a lost screen is."""
        pipe = self.pipe + self.rig
        if not self.beside:
            return pipe
        known = [one for one in (pipe, self.lost_screen, -self.screen_saved) if not isnan(one)]
        return sum(known) if known else float("nan")


@dataclass(frozen=True)
class GroupValue:
    """Blanks of which one can stand in for another: what is lost without all of them, by way of acting.

    shuts: zones that cannot be shut then; price: of all, NaN where the case gives none.
    """

    blanks: tuple[str, ...]
    shuts: tuple[str, ...]
    worth: dict[str, Worth]
    price: float


@dataclass(frozen=True)
class InFutures:
    """What a blank is worth over its price in every member, beside the input that tells most about it.

    over [members]: worth less price, money; rank [members]: place of the member's draw among all, 0 lowest to 1
    highest; threshold: rank at which the futures part.
    """

    input: str
    over: tuple[float, ...]
    rank: tuple[float, ...]
    threshold: float


@dataclass(frozen=True)
class SoMany:
    """Values of acting with every blank, by way of acting, of the first so many members."""

    members: int
    values: dict[str, Worth]


@dataclass(frozen=True)
class BlankValue:
    """One blank pipe. worth: way of acting -> what its removal costs, paired member by member; alone: the same for
    what it adds to a string with no other blank.

    shuts: zones that cannot be shut without it. parts: what makes up its price. used: share of
    the members in which the main way of acting needs it; pays: share in which its removal costs more than its price;
    drivers: inputs that tell those members from the rest. tied: its worth and that of the next one down differ by less
    than two standard errors of the difference. stands_in: whether another blank can stand in for it, so that its worth
    is to be read with that of its group. futures: member by member, none where no input tells anything.
    """

    name: str
    top_md: float
    base_md: float
    shuts: tuple[str, ...]
    worth: dict[str, Worth]
    alone: dict[str, Worth]
    parts: BlankPrice
    used: float
    pays: float
    drivers: tuple[Flip, ...]
    tied: bool
    stands_in: bool
    futures: InFutures | None = None

    @property
    def price(self) -> float:
        """Cost of leaving it blank, NaN where the case gives none."""
        return self.parts.total

    def net(self, way: str) -> float:
        """Worth less price, NaN without a price."""
        return self.worth[way].mean - self.price


@dataclass(frozen=True)
class BlankValues:
    """Blank pipes ranked by what the removal of each costs under the main way of acting.

    groups: blanks that stand in for each other, then all blanks together. dates: of decision, ISO. log_cost: of one
    production log, NaN for none. left_out: members without a value. seconds: work of all members together. forbidden:
    zones that cannot be shut, with the reason. grid: 'own' or 'coarse', that the members were computed on.
    convergence: the values again with fewer members. extra: 'case', 'draws', and 'grid_check' where the coarse one was.
    """

    well: str
    kind: str
    members: int
    left_out: int
    seed: int
    dates: tuple[str, ...]
    log_cost: float
    main: str
    base: Worth
    ways: tuple[WayOfActing, ...]
    zones: tuple[ZoneToShut, ...]
    blanks: tuple[BlankValue, ...]
    groups: tuple[GroupValue, ...]
    forbidden: tuple[tuple[str, str], ...]
    forecasts: int
    seconds: float
    notes: tuple[str, ...]
    warnings: tuple[str, ...]
    grid: str = "own"
    convergence: tuple[SoMany, ...] = ()
    extra: dict[str, Any] = field(default_factory=dict, repr=False)
