"""JSON documents: strict, stable keys with units, null where there is no number."""

from __future__ import annotations

import json

import pytest

from planner.decide.compare import Ran, comparison_of
from planner.report import documents
from tests.unit.synthetic import made_case, made_description, made_flow, made_forecast, shut_lower


def strict(document: dict[str, object]) -> dict[str, object]:
    def refuse(text: str) -> None:
        raise AssertionError(f"{text} is not JSON")

    return json.loads(documents.to_json(document), parse_constant=refuse)


def test_a_forecast_has_arrays_of_one_length_and_nulls_for_no_number():
    found = strict(documents.forecast_document(made_forecast(shut="lower"), "metric"))
    count = len(found["dates"])
    assert len(found["totals"]["oil_rate_m3_per_d"]) == count
    assert len(found["zones"]["lower"]["water_cut"]) == count
    assert found["totals"]["oil_rate_m3_per_d"][0] == pytest.approx(40.0)
    assert found["limits"][1]["first_broken_day"] is None and found["limits"][0]["worst_bar"] == pytest.approx(40.0)
    assert found["caution"].startswith("Planning estimates")
    assert found["facts"]["balance"]["oil"] == 1e-12


def test_keys_change_with_the_unit_system_and_so_do_the_numbers():
    field = strict(documents.flow_document(made_flow(), "field"))
    assert field["totals"]["oil_rate_bbl_per_d"] == pytest.approx(40.0 / 0.158987294928)
    assert field["pieces"][1]["top_md_ft"] == pytest.approx(990.0 / 0.3048)
    assert field["pieces"][4]["pressure_psi"] is None
    assert field["units"] == "field"


def test_a_comparison_carries_money_zones_and_reasons():
    case = made_case()
    ran = [
        Ran(None, made_forecast()),
        Ran(shut_lower(), made_forecast("shut lower", "lower")),
        Ran(case.what_ifs[1], refused="no blank pipe above it"),
    ]
    found = strict(documents.comparison_document(comparison_of(case, ran), "metric"))
    assert found["currency"] == "EUR"
    assert found["refused"] == [{"name": "shut upper", "reason": "no blank pipe above it"}]
    shut = found["what_ifs"][0]
    assert shut["oil_difference_1000_m3"] == pytest.approx(-3.65)
    assert shut["money"]["job_cost_money"] == 500_000.0
    assert shut["money"]["payback_years_against_base"] is None
    assert shut["zones"][1]["recovery_factor"] == pytest.approx(0.0365)


def test_a_check_says_which_what_ifs_can_be_done():
    case = made_case()
    found = strict(documents.check_document(case, made_description(), {"shut upper": "no blank"}, "metric"))
    assert [one["possible"] for one in found["what_ifs"]] == [True, False, True]
    assert found["zones"][0]["top_md_m"] == 990.0
    assert found["blanks"][0]["shuts"] == ["lower"]
    assert found["pieces"][0]["inner_diameter_mm"] == pytest.approx(100.0)
