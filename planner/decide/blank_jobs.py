"""Jobs that blanks allow: which zones can be shut, who needs which blanks, which stand in for each other, by chance."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from math import prod

from planner.decide.possible import refusal_of
from planner.model.case import Case
from planner.model.change import ChangeControl, ShutZone, WhatIf
from planner.model.uncertain import Failure
from planner.model.ways import chance_of, cost_of_way, duration_of, way_of
from planner.network.closures import describe_zone
from planner.network.completed import completed
from planner.network.records import WellGraph
from planner.network.setting import blanks_beside
from planner.network.well_graph import build

DO = "shut zone"
_NOTHING = {name: info.get_default() for name, info in ChangeControl.model_fields.items()}


@dataclass(frozen=True)
class Shut:
    """A zone that can be shut. blanks: those without any one of which it cannot."""

    zone: str
    shut_by: str
    blanks: tuple[str, ...]

    def on(self, day: date, under: WhatIf | None = None) -> WhatIf:
        """The what-if in which it is shut on a day, for sure; that event comes first, then what happens anyway."""
        event = ShutZone.model_construct(zone=self.zone, on=day, chance=1.0)
        return WhatIf(name=name_of(self.zone, day), events=(event, *(under.events if under is not None else ())))


def name_of(zone: str, day: date) -> str:
    """Name of the what-if that shuts a zone on a day."""
    return f"shut {zone}, {day}"


def jobs_of(
    case: Case, under: WhatIf | None = None, dates: tuple[date, ...] = ()
) -> tuple[list[Shut], list[tuple[str, str]]]:
    """Zones that can be shut on all dates, with the blanks that this needs, and those that cannot, with the reason.

    under: what happens anyway. A blank is needed where the zone could no longer be shut by any other blanks if nothing
    could be set in it.
    """
    graph = build(completed(case, None))
    allowed: list[Shut] = []
    forbidden: list[tuple[str, str]] = []
    for k, zone in enumerate(graph.zones):
        closure = describe_zone(graph, k)
        reason = "; ".join(closure.missing) if not closure.kind else ""
        job = Shut(zone.name, closure.kind, ())
        refused = (refusal_of(case, job.on(day, under)) for day in dates or (case.schedule.start,))
        reason = reason or next((text for text in refused if text), "")
        if reason:
            forbidden.append((zone.name, reason))
            continue
        needed = tuple(one.name for one in graph.blanks if not _shuttable(graph, k, frozenset({one.name})))
        allowed.append(Shut(zone.name, closure.kind, needed))
    return allowed, forbidden


def _shuttable(graph: WellGraph, zone: int, lost: frozenset[str]) -> bool:
    """Whether a zone can be shut where nothing can be set in some blanks."""
    left = tuple(replace(one, rooms=0) if one.name in lost else one for one in graph.blanks)
    return bool(describe_zone(replace(graph, blanks=left), zone).kind)


class Strings:
    """Which jobs are left in strings that lack some of the blanks: a blank that is not there holds no element."""

    def __init__(self, case: Case, jobs: list[Shut]) -> None:
        self.graph = build(completed(case, None))
        names = [zone.name for zone in self.graph.zones]
        self.zones = [names.index(job.zone) for job in jobs]
        self.blanks = frozenset(one.name for one in self.graph.blanks if one.rooms)
        self._left: dict[frozenset[str], tuple[int, ...]] = {}

    def without(self, lost: Iterable[str]) -> tuple[int, ...]:
        """Numbers of the jobs that can still be done without these blanks."""
        gone = frozenset(lost) & self.blanks
        if gone not in self._left:
            self._left[gone] = tuple(k for k, zone in enumerate(self.zones) if _shuttable(self.graph, zone, gone))
        return self._left[gone]

    def alone(self, blank: str) -> tuple[int, ...]:
        """Numbers of the jobs that can be done with this blank and no other."""
        return self.without(self.blanks - {blank})

    def groups(self) -> list[tuple[str, ...]]:
        """Blanks that can stand in for each other: beside a zone, on one side; without all of them it is not shut.

        Only groups that lose a job which the loss of each one alone does not.
        """
        every = self.without(())
        found: dict[tuple[str, ...], None] = {}
        for zone in self.zones:
            for side in blanks_beside(self.graph, zone):
                names = tuple(one.name for one in sorted(side, key=lambda one: one.top_md) if one.rooms)
                singly = {k for name in names for k in every if k not in self.without((name,))}
                if len(names) > 1 and {k for k in every if k not in self.without(names)} - singly:
                    found[names] = None
        return list(found)


# --- jobs that may fail


def of_jobs(failure: Failure, zone: str = "") -> bool:
    """Whether a row of the case's failures lets the shutting of a zone (none: of any) fail."""
    return failure.do == "job fails" and failure.job == DO and (not zone or failure.zone in ("", zone))


def sure(case: Case) -> Case:
    """The case without the rows by which shutting a zone may fail: that luck is averaged over, not drawn."""
    return case.model_copy(update={"failures": tuple(one for one in case.failures if not of_jobs(one))})


@dataclass(frozen=True)
class Luck:
    """Chance that the job on a zone succeeds, and what its success hangs on: zones of one draw share it."""

    chance: float
    draw: str


def luck_of(case: Case, zone: str) -> Luck:
    """That of shutting a zone: the case's failures where they say, else the chance of the way of doing it."""
    rows = [one for one in case.failures if of_jobs(one, zone)]
    if rows:
        chance = prod(1.0 if one.success is None else one.success for one in rows)
        return Luck(chance, ", ".join(sorted(one.name for one in rows)))
    return Luck(chance_of(case, ShutZone(zone=zone, on=case.schedule.start)), zone)


def duration_of_job(case: Case) -> float:
    """For how long (s) the well is shut in to shut a zone."""
    return duration_of(case, ShutZone(zone="", on=case.schedule.start))


def failed_on(case: Case, day: date, under: WhatIf | None = None) -> WhatIf:
    """The what-if in which a zone is to be shut on a day and the job fails: its time and its money are spent.

    What would be left in the hole is not. The money is that of the member's own way of doing it.
    """
    event = ShutZone(zone="", on=day)
    named = case.economics.default_ways.get(DO, "")
    cost = None if way_of(case, event) is not None else cost_of_way(case, event)
    tried = ChangeControl.model_construct(**{**_NOTHING, "on": day, "cost": cost, "way": named})
    return WhatIf(name=failed_name(day), events=(tried, *(under.events if under is not None else ())))


def failed_name(day: date) -> str:
    """Name of the what-if in which the job of a day fails."""
    return f"job fails, {day}"
