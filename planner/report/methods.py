"""Published methods that a case uses, for the report: source, form, range, and where the case leaves a range."""

from __future__ import annotations

import math

from planner.base.cards import CARDS, RANGE_UNITS, out_of_range
from planner.model.case import Case, Oil
from planner.report.frames import Style, words

# Ranges are kept in SI; these are shown as a quantity of planner.base.units, the others as they are.
SHOWN_AS = {
    "temperature": "temperature",
    "pressure": "pressure",
    "solution_gas_ratio": "gas-oil ratio",
    "viscosity": "viscosity",
    "liquid_viscosity": "viscosity",
    "inclination": "angle",
    "perforation_phasing": "angle",
    "diameter": "diameter",
    "velocity": "velocity",
}
WATER_DENSITY = 999.0  # kg/m3, fresh water at standard conditions, for specific gravities


def used(case: Case) -> list[str]:
    """Keys of the method cards that the inputs of a case call for."""
    found = [*_of_fluids(case), *_of_rock(case), *_of_well(case)]
    return [key for key in dict.fromkeys(found) if key in CARDS]


def methods(case: Case, style: Style) -> list[dict[str, str]]:
    """The published methods that a case uses, by name: name, source, equation, range and note as text."""
    rows = [
        {
            "name": card.name,
            "source": card.source,
            "equation": card.equation,
            "range": "; ".join(range_text(name, low, high, style) for name, (low, high) in card.ranges.items()),
            "note": card.note,
        }
        for card in (CARDS[key] for key in used(case))
    ]
    return sorted(rows, key=lambda row: (row["name"], row["source"]))


def range_warnings(case: Case, style: Style) -> list[str]:
    """Sentences for the inputs of a case that leave the range of a method that it uses, in the user's units."""
    given = _given(case)
    return [
        f"{CARDS[key].name} ({CARDS[key].source.split(',')[0]}): {words(name)} "
        f"{_number(value, name, style)} is outside its range, {range_text(name, *CARDS[key].ranges[name], style)}"
        for key in used(case)
        for name, values in given.items()
        if name in CARDS[key].ranges
        for value in values
        if out_of_range(key, **{name: value})
    ]


def _of_fluids(case: Case) -> list[str]:
    fluid, found = case.fluid, []
    oil = fluid.oil
    if oil is not None and oil.method == "correlation":
        found += ["standing_1947" if oil.correlation == "standing 1947" else "vasquez_beggs_1980"]
        found += ["beggs_robinson_1975", "vasquez_beggs_1980_viscosity"]
        if oil.compressibility is None and oil.solution_gas_ratio > 0.0:
            found.append("vasquez_beggs_1980")
    if fluid.gas.method == "correlation":
        found += ["sutton_1985", "dranchuk_abou_kassem_1975", "lee_gonzalez_eakin_1966"]
        if fluid.gas.carbon_dioxide or fluid.gas.hydrogen_sulphide:
            found.append("wichert_aziz_1972")
    if fluid.water.method == "correlation":
        found += ["iapws_if97", "iapws_viscosity_2008", "mccain_1990_brine"]
    return found


def _of_rock(case: Case) -> list[str]:
    forms = {rock.relative_permeability.form for rock in case.rocks}
    found = [key for form, key in (("corey", "corey_1954"), ("let", "let_2005")) if form in forms]
    if case.fluid.oil is not None:
        found.append("baker_1988")
    if case.numerics.fronts == "resolved" and not case.numerics.vertical_flow:
        found.append("buckley_leverett_1942")
    kinds = {case.supports[layer.support].kind for layer in case.layers if layer.support in case.supports}
    if "fetkovich aquifer" in kinds:
        found.append("fetkovich_1971")
    if "carter-tracy aquifer" in kinds:
        found += ["carter_tracy_1960", "edwardson_1962"]
    return found


def _of_well(case: Case) -> list[str]:
    found = ["minimum_curvature"] if case.well.survey else []
    if any(layer.geometry != "linear" for layer in case.layers):
        found.append("darcy_radial")
    if case.numerics.friction:
        found.append("colebrook_1939")
    screens = {element.screen for element in case.string if element.kind == "screen"}
    if case.numerics.friction and "stand-alone" in screens:
        found.append("jones_leung_1981")
    return [*found, *_of_sandface(case)]


def _of_sandface(case: Case) -> list[str]:
    """Skins to be composed, in the string as given and in the completions of what-ifs."""
    ways: set[str] = {element.screen for element in case.string if element.kind == "screen"}
    ways |= {one.completion for one in case.what_ifs if one.completion is not None}
    perforated = "perforated casing" in {*ways, *(element.kind for element in case.string)}
    found = ["gravel_darcy", "forchheimer_1901"] if "gravel pack" in ways else []
    found += ["karakas_tariq_1991"] if perforated else []
    found += ["orifice"] if any(element.nozzle_area is not None for element in case.string) else []
    for layer in case.layers:
        found += ["hawkins_1956"] if layer.damaged_radius is not None else []
        found += ["cinco_ley_1975"] if layer.deviation_skin else []
        found += ["partial_entry_series"] if layer.partial_entry else []
        found += ["forchheimer_1901"] if layer.forchheimer is not None else []
        if layer.forchheimer_method:
            found += ["forchheimer_1901", layer.forchheimer_method.replace(" ", "_").replace("-", "_")]
        if layer.geometry == "along hole" and layer.thickness is not None and case.well.kind == "oil producer":
            found += ["joshi_1988", "babu_odeh_1989"]
    return found


def _given(case: Case) -> dict[str, list[float]]:
    """Inputs of the case that ranges of methods speak of, SI, the extremes of each."""
    pressures = [one.pressure for one in case.compartments]
    pressures += [one.bottom_hole_pressure for one in case.controls if one.bottom_hole_pressure is not None]
    gas, oil = case.fluid.gas, case.fluid.oil
    found = {
        "temperature": [case.fluid.temperature],
        "pressure": sorted({min(pressures), max(pressures)}),
        "gas_gravity": [gas.gravity],
        "co2": [gas.carbon_dioxide],
        "h2s": [gas.hydrogen_sulphide],
        "n2": [gas.nitrogen],
        "salinity": [case.fluid.water.salinity],
    }
    if oil is not None:
        found |= {"oil_gravity": [_gravity(oil)], "solution_gas_ratio": [oil.solution_gas_ratio]}
    return found


def _gravity(oil: Oil) -> float:
    if oil.density is not None:
        return oil.density / WATER_DENSITY
    return 141.5 / (131.5 + (oil.api or 35.0))


def _number(value: float, name: str, style: Style) -> str:
    quantity = SHOWN_AS.get(name, "")
    unit = style.unit(quantity) if quantity else RANGE_UNITS[name]
    return f"{style.value(value, quantity):.4g} {unit}".rstrip()


def range_text(name: str, low: float, high: float, style: Style) -> str:
    """'temperature 100 to 258 degF'; a side without a bound is left out."""
    quantity = SHOWN_AS.get(name, "")
    unit = style.unit(quantity) if quantity else RANGE_UNITS[name]
    bounds = [f"{style.value(value, quantity):.4g}" if math.isfinite(value) else "" for value in (low, high)]
    if all(bounds):
        text = " to ".join(bounds)
    else:
        text = f"from {bounds[0]}" if bounds[0] else f"up to {bounds[1]}" if bounds[1] else "any"
    return f"{words(name)} {text} {unit}".rstrip()
