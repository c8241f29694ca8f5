"""The tubing at an instant, for people: traverse up to the wellhead with its margins."""

from __future__ import annotations

import numpy as np

from planner.base.units import QUANTITIES, from_si
from planner.forecast.flow_limits import tubing_at, tubing_speeds
from planner.forecast.limits import outlet_of
from planner.forecast.recorder import Recorder
from planner.model.case import Case
from planner.model.results import TubingProfile, margin_of
from planner.network.lift import column_of_case
from planner.network.tubing_view import TubingState, tubing_columns


def tubing_profile(recorder: Recorder) -> TubingProfile | None:
    """Traverse of the tubing at the last state recorded; None without a tubing, or where nothing flows."""
    case = recorder.march.network.case
    states = recorder.string()[1]
    well = outlet_of(recorder, states)
    state, tubing = tubing_at(case, states, well, -1), states.tubing[-1]
    if state is None or tubing is None:
        return None
    columns, pattern = tubing_columns(column_of_case(case, tubing), state)
    margins = {name: margin_of(*judged) for name, judged in tubing_speeds(case, state).items()}
    bottom = float(well["bottom_hole_pressure"][-1])
    note = _note(case, state, bottom, held=bool(np.isfinite(states.wellhead[-1])))
    return TubingProfile({**columns, **margins}, pattern, tubing.method, state.wellhead, state.base, bottom, note)


def _note(case: Case, state: TubingState, bottom: float, held: bool) -> str:
    """What the wellhead pressure is."""
    if not state.lifted:
        return (
            f"The pressure at the top of the string does not lift these rates to the wellhead: from the least pressure "
            f"there the march asks for {_shown(case, state.base)}, the string has {_shown(case, bottom)}."
        )
    if held:
        return (
            f"From the wellhead pressure of the control; the march meets the top of the string at "
            f"{_shown(case, state.base)}, the table that the forecast uses at {_shown(case, bottom)}."
        )
    return "The wellhead pressure is the one from which the march meets the pressure at the top of the string."


def _shown(case: Case, pressure: float) -> str:
    return f"{float(from_si(pressure, 'pressure', case.units)):,.4g} {QUANTITIES['pressure'].label(case.units)}"
