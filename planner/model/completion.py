"""The same well completed another way from the start: a case in, a case out.

Depths of screens and blanks stay where they are; what changes is what the screens are, and what lies outside them.
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.base.errors import CaseError, Problem
from planner.model.case import Case, Element
from planner.model.names import element_names
from planner.model.sandface import (
    CompletionName,
    ConformingScreens,
    GravelPack,
    PerforatedCasing,
    StandAloneScreens,
    key_of,
)

SHORTEST = 0.01  # m; a shorter rest of an element is rounding
CASED = ("blank pipe", "screen", "isolation joint", "open hole", "perforated casing")


def recompleted(case: Case, name: CompletionName) -> Case:
    """The case with its screens (and where needed blanks, isolation joints, open hole) those of another completion.

    Elements keep the names that they have in the case. Raises CaseError when `completions` lacks what it needs.
    """
    given = case.completions.of(name)
    if given is None:
        raise CaseError([missing(name)])
    names = element_names(case)
    string = tuple(e.model_copy(update={"name": n}) for e, n in zip(case.string, names, strict=True))
    if isinstance(given, PerforatedCasing):
        intervals = _intervals(case, given)
        cased = tuple(new for element in string for new in _cased(element, intervals, given))
        return case.model_copy(update={"string": cased})
    made = tuple(_outside(_screen(element, name, given), given) for element in string)
    return case.model_copy(update={"string": made})


def missing(name: CompletionName, place: str = "") -> Problem:
    """The problem of a what-if that names a completion for which the case gives no numbers."""
    section = f"[completions.{key_of(name)}]"
    message = f"the case has no {section}, which the completion '{name}' needs"
    return Problem("", place or f"completions.{key_of(name)}", name, message, f"Give {section} with its keys.")


Screens = ConformingScreens | StandAloneScreens | GravelPack


def _screen(element: Element, name: CompletionName, given: object) -> Element:
    """A screen or perforated casing becomes a screen of the new kind; anything else stays."""
    if element.kind not in ("screen", "perforated casing") or not isinstance(given, Screens):
        return element
    gravel = _gravel(given)
    return Element.model_construct(
        **{key: info.get_default() for key, info in Element.model_fields.items() if not info.is_required()}
        | {"kind": "screen", "name": element.name, "top_md": element.top_md, "base_md": element.base_md}
        | {"screen": name, "inner_diameter": given.inner_diameter, "outer_diameter": given.outer_diameter}
        | {"roughness": given.roughness, "linear_loss": given.linear_loss, "quadratic_loss": given.quadratic_loss}
        | {"plugging": given.plugging}
        | {"nozzle_area": element.nozzle_area, "nozzle_coefficient": element.nozzle_coefficient}
        | gravel
    )  # fmt: skip


def _outside(element: Element, given: object) -> Element:
    """What lies outside blank pipe and isolation joints under screens: cement and gravel of before go."""
    if element.kind == "isolation joint" and isinstance(given, StandAloneScreens):
        if given.isolation_joints == "kept":
            return element
        element = element.model_copy(update={"kind": "blank pipe", "leak": 0.0, "differential_rating": None})
    if element.kind != "blank pipe":
        return element
    return element.model_copy(update={"cemented": False, **_gravel(given)})


def _gravel(given: object) -> dict[str, float | None]:
    """Keys of an element for the gravel of a completion; none of it where there is no pack."""
    if not isinstance(given, GravelPack):
        return {"gravel_permeability": None, "gravel_turbulence": 0.0}
    return {"gravel_permeability": given.gravel_permeability, "gravel_turbulence": given.gravel_turbulence}


def _intervals(case: Case, given: PerforatedCasing) -> list[tuple[float, float]]:
    """Perforated intervals, m, from the top down: those given, or where the string takes in fluid."""
    if given.intervals:
        return sorted((one.top_md, one.base_md) for one in given.intervals)
    return sorted((e.top_md, e.base_md) for e in case.string if e.kind in ("screen", "perforated casing"))


def _cased(element: Element, intervals: list[tuple[float, float]], given: PerforatedCasing) -> Iterator[Element]:
    """An element as cemented casing: the perforated parts of it, and the rest as cemented blank pipe."""
    if element.kind not in CASED:
        yield element
        return
    parts = list(_cut(element, intervals))
    for number, (top, base, open_) in enumerate(parts, start=1):
        name = element.name if len(parts) == 1 else f"{element.name} part {number}"
        yield Element.model_construct(
            **{key: info.get_default() for key, info in Element.model_fields.items() if not info.is_required()}
            | {"kind": "perforated casing" if open_ else "blank pipe", "name": name, "top_md": top, "base_md": base}
            | {"inner_diameter": given.inner_diameter, "outer_diameter": given.outer_diameter}
            | {"roughness": given.roughness, "cemented": not open_}
            | ({"perforations": given.perforations, "gravel_permeability": given.gravel_permeability,
                "gravel_turbulence": given.gravel_turbulence} if open_ else {})
        )  # fmt: skip


def _cut(element: Element, intervals: list[tuple[float, float]]) -> Iterator[tuple[float, float, bool]]:
    """Top, base and whether perforated of the parts of an element, from the top down."""
    at = element.top_md
    for top, base in intervals:
        top, base = max(top, at), min(base, element.base_md)
        if base - top < SHORTEST:
            continue
        if top - at >= SHORTEST:
            yield at, top, False
            at = top
        end = base if element.base_md - base >= SHORTEST else element.base_md
        yield at, end, True
        at = end
    if element.base_md - at >= SHORTEST:
        yield at, element.base_md, False
