"""Checks of the string: elements that follow on, packers and plugs inside blank pipe, no deeper than the hole."""

from __future__ import annotations

from collections.abc import Iterator

from planner.base.errors import Problem
from planner.model.case import Case
from planner.model.consistency_parts import SLACK, Show, problem
from planner.model.names import element_names

INNER = ("packer", "plug")
INSIDE_ALL = "inner pipe"
FLOWING = ("screen", "open hole", "perforated casing")


def element_order(case: Case, show: Show) -> Iterator[Problem]:
    """Elements have length and follow on from top to bottom, without gap or overlap."""
    names = element_names(case)
    above: int | None = None
    for here, element in enumerate(case.string):
        place = f"string[{here + 1}]"
        top, base = show.depth(element.top_md, "string"), show.depth(element.base_md, "string")
        if element.base_md < element.top_md or (element.base_md == element.top_md and element.kind not in INNER):
            message = f"base of '{names[here]}' is not below its top at {top}"
            yield problem(f"{place}.base_md", message, "Swap or correct the two depths.", base)
        if element.kind in (*INNER, INSIDE_ALL):
            continue
        if above is not None:
            end = case.string[above].base_md
            stop = show.depth(end, "string")
            if element.top_md < end - SLACK:
                message = f"'{names[here]}' overlaps '{names[above]}', which ends at {stop}"
                yield problem(f"{place}.top_md", message, "Let each element begin where the one above ends.", top)
            elif element.top_md > end + SLACK:
                message = f"nothing is given between '{names[above]}', which ends at {stop}, and '{names[here]}'"
                remedy = (
                    "Fill the gap with the element that is there: blank pipe, screen, isolation joint, open hole ..."
                )
                yield problem(f"{place}.top_md", message, remedy, top)
        above = here


def inner_elements(case: Case, show: Show) -> Iterator[Problem]:
    """Packers and plugs sit inside one blank pipe each."""
    names = element_names(case)
    blanks = [element for element in case.string if element.kind == "blank pipe"]
    for number, element in enumerate(case.string, start=1):
        if element.kind not in INNER:
            continue
        if any(b.top_md - SLACK <= element.top_md and element.base_md <= b.base_md + SLACK for b in blanks):
            continue
        listed = ", ".join(
            f"'{name}' {show.depth(e.top_md, 'string')} to {show.depth(e.base_md, 'string')}"
            for name, e in zip(names, case.string, strict=True)
            if e.kind == "blank pipe"
        )
        message = f"{element.kind} '{names[number - 1]}' is not inside a blank pipe"
        remedy = f"Move it into one: {listed}." if listed else "Put a blank pipe into the string to set it in."
        yield problem(f"string[{number}].top_md", message, remedy, show.depth(element.top_md, "string"))


def screens(case: Case, show: Show) -> Iterator[Problem]:
    """A string takes in fluid somewhere; a gravel pack has its permeability; pipe has a wall."""
    if not any(element.kind in FLOWING for element in case.string):
        message = "nothing in the string can flow: no screen, no open hole and no perforated casing"
        yield problem("string", message, "Add a screen.")
    names = element_names(case)
    for number, element in enumerate(case.string, start=1):
        place, name = f"string[{number}]", names[number - 1]
        if element.kind == "screen" and element.screen == "gravel pack" and element.gravel_permeability is None:
            message = f"gravel pack '{name}' has no gravel permeability"
            yield problem(f"{place}.gravel_permeability", message, "Give gravel_permeability.")
        inner, outer = element.inner_diameter, element.outer_diameter
        if inner is not None and outer is not None and outer <= inner:
            message = f"outer diameter of '{name}' is not above its inner diameter"
            yield problem(f"{place}.outer_diameter", message, "Swap or correct the two diameters.")


def depth_of_string(case: Case, show: Show) -> Iterator[Problem]:
    """No element is deeper than the survey."""
    stations = case.well.survey
    if not stations:
        return
    names = element_names(case)
    for number, element in enumerate(case.string, start=1):
        if element.base_md > stations[-1].md + SLACK:
            end = show.depth(stations[-1].md, "well.survey")
            message = f"'{names[number - 1]}' is deeper than the survey, which ends at {end}"
            remedy = "Add a station at the end of the hole, or correct the depth."
            yield problem(f"string[{number}].base_md", message, remedy, show.depth(element.base_md, "string"))
