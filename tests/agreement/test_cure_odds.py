"""Jobs over draws against enumeration: every member by forecasts and cash flows of its own, by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from planner import api
from planner.base.errors import Cancelled, CaseError
from planner.decide.compare import Ran, comparison_of
from planner.decide.cure_odds import weighted_quantile
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.paths import put
from planner.report.documents import to_json
from planner.report.late_life_documents import cure_document
from planner.report.late_life_html import cure_parts
from planner.report.tables import style_for
from tests.agreement.test_cure import CLOSE, NOW, well

CHANCE = 0.7
DRAWS = {
    "layers.b.permeability [md]": [400.0, 150.0, 700.0, 40.0],
    "economics.oil_price [1/m^3]": [300.0, 380.0, 150.0, 250.0],
}
MONEY = {
    "ways": {"wireline": {"cost": 4e5, "duration": "10 day", "chance": CHANCE}},
    "default_ways": {"shut zone": "wireline"},
    "elements": {"plug": {"each": 3e4}, "straddle": {"each": 5e4}},
}


def case_with_chance() -> Case:
    made = well(**MONEY)
    return made.model_copy(update={"late_life": made.late_life.model_copy(update={"jobs": ("shut zone",)})})


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("matched")
    pd.DataFrame(DRAWS).to_csv(folder / "draws.csv", index=False)
    return folder


@pytest.fixture(scope="module")
def found(table: Path):
    return api.cure(case_with_chance(), NOW, step=None, draws=table)


def by_hand(case: Case, member: int) -> tuple[float, float]:
    """Value on the day of the decision of shutting the lower zone where it succeeds and where it fails."""
    md, price = (values[member] for values in DRAWS.values())
    own = put(case, {"layers.b.permeability": md * 9.869233e-16, "economics.oil_price": price})
    job = {"do": "shut zone", "zone": "lower", "on": str(NOW), "chance": 1.0}
    shut = WhatIf.model_validate({"name": "done", "events": [job]})
    base, done = Ran(None, forecast(own)), Ran(shut, forecast(own, shut))
    spent = comparison_of(own, [base, done])
    idle = {"do": "change control", "on": str(NOW), "duration": "10 day", "cost": 4e5 + 3e4}
    failed = WhatIf.model_validate({"name": "failed", "events": [idle]})
    nothing = comparison_of(own, [base, Ran(failed, forecast(own, failed))])
    return (
        spent.money["done"]["npv_against_base"] * 1.1**2,
        nothing.money["failed"]["npv_against_base"] * 1.1**2,
    )


def test_values_over_the_members_are_those_of_enumeration(found) -> None:
    case = case_with_chance()
    job = next(one for one in found.odds.jobs if one.name == "shut lower")
    hand = np.array([by_hand(case, member) for member in range(4)])
    risked = CHANCE * hand[:, 0] + (1.0 - CHANCE) * hand[:, 1]
    size = np.abs(hand).max()
    assert (job.members, job.chance, job.date) == (4, CHANCE, str(NOW))
    assert job.value_if_done == pytest.approx(hand[:, 0].mean(), abs=CLOSE * size)
    assert job.value_if_failed == pytest.approx(hand[:, 1].mean(), abs=CLOSE * size)
    assert job.value == pytest.approx(risked.mean(), abs=CLOSE * size)
    assert job.value_error == pytest.approx(risked.std(ddof=1) / 2.0, rel=0.02)
    assert (hand[:, 0] > 0.0).any() and (hand[:, 1] < -4e5).all()
    assert job.pays == pytest.approx(CHANCE * (hand[:, 0] > 0.0).mean())
    assert job.p90 == pytest.approx(np.sort(hand[:, 1])[0], rel=0.2)  # a failure in three of ten: the low case is one
    assert found.odds.jobs == tuple(sorted(found.odds.jobs, key=lambda one: -one.value))


def test_the_case_itself_is_its_only_member() -> None:
    """One draw repeated, which is the case's own number: the mean is the value without draws, and nothing spreads."""
    case = case_with_chance()
    table = pd.DataFrame({"layers.b.permeability [md]": [400.0, 400.0]})
    from planner.decide.cure_odds import odds_of

    alone = api.cure(case, NOW, step=None)
    odds = odds_of(case, alone, table=table)
    for job in odds.jobs:
        own = next(one for one in alone.jobs if one.name == job.name)
        assert job.value == pytest.approx(own.value, abs=CLOSE * abs(own.value_if_done))
        assert job.value_if_failed == pytest.approx(own.value_if_failed, abs=CLOSE * abs(own.value_if_done))
        assert job.value_now == job.value
        assert job.value_error == 0.0 and job.value_in_case == own.value


def test_two_processes_give_the_same_and_a_folder_is_gone_on_from(found, table: Path, tmp_path: Path) -> None:
    asked = {"step": None, "draws": table, "folder": tmp_path / "kept"}
    again = api.cure(case_with_chance(), NOW, processes=2, **asked)
    assert [replace(one, value_in_case=0.0) for one in again.odds.jobs] == [
        replace(one, value_in_case=0.0) for one in found.odds.jobs
    ]
    files = sorted((tmp_path / "kept").glob("*.parquet"))
    before = [(one.name, one.stat().st_mtime_ns) for one in files]
    api.cure(case_with_chance(), NOW, **asked)
    assert [(one.name, one.stat().st_mtime_ns) for one in files] == before


def test_document_and_page_say_what_was_found(found) -> None:
    document = cure_document(found, "metric")
    jobs = document["over_draws"]["jobs"]
    assert [job["name"] for job in jobs] == [job.name for job in found.odds.jobs]
    assert {f"{name}_money" for name in ("value", "value_error", "p90", "p50", "p10")} <= set(jobs[0])
    assert {"pays", "pays_band", "best", "date", "oil_difference_1000_m3"} <= set(jobs[0]), jobs[0].keys()
    assert '"over_draws"' in to_json(document)
    (part,) = [one for one in cure_parts(found, style_for("metric", "USD")) if one.heading == "Jobs over the members"]
    assert "probability" in part.text and len(part.body) == 3  # two tables round a figure


def test_draws_that_are_not_there_and_cancelling(table: Path, tmp_path: Path) -> None:
    case = case_with_chance()
    with pytest.raises(CaseError, match="file not found"):
        api.cure(case, NOW, step=None, draws=tmp_path)
    with pytest.raises(CaseError, match="nothing in the case is uncertain"):
        api.cure(case, NOW, step=None, members=5)
    shares: list[float] = []
    with pytest.raises(Cancelled):
        api.cure(
            case, NOW, step=None, draws=table, progress=lambda share, _: shares.append(share),
            cancelled=lambda: bool(shares) and shares[-1] > 0.4,
        )  # fmt: skip
    assert shares == sorted(shares)


def test_a_weighted_quantile_is_that_of_the_values_repeated() -> None:
    rng = np.random.default_rng(4)
    values = rng.normal(size=7)
    for level in (0.1, 0.5, 0.9):
        same = weighted_quantile(values, np.full(7, 3.0), level)
        assert same == pytest.approx(float(np.quantile(values, level, method="hazen")))
    assert weighted_quantile(np.array([1.0, 5.0]), np.array([1.0, 0.0]), 0.9) == 1.0
