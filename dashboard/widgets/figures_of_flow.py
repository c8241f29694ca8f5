"""Which figures of a flow at an instant are worth a word, by kind of well."""

from __future__ import annotations

from planner.model.results import COLUMNS, FlowProfile


def pairs(now: FlowProfile, before: FlowProfile) -> list[tuple[str, str, float, float]]:
    """(name, quantity, now, before) of the main phase, of water, and the pressure; SI."""
    kind = now.description.kind
    main = "gas" if kind.startswith("gas") else "oil"
    wanted = [kind.split()[0]] if kind.endswith("injector") else [main, "water"]
    rates = [
        (phase, COLUMNS[f"{phase}_rate"], now.well[f"{phase}_rate"], before.well[f"{phase}_rate"])
        for phase in wanted
        if f"{phase}_rate" in now.well
    ]
    held = "bottom_hole_pressure"
    return [*rates, ("bottom-hole pressure", "pressure", now.well[held], before.well[held])]
