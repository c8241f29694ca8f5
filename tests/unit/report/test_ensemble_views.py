"""What an ensemble says, as tables, figures, JSON, page and terminal: the same numbers in every view, units named."""

from __future__ import annotations

import io
import json

import numpy as np
import pytest
from rich.console import Console

from planner.model.ensemble import Convergence, Draws, Ensemble, Findings, Input
from planner.report.documents import to_json
from planner.report.ensemble_documents import ensemble_document
from planner.report.ensemble_figures import (
    convergence_figure,
    duel_figure,
    exceedance_figure,
    fan_figure,
    flips_figure,
    shares_figure,
    tornado_figure,
)
from planner.report.ensemble_html import ensemble_chapter
from planner.report.ensemble_tables import draw_text, ranges_for_reading, ranges_table
from planner.report.ensemble_terminal import show_ensemble
from planner.report.markup import page_text
from planner.report.tables import style_for
from planner.uncertainty.findings import findings_of

STYLE = style_for("metric", "EUR")
COUNT = 200


@pytest.fixture(scope="module")
def found() -> Findings:
    """Two what-ifs over draws of a permeability and of a shale that seals or not; the second pays where it seals."""
    rng = np.random.default_rng(0)
    k = rng.permutation((np.arange(COUNT) + 0.5) / COUNT)
    seals = (rng.random(COUNT) < 0.5).astype(float)
    oil = 1000.0 * (1.0 + k)
    money = 1e6 * (5.0 + 3.0 * k)
    figures = {
        "oil_volume": np.column_stack([oil, oil * 1.1]),
        "npv": np.column_stack([money, money + 1e6 * (seals - 0.5) + 1e3 * k]),
        "water_volume": np.zeros((COUNT, 2)),
    }
    figures["npv"][7, 1] = np.nan
    dates = np.array(["2030-01-01", "2031-01-01", "2032-01-01"], dtype="datetime64[D]")
    status = np.full((COUNT, 2), "ok", dtype="<U9")
    status[7, 1] = "failed"
    draws = Draws(
        (Input("k <A>", "value", "permeability", ("layers.A.permeability",)),
         Input("shale", "alternative", "number", (), ("leaks", "seals"))),
        np.column_stack([k * 1e-13, seals]), 3,
    )  # fmt: skip
    series = {name: np.stack([oil[:, None] * [0, 1, 2], oil[:, None] * [0, 2, 3]], axis=1) / 1e5
              for name in ("oil_rate", "oil_volume", "water_rate")}  # fmt: skip
    made = Ensemble("T-2", "oil producer", draws, ("base", "shut <lower>"), figures, status,
                    {(7, "shut <lower>"): "it broke"}, dates, series, ("upper",), "folder", 1.0)  # fmt: skip
    return findings_of(made)


def test_findings_hold_what_was_put_in(found: Findings) -> None:
    assert found.figures == ("oil_volume", "npv") and found.decision == ("oil_volume", "npv")
    flip = found.flips[0]
    assert (flip.input, flip.one, flip.strength, flip.threshold) == ("shale: seals", "shut <lower>", 1.0, 0.5)
    assert (flip.wins_below, flip.wins_above) == (0.0, 1.0)
    assert found.swings[0].input == "k <A>"
    assert any("1 of 200 members failed and left out; member 7: it broke" in text for text in found.notes)
    duel = next(one for one in found.duels if one.figure == "oil_volume")
    assert (duel.probability, duel.members) == (1.0, 200)


def test_every_percentile_is_shown_with_its_band_in_the_users_unit(found: Findings) -> None:
    """Oil from 1000 to 2000 m3 evenly: P50 1500 m3, 1.5 in thousands."""
    table = ranges_for_reading([one for one in found.ranges if one.figure == "oil_volume"], STYLE)
    assert table["what-if"].tolist() == ["base", "shut <lower>"]
    assert table["P50 (90 % band)"][0].startswith("1.500 (")
    money = ranges_for_reading([one for one in found.ranges if one.figure == "npv"], STYLE)
    assert money["P50 (90 % band)"][0].startswith("6.500 (") and money["members"].tolist() == ["200", "199"]
    keys = ranges_table(found, STYLE)
    assert keys["oil_volume_p50_1000_m3"][0] == pytest.approx(1.5)
    assert keys["npv_members"].tolist() == [200.0, 199.0]


