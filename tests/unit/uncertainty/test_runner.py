"""Ensembles on a tiny well: kept member by member, gone on with after a kill, the same from every crew."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from planner.base.errors import Cancelled, CaseError
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.ensemble import Draws, Ensemble, Summary
from planner.model.results import Forecast
from planner.network.zone_layers import zone_layers
from planner.uncertainty import runner
from planner.uncertainty.draws import draw
from planner.uncertainty.pool import Crew, Died
from planner.uncertainty.runner import ensemble_in, run, zone_series
from planner.uncertainty.statistics import gain_of
from tests.unit.uncertainty.ranged import KH, PERMEABILITY, ranged_case, summed_up

ROOT = Path(__file__).resolve().parents[3]


def drawn(case: Case, members: int = 6) -> Draws:
    return draw(case, members, 1, zone_layers(case))


def ran(folder: Path, case: Case, members: int = 6, **how: object) -> Ensemble:
    run(case, drawn(case, members), [None, *case.what_ifs], summed_up, folder, **how)  # type: ignore[arg-type]
    return ensemble_in(folder)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Ensemble:
    return ran(tmp_path_factory.mktemp("whole") / "run", ranged_case())


def alike(one: Ensemble, other: Ensemble) -> bool:
    """Bit by bit the same figures and series."""
    same = [np.array_equal(one.figures[k], other.figures[k], equal_nan=True) for k in one.figures]
    same += [np.array_equal(one.series[k], other.series[k], equal_nan=True) for k in one.series]
    return all(same) and one.figures.keys() == other.figures.keys() and one.series.keys() == other.series.keys()


def test_every_member_has_its_figures_and_series(whole: Ensemble) -> None:
    assert whole.what_ifs == ("base", "acid", "shut")
    assert (whole.status == "ok").all() and whole.messages == {}
    assert whole.figures["npv"].shape == (6, 3) and np.isfinite(whole.figures["npv"]).all()
    assert whole.dates[0] == np.datetime64("2027-01-01") and whole.dates[-1] == np.datetime64("2029-01-01")
    last = whole.series["oil_volume"][:, :, -1]
    assert last == pytest.approx(whole.figures["oil_volume"], rel=1e-6)  # series have seven digits
    zones = sum(zone_series(whole, "oil_volume", zone)[:, :, -1] for zone in whole.zones)
    assert zones == pytest.approx(last, rel=1e-4)


def test_a_member_is_the_forecast_of_its_case(whole: Ensemble) -> None:
    from planner.forecast.run import forecast
    from planner.uncertainty.member import member_of

    case = ranged_case()
    member = member_of(case, drawn(case), 4, zone_layers(case))
    alone = forecast(member.case, case.what_ifs[1])
    assert whole.figures["oil_volume"][4, 2] == alone.well["oil_volume"][-1]


def test_what_ifs_share_the_draws_of_a_member(tmp_path: Path) -> None:
    """A what-if that does nothing is the base to the last bit, so that differences hold no noise of sampling; and
    the spread of a difference is far below that of either."""
    case = ranged_case(what_ifs=[{"name": "nothing"}, {"name": "acid", "events": [
        {"do": "set skin", "zone": "lower", "skin": -2, "on": "2027-07-01"}]}])  # fmt: skip
    made = ran(tmp_path / "run", case, 12)
    assert (made.figures["npv"][:, 1] == made.figures["npv"][:, 0]).all()
    gain = gain_of(made, "oil_volume", "acid", "base")
    assert np.std(gain) < 0.3 * np.std(made.figures["oil_volume"][:, 0])


def test_finished_members_are_not_computed_again(tmp_path: Path, whole: Ensemble, monkeypatch) -> None:
    case, folder = ranged_case(), tmp_path / "run"
    asked: list[int] = []

    def stop_soon() -> bool:
        return len(asked) > 4

    def counted(*arguments: object, **keys: object) -> Forecast:
        asked.append(1)
        return real(*arguments, **keys)

    real = runner.forecast
    monkeypatch.setattr(runner, "forecast", counted)
    with pytest.raises(Cancelled) as caught:
        ran(folder, case, cancelled=stop_soon)
    assert caught.value.kept.startswith("1 of 6 members are kept in")
    half = ensemble_in(folder)
    assert (half.status[0] == "ok").all() and (half.status[1:] == "").all()
    asked.clear()
    assert alike(ran(folder, case), whole)
    assert len(asked) == 5 * 3
    asked.clear()
    assert alike(ran(folder, case), whole) and asked == []


def test_results_of_another_case_are_not_mixed_in(tmp_path: Path) -> None:
    folder = tmp_path / "run"
    ran(folder, ranged_case(), 1)
    other = ranged_case(uncertain=[PERMEABILITY, {**KH, "high": 3}])
    with pytest.raises(CaseError, match="another case, other draws"):
        ran(folder, other, 1)
    assert ran(folder, other, 1, fresh=True).draws.inputs[1].name == "kh"
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("keep me")
    with pytest.raises(CaseError, match="holds something else"):
        ran(tmp_path / "mine", other, 1, fresh=True)
    assert (tmp_path / "mine" / "letter.txt").read_text() == "keep me"


def test_two_processes_give_the_same_bits(tmp_path: Path, whole: Ensemble) -> None:
    told: list[tuple[float, str]] = []
    made = ran(tmp_path / "run", ranged_case(), crew=Crew(2), progress=lambda share, text: told.append((share, text)))
    assert alike(made, whole)
    assert told[-1][0] == 1.0 and told[-1][1].startswith("6 of 6 members, about 0 s left")


def test_a_dask_cluster_gives_the_same_bits(tmp_path: Path, whole: Ensemble) -> None:
    distributed = pytest.importorskip(
        "distributed", reason="distributed is not installed (pip install 'blankwise[many]')"
    )
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1", silence_logs=40
    ) as cluster:
        made = ran(tmp_path / "run", ranged_case(), crew=Crew(scheduler=cluster.scheduler_address))
    assert alike(made, whole)


def test_a_scheduler_that_is_not_there_is_told(tmp_path: Path, monkeypatch) -> None:
    pytest.importorskip("distributed", reason="distributed is not installed (pip install 'blankwise[many]')")
    monkeypatch.setattr("planner.uncertainty.cluster.PATIENCE", 1.0)
    with pytest.raises(CaseError, match="no scheduler answers there"):
        ran(tmp_path / "run", ranged_case(), crew=Crew(scheduler="tcp://127.0.0.1:1"))


# --- what goes wrong in a member


def picky(case: Case, what_if: WhatIf | None, forecast: Forecast) -> Summary:
    """Fails in one member of two, ends its process in none."""
    if case.layers[1].skin > 3.0 and what_if is not None and what_if.name == "acid":
        raise ZeroDivisionError("a fault of the summary")
    return summed_up(case, what_if, forecast)


def deadly(case: Case, what_if: WhatIf | None, forecast: Forecast) -> Summary:
    """Ends the process of one member, as a crash would."""
    if case.layers[1].skin > 5.5:
        os.kill(os.getpid(), signal.SIGKILL)
    return summed_up(case, what_if, forecast)


def skins(*values: float) -> tuple[Case, Draws]:
    """Members with these skins of the lower layer."""
    case = ranged_case(uncertain=[{"name": "s", "path": "layers.B.skin", "kind": "uniform", "low": 0, "high": 9}])
    made = drawn(case, len(values))
    return case, Draws(made.inputs, np.array(values)[:, None])


def test_a_failing_forecast_is_told_and_the_others_go_on(tmp_path: Path) -> None:
    case, draws = skins(2.0, 4.0, 1.0)
    run(case, draws, [None, *case.what_ifs], picky, tmp_path / "run")
    made = ensemble_in(tmp_path / "run")
    assert made.messages == {(1, "acid"): "ZeroDivisionError: a fault of the summary"}
    assert np.isnan(made.figures["npv"]).sum() == 1 and np.isnan(made.figures["npv"][1, 1])


def test_draws_that_the_case_refuses_are_told_with_the_place(tmp_path: Path) -> None:
    case = ranged_case()
    made = drawn(case, 2)
    bad = made.values.copy()
    bad[1, 0] = -1.0
    run(case, Draws(made.inputs, bad), [None], summed_up, tmp_path / "run")
    found = ensemble_in(tmp_path / "run")
    assert found.status[:, 0].tolist() == ["ok", "failed"]
    assert "layers.A.permeability: must be above 0" in found.messages[1, "base"]


def test_a_worker_that_dies_costs_its_member_alone(tmp_path: Path) -> None:
    case, draws = skins(2.0, 6.0, 1.0, 3.0)
    run(case, draws, [None], deadly, tmp_path / "run", crew=Crew(2))
    made = ensemble_in(tmp_path / "run")
    assert made.status[:, 0].tolist() == ["ok", "failed", "ok", "ok"]
    assert made.messages == {(1, "base"): "the worker process ended in the middle of it"}


def test_a_member_that_takes_too_long_is_left(tmp_path: Path) -> None:
    case = ranged_case()
    run(case, drawn(case, 2), [None], summed_up, tmp_path / "run", time_out=1e-6)
    made = ensemble_in(tmp_path / "run")
    assert (made.status == "timed out").all()
    assert made.messages[0, "base"] == "the member took more than 1e-06 s"


def test_a_member_whose_process_was_ended_because_it_hung_is_late(tmp_path: Path, monkeypatch) -> None:
    """What the pool does with one that hangs is in test_pool.py."""
    found = [((0, 1), Died("gone", 1.0)), ((2,), Died("gone", 7.0))]
    monkeypatch.setattr(runner, "spread", lambda *_: iter(found))
    made = ran(tmp_path / "run", ranged_case(), 3, time_out=3.0)
    assert made.status.tolist() == [["failed"] * 3, ["failed"] * 3, ["timed out"] * 3]
    assert made.messages[0, "base"] == "gone"
    assert made.messages[2, "acid"].endswith("did not stop by itself: its process was ended")


# --- killed in the middle

LONG = """
import sys
from pathlib import Path
from tests.unit.uncertainty.ranged import ranged_case, summed_up
from planner.network.zone_layers import zone_layers
from planner.uncertainty.draws import draw
from planner.uncertainty.pool import Crew, Died
from planner.uncertainty.runner import run
if __name__ == "__main__":
    case = ranged_case()
    draws = draw(case, 400, 1, zone_layers(case))
    run(case, draws, [None, *case.what_ifs], summed_up, Path(sys.argv[1]), crew=Crew(2))
