"""The measured history as controls of the well: the forecast honours what was measured, then follows the case."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from planner.base.units import QUANTITIES
from planner.model.case import Case, Control
from planner.model.measured import Measurement, measurements

BOUND_OF_KIND = {
    "oil rate": "oil_rate",
    "liquid rate": "liquid_rate",
    "water rate": "water_rate",
    "gas rate": "gas_rate",
    "bottom-hole pressure": "bottom_hole_pressure",
    "wellhead pressure": "wellhead_pressure",
}
RATES = ("oil_rate", "liquid_rate", "water_rate", "gas_rate")


@dataclass(frozen=True)
class Span:
    """A control value of the history, SI, from `start` up to `end`."""

    start: date
    end: date
    value: float


def with_history(case: Case) -> Case:
    """The case with its controls replaced over the measured history; the same case where history does not control it.

    A measured rate takes the place of the case's rates, the case's pressure limits stay; a measured pressure takes the
    place of all. A rate of nought shuts the well. After the last measurement the case's own controls hold again.
    """
    spans = history_spans(case)
    if not spans or case.measured is None:
        return case
    name = BOUND_OF_KIND[case.measured.control]
    made = [_control(case, span.start, name, span.value) for span in spans]
    end = spans[-1].end
    if end < case.schedule.end:
        made.append(_in_force(case, end).model_copy(update={"date": end}))
    made += [control for control in case.controls if control.date > end]
    return case.model_copy(update={"controls": tuple(made)})


def history_end(case: Case) -> date | None:
    """The day up to which history controls the well; None where it does not."""
    spans = history_spans(case)
    return spans[-1].end if spans else None


def history_spans(case: Case) -> list[Span]:
    """Values that control the well over its history, without gaps: what is not measured keeps the value before it.

    A value of a day holds from the measured day before it, the first one from the start of the schedule.
    """
    if case.measured is None or case.measured.control == "none":
        return []
    kind = case.measured.control
    rows = [one for one in measurements(case.measured) if one.kind == kind and not one.zone]
    spans: list[Span] = []
    at = case.schedule.start
    for row in rows:
        start = max(row.since or at, at)
        if row.date <= start:
            continue
        if spans and start > spans[-1].end:
            spans[-1] = Span(spans[-1].start, start, spans[-1].value)
        spans.append(Span(start if spans else at, row.date, row.value))
        at = row.date
    return spans


def _in_force(case: Case, day: date) -> Control:
    """The control of the case that holds on a day."""
    early = [control for control in case.controls if control.date <= day]
    return early[-1] if early else case.controls[0]


def _control(case: Case, day: date, name: str, value: float) -> Control:
    """A control of the history."""
    own = _in_force(case, day)
    if name not in RATES:
        unit = QUANTITIES["pressure"].si
        return Control.model_validate({"date": day, name: f"{value!r} {unit}"})
    if value <= 0.0:
        return Control(date=day, shut=True)
    bare = {one: None for one in RATES} | {"date": day, "shut": False}
    return own.model_copy(update={**bare, name: value})


def controlling(case: Case) -> tuple[Measurement, ...]:
    """Measurements that control the well over its history."""
    if case.measured is None or case.measured.control == "none":
        return ()
    return tuple(one for one in measurements(case.measured) if one.kind == case.measured.control and not one.zone)