def test_json_is_strict_and_carries_units(found: Findings) -> None:
    document = json.loads(to_json(ensemble_document(found, "metric", "EUR")), parse_constant=pytest.fail)
    first = document["ranges"][0]
    assert first["p50_1000_m3"] == pytest.approx(1.5) and len(first["p50_band_1000_m3"]) == 2
    assert document["swings"][0]["low_draw_md"] > 0.0
    assert document["not_computed"] == [{"member": 7, "what_if": "shut <lower>", "reason": "it broke"}]
    assert document["members_done"] == 199 and document["fans"][0]["dates"][0] == "2030-01-01"


def test_draws_are_shown_as_people_say_them() -> None:
    inputs = (
        Input("k", "value", "permeability"), Input("m", "multiplier"), Input("c", "shift", "length"),
        Input("t", "shift", "temperature"), Input("leak", "failure", "time"), Input("job", "failure"),
        Input("alt", "alternative", "number", (), ("a", "b")),
    )  # fmt: skip
    values = {
        "k": 9.869232667160130e-14,
        "m": 1.25,
        "c": -5.0,
        "t": 10.0,
        "leak": 2 * 31557600.0,
        "job": 0.0,
        "alt: b": 1.0,
    }
    texts = [draw_text(name, value, inputs, STYLE) for name, value in values.items()]
    assert texts == ["100 md", "x1.25", "-5 m", "+10 degC", "after 2.0 years", "fails", "yes"]
    assert draw_text("leak", float("inf"), inputs, STYLE) == "never"


def test_figures_hold_the_numbers_of_the_tables(found: Findings) -> None:
    fans = [fan for fan in found.fans if fan.column == "oil_volume"]
    figure = fan_figure(fans, STYLE)
    assert [trace.name for trace in figure.data][2::3] == ["base: P50", "shut <lower>: P50"]
    assert figure.data[2].y == pytest.approx(fans[0].p50 / 1000.0)
    swings = [one for one in found.swings if one.figure == "oil_volume"]
    bars = tornado_figure(swings, found.ensemble.draws.inputs, STYLE)
    low, high = bars.data
    assert low.base + low.x[-1] == pytest.approx(swings[0].low / 1000.0)
    assert high.base + high.x[-1] == pytest.approx(swings[0].high / 1000.0)
    curve = exceedance_figure(found.ensemble, "npv", STYLE).data[0]
    assert np.interp(-50.0, -np.array(curve.y), curve.x) == pytest.approx(6.5, abs=0.02)
    shares = [one for one in found.shares if one.figure == "oil_volume"]
    assert shares_figure(shares).data[0].x[-1] == pytest.approx(shares[0].first)
    duels = [one for one in found.duels if one.figure == "npv"]
    assert duel_figure(duels, STYLE).data[0].x[0] == pytest.approx(duels[0].gain_p50 / 1e6)
    assert flips_figure(found.flips, found.ensemble.draws.inputs, STYLE).data[1].x[-1] == 100.0
    runs: Convergence = found.convergence[0]
    assert convergence_figure(runs, STYLE).data[5].y[-1] == pytest.approx(runs.p50[-1] / 1000.0)


def test_the_page_needs_nothing_from_outside_and_escapes_names(found: Findings) -> None:
    text = page_text(ensemble_chapter(found, STYLE))
    body = text[text.index("<body"):]  # fmt: skip
    assert "shut &lt;lower&gt;" in body and "k &lt;A&gt;" in body
    assert "<td>k <A>" not in body and 'src="http' not in body
    for heading in ("Oil volume (1000 m3)", "NPV (million EUR)", "What flips the decision", "Are the members enough?"):
        assert heading in body
    assert "Planning estimates" in body or "planning estimates" in body


def test_the_terminal_says_ranges_drivers_flips_and_caution(found: Findings) -> None:
    out = io.StringIO()
    show_ensemble(Console(file=out, width=140), found, STYLE)
    text = out.getvalue()
    for words in ("T-2: 200 members (latin hypercube, seed 3)", "NPV (million EUR)", "What moves oil volume of base",
                  "Where shut <lower> has more NPV than base", "P90 is the low case", "Caution:"):  # fmt: skip
        assert words in text