"""


def below(pid: int) -> list[int]:
    """Processes that a process has started, and those that they have."""
    own = [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    return own + [other for one in own for other in below(one)]


def test_a_kill_in_the_middle_loses_nothing(tmp_path: Path, monkeypatch) -> None:
    """The parent is killed outright once some members are there: all of them read well, none is computed again, the
    workers do not outlive it, and the rest comes out as if nothing had happened."""
    script, folder = tmp_path / "long.py", tmp_path / "run"
    script.write_text(LONG)
    line = [sys.executable, str(script), str(folder)]
    parent = subprocess.Popen(line, cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)})
    deadline = time.monotonic() + 200.0
    while len(list(folder.glob("parts/figures-*.parquet"))) < 4:
        assert parent.poll() is None and time.monotonic() < deadline
        time.sleep(0.01)
    children = below(parent.pid)
    assert len(children) >= 3  # the server that workers are forked from, and two workers
    parent.kill()
    parent.wait()
    kept = {path.name: path.stat().st_mtime_ns for path in folder.glob("parts/*.parquet")}
    done = sorted({int(k) for name in kept if name.startswith("figures")
                   for k in pd.read_parquet(folder / "parts" / name)["member"]})  # fmt: skip
    assert 4 <= len(done) < 400
    while any(Path(f"/proc/{pid}").exists() for pid in children):
        assert time.monotonic() < deadline, "workers outlive their parent"
        time.sleep(0.01)

    case = ranged_case()
    asked: list[int] = []
    real = runner._one_member

    def counted(job, number, *rest):
        asked.append(number)
        if len(asked) > 3:
            raise Cancelled()
        return real(job, number, *rest)

    monkeypatch.setattr(runner, "_one_member", counted)
    with pytest.raises(Cancelled):
        run(case, drawn(case, 400), [None, *case.what_ifs], summed_up, folder)
    assert not set(asked) & set(done)
    assert {name: (folder / "parts" / name).stat().st_mtime_ns for name in kept} == kept
    assert (ensemble_in(folder).status[done] == "ok").all()
