"""Small valid cases as dicts, for the tests of the engine. Numbers are text with units, as a case file has them."""

from __future__ import annotations

from typing import Any

import numpy as np

from planner.base.constants import DAY
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.results import Forecast

MD = 9.869232667160130e-16  # m2 per millidarcy
BAR = 1e5
M3D = 1.0 / DAY  # m3/s per m3/d

CONSTANT_OIL = {
    "method": "constant",
    "density": "850 kg/m^3",
    "viscosity": "1 cP",
    "formation_volume_factor": "1.2 m^3/m^3",
    "compressibility": "1e-4 1/bar",
}
CONSTANT_WATER = {
    "method": "constant",
    "density": "1000 kg/m^3",
    "viscosity": "0.5 cP",
    "formation_volume_factor": "1.0 m^3/m^3",
    "compressibility": "4e-5 1/bar",
}
GAP = 40.0  # m between two zones: blank, isolation joint, blank


def layer(name: str, top: float, base: float, **changes: Any) -> dict[str, Any]:
    """One radial layer of 100 md, 300 m drainage radius, in compartment c and rock r."""
    made = {
        "name": name,
        "top_md": f"{top} m",
        "base_md": f"{base} m",
        "compartment": "c",
        "permeability": "100 md",
        "porosity": 0.25,
        "rock": "r",
        "drainage_radius": "300 m",
    }
    made.update(changes)
    return {key: value for key, value in made.items() if value is not None}


def element(kind: str, top: float, base: float, **changes: Any) -> dict[str, Any]:
    """One element of the string."""
    return {"kind": kind, "top_md": f"{top} m", "base_md": f"{base} m", **changes}


def zoned_string(intervals: list[tuple[float, float]], leak: str | None = None, **screen: Any) -> list[dict[str, Any]]:
    """Blank above, then a screen over every interval; between two of them blank, an isolation joint, blank."""
    parts = [element("blank pipe", intervals[0][0] - 12.0, intervals[0][0])]
    for k, (top, base) in enumerate(intervals):
        if k:
            above = intervals[k - 1][1]
            middle = 0.5 * (above + top)
            parts.append(element("blank pipe", above, middle - 3.0))
            tight = {} if leak is None else {"leak": leak}
            parts.append(element("isolation joint", middle - 3.0, middle + 3.0, name=f"seal {k}", **tight))
            parts.append(element("blank pipe", middle + 3.0, top))
        parts.append(element("screen", top, base, **screen))
    return parts


def intervals(count: int, thickness: float = 20.0, top: float = 2000.0) -> list[tuple[float, float]]:
    """Depths of that many zones, GAP apart."""
    return [(top + k * (thickness + GAP), top + k * (thickness + GAP) + thickness) for k in range(count)]


def raw(**changes: Any) -> dict[str, Any]:
    """A one-zone oil well on 150 bar as a dict, with top-level entries replaced."""
    made: dict[str, Any] = {
        "well": {"name": "a", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        "compartments": [{"name": "c", "datum": "2000 m", "pressure": "220 bar"}],
        "layers": [layer("l", 2000.0, 2020.0)],
        "rocks": [{"name": "r"}],
        "fluid": {"temperature": "90 degC", "oil": dict(CONSTANT_OIL), "water": dict(CONSTANT_WATER)},
        "string": zoned_string([(2000.0, 2020.0)]),
        "controls": [{"date": "2027-01-01", "bottom_hole_pressure": "150 bar"}],
        "schedule": {"start": "2027-01-01", "end": "2032-01-01"},
        "numerics": {"friction": False, "gravity": False},
    }
    made.update(changes)
    return made


def make(**changes: Any) -> Case:
    """The case of `raw`, validated."""
    return Case.model_validate(raw(**changes))


def steady(case: Case, **keys: Any) -> Forecast:
    """The forecast, after a look at its mass balance."""
    result = forecast(case, **keys)
    assert_balanced(result)
    return result


def assert_balanced(result: Forecast) -> None:
    """Every component closes to 1e-8 of what was produced of it; a trace of a liquid to 1e-9 of all liquid."""
    produced = {name: float(np.abs(result.well[f"{name}_volume"]).max()) for name in ("water", "oil", "gas")}
    liquid = produced["water"] + produced["oil"]
    for name, error in result.facts.balance.items():
        small = 1e-9 * liquid / max(produced[name], 1e-30) if name != "gas" else 0.0
        assert abs(error) < max(1e-8, small), (name, result.facts.balance, produced)


def pseudo_steady_index(
    permeability_md: float,
    thickness: float,
    mobility: float,
    outer: float,
    hole: float = 8.5 * 0.0254,
    skin: float = 0.0,
) -> float:
    """2 pi k h mobility / (ln(re/rw) - 3/4 + skin), reservoir m3/s/Pa from the average pressure; exact form.

    Mean pressure of an even-rate closed ring of finite inner radius (Dake 1978, section 6.2), not its limit.
    mobility: kr / viscosity, 1/(Pa s).
    """
    r = 0.5 * hole
    ratio2 = (outer / r) ** 2
    exact = (ratio2**2 * np.log(outer / r) - 0.75 * ratio2**2 + ratio2 - 0.25) / (ratio2 - 1.0) ** 2
    return float(2.0 * np.pi * permeability_md * MD * thickness * mobility / (exact + skin))


def within(what: str, error: float, limit: float) -> None:
    """Assert that the size of an error is below its limit; prints both (pytest -rP shows them)."""
    print(f"{what}: {abs(error):.3g} (limit {limit:g})")
    assert abs(error) <= limit, f"{what}: {abs(error):.4g} is above {limit:g}"
