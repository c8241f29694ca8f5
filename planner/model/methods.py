"""Which published methods a case calls for, by the keys of their cards: the one list that results and report share."""

from __future__ import annotations

from planner.base.cards import CARDS
from planner.model.case import Case


def used(case: Case) -> list[str]:
    """Keys of the method cards that the inputs of a case call for."""
    found = [*of_fluids(case), *_of_rock(case), *_of_well(case), *_of_sand(case)]
    return [key for key in dict.fromkeys(found) if key in CARDS]


def of_fluids(case: Case) -> list[str]:
    """Keys of the cards of the fluids' correlations; some may have no card."""
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


def _of_sand(case: Case) -> list[str]:
    """Criteria that hole and sand are judged by."""
    asked, found = case.suitability, []
    if asked is None:
        return []
    if asked.sieves:
        found += ["coberly_1937", "saucier_1974", "schwartz_1969", "tiffin_1998"]
    if asked.strength_relation:
        found.append(asked.strength_relation.replace(" ", "_"))
    if asked.stress is not None:
        found.append("kirsch_1898")
    return found
