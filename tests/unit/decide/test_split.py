"""A proposed split of a made-up well: joints add up, seals sit in gauge hole inside barriers, the case is sound."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner import api
from planner.base.errors import Cancelled, CaseError, Refusal
from planner.decide.capital import cost_of_string
from planner.decide.split_problem import layout_of
from planner.decide.split_values import fires, values_of
from planner.io.wishes import wish_of
from planner.model.case import Case
from planner.model.change import Trigger
from planner.model.consistency import check
from planner.model.split import Split
from planner.model.split_results import SplitResult
from tests.building import element, layer, make
from tests.unit.synthetic import made_forecast

HOLE = [("0", 8.5), ("2024", 12.0), ("2050", 8.5), ("2096", 12.0), ("2099", 8.5)]  # washed out 2024-2050, 2096-2099
TERMS: dict[str, Any] = {
    "screen": {"joint_length": "12 m", "per_length": "3000 1/m", "running_speed": "200 m/hour"},
    "blank pipe": {"joint_length": "12 m", "per_length": "300 1/m", "running_speed": "300 m/hour"},
    "isolation joint": {"joint_length": "6 m", "each": 80000, "rig_time": "3 hour"},
}
VALUES = [("a", "a", 1e6), ("b", "b", 5e6), ("c", "c", 2e6), ("a", "b", 0.5e6), ("b", "c", 3e6)]


def asked(**changes: Any) -> dict[str, Any]:
    given: dict[str, Any] = {
        "pup_joint": "3 m",
        "values": [{"sand": a, "to": b, "value": v} for a, b, v in VALUES],
        "pay": [{"sand": s, "upper": "20000 1/m", "middle": "400000 1/m", "lower": "30000 1/m"} for s in "abc"],
    }
    return {**given, **changes}


def well(**changes: Any) -> Case:
    """Sands a 2000-2020, b 2060-2080, c 2110-2130; the hanger ends at 1985."""
    given: dict[str, Any] = {
        "well": {"name": "w", "hole": [{"md": f"{md} m", "diameter": f"{d} in"} for md, d in HOLE]},
        "layers": [layer("a", 2000, 2020), layer("b", 2060, 2080), layer("c", 2110, 2130)],
        "string": [element("hanger", 1982, 1985), element("blank pipe", 1985, 2000), element("screen", 2000, 2130)],
        "zones": ["a", "b", "c"],
        "suitability": {"seal": {"least_hole": "8.3 in", "greatest_hole": "9 in"}},
        "economics": {"rig_rate": "200000 1/day", "rig_time": "2 day", "elements": TERMS, "oil_price": "400 1/sm3"},
        "split": asked(),
        "units": "metric",
    }
    return make(**{**given, **changes})


def assert_sound(case: Case, found: SplitResult) -> None:
    """Joints tile the string from the head down, seals sit in gauge hole inside a barrier, the case holds together."""
    rows = found.tally
    assert rows[0].top_md == pytest.approx(1985.0)
    for upper, lower in pairwise(rows):
        assert lower.top_md == pytest.approx(upper.base_md, abs=1e-9)
    lengths = {"screen": {12.0}, "blank pipe": {12.0, 3.0}, "isolation joint": {6.0}}
    assert all(round(row.length, 9) in lengths[row.kind] for row in rows)
    assert sum(row.length for row in rows) == pytest.approx(rows[-1].base_md - rows[0].top_md)
    assert rows[-1].base_md >= 2130.0
    for row in rows:
        if row.kind == "isolation joint":
            inside = [part for seat in found.seats for part in seat.stretches
                      if part.top_md - 1e-6 <= row.top_md and row.base_md <= part.base_md + 1e-6]  # fmt: skip
            assert len(inside) == 1
            assert not (2024.0 < row.base_md and row.top_md < 2050.0) and not (2096 < row.base_md and row.top_md < 2099)
    assert check(found.case) == []
    described = api.describe(found.case)
    for zone, told in zip(described.zones, found.zones, strict=True):
        assert zone.name == told.name and bool(zone.shut_by) == (told.shuttable or len(found.zones) == 1)
    assert api.refusals(found.case) == {}


def test_the_proposal_is_sound_and_shuts_what_is_worth_most():
    case = well()
    found = api.split(case)
    assert_sound(case, found)
    assert [zone.name for zone in found.zones] == ["a", "b", "c"]
    assert found.shut_worth == pytest.approx(8e6) and found.gap == 0.0 and found.forecasts == 0


def test_the_value_is_screen_and_choice_less_cost():
    found = api.split(well())
    assert found.value == pytest.approx(found.screen_worth + found.shut_worth - found.cost_weight * found.cost)
    assert found.screen_worth + found.lost_worth == pytest.approx(3 * (5 * 20e3 + 10 * 400e3 + 5 * 30e3))
    assert found.lost_pay == pytest.approx(60.0 - sum(zone.open_pay for zone in found.zones))


def test_cost_and_time_are_those_of_the_string_in_the_case():
    """Without short joints the sum over joints is what the comparison takes from the elements."""
    case = well(split=asked(pup_joint=None, base_md="2200 m", trip_time="6 hour", trips=2))
    found = api.split(case)
    paid = cost_of_string(found.case.economics, found.case.string)
    assert found.cost == pytest.approx(paid.total) and found.rig_time == pytest.approx(paid.rig_time)
    assert sum(row.cost for row in found.install) == pytest.approx(found.cost - 200e3 * 2.5)


def test_the_curve_over_seals_peaks_at_the_answer():
    found = api.split(well())
    assert set(found.by_seals) == {0, 1, 2}
    assert max(found.by_seals.values()) == pytest.approx(found.value)
    one = api.split(well(split=asked(most_seals=1)))
    assert one.value == pytest.approx(max(found.by_seals[0], found.by_seals[1]))


def test_a_barrier_without_gauge_hole_gets_no_seal():
    hole = [{"md": "0 m", "diameter": "8.5 in"}, {"md": "2018 m", "diameter": "12 in"},
            {"md": "2062 m", "diameter": "8.5 in"}]  # fmt: skip
    found = api.split(well(well={"name": "w", "hole": hole}))
    assert [zone.name for zone in found.zones] == ["a to b", "c"]
    assert any("no gauge hole" in text for text in found.warnings)


def test_wishes_are_kept_and_their_cost_is_told():
    free = api.split(well())
    forbidden = api.split(well(), forbids=[wish_of("seal a / b")])
    assert [zone.name for zone in forbidden.zones] == ["a to b", "c"]
    assert forbidden.wishes[0].cost == pytest.approx(free.value - forbidden.value) and forbidden.wishes[0].cost > 0.0
    assert forbidden.free_value == pytest.approx(free.value)
    pinned = api.split(well(), pins=[wish_of("seal 2053 m to 2060 m"), wish_of("screen 2060 m to 2064 m")])
    (seal,) = [row for row in pinned.tally if row.kind == "isolation joint" and row.base_md < 2061.0]
    assert seal.top_md >= 2053.0 - 1e-6 and seal.base_md <= 2060.0 + 1e-6
    assert not [r for r in pinned.tally if r.kind != "screen" and r.top_md < 2064.0 and r.base_md > 2060.0 + 1e-6]
    assert_sound(well(), pinned)


def test_a_wish_that_nothing_can_meet_is_refused():
    with pytest.raises(CaseError, match="gauge hole inside one barrier"):
        api.split(well(), pins=[wish_of("seal 2030 m to 2040 m")])
    with pytest.raises(CaseError, match="no barrier"):
        api.split(well(), pins=[wish_of("seal a / z")])
    with pytest.raises(Refusal, match="wishes"):
        api.split(well(), pins=[wish_of("blank 1985 m to 2135 m")])


def test_wishes_of_the_case_count_like_those_of_the_call():
    written = api.split(well(split=asked(forbids=[{"what": "seal", "barrier": "a / b"}])))
    assert written.value == pytest.approx(api.split(well(), forbids=[wish_of("seal a / b")]).value)


def test_a_budget_is_kept_and_the_gap_is_told():
    free = api.split(well())
    tight = api.split(well(split=asked(most_cost=free.cost - 5e4)))
    assert tight.cost <= free.cost - 5e4 + 1e-6 and tight.value <= free.value and tight.gap >= 0.0
    with pytest.raises(Refusal, match="cost"):
        api.split(well(split=asked(most_cost=1000.0)))


def test_joint_lengths_that_are_missing_are_named():
    terms = {"screen": TERMS["screen"], "blank pipe": TERMS["blank pipe"]}
    with pytest.raises(CaseError, match="isolation joint"):
        api.split(well(economics={"elements": terms}))


def test_what_ifs_that_do_not_fit_are_left_out_by_name():
    jobs = [
        {"name": "shut b", "events": [{"do": "shut zone", "zone": "b", "on": "2028-01-01"}]},
        {"name": "plug in the old blank", "events": [{"do": "set plug", "blank": "blank 77", "on": "2028-01-01"}]},
    ]
    found = api.split(well(what_ifs=jobs))
    assert found.dropped == ("plug in the old blank",)
    assert "shut b" in [one.name for one in found.case.what_ifs]


def test_the_written_case_reads_back_and_can_be_forecast(tmp_path):
    found = api.split(well())
    api.write_case(found.case, tmp_path / "new")
    read = api.read_case(tmp_path / "new")
    assert read == found.case and (tmp_path / "new/string.csv").is_file()
    last = api.forecast(read, until=read.schedule.start.replace(month=3))
    assert last.well["oil_volume"][-1] > 0.0


@given(
    screen=st.sampled_from([9, 12]), blank=st.sampled_from([9, 12]), seal=st.sampled_from([3, 6]),
    need=st.floats(2.0, 9.0), top=st.integers(1975, 1990), worth=st.floats(0.0, 6.0),
)  # fmt: skip
@settings(max_examples=15, deadline=None)
def test_any_joints_give_a_sound_string(screen, blank, seal, need, top, worth):
    """Seals on gauge hole in barriers, setting blanks long enough (the network finds them), no gaps, whatever the
    joints."""
    terms = {kind: {**terms, "joint_length": f"{length} m"}
             for (kind, terms), length in zip(TERMS.items(), (screen, blank, seal), strict=True)}  # fmt: skip
    later = {"length": f"{need} m", "depth_tolerance": "1 m"}
    string = [element("hanger", top - 3, top), element("screen", top, 2130)]
    values = [{"sand": a, "to": b, "value": v * worth / 3} for a, b, v in VALUES]
    case = well(economics={"elements": terms}, later_element=later, string=string, split=asked(values=values))
    found = api.split(case)
    rows = found.tally
    assert rows[0].top_md == top and all(u.base_md == pytest.approx(v.top_md) for u, v in pairwise(rows))
    assert check(found.case) == []
    for zone, told in zip(api.describe(found.case).zones, found.zones, strict=True):
        if len(found.zones) > 1:
            assert bool(zone.shut_by) == told.shuttable
    seats = [part for seat in found.seats for part in seat.stretches]
    for row in (one for one in rows if one.kind == "isolation joint"):
        assert any(p.top_md - 1e-6 <= row.top_md and row.base_md <= p.base_md + 1e-6 for p in seats)


# ---- values -----------------------------------------------------------------------------------------------------


def test_a_rule_fires_on_the_first_report_date_that_meets_it():
    """The made-up lower zone makes as much water as oil from the first day; both together a fifth of the liquid."""
    run = made_forecast()
    day = fires(run, [1], Trigger(water_cut_above=0.4))
    assert day is not None and day.isoformat() == "2030-01-01"
    assert fires(run, [0, 1], Trigger(water_cut_above=0.4)) is None
    late = fires(run, [1], Trigger(water_cut_above=0.4, after="2030-06-01", delay="10 day"))
    assert late is not None and late.isoformat() > "2030-06-10"


def test_values_of_a_dry_well_are_nothing_for_choice_and_something_for_screen():
    """No water anywhere: no rule ever fires. Screen over the middle of a sand is what it lives on."""
    case = well(split=asked(values=[], pay=[]), schedule={"start": "2027-01-01", "end": "2029-01-01"})
    split = case.split or Split()
    told: list[float] = []
    found = values_of(case, split, layout_of(case, split)[0], progress=lambda share, text: told.append(share))
    assert found.shut.max() == 0.0 and (found.pay[:, 1] > 0.0).all()
    assert 0.0 < found.weight <= 1.0 and told == sorted(told) and told[-1] <= 1.0
    again = values_of(case, split, layout_of(case, split)[0])
    assert (again.pay == found.pay).all()


def test_valuing_can_be_cancelled():
    case = well(split=asked(values=[], pay=[]), limits={})
    with pytest.raises(Cancelled):
        api.split(case, cancelled=lambda: True)


@pytest.mark.parametrize("text", ["seal", "valve 2000 m", "blank a / b", "blank 2010 m to 2000 m", "screen 2000"])
def test_wishes_that_say_nothing_are_refused(text):
    with pytest.raises(ValueError):
        wish_of(text)
