"""Forecasts of one member that part from its base on dates of their own: the base is marched once for all of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from planner.forecast.branches import Trunk
from planner.model.case import Case
from planner.model.change import ChangeControl, WhatIf
from planner.model.ensemble import BASE
from planner.model.results import Forecast
from planner.uncertainty.member import Member, what_if_of_member


class Branches:
    """What-ifs of one member, and its base, all off one march.

    The base (None, or the what-if of that name) holds what happens anyway; every other one has a dated event of its own
    before that. The base is asked last, on the same network: a difference to it holds nothing of another road through
    time.
    """

    def __init__(self, case: Case, member: Member, what_ifs: Sequence[WhatIf | None]) -> None:
        self.case, self.member = case, member
        base = next((one for one in what_ifs if _is_base(one)), None)
        possible = [self._own(one).events[0] for one in what_ifs if one is not None and not _is_base(one)]
        self.anyway = what_if_of_member(case, base, member) or WhatIf(name=BASE)
        self._idle: dict[str, Forecast] = {}
        self.trunk = Trunk(member.case, self.anyway if self.anyway.events else None, possible)

    def _own(self, what_if: WhatIf) -> WhatIf:
        """The what-if in this member; its own event comes first."""
        return what_if_of_member(self.case, what_if, self.member) or what_if

    def forecast(self, what_if: WhatIf | None, cancelled: Callable[[], bool]) -> tuple[WhatIf, Forecast]:
        """The what-if as it goes in the member, with its forecast. Raises as `Trunk.forecast`."""
        end = self.member.case.schedule.end
        if what_if is None or _is_base(what_if):  # a change of nothing on the last day
            event = ChangeControl.model_construct(on=end, cost=0.0, duration=0.0)
            asked = self.anyway.model_copy(update={"events": (*self.anyway.events, event)})
            return self.anyway, self.trunk.forecast(asked, end, cancelled)
        first, *others = self._own(what_if).events
        asked = WhatIf(name=what_if.name, events=(*others, first))
        if first.do != "change control":
            return asked, self.trunk.forecast(asked, first.on or end, cancelled)
        key = first.model_dump_json()  # jobs that fail alike are marched once
        if key not in self._idle:
            self._idle[key] = self.trunk.forecast(asked, first.on or end, cancelled)
        return asked, replace(self._idle[key], name=what_if.name)


def _is_base(what_if: WhatIf | None) -> bool:
    return what_if is None or what_if.name == BASE
