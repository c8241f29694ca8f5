"""Checks of what lies at the sandface: perforations, completions of what-ifs, nozzles, skins to be composed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.base.errors import Problem
from planner.model.case import Case, Element
from planner.model.completion import missing
from planner.model.consistency_parts import SLACK, Show, problem, unknown_name
from planner.model.names import element_names
from planner.model.sandface import PerforatedCasing


def perforated(case: Case, show: Show) -> Iterator[Problem]:
    """Perforated casing names perforations that exist; nothing else does. Its layers have a vertical permeability."""
    names = element_names(case)
    for number, element in enumerate(case.string, start=1):
        place = f"string[{number}].perforations"
        if element.kind != "perforated casing":
            if element.perforations:
                message = f"'{names[number - 1]}' is no perforated casing, but names perforations"
                yield problem(place, message, "Leave out perforations, or change its kind.", element.perforations)
            continue
        if not element.perforations:
            message = f"perforated casing '{names[number - 1]}' does not name its perforations"
            yield problem(place, message, "Give perforations = one of the case's [perforations].")
        elif element.perforations not in case.perforations:
            yield unknown_name(place, "perforations", element.perforations, case.perforations)
        yield from _tight_layers(case, element)


def _tight_layers(case: Case, element: Element) -> Iterator[Problem]:
    for number, layer in enumerate(case.layers, start=1):
        beside = min(layer.base_md, element.base_md) > max(layer.top_md, element.top_md)
        if beside and layer.vertical_to_horizontal == 0.0:
            message = f"layer '{layer.name}' is perforated, but has no vertical permeability: no skin can be worked out"
            yield problem(f"layers[{number}].vertical_to_horizontal", message, "Give kv/kh above 0.", "0")


def completions(case: Case, show: Show) -> Iterator[Problem]:
    """Every completion that a what-if names has its numbers, and its perforations exist."""
    for number, what_if in enumerate(case.what_ifs, start=1):
        if what_if.completion is not None and case.completions.of(what_if.completion) is None:
            yield missing(what_if.completion, f"what_ifs[{number}].completion")
    given = case.completions.perforated_casing
    if isinstance(given, PerforatedCasing) and given.perforations not in case.perforations:
        place = "completions.perforated_casing.perforations"
        yield unknown_name(place, "perforations", given.perforations, case.perforations)


def completions_in_hole(case: Case, show: Show) -> Iterator[Problem]:
    """Pipes of other completions have a wall and fit the hole; perforated intervals lie along the string."""
    spans = [(e.top_md, e.base_md) for e in case.string if e.kind in ("screen", "perforated casing")]
    widest = min((_mean_hole(case, top, base) for top, base in spans), default=math.inf)
    for key in type(case.completions).model_fields:
        given = getattr(case.completions, key)
        outer = given.outer_diameter if given is not None else None
        if outer is None:
            continue
        place = f"completions.{key}.outer_diameter"
        if outer <= given.inner_diameter:
            yield problem(place, "the outer diameter is not above the inner diameter", "Swap or correct them.")
        elif outer >= widest and key != "conforming":
            yield problem(place, "the pipe is as wide as the hole or wider", "Give a smaller one, or check well.hole.")
    cased = case.completions.perforated_casing
    if cased is None:
        return
    top = min(e.top_md for e in case.string)
    base = max(e.base_md for e in case.string)
    for number, one in enumerate(cased.intervals, start=1):
        if one.top_md < top - SLACK or one.base_md > base + SLACK:
            place = f"completions.perforated_casing.intervals[{number}]"
            ends = f"{show.depth(top, 'string')} to {show.depth(base, 'string')}"
            shown = f"{show.depth(one.top_md, 'string')} to {show.depth(one.base_md, 'string')}"
            yield problem(place, f"the interval does not lie along the string, {ends}", "Correct its depths.", shown)


def _mean_hole(case: Case, top: float, base: float) -> float:
    """Mean hole diameter between two measured depths, m."""
    rows = sorted(case.well.hole, key=lambda row: row.md)
    ends = [*(row.md for row in rows[1:]), math.inf]
    starts = [-math.inf, *(row.md for row in rows[1:])]
    parts = [max(min(end, base) - max(start, top), 0.0) for start, end in zip(starts, ends, strict=True)]
    whole = sum(parts)
    return sum(part * row.diameter for part, row in zip(parts, rows, strict=True)) / whole if whole > 0.0 else math.inf


def fittings(case: Case, show: Show) -> Iterator[Problem]:
    """Nozzles belong to screens and blank pipe with an outside; cement to blank pipe; plugging to screens."""
    names = element_names(case)
    for number, element in enumerate(case.string, start=1):
        place, name = f"string[{number}]", names[number - 1]
        if element.nozzle_area is not None and (element.kind not in ("screen", "blank pipe") or element.cemented):
            message = f"'{name}' cannot have nozzles: only a screen or a blank pipe without cement can"
            yield problem(f"{place}.nozzle_area", message, "Leave it out.")
        if element.cemented and element.kind != "blank pipe":
            message = f"'{name}' is no blank pipe: cemented is said of blank pipe alone"
            yield problem(f"{place}.cemented", message, "Leave it out; casing and perforated casing always are.")
        if element.plugging and element.kind != "screen":
            yield problem(f"{place}.plugging", f"'{name}' is no screen: it has nothing to plug", "Leave it out.")


def inner_pipes(case: Case, show: Show) -> Iterator[Problem]:
    """At most one inner pipe, inside the string, with both diameters, narrower than every bore that it passes."""
    names = element_names(case)
    found = [k for k, element in enumerate(case.string) if element.kind == "inner pipe"]
    tiles = [e for e in case.string if e.kind not in ("inner pipe", "packer", "plug")]
    for k in found:
        element, place = case.string[k], f"string[{k + 1}]"
        if k != found[0]:
            message = f"'{names[k]}' is a second inner pipe; one is all that is worked out"
            yield problem(f"{place}.kind", message, "Keep one.", element.kind)
        inner, outer = element.inner_diameter, element.outer_diameter
        if inner is None or outer is None:
            key = "inner_diameter" if inner is None else "outer_diameter"
            yield problem(f"{place}.{key}", f"inner pipe '{names[k]}' lacks its {key}", f"Give {key}.")
            continue
        if tiles and (element.top_md < tiles[0].top_md or element.base_md >= max(e.base_md for e in tiles)):
            message = f"inner pipe '{names[k]}' does not hang inside the string"
            value = show.depth(element.base_md, "string")
            yield problem(f"{place}.base_md", message, "Let it begin and end within the string.", value)
        for passed in tiles:
            beside = min(passed.base_md, element.base_md) > max(passed.top_md, element.top_md)
            if beside and (passed.inner_diameter or case.numerics.inner_diameter) <= outer:
                message = f"inner pipe '{names[k]}' does not pass '{names[case.string.index(passed)]}': no room is left"
                yield problem(f"{place}.outer_diameter", message, "Give a smaller inner pipe.")


def composed_skins(case: Case, show: Show) -> Iterator[Problem]:
    """What a composed skin needs is there: both numbers of the damage, a radial layer, one way to beta, gas."""
    for number, layer in enumerate(case.layers, start=1):
        place, name = f"layers[{number}]", layer.name
        if (layer.damaged_radius is None) != (layer.damaged_permeability is None):
            key = "damaged_permeability" if layer.damaged_permeability is None else "damaged_radius"
            yield problem(f"{place}.{key}", f"the damage of layer '{name}' lacks its {key}", f"Give {key}, or neither.")
        if layer.damaged_radius is not None:
            widest = 0.5 * max(row.diameter for row in case.well.hole)
            if layer.damaged_radius <= widest:
                message = f"damaged radius of layer '{name}' is not beyond the hole wall"
                value = show.depth(layer.damaged_radius, "layers")
                yield problem(f"{place}.damaged_radius", message, "Count it from the axis of the hole.", value)
        for key in ("deviation_skin", "partial_entry"):
            if getattr(layer, key) and layer.geometry != "radial":
                message = f"{key} is for radial layers; layer '{name}' is {layer.geometry}"
                yield problem(f"{place}.{key}", message, "Leave it out.")
            if getattr(layer, key) and layer.vertical_to_horizontal == 0.0:
                message = f"{key} of layer '{name}' needs a vertical permeability"
                yield problem(f"{place}.vertical_to_horizontal", message, "Give kv/kh above 0.", "0")
        if layer.geometry == "linear" and (layer.damaged_radius or layer.forchheimer or layer.forchheimer_method):
            message = f"layer '{name}' is a linear slab: it has no hole wall for damage or turbulence"
            yield problem(place, message, "Leave out damage and forchheimer keys, or change the geometry.")
        if layer.forchheimer is not None and layer.forchheimer_method:
            message = f"layer '{name}' has both a forchheimer coefficient and a method for it"
            yield problem(f"{place}.forchheimer_method", message, "Keep one.", layer.forchheimer_method)
