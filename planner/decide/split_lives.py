"""The lives over which a split is valued: the futures of the case, in every member where there are draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.base.errors import CaseError, ForecastError, Refusal
from planner.decide.split_runs import Runs, Wanted
from planner.decide.split_string import Layout, one_each, valuing_case
from planner.forecast.early_water import Found
from planner.model.case import Case
from planner.model.change import EarlyWater, WhatIf
from planner.model.ensemble import Draws
from planner.model.results import Forecast
from planner.model.split import Split
from planner.network.describe import describe_case
from planner.network.zone_layers import zone_layers
from planner.uncertainty.member import member_of

ITSELF = -1  # member: the case as it is


@dataclass(frozen=True)
class Life:
    """One future of the well. case: the well in it, with its own string; fate: what happens by itself, of that case.

    whole: the same well with screen over all pay and a seal in every barrier; base: its forecast; sized: early water.
    """

    weight: float
    case: Case
    fate: WhatIf | None
    member: int
    whole: Case
    sized: Found | None = None
    base: Forecast | None = None

    @property
    def words(self) -> str:
        """'early water' or 'base', with its member."""
        name = self.fate.name if self.fate else "base"
        return name if self.member == ITSELF else f"{name}, member {self.member + 1}"

    def in_string(self, made: Case) -> WhatIf | None:
        """What happens by itself as it reads in another string of the same well."""
        return fate_in(self.case, made, self.fate)


def lives_of(case: Case, split: Split, layout: Layout, draws: Draws | None, runs: Runs) -> list[Life]:
    """Every life with its forecast on the string that is valued; weights add up to 1.

    A member of the draws that cannot be computed is left out with a note. Raises Refusal or ForecastError where the
    case itself cannot, and ForecastError where no member can.
    """
    found = _bare(case, split, layout, draws, runs.notes)
    wet = [one for one in found if one.fate and any(isinstance(event, EarlyWater) for event in one.fate.events)]
    asked = [Wanted(one.whole, one.in_string(one.whole), f"{one.words}: sizing its streak", size=True) for one in wet]
    sized = dict(zip(map(id, wet), runs.streaks(asked), strict=True))
    runs.done += len(found) - len(wet)
    kept = []
    for one in found:
        streak = sized.get(id(one))
        if isinstance(streak, str):
            _left_out(one, streak, runs.notes, Refusal)
        else:
            kept.append(replace(one, sized=streak))
    bases = runs.forecasts([Wanted(one.whole, one.in_string(one.whole), one.words, one.sized) for one in kept])
    made = []
    for one, base in zip(kept, bases, strict=True):
        if isinstance(base, Forecast):
            made.append(replace(one, base=base))
        else:
            _left_out(one, base, runs.notes, ForecastError)
    return _reweighted(made, runs.notes)


def _left_out(one: Life, reason: str, notes: list[str], kind: type[Exception]) -> None:
    if one.member == ITSELF:
        raise kind(f"{one.words}: {reason}")
    notes.append(f"member {one.member + 1} is left out: {reason}")


def _reweighted(lives: list[Life], notes: Sequence[str]) -> list[Life]:
    """Only members with all of their futures, weights adding up to 1."""
    count: dict[int, int] = {}
    for one in lives:
        count[one.member] = count.get(one.member, 0) + 1
    whole = [one for one in lives if count[one.member] == max(count.values())]
    total = sum(one.weight for one in whole)
    if not whole:
        raise ForecastError(f"no member could be computed; the first: {next(iter(notes), '')}")
    return [replace(one, weight=one.weight / total) for one in whole]


def _bare(case: Case, split: Split, layout: Layout, draws: Draws | None, notes: list[str]) -> list[Life]:
    """Lives before anything is computed."""
    every = one_each(layout)
    cases = [(ITSELF, case)]
    if draws is not None:
        zones = zone_layers(case)
        cases = []
        for number in range(len(draws.values)):
            try:
                cases.append((number, member_of(case, draws, number, zones).case))
            except CaseError as error:
                notes.append(f"member {number + 1} is left out: {error.problems[0].message}")
    found = []
    for number, own in cases:
        known = {one.name: one for one in own.what_ifs}
        whole = valuing_case(own, layout, every)
        for future in split.futures:
            fate = known[future.what_if] if future.what_if else None
            found.append(Life(future.weight, own, fate, number, whole))
    if not found:
        raise ForecastError(f"no member could be made; the first: {next(iter(notes), '')}")
    total = sum(one.weight for one in found)
    return [replace(one, weight=one.weight / total) for one in found]


def fate_in(case: Case, made: Case, fate: WhatIf | None) -> WhatIf | None:
    """A what-if of the case with its zones named as in another string, at no cost of its own.

    What would happen to a zone that has no screen in that string is left out.
    """
    if fate is None:
        return None
    zones = describe_case(made).zones
    new = {layer: zone.name for zone in zones for layer in zone.layers}
    names = {zone.name for zone in zones if zone.layers}
    old = {zone.name: zone.layers for zone in describe_case(case).zones}
    events = []
    for event in fate.events:
        changed: dict[str, object] = {"cost": 0.0}
        name = getattr(event, "zone", "")
        if name and name not in names:
            layers = [layer for layer in old.get(name, ()) if layer in new]
            if not layers:
                continue
            changed["zone"] = new[layers[0]]
        events.append(event.model_copy(update=changed))
    return fate.model_copy(update={"events": tuple(events)})
