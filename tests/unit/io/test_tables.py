"""Exports carry their unit in every column name, in all three formats."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from planner.io.tables import records, with_units, write_table

QUANTITIES = {"oil_rate": "liquid rate", "pressure": "pressure", "water_cut": "fraction"}
FIELD = ["date", "oil_rate_bbl_per_d", "pressure_psi", "water_cut", "control"]


@pytest.fixture
def frame() -> pd.DataFrame:
    return pd.DataFrame(
        {
            "date": pd.to_datetime(["2030-01-01", "2030-02-01"]),
            "oil_rate": [
                0.158987294928 / 86400 * 1000,
                np.nan,
            ],  # 1 bbl = 0.158987294928 m3 (42 US gallons, NIST SP 811)
            "pressure": [6894.757293168361 * 2500, 1e7],  # 1 psi = 6894.757 Pa (NIST SP 811)
            "water_cut": [0.0, 0.5],
            "control": ["liquid rate", None],
        }
    )


def test_units_and_names(frame: pd.DataFrame) -> None:
    field = with_units(frame, QUANTITIES, "field")
    assert list(field.columns) == FIELD
    assert field["oil_rate_bbl_per_d"][0] == pytest.approx(1000.0, rel=1e-12)
    assert field["pressure_psi"][0] == pytest.approx(2500.0, rel=1e-12)
    metric = with_units(frame, QUANTITIES, "metric")
    assert metric["pressure_bar"][1] == pytest.approx(100.0, rel=1e-12)
    assert "oil_rate_m3_per_d" in metric.columns
    assert frame["pressure"][1] == 1e7  # the frame given is left as it was


def test_csv(frame: pd.DataFrame, tmp_path: Path) -> None:
    path = write_table(frame, tmp_path / "out" / "a.csv", QUANTITIES, "field")
    lines = path.read_text().splitlines()
    assert lines[0] == ",".join(FIELD)
    assert lines[2].startswith("2030-02-01,,")
    assert len(lines) == 3


def test_parquet(frame: pd.DataFrame, tmp_path: Path) -> None:
    path = write_table(frame, tmp_path / "a.parquet", QUANTITIES, "field")
    back = pd.read_parquet(path)
    pd.testing.assert_frame_equal(back, with_units(frame, QUANTITIES, "field"), check_dtype=False)


def test_json(frame: pd.DataFrame, tmp_path: Path) -> None:
    path = write_table(frame, tmp_path / "a.json", QUANTITIES, "metric")
    first, second = json.loads(path.read_text())
    assert first["date"] == "2030-01-01"
    assert first["pressure_bar"] == pytest.approx(172.3689, abs=5e-5)
    assert second["oil_rate_m3_per_d"] is None
    assert second["control"] is None


def test_records_are_plain() -> None:
    frame = pd.DataFrame(
        {"a": np.array([1, 2]), "b": [True, False], "c": [np.inf, -1.0], "d": [pd.NaT, pd.Timestamp(0)]}
    )
    assert records(frame) == [
        {"a": 1, "b": True, "c": None, "d": None},
        {"a": 2, "b": False, "c": -1.0, "d": "1970-01-01"},
    ]


def test_other_formats_are_refused(frame: pd.DataFrame, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"\.csv, \.parquet, \.json"):
        write_table(frame, tmp_path / "a.docx", QUANTITIES, "field")
    assert list(tmp_path.iterdir()) == []
