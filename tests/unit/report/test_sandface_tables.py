"""Shares of skins and horizontal sections as tables and documents."""

from __future__ import annotations

import json
from dataclasses import replace
from io import StringIO

import pytest
from rich.console import Console

from planner.base.cards import CARDS
from planner.model.sandface_results import HorizontalIndex, SkinShare
from planner.report.documents import flow_document, to_json
from planner.report.html import _sandface
from planner.report.sandface_tables import horizontal_notes, skins_for_reading, skins_table, source_of
from planner.report.tables import keys_for, style_for
from planner.report.terminal import show_flow
from tests.unit.synthetic import made_flow

SHARES = (
    SkinShare("top sand", "upper", "screen 1", "as given", 2.0, None, ""),
    SkinShare("top sand", "upper", "screen 1", "damage", 5.25, None, "hawkins_1956"),
    SkinShare("top sand", "upper", "screen 1", "screen", 0.5, 1.0 / 864.0, "screen_loss"),
    SkinShare("deep sand", "lower", "screen 2", "partial entry", 3.0, None, "partial_entry_series"),
)
INDEX = HorizontalIndex("top sand", 400.0, 20.0, 1.5, 1e6, 1e-8, None, 1.1e-8, ("Joshi 1988: too long",))


def test_a_row_an_opening_a_column_a_part() -> None:
    table = skins_for_reading(SHARES, style_for("metric"))
    assert list(table["opens to"]) == ["screen 1", "screen 2"]
    assert list(table["sum"]) == pytest.approx([7.75, 3.0])
    assert list(table["damage"]) == [5.25, 0.0]
    assert table["rate at the pipe (m3/d)"][0] == pytest.approx(100.0)


def test_every_share_names_its_source() -> None:
    table = skins_table(SHARES, keys_for("metric"))
    assert list(table["source"]) == ["given by the user", *(CARDS[one.card].source for one in SHARES[1:])]
    assert source_of("no such card") == "given by the user"


def test_json_holds_shares_and_sections() -> None:
    flow = replace(made_flow(), skins=SHARES, horizontal=(INDEX,))
    document = json.loads(to_json(flow_document(flow, "metric")))
    assert document["skins"][1] == {
        "layer": "top sand", "zone": "upper", "element": "screen 1", "part": "damage", "skin": 5.25,
        "rate_at_the_pipe_m3_per_d": None, "source": CARDS["hawkins_1956"].source, "card": "hawkins_1956",
    }  # fmt: skip
    (section,) = document["horizontal"]
    assert section["joshi_1988_m3_per_d_per_bar"] is None and section["missing"] == ["Joshi 1988: too long"]
    assert section["babu_odeh_1989_m3_per_d_per_bar"] == pytest.approx(1.1e-8 * 86400.0 * 1e5)


def test_terminal_and_report_show_them() -> None:
    flow = replace(made_flow(), skins=SHARES, horizontal=(INDEX,))
    told = StringIO()
    show_flow(Console(file=told, width=120), flow, style_for("metric"))
    assert "Skin, part by part" in told.getvalue() and "Joshi 1988: too long" in told.getvalue()
    parts = {part.heading: part for part in _sandface(flow, style_for("metric"))}
    assert "Hawkins 1956" in str(parts["Skin, part by part"].body[1])
    assert "Babu Odeh 1989" in str(parts["Productivity index of sections along the hole"].body[0])
    assert horizontal_notes(()) == []
