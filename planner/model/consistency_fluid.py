"""Checks of the fluids: what the well needs, what each method needs, numbers that cannot be meant."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from planner.base.errors import Problem
from planner.model.case import Case
from planner.model.consistency_parts import Show, problem


def wanted_fluids(case: Case, show: Show) -> Iterator[Problem]:
    """An oil producer has oil."""
    if case.well.kind == "oil producer" and case.fluid.oil is None:
        message = f"'{case.well.name}' is an oil producer, but the fluid has no oil"
        yield problem("fluid.oil", message, "Add [fluid.oil], or give the well another kind.")


def oil(case: Case, show: Show) -> Iterator[Problem]:
    """Each way to describe oil has its keys; the density is given once."""
    given = case.fluid.oil
    if given is None:
        return
    if given.density is not None and given.api is not None:
        yield problem("fluid.oil.api", "density and api are both given", "Keep one of them.", f"{given.api}")
    if given.density is None and given.api is None:
        yield problem("fluid.oil.density", "the oil has no density", "Give density or api.")
    if given.method == "constant":
        for key in ("viscosity", "formation_volume_factor"):
            if getattr(given, key) is None:
                remedy = f'Give {key}, or method = "correlation".'
                yield problem(f"fluid.oil.{key}", f"a constant oil needs {key.replace('_', ' ')}", remedy)
    if given.method == "table":
        rows = given.table
        yield from _increasing("fluid.oil.table", rows, ("pressure", "solution_gas_ratio"))
        yield from _long_enough("fluid.oil.table", rows)
    elif given.table:
        yield problem(
            "fluid.oil.table", f"an oil table is given, but the method is {given.method}", 'Say method = "table".'
        )


def gas_and_water(case: Case, show: Show) -> Iterator[Problem]:
    """Each way to describe gas and water has its keys."""
    gas, water = case.fluid.gas, case.fluid.water
    if gas.method == "ideal" and gas.viscosity is None:
        yield problem("fluid.gas.viscosity", "an ideal gas needs its viscosity", "Give viscosity.")
    if gas.method == "table":
        yield from _long_enough("fluid.gas.table", gas.table)
        yield from _increasing("fluid.gas.table", gas.table, ("pressure",))
    elif gas.table:
        yield problem(
            "fluid.gas.table", f"a gas table is given, but the method is {gas.method}", 'Say method = "table".'
        )
    if water.method == "constant":
        for key in ("density", "viscosity", "formation_volume_factor"):
            if getattr(water, key) is None:
                remedy = f'Give {key}, or method = "correlation".'
                yield problem(f"fluid.water.{key}", f"a constant water needs {key.replace('_', ' ')}", remedy)


def _long_enough(place: str, rows: Sequence[Any]) -> Iterator[Problem]:
    if len(rows) < 2:
        yield problem(place, "the table needs at least two rows", "Add rows, from low to high pressure.")


def _increasing(place: str, rows: Sequence[Any], keys: tuple[str, ...]) -> Iterator[Problem]:
    for key in keys:
        for number, row in enumerate(rows[1:], start=2):
            if getattr(row, key) <= getattr(rows[number - 2], key):
                message = f"the table is not increasing: {key.replace('_', ' ')} is not above that of the row before"
                yield problem(f"{place}[{number}].{key}", message, "Sort the rows from low to high pressure.")


# What can be meant, far wider than the range of any correlation; SI, then words. Common practice, no source.
_SENSIBLE: tuple[tuple[str, float, float, str], ...] = (
    ("fluid.temperature", 273.15, 523.15, "0 to 250 degC"),
    ("fluid.oil.api", 5.0, 70.0, "5 to 70"),
    ("fluid.oil.density", 650.0, 1100.0, "650 to 1100 kg/m^3"),
    ("fluid.oil.solution_gas_ratio", 0.0, 1000.0, "0 to 1000 m^3/m^3"),
    ("fluid.oil.viscosity", 1.0e-5, 100.0, "0.01 to 100000 cP"),
    ("fluid.oil.formation_volume_factor", 0.9, 4.0, "0.9 to 4"),
    ("fluid.oil.bubble_point", 1.0e5, 1.0e8, "1 to 1000 bar"),
    ("fluid.gas.gravity", 0.5, 2.0, "0.5 to 2 (air = 1)"),
    ("fluid.water.salinity", 0.0, 0.3, "0 to 0.3 as a mass fraction"),
    ("fluid.water.density", 900.0, 1300.0, "900 to 1300 kg/m^3"),
    ("fluid.water.formation_volume_factor", 0.9, 1.2, "0.9 to 1.2"),
)


def sensible_numbers(case: Case, show: Show) -> Iterator[Problem]:
    """Fluid numbers that no reservoir has, mostly a slip of unit; and impurities that leave no gas."""
    for place, low, high, words in _SENSIBLE:
        here: Any = case
        for part in place.split("."):
            here = getattr(here, part, None)
        if here is not None and not low * (1 - 1e-9) <= here <= high * (1 + 1e-9):
            message = f"{place.split('.')[-1].replace('_', ' ')} is outside {words}"
            yield problem(place, message, "Check the number and its unit.", f"{here:.6g}")
    gas = case.fluid.gas
    total = gas.carbon_dioxide + gas.hydrogen_sulphide + gas.nitrogen
    if total >= 1.0:
        message = f"carbon dioxide, hydrogen sulphide and nitrogen come to {total:.4g} of the gas"
        yield problem("fluid.gas.carbon_dioxide", message, "Their sum must stay below 1.", f"{gas.carbon_dioxide}")
