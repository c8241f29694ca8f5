"""Checks of survey, hole, compartments, layers, rocks and supports."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.base.errors import Problem
from planner.model.case import Case, Support
from planner.model.consistency_parts import SLACK, Show, problem, unknown_name


def survey(case: Case, show: Show) -> Iterator[Problem]:
    """A survey goes down the hole, with inclinations that exist."""
    stations = case.well.survey
    for number, station in enumerate(stations, start=1):
        place = f"well.survey[{number}]"
        if not 0.0 <= station.inclination <= math.pi:
            shown = f"{math.degrees(station.inclination):.4g} deg"
            remedy = "Count it from vertical: 0 deg is straight down, 90 deg horizontal, at most 180 deg."
            yield problem(f"{place}.inclination", "inclination outside 0 to 180 deg", remedy, shown)
        if number > 1 and station.md <= stations[number - 2].md:
            above = show.depth(stations[number - 2].md, "well.survey")
            message = f"the survey runs backwards: the station before is at {above}"
            remedy = "List the stations from top to bottom, each depth once."
            yield problem(f"{place}.md", message, remedy, show.depth(station.md, "well.survey"))


def hole(case: Case, show: Show) -> Iterator[Problem]:
    """A hole table goes down."""
    rows = case.well.hole
    for number, row in enumerate(rows[1:], start=2):
        if row.md <= rows[number - 2].md:
            message = (
                f"the hole table is not increasing: the row before is at {show.depth(rows[number - 2].md, 'well.hole')}"
            )
            remedy = "List the rows from top to bottom, each depth once."
            yield problem(f"well.hole[{number}].md", message, remedy, show.depth(row.md, "well.hole"))


def contacts(case: Case, show: Show) -> Iterator[Problem]:
    """Gas lies over oil and oil over water; gas-water contacts stand alone."""
    for number, compartment in enumerate(case.compartments, start=1):
        place = f"compartments[{number}]"
        oil_water, gas_oil = compartment.oil_water_contact, compartment.gas_oil_contact
        if oil_water is not None and gas_oil is not None and gas_oil >= oil_water:
            below = show.depth(oil_water, "compartments")
            message = f"in '{compartment.name}' the gas-oil contact is not above the oil-water contact at {below}"
            remedy = "Swap or correct the two depths (true vertical)."
            yield problem(f"{place}.gas_oil_contact", message, remedy, show.depth(gas_oil, "compartments"))
        if compartment.gas_water_contact is not None and (oil_water is not None or gas_oil is not None):
            message = f"'{compartment.name}' has a gas-water contact and a contact with oil"
            remedy = "Keep gas_water_contact where there is no oil, else the other two."
            value = show.depth(compartment.gas_water_contact, "compartments")
            yield problem(f"{place}.gas_water_contact", message, remedy, value)


def layer_depths(case: Case, show: Show) -> Iterator[Problem]:
    """Layers have thickness, do not overlap and are listed downwards."""
    for number, layer in enumerate(case.layers, start=1):
        top, base = show.depth(layer.top_md, "layers"), show.depth(layer.base_md, "layers")
        if layer.base_md <= layer.top_md:
            message = f"base of layer '{layer.name}' is not below its top at {top}"
            yield problem(f"layers[{number}].base_md", message, "Swap or correct the two depths.", base)
        if number == 1:
            continue
        above = case.layers[number - 2]
        if layer.top_md < above.top_md:
            message = f"layer '{layer.name}' is listed below '{above.name}', but its top is above that of it"
            yield problem(f"layers[{number}].top_md", message, "List the layers from top to bottom.", top)
        elif layer.top_md < above.base_md - SLACK and above.base_md > above.top_md:
            end = show.depth(above.base_md, "layers")
            message = f"layer '{layer.name}' overlaps '{above.name}', which reaches down to {end}"
            yield problem(f"layers[{number}].top_md", message, "Let one end where the next begins, or earlier.", top)


def skins(case: Case, show: Show) -> Iterator[Problem]:
    """Skins are finite numbers."""
    for number, layer in enumerate(case.layers, start=1):
        if not math.isfinite(layer.skin):
            message = f"skin of layer '{layer.name}' is not a finite number"
            yield problem(f"layers[{number}].skin", message, "Give a number, 0 for none.", f"{layer.skin}")


def layers_in_hole(case: Case, show: Show) -> Iterator[Problem]:
    """Layers lie where the hole has been described, by diameter and by survey."""
    first, stations = case.well.hole[0].md, case.well.survey
    for number, layer in enumerate(case.layers, start=1):
        if layer.top_md < first - SLACK:
            message = f"layer '{layer.name}' begins above the first row of the hole at {show.depth(first, 'well.hole')}"
            remedy = "Give the hole diameter from the shallowest layer down (well.hole)."
            yield problem(f"layers[{number}].top_md", message, remedy, show.depth(layer.top_md, "layers"))
        if stations and layer.base_md > stations[-1].md + SLACK:
            end = show.depth(stations[-1].md, "well.survey")
            message = f"layer '{layer.name}' is not in the hole: the survey ends at {end}"
            remedy = "Add a station at the end of the hole, or correct the depth."
            yield problem(f"layers[{number}].base_md", message, remedy, show.depth(layer.base_md, "layers"))


def layer_compartments(case: Case, show: Show) -> Iterator[Problem]:
    """Layers name compartments that exist."""
    known = [compartment.name for compartment in case.compartments]
    for number, layer in enumerate(case.layers, start=1):
        if layer.compartment not in known:
            yield unknown_name(f"layers[{number}].compartment", "compartment", layer.compartment, known)


def layer_rocks(case: Case, show: Show) -> Iterator[Problem]:
    """Layers name rocks that exist."""
    known = [rock.name for rock in case.rocks]
    for number, layer in enumerate(case.layers, start=1):
        if layer.rock not in known:
            yield unknown_name(f"layers[{number}].rock", "rock", layer.rock, known)


def layer_supports(case: Case, show: Show) -> Iterator[Problem]:
    """Layers name supports that exist."""
    for number, layer in enumerate(case.layers, start=1):
        if layer.support and layer.support not in case.supports:
            yield unknown_name(f"layers[{number}].support", "support", layer.support, case.supports)


def layer_geometry(case: Case, show: Show) -> Iterator[Problem]:
    """Each geometry has the keys that it needs; the drainage radius lies outside the hole."""
    for number, layer in enumerate(case.layers, start=1):
        place = f"layers[{number}]"
        if layer.geometry == "linear":
            for key in ("length", "width"):
                if getattr(layer, key) is None:
                    remedy = f"Give {key}, or another geometry."
                    yield problem(f"{place}.{key}", f"linear layer '{layer.name}' has no {key}", remedy)
        elif layer.drainage_radius is None:
            message = f"layer '{layer.name}' ({layer.geometry}) has no drainage radius"
            remedy = "Give drainage_radius, about half the distance to the next well or to the boundary."
            yield problem(f"{place}.drainage_radius", message, remedy)
        elif layer.drainage_radius <= 0.5 * _widest_hole(case, layer.top_md, layer.base_md):
            wide = show.depth(0.5 * _widest_hole(case, layer.top_md, layer.base_md), "layers")
            message = f"drainage radius of layer '{layer.name}' is not beyond the hole wall at {wide}"
            value = show.depth(layer.drainage_radius, "layers")
            yield problem(f"{place}.drainage_radius", message, "Check the number and its unit.", value)


def _widest_hole(case: Case, top: float, base: float) -> float:
    """Largest hole diameter between two measured depths, m."""
    rows = case.well.hole
    ends = [row.md for row in rows[1:]] + [math.inf]
    inside = [row.diameter for row, end in zip(rows, ends, strict=True) if end > top and row.md < base]
    return max(inside, default=rows[0].diameter)


def end_points(case: Case, show: Show) -> Iterator[Problem]:
    """What cannot move leaves room for what can; LET curves have their numbers."""
    for number, rock in enumerate(case.rocks, start=1):
        place = f"rocks[{number}].relative_permeability"
        curves = rock.relative_permeability
        sums = (
            ("residual_oil_to_water", curves.connate_water + curves.residual_oil_to_water, "residual oil to water"),
            (
                "residual_oil_to_gas",
                curves.connate_water + curves.residual_oil_to_gas + curves.critical_gas,
                "residual oil to gas plus critical gas",
            ),
            ("residual_gas_to_water", curves.connate_water + (curves.residual_gas_to_water or 0.0), "trapped gas"),
        )
        for key, total, words in sums:
            if total >= 1.0:
                message = f"connate water plus {words} of rock '{rock.name}' come to {total:.4g}: nothing can move"
                yield problem(f"{place}.{key}", message, "Their sum must stay below 1.", f"{getattr(curves, key)}")
        missing = [key for key in ("water_let", "oil_let") if curves.form == "let" and getattr(curves, key) is None]
        for key in missing:
            message = f"rock '{rock.name}' has LET curves without {key}"
            yield problem(f"{place}.{key}", message, f'Give {key} = [L, E, T], or form = "corey".')


_NEEDED: dict[str, tuple[str, ...]] = {
    "closed": (),
    "constant pressure": (),
    "fetkovich aquifer": ("volume", "compressibility", "productivity_index"),
    "carter-tracy aquifer": ("permeability", "porosity", "thickness", "radius", "compressibility"),
    "injector": (),
}


def support_keys(case: Case, show: Show) -> Iterator[Problem]:
    """Each kind of support has the keys that it needs."""
    for name, support in case.supports.items():
        place = f"supports.{name}"
        missing = [key for key in _NEEDED[support.kind] if getattr(support, key) is None]
        if missing:
            message = f"support '{name}' ({support.kind}) lacks {', '.join(missing)}"
            yield problem(place, message, f"Give {', '.join(missing)}; a {support.kind} needs {_all(support)}.")
        given = [key for key in ("rate", "voidage_replacement") if getattr(support, key) is not None]
        if support.kind == "injector" and len(given) != 1:
            which = "both rate and" if given else "neither rate nor"
            message = f"support '{name}' (injector) has {which} voidage_replacement"
            yield problem(place, message, "Give exactly one of rate and voidage_replacement.")


def _all(support: Support) -> str:
    return ", ".join(_NEEDED[support.kind])
