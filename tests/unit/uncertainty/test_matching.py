"""Matching a tiny well to data that it made itself."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from planner.base.errors import Cancelled, CaseError, ForecastError
from planner.cli import main
from planner.forecast.run import forecast
from planner.io.read import read_case
from planner.io.write import write_case
from planner.model.history import history_spans, with_history
from planner.model.match import Match
from planner.model.measured import Measured
from planner.model.paths import put, read
from planner.uncertainty import member_data
from planner.uncertainty.matching import MatchOptions, match
from planner.uncertainty.pool import Crew
from tests.unit.uncertainty.twin import LATER, RANGES, TRUTH, plan, tiny, with_data

SOME = MatchOptions(members=30, rounds=3)


@pytest.fixture(scope="module")
def found() -> Match:
    return match(with_data(tiny(), TRUTH, 1, plan()), SOME)


def test_truth_is_inside_the_ranges_about_nine_times_in_ten() -> None:
    """Twin experiment over seeds of noise: 12 ranges of 90 %; 9 or more hold the truth with a chance of 97 %.

    The longer run is tests/bench/match.py.
    """
    hits = []
    for seed in range(1, 5):
        run = match(with_data(tiny(), TRUTH, seed, plan()), MatchOptions(members=24, rounds=3, seed=seed))
        hits += [one.low <= truth <= one.high for one, truth in zip(run.parameters, TRUTH.values(), strict=True)]
    assert sum(hits) >= 9


def test_least_squares_recovers_what_made_data_without_noise() -> None:
    case = with_data(tiny(), TRUTH, None, plan())
    run = match(case, MatchOptions(method="least squares", members=0, prior=False))
    for one, truth in zip(run.parameters, TRUTH.values(), strict=True):
        assert one.best == pytest.approx(truth, rel=1e-5), one.name
    assert run.overall[2] < 1e-6 < run.overall[0]
    for path, truth in TRUTH.items():
        assert read(run.case, path) == pytest.approx(truth, rel=1e-5)
    # the prior pulls towards the middle of the ranges, by no more than the spread that the data leave
    pulled = match(case, MatchOptions(method="least squares", members=0)).parameters
    assert all(one.low < truth < one.high for one, truth in zip(pulled, TRUTH.values(), strict=True))
    assert abs(pulled[1].best - 6.0) < abs(9.0 - 6.0)  # 6 is the middle of the skin's range, 9 the truth


def test_members_stay_inside_their_ranges(found: Match) -> None:
    skin = found.posterior[:, 1]
    assert found.prior.shape == found.posterior.shape == (30, 3)
    assert np.all((skin > -3.0) & (skin < 15.0))
    assert np.all(found.posterior[:, [0, 2]] > 0.0)


def test_match_narrows_and_meets_the_data(found: Match) -> None:
    before, after, best = found.overall
    assert before > 20.0 and after < 3.0 and best < 3.0
    aquifer = found.parameters[2]
    assert (aquifer.high - aquifer.low) < 0.2 * (aquifer.prior_high - aquifer.prior_low)
    assert aquifer.told > 0.9
    for one in found.series:
        assert np.all(one.low <= one.mid) and np.all(one.mid <= one.high)
        assert np.mean((one.high - one.low) < (one.prior_high - one.prior_low)) > 0.5
    assert {(one.kind, one.zone, one.count) for one in found.misfits} == {
        ("bottom-hole pressure", "", 6), ("formation pressure", "Upper", 1), ("formation pressure", "Lower", 1),
        ("liquid share", "Upper", 2)}  # fmt: skip


def test_draws_hold_what_the_members_hold(found: Match) -> None:
    assert [one.name for one in found.draws.inputs] == [row["path"] for row in RANGES]
    assert found.draws.values == pytest.approx(found.posterior, rel=1e-12)
    assert found.case.uncertain == () and found.case.measured is not None
    assert read(found.case, "layers.lower.skin") == pytest.approx(found.parameters[1].best)


def test_the_seed_alone_decides_not_the_crew(found: Match) -> None:
    case = with_data(tiny(), TRUTH, 1, plan())
    few = MatchOptions(members=10, rounds=2)
    one, two = match(case, few), match(case, few, crew=Crew(2))
    assert np.array_equal(one.posterior, two.posterior)
    assert not np.array_equal(match(case, MatchOptions(members=10, rounds=2, seed=2)).posterior, one.posterior)


def test_a_dask_cluster_gives_the_same_posterior_to_the_last_bit() -> None:
    distributed = pytest.importorskip(
        "distributed", reason="distributed is not installed (pip install 'blankwise[many]')"
    )
    case, few = with_data(tiny(), TRUTH, 1, plan()), MatchOptions(members=10, rounds=2)
    alone = match(case, few)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1", silence_logs=40
    ) as cluster:
        many = match(case, few, crew=Crew(scheduler=cluster.scheduler_address))
    assert np.array_equal(alone.posterior, many.posterior)
    assert np.array_equal(alone.draws.values, many.draws.values)
    assert [one.best for one in alone.parameters] == [one.best for one in many.parameters]
    assert alone.overall == many.overall


def test_multipliers_shifts_and_correlations() -> None:
    """Ranges that act on the case's value end up as plain values in the matched case and in the draws."""
    ranges = [
        {"name": "kh", "path": "layers.*.permeability", "acts_as": "multiplier", "kind": "triangular", "low": 0.3,
         "likely": 1.0, "high": 3.0},
        {"name": "damage", "path": "layers.lower.skin", "acts_as": "shift", "kind": "normal", "p90": -2, "p10": 12},
    ]  # fmt: skip
    case = tiny(uncertain=ranges, correlation=[{"between": ["kh", "damage"], "normal": 0.5}])
    truth = {"layers.upper.permeability": read(case, "layers.upper.permeability") * 1.8,
             "layers.lower.permeability": read(case, "layers.lower.permeability") * 1.8}  # fmt: skip
    run = match(with_data(case, truth, 3, plan()), MatchOptions(method="least squares", members=0))
    assert run.parameters[0].low < 1.8 < run.parameters[0].high
    ratio = run.parameters[0].best
    assert read(run.case, "layers.upper.permeability") == pytest.approx(ratio * read(case, "layers.upper.permeability"))
    assert [one.name for one in run.draws.inputs] == [
        "layers.upper.permeability", "layers.lower.permeability", "layers.lower.skin"]  # fmt: skip
    assert run.case.correlation == ()


