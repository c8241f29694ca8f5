"""Which rates of a flow at an instant are worth a word, by kind of well."""

from __future__ import annotations

from planner.model.results import COLUMNS, FlowProfile


def pairs(now: FlowProfile, before: FlowProfile) -> list[tuple[str, str, float, float]]:
    """(name, quantity, rate now, rate before) of the main phase and of water; SI."""
    kind = now.description.kind
    main = "gas" if kind.startswith("gas") else "oil"
    wanted = [kind.split()[0]] if kind.endswith("injector") else [main, "water"]
    return [
        (phase, COLUMNS[f"{phase}_rate"], now.well[f"{phase}_rate"], before.well[f"{phase}_rate"])
        for phase in wanted
        if f"{phase}_rate" in now.well
    ]
