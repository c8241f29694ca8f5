"""What a case becomes with what a user's table of measurements or log holds; pure.

The reader of case files does the reading, so that its words reach the page.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from dashboard import forms, records, session
from dashboard.events import BadInput
from dashboard.forms import Field
from dashboard.house import Visit
from dashboard.session import BadCase
from planner.model.case import Case
from planner.model.measured import KINDS, MeasuredRow

Json = dict[str, Any]
LOG = ".las"
ERRORS = {kind: "0.1" if facts.quantity in ("fraction", "number") else "5 %" for kind, facts in KINDS.items()}
CURVES = ("porosity", "permeability", "gamma_ray", "shale_volume", "water_saturation")
CUTS = (
    Field("porosity", "number", "fraction", meaning="least"),
    Field("permeability", "number", "permeability", meaning="least"),
    Field("gamma_ray", "number", meaning="most, API units"),
    Field("shale_volume", "number", "fraction", meaning="most"),
    Field("water_saturation", "number", "fraction", meaning="most"),
    Field("minimum_thickness", "number", "length", meaning="thinner layers are left out"),
    Field("maximum_gap", "number", "length", meaning="net rock closer than this is one layer"),
)
COLUMNS = ("name", "top", "base", "compartment", "rock", "drainage radius", "skin", "support")
MOST = 12  # problems that are listed one by one


def is_log(name: str) -> bool:
    """Whether a file is a log by its name."""
    return name.lower().endswith(LOG)


def rows_of(visit: Visit, folder: Path, name: str, options: Mapping[str, Any]) -> tuple[MeasuredRow, ...]:
    """The measurements that a table holds for this case's well. Raises BadCase with every problem of the file."""
    document = records.exact(visit.case)
    how = {key: value for key, value in options.items() if value}
    document["measured"] = {"files": [{"file": name, **how}], "errors": dict(ERRORS)}
    made = session.case_from(document, folder).measured
    return made.rows if made else ()


def told_of(rows: tuple[MeasuredRow, ...]) -> str:
    """'48 measurements from 2024-01-31 to 2027-12-31: oil rate 16, water rate 16'."""
    if not rows:
        return "No measurements."
    days = sorted(row.date for row in rows)
    kinds = ", ".join(f"{kind} {count}" for kind, count in Counter(row.kind for row in rows).items())
    return f"{len(rows)} measurements from {days[0]} to {days[-1]}: {kinds}."


def without_error(visit: Visit, rows: tuple[MeasuredRow, ...]) -> list[str]:
    """The kinds of measurements that neither the table nor the case gives an error for."""
    known = visit.case.measured.errors if visit.case.measured else {}
    return sorted({row.kind for row in rows if not row.error and row.kind not in known})


def with_measurements(visit: Visit, rows: tuple[MeasuredRow, ...], errors: Mapping[str, str], add: bool) -> Case:
    """The case with these measurements, beside those that are there or in their place. Raises BadCase."""
    document = records.exact(visit.case)
    old = document.get("measured", {})
    new = [records.exact(row) for row in rows]
    given = {kind: text.strip() for kind, text in errors.items() if text and text.strip()}
    document["measured"] = {
        **old, "rows": [*(old.get("rows", []) if add else []), *new], "errors": {**old.get("errors", {}), **given}
    }  # fmt: skip
    return session.case_from(document)


def layers_document(visit: Visit, name: str, curves: Mapping[str, str], cuts: Json, intervals: str) -> Json:
    """The case document whose layers come from a log. Raises BadInput at a cut-off or at the intervals."""
    document = records.exact(visit.case)
    found = forms.read(list(CUTS), cuts, visit.system)
    document["layers"] = {
        "log": name,
        "curves": {key: value for key, value in curves.items() if value},
        "cutoffs": found,
        "intervals": intervals_of(intervals, visit),
    }
    return document


def intervals_of(text: str, visit: Visit) -> list[Json]:
    """Intervals from lines of COLUMNS parted by semicolons or tabs. Raises BadInput."""

    def length(cell: str) -> Any:
        return forms.as_written(cell, Field("intervals", "number", "length"), visit.system)

    made = []
    for count, line in enumerate([one for one in text.splitlines() if one.strip()], 1):
        cells = [cell.strip() for cell in re.split(r"\t|;", line)]
        if not 5 <= len(cells) <= len(COLUMNS):
            raise BadInput("intervals", f"Line {count} has {len(cells)} cells; needed: {'; '.join(COLUMNS)}.")
        name, top, base, compartment, rock, radius, skin, support = [*cells, *[""] * (len(COLUMNS) - len(cells))]
        one: Json = {"name": name, "top_md": length(top), "base_md": length(base), "compartment": compartment}
        one |= {"rock": rock} | ({"drainage_radius": length(radius)} if radius else {})
        one |= {"skin": forms.as_written(skin, Field("intervals", "number"), visit.system)} if skin else {}
        made.append(one | ({"support": support} if support else {}))
    if not made:
        raise BadInput("intervals", f"Give at least one line: {'; '.join(COLUMNS)}.")
    return made


def usual_intervals(visit: Visit) -> str:
    """The zones of the case as intervals, to start from."""
    by_name = {layer.name: layer for layer in visit.case.layers}
    lines = []
    for zone in visit.told.zones:
        first = next((by_name[name] for name in zone.layers if name in by_name), None)
        if first is None:
            continue
        depths = [zone.top_md, zone.base_md, first.drainage_radius]
        top, base, radius = (f"{forms.tidy(md, 'length', visit.system):.6g}" if md else "" for md in depths)
        cells = [zone.name, top, base, first.compartment, first.rock, radius, f"{first.skin:g}", first.support]
        lines.append("; ".join(cells).rstrip("; "))
    return "\n".join(lines)


def sentences(bad: BadCase) -> list[str]:
    """The problems of a file in words; of many, the first and how many more there are."""
    told = [_sentence(one) for one in bad.problems]
    return told if len(told) <= MOST + 1 else [*told[:MOST], f"... and {len(told) - MOST} more such lines."]


def _sentence(problem: Mapping[str, str]) -> str:
    where = f"{problem['place']}: " if problem["place"] else ""
    value = f" (value: {problem['value']})" if problem["value"] else ""
    return f"{where}{problem['message']}{value}. {problem['remedy']}"