def test_what_the_data_cannot_tell_is_said() -> None:
    """Late bottom-hole pressures alone: kh and skin of the same layer do the same; a shut zone's property nothing."""
    ranges = [
        {"name": "kh", "path": "layers.upper.permeability", "kind": "uniform", "low": "40 md", "high": "400 md"},
        {"name": "skin", "path": "layers.upper.skin", "kind": "uniform", "low": -2.0, "high": 20.0},
        {
            "name": "rock",
            "path": "rocks.r.relative_permeability.gas_exponent",
            "kind": "uniform",
            "low": 1.5,
            "high": 4.0,
        },
    ]
    wanted = [("bottom-hole pressure", "", day) for day in LATER]
    case = with_data(tiny(uncertain=ranges), {"layers.upper.permeability": 150 * 9.869233e-16}, 1, wanted)
    run = match(case, MatchOptions(members=60, rounds=3))
    told = " ".join(run.warnings)
    assert "The data say little about 'rock'" in told
    assert "'kh' and 'skin' cannot be told apart" in told
    assert "No rate or volume was measured." in run.coverage
    assert any("Nothing was measured by zone" in text for text in run.coverage)
    sizes = [one.size for one in run.directions]
    assert sizes == sorted(sizes, reverse=True) and sizes[-1] < 0.3 < sizes[0]


