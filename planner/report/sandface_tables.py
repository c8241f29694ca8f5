"""Tables of the sandface: shares of the skins, horizontal sections by the network and by published formulas."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from planner.base.cards import CARDS
from planner.model.sandface_results import HorizontalIndex, SkinShare
from planner.report.frames import Column, Style, frame

SUM_NOTE = (
    "The network flows with the sum of these shares. Screen, gravel, nozzles and turbulence depend on the rate: they "
    "are given at the rate shown."
)
REST_NOTE = "At rest: what depends on the rate (turbulence, quadratic losses) shows at a flow."


def skins_table(skins: Sequence[SkinShare], style: Style) -> pd.DataFrame:
    """A row each share, with its source: for JSON, CSV and the report."""
    return frame(
        (
            Column("layer", "", [one.layer for one in skins]),
            Column("zone", "", [one.zone for one in skins]),
            Column("element", "", [one.element for one in skins]),
            Column("part", "", [one.name for one in skins]),
            Column("skin", "number", [one.value for one in skins]),
            Column("rate at the pipe", "liquid rate", [np.nan if one.rate is None else one.rate for one in skins]),
            Column("source", "", [source_of(one.card) for one in skins]),
        ),
        style,
    )


def skins_for_reading(skins: Sequence[SkinShare], style: Style) -> pd.DataFrame:
    """A row each opening, a column each part, and their sum; parts that are nowhere are left out."""
    places = list(dict.fromkeys((one.layer, one.element) for one in skins))
    parts = list(dict.fromkeys(one.name for one in skins))
    values = {(one.layer, one.element, one.name): one.value for one in skins}
    rates = {(one.layer, one.element): one.rate for one in skins if one.rate}
    columns = [
        Column("layer", "", [layer for layer, _ in places]),
        Column("opens to", "", [element for _, element in places]),
        *(Column(part, "number", [values.get((*place, part), 0.0) for place in places]) for part in parts),
        Column("sum", "number", [sum(values.get((*place, part), 0.0) for part in parts) for place in places]),
    ]
    if rates:
        columns.append(Column("rate at the pipe", "liquid rate", [rates.get(place) or np.nan for place in places]))
    return frame(columns, style)


def horizontal_table(found: Sequence[HorizontalIndex], style: Style) -> pd.DataFrame:
    """Productivity index of sections along the hole, a row each layer."""
    return frame(
        (
            Column("layer", "", [one.layer for one in found]),
            Column("length", "length", [one.length for one in found]),
            Column("thickness", "length", [one.thickness for one in found]),
            Column("skin", "number", [one.skin for one in found]),
            Column("drawdown", "pressure", [one.drawdown for one in found]),
            Column("network", "productivity index", [one.network for one in found]),
            Column(_title("Joshi 1988", style), "productivity index", [_number(one.joshi) for one in found]),
            Column(_title("Babu Odeh 1989", style), "productivity index", [_number(one.babu_odeh) for one in found]),
        ),
        style,
    )


def horizontal_notes(found: Sequence[HorizontalIndex]) -> list[str]:
    """What the formulas lack or leave, and what they are for; nothing where there is no section along the hole."""
    if not found:
        return []
    told = [f"{one.layer}: {text}." for one in found for text in (*one.missing, *one.warnings)]
    return [
        *told,
        "The network takes rings round the hole and friction piece by piece, from the layer's average pressure. Joshi "
        "1988 is steady flow from the edge of an ellipse of the same plan area; Babu and Odeh 1989 is a closed box "
        "that drains the same rock, from its average pressure, the well midway in it. Ranges: Joshi a length above "
        "sqrt(kh/kv) times the thickness and below 1.8 drainage radii; Babu and Odeh any well along its box.",
    ]


def source_of(card: str) -> str:
    """Source of a part of a skin in words."""
    return CARDS[card].source if card in CARDS else "given by the user"


def skin_documents(skins: Sequence[SkinShare], style: Style) -> list[dict[str, Any]]:
    """Shares as records for JSON, with the key of the method card."""
    rows = skins_table(skins, style).to_dict("records")
    return [
        {**{str(k): v for k, v in row.items()}, "card": one.card} for row, one in zip(rows, skins, strict=True)
    ]  # fmt: skip


def horizontal_documents(found: Sequence[HorizontalIndex], style: Style) -> list[dict[str, Any]]:
    """Sections along the hole as records for JSON."""
    rows = horizontal_table(found, style).to_dict("records")
    return [
        {**{str(k): v for k, v in row.items()}, "missing": list(one.missing), "warnings": list(one.warnings)}
        for row, one in zip(rows, found, strict=True)
    ]  # fmt: skip


def _title(name: str, style: Style) -> str:
    """Names of people keep their capitals in words, not in keys."""
    return name if style.headers == "words" else name.lower()


def _number(value: float | None) -> float:
    return np.nan if value is None else value
