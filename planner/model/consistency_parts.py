"""What the checks of a case share: depths as the user wrote them, names of elements, one problem."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

from planner.base.errors import Problem
from planner.base.units import to_si

SLACK = 0.005  # m: depths closer than this are the same depth


@dataclass(frozen=True)
class Show:
    """Depths (m) as text in the unit that the user wrote in a part of the case."""

    units: dict[str, str]
    usual: str

    def depth(self, metres: float, part: str) -> str:
        """'2500 ft'; part: 'layers', 'string', 'well.survey' ..."""
        unit = self.units.get(part) or self.units.get(part.split(".")[0]) or self.usual
        return f"{metres / to_si(1.0, unit, 'length'):.7g} {unit}"


def problem(place: str, message: str, remedy: str, value: str = "") -> Problem:
    """A problem whose file is not known here."""
    return Problem("", place, value, message, remedy)


def unknown_name(place: str, kind: str, name: str, known: Iterable[str]) -> Problem:
    """A name that nothing has; the remedy offers the nearest one or all."""
    names = list(dict.fromkeys(known))
    near = difflib.get_close_matches(name.lower(), [one.lower() for one in names], n=1, cutoff=0.6)
    listed = f"Known: {', '.join(names)}." if names else f"The case has no {kind}."
    if near:
        meant = next(one for one in names if one.lower() == near[0])
        listed = f"Did you mean '{meant}'? {listed}"
    return problem(place, f"no {kind} is called '{name}'", listed, name)