def test_data_that_no_member_reaches_are_told() -> None:
    far = {"layers.upper.permeability": TRUTH["layers.upper.permeability"], "supports.edge.volume": 4.0e4}
    run = match(with_data(tiny(), far, 1, plan()), MatchOptions(members=20, rounds=2))
    assert any("lie outside what the ranges allow" in text for text in run.warnings)


# --- what goes wrong


def test_nothing_to_match() -> None:
    case = with_data(tiny(), TRUTH, 1, plan())
    with pytest.raises(CaseError, match="no measurements to match"):
        match(tiny(), SOME)
    with pytest.raises(CaseError, match="no range that can be matched"):
        match(case.model_copy(update={"uncertain": ()}), SOME)
    with pytest.raises(CaseError, match="no range has this name"):
        match(case, MatchOptions(only=("kh uper",)))
    with pytest.raises(CaseError, match="too few members"):
        match(case, MatchOptions(members=5))
    rows = [{"date": LATER[0], "kind": "wellhead pressure", "value": "1 bar", "error": "1 bar"}]
    with pytest.raises(CaseError) as caught:
        match(case.model_copy(update={"measured": Measured.model_validate({"rows": rows})}), SOME)
    assert [one.message for one in caught.value.problems] == [
        "wellhead pressures are measured, but the case has no tubing to compute them by",
    ]


def test_discrete_ranges_are_left_and_told() -> None:
    ranges = [
        *RANGES[:1],
        {"name": "ratio", "path": "layers.upper.net_to_gross", "kind": "discrete", "values": [0.5, 1.0]},
    ]
    run = match(with_data(tiny(uncertain=ranges), {}, 1, plan()), MatchOptions(members=10, rounds=1))
    assert [one.name for one in run.parameters] == ["kh upper"]
    assert [row.name for row in run.case.uncertain] == ["ratio"]
    assert any("'ratio' is discrete" in text for text in run.notes)


def test_failing_members_are_dropped_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    case = with_data(tiny(), TRUTH, 1, plan())
    real = member_data.forecast

    def fails_at_high_skin(member, *given, **named):  # type: ignore[no-untyped-def]
        if member.layers[1].skin > 12.0:
            raise ForecastError("a step could not be solved")
        return real(member, *given, **named)

    monkeypatch.setattr(member_data, "forecast", fails_at_high_skin)
    run = match(case, MatchOptions(members=30, rounds=2))
    assert 0 < run.lost < 15
    assert run.members == len(run.draws.values) == 30 - run.lost
    assert run.failures == {"a step could not be solved": sum(run.failures.values())}
    assert any("were left out" in text for text in run.warnings)
    monkeypatch.setattr(member_data, "forecast", lambda *given, **named: (_ for _ in ()).throw(ForecastError("never")))
    with pytest.raises(ForecastError, match=r"at least 5 are needed\. Most often: never"):
        match(case, MatchOptions(members=20, rounds=2))


def test_progress_and_cancelling() -> None:
    case = with_data(tiny(), TRUTH, 1, plan())
    shares: list[float] = []

    def told(share: float, text: str) -> None:
        assert "forecasts" in text
        shares.append(share)

    with pytest.raises(Cancelled):
        match(case, MatchOptions(members=20, rounds=2), progress=told, cancelled=lambda: len(shares) > 7)
    assert shares == sorted(shares) and 0 < len(shares) < 12


# --- history as control


def history(control: str, rows: list[dict[str, object]]) -> Measured:
    return Measured.model_validate({"rows": rows, "control": control})


