"""What blank pipes are worth: results of `blanks`. Money is of the reference date of the case's economics."""

from __future__ import annotations

from dataclasses import dataclass, field
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

    used: share of the members in which the main way of acting shuts it.
    """

    zone: str
    shut_by: str
    blanks: tuple[str, ...]
    gains: tuple[Worth, ...]
    used: float


@dataclass(frozen=True)
class BlankValue:
    """One blank pipe. worth: way of acting -> what its removal costs, paired member by member.

    shuts: zones that cannot be shut without it. price: cost of the pipe, NaN where the case gives none. used: share of
    the members in which the main way of acting needs it; pays: share in which its removal costs more than its price;
    drivers: inputs that tell those members from the rest. tied: its worth and that of the next one down differ by less
    than two standard errors of the difference.
    """

    name: str
    top_md: float
    base_md: float
    shuts: tuple[str, ...]
    worth: dict[str, Worth]
    price: float
    used: float
    pays: float
    drivers: tuple[Flip, ...]
    tied: bool

    def net(self, way: str) -> float:
        """Worth less price, NaN without a price."""
        return self.worth[way].mean - self.price


@dataclass(frozen=True)
class BlankValues:
    """Blank pipes ranked by what the removal of each costs under the main way of acting.

    dates: of decision, ISO. log_cost: of one production log, NaN for none. left_out: members without a value. seconds:
    work of all members together. forbidden: zones that cannot be shut, with the reason. extra: 'case', 'draws'.
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
    forbidden: tuple[tuple[str, str], ...]
    forecasts: int
    seconds: float
    notes: tuple[str, ...]
    warnings: tuple[str, ...]
    extra: dict[str, Any] = field(default_factory=dict, repr=False)
