"""Small wells for the tests of the graph: text in, Case out."""

from __future__ import annotations

from typing import Any

from planner.model.case import Case

Row = tuple[Any, ...]  # kind, length in m, then a dict of more columns if any


def tiles(rows: list[Row], start: float) -> list[dict[str, Any]]:
    """Elements that follow on one another from a depth; packers and plugs give their own depth as the length."""
    md, elements = start, []
    for kind, length, *more in rows:
        extra = more[0] if more else {}
        if kind in ("packer", "plug"):
            elements.append({"kind": kind, "top_md": f"{length} m", "base_md": f"{length} m", **extra})
            continue
        elements.append({"kind": kind, "top_md": f"{md} m", "base_md": f"{md + length} m", **extra})
        md += length
    return elements


def layer(name: str, top: float, base: float, **more: Any) -> dict[str, Any]:
    """A layer between two depths in m."""
    return {
        "name": name, "top_md": f"{top} m", "base_md": f"{base} m", "compartment": "main", "permeability": "500 md",
        "porosity": 0.25, "rock": "sand", **more,
    }  # fmt: skip


def make(rows: list[Row], layers: list[dict[str, Any]], start: float = 2000.0, **more: Any) -> Case:
    """A case with this string from `start` down, in metric units, a hole of 216 mm."""
    well = {"name": "test", "hole": [{"md": "0 m", "diameter": "216 mm"}]} | more.pop("well", {})
    return Case.model_validate(
        {
            "units": "metric", "well": well,
            "compartments": [{"name": "main", "datum": "2000 m", "pressure": "200 bar"}],
            "layers": layers, "rocks": [{"name": "sand"}], "fluid": {"temperature": "80 degC"},
            "string": tiles(rows, start), "controls": [{"date": "2025-01-01", "bottom_hole_pressure": "150 bar"}],
            "schedule": {"start": "2025-01-01", "end": "2030-01-01"}, **more,
        }
    )  # fmt: skip


def five_rows(kind: str = "conforming", blank: float = 12.0) -> list[Row]:
    """Casing, hanger, then five times blank pipe, isolation joint, screen: from 2000 m down, 34 m each from 2044 m."""
    rows: list[Row] = [("casing", 10), ("hanger", 2)]
    for number in range(5):
        rows += [("blank pipe", blank)]
        rows += [("isolation joint", 2)] if number else []
        rows += [("screen", 20, {"screen": kind})]
    return rows


def layers_of(rows: list[Row], start: float = 2000.0) -> list[dict[str, Any]]:
    """One layer behind each screen, exactly as long; apart from one another."""
    found, md = [], start
    for kind, length, *_ in rows:
        if kind in ("packer", "plug"):
            continue
        if kind in ("screen", "open hole"):
            found.append(layer(f"sand {len(found) + 1}", md, md + length))
        md += length
    return found


def five_zones(kind: str = "conforming", blank: float = 12.0, **more: Any) -> Case:
    """Five zones, each with a blank pipe above it and one layer behind its screen."""
    rows = five_rows(kind, blank)
    return make(rows, layers_of(rows), **more)