def test_history_controls_the_well_and_the_case_goes_on() -> None:
    rows = [
        {"date": "2027-04-01", "kind": "liquid rate", "value": "50 m^3/day", "error": "1 m^3/day"},
        {"date": "2027-06-01", "kind": "liquid rate", "value": "0 m^3/day", "error": "1 m^3/day"},
        {
            "date": "2027-09-01",
            "since": "2027-08-01",
            "kind": "liquid rate",
            "value": "70 m^3/day",
            "error": "1 m^3/day",
        },
    ]
    case = tiny(measured=history("liquid rate", rows).model_dump())
    spans = history_spans(case)
    assert [(s.start, s.end) for s in spans] == [
        (date(2027, 1, 1), date(2027, 4, 1)), (date(2027, 4, 1), date(2027, 8, 1)),
        (date(2027, 8, 1), date(2027, 9, 1))]  # fmt: skip
    made = with_history(case)
    assert [c.date for c in made.controls] == [s.start for s in spans] + [date(2027, 9, 1)]
    assert made.controls[1].shut and made.controls[0].bottom_hole_pressure == pytest.approx(50e5)
    run = forecast(case, also=[date(2027, 3, 1), date(2027, 5, 1), date(2027, 8, 15), date(2027, 9, 15)])
    rate = dict(zip(run.dates.astype(str), run.well["liquid_rate"] * 86_400, strict=True))
    assert rate["2027-03-01"] == pytest.approx(50.0, rel=1e-6)
    assert rate["2027-05-01"] == pytest.approx(0.0, abs=1e-3)
    assert rate["2027-08-15"] == pytest.approx(70.0, rel=1e-6)
    assert rate["2027-09-15"] == pytest.approx(80.0, rel=1e-6)  # the case's own control


def test_history_by_bottom_hole_pressure() -> None:
    rows = [{"date": "2027-12-01", "kind": "bottom-hole pressure", "value": "150 bar", "error": "1 bar"}]
    run = forecast(tiny(measured=history("bottom-hole pressure", rows).model_dump()), also=[date(2027, 6, 1)])
    at = run.dates.astype(str).tolist().index("2027-06-01")
    assert run.well["bottom_hole_pressure"][at] == pytest.approx(150e5)


def test_means_over_a_time_come_from_volumes() -> None:
    """A month half shut has half the mean rate, whatever its last day gives."""
    rows = [
        {"date": "2027-02-16", "kind": "liquid rate", "value": "60 m^3/day", "error": "1 m^3/day"},
        {"date": "2027-03-01", "kind": "liquid rate", "value": "0 m^3/day", "error": "1 m^3/day"},
    ]
    case = tiny(measured=history("liquid rate", rows).model_dump())
    from planner.model.measured import Measurement
    from planner.uncertainty.observe import predicted

    mean = Measurement("liquid rate", "", date(2027, 3, 1), date(2027, 2, 1), 0.0, 1.0)
    run = forecast(case, also=[date(2027, 2, 1), date(2027, 3, 1)])
    assert predicted(case, run, [mean])[0] * 86_400 == pytest.approx(60.0 * 15 / 28, rel=1e-6)


def test_wellhead_pressure_by_two_roads() -> None:
    """A well on 15 bar at the wellhead; the same rates as history give 15 bar back, by the lift's own inverse."""
    from planner.model.measured import Measurement
    from planner.uncertainty.observe import predicted

    fluid = {"oil": {"api": 33.0, "solution_gas_ratio": "80 m^3/m^3"}, "temperature": "85 degC"}
    case = tiny(
        fluid=fluid, tubing={"inner_diameter": "76 mm", "method": "beggs-brill 1973"},
        controls=[{"date": "2027-01-01", "wellhead_pressure": "15 bar", "liquid_rate": "900 m^3/day"}],
        supports={"edge": {"kind": "constant pressure"}},
    )  # fmt: skip
    days = [date(2027, 7, 1), date(2028, 1, 1)]
    run = forecast(case, also=days)
    rows, wanted = [], []
    for day in days:
        at = run.dates.astype(str).tolist().index(day.isoformat())
        assert run.control[at] == "wellhead pressure"
        rows.append({"date": day, "kind": "liquid rate", "value": f"{float(run.well['liquid_rate'][at])!r} m^3/s",
                     "error": "1 m^3/day"})  # fmt: skip
        rows.append({"date": day, "kind": "wellhead pressure", "value": "15 bar", "error": "1 bar"})
        wanted.append(Measurement("wellhead pressure", "", day, None, 15e5, 1e5))
    seen = predicted(case, run, wanted)
    # two tables of the lift, each within half a per cent of the bottom-hole pressure of 140 bar
    assert seen == pytest.approx([15e5, 15e5], abs=0.01 * 140e5)
    open_low = [{"date": "2027-01-01", "bottom_hole_pressure": "5 bar"}]
    twin = case.model_copy(
        update={"measured": history("liquid rate", rows), "controls": tiny(controls=open_low).controls}
    )
    again = predicted(twin, forecast(twin, also=days), wanted)
    assert again == pytest.approx([15e5, 15e5], abs=0.02 * 140e5)  # steps in place of a falling rate as well


# --- the verb


def test_match_verb_and_the_ensemble_that_follows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder, out = tmp_path / "well", tmp_path / "matched"
    write_case(with_data(tiny(), TRUTH, 1, plan()), folder)
    line = ["match", str(folder), "--out", str(out), "--members", "12", "--rounds", "2", "--workers", "1"]
    assert main([*line, "--json", "--csv", str(tmp_path / "fit.csv")]) == 0
    said = capsys.readouterr()
    document = json.loads(said.out)
    assert document["members"] == 12 and document["measurements"] == 10
    assert {"prior_low_md", "best_md", "told_by_data"} <= set(document["parameters"][0])
    assert sorted(path.name for path in out.iterdir() if path.suffix != ".csv") == [
        "case.toml",
        "chapter.json",
        "match.html",
        "match.json",
    ]
    matched = read_case(out)
    assert matched.title.endswith("matched") and matched.uncertain == ()
    assert len((tmp_path / "fit.csv").read_text().splitlines()) == 11
    assert "plotly" in (out / "match.html").read_text()
    draws = (out / "draws.csv").read_text().splitlines()
    assert draws[0].startswith("member,layers.upper.permeability [md],layers.lower.skin,supports.edge.volume [")
    kept = str(tmp_path / "members")
    assert (
        main(["ensemble", str(out), "--draws", str(out / "draws.csv"), "--folder", kept, "--workers", "1", "--json"])
        == 0
    )
    ranges = json.loads(capsys.readouterr().out)
    assert ranges["members"] == 12 and ranges["members_done"] == 12
    assert main(line) == 0  # a match may replace a match
    assert "Parameters" in capsys.readouterr().out
    assert main(["match", str(folder), "--out", str(folder)]) == 2
    assert "no match made" in capsys.readouterr().err


def test_matched_case_forecasts_like_the_best(found: Match) -> None:
    run = forecast(found.case, also=LATER)
    at = run.dates.astype(str).tolist().index(LATER[-1].isoformat())
    pressure = next(one for one in found.series if one.kind == "bottom-hole pressure")
    assert run.well["bottom_hole_pressure"][at] == pytest.approx(pressure.best[-1], rel=2e-3)


def test_put_truth_in_and_the_misfit_is_the_noise() -> None:
    """At the truth the mean square misfit is that of the noise: chi-squared of 10 data: 0.2 to 2.5 in 99.6 %."""
    from planner.model.measured import measurements
    from planner.uncertainty.observe import days_to_report, last_day, predicted

    case = with_data(tiny(), TRUTH, 1, plan())
    assert case.measured is not None
    rows = measurements(case.measured)
    true_case = put(case, dict(TRUTH))
    run = forecast(true_case, until=last_day(rows, case), also=days_to_report(rows))
    miss = (predicted(true_case, run, rows) - [row.value for row in rows]) / [row.error for row in rows]
    assert 0.2 < float(np.mean(miss**2)) < 2.5
