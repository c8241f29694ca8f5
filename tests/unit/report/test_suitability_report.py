"""The judgement of hole and sand in figures and the report, on made-up results."""

from __future__ import annotations

import numpy as np
import pytest

from planner.model.suitability_results import Barrier, Reason, SampleGrading, Sand, Seat, Stretch, SuitabilityResult
from planner.report.frames import Style
from planner.report.suitability_figures import suitability_figure
from planner.report.suitability_tables import overview_table, reasons_table, seats_table
from tests.unit.synthetic import made_case

NAN = float("nan")
METRIC = Style("metric")


def made() -> SuitabilityResult:
    barrier = Barrier("a / b", 1010.0, 1030.0, 0, 1)
    return SuitabilityResult(
        well="T", sands=(Sand("a", 1000.0, 1010.0, ("top sand",)), Sand("b", 1030.0, 1040.0, ("deep sand",))),
        barriers=(barrier,), hole_md=np.array([1000.0, 1015.0, 1040.0]), hole_diameter=np.array([0.216, 0.250]),
        ranges={"conforming screen": (0.21, 0.24), "seal": (NAN, 0.23)},
        seats=(Seat(barrier, (Stretch(1010.0, 1015.0),), 5.0),),
        gradings=(SampleGrading("s", 1004.0, "a", 3e-4, 2e-4, 1.8e-4, 1e-4, 8e-5, 2.0, 3.75, 0.01, "bare screen"),),
        strengths=(), missing=(), planned_drawdown={"a": NAN, "b": NAN},
        reasons=(
            Reason("conforming screen", "a", "hole size", "for", "inside", 1000.0, 1010.0, 0.0, ""),
            Reason("conforming screen", "b", "hole size", "against", "wide", 1030.0, 1034.0, 4.0, ""),
            Reason("conforming screen", "b", "hole size", "against", "wide", 1036.0, 1039.0, 3.0, ""),
        ),
    )  # fmt: skip


def test_the_overview_adds_up_the_length_out_of_range():
    table = overview_table(made(), METRIC)
    row = table[(table["interval"] == "b") & (table["kind"] == "conforming screen")].iloc[0]
    assert row["length out of range (m)"] == pytest.approx(7.0) and row["against"] == "hole size"


def test_tables_carry_depths_in_the_users_units():
    feet = reasons_table(made().reasons, Style("field"))
    assert feet["length (ft)"].tolist() == pytest.approx([0.0, 4.0 / 0.3048, 3.0 / 0.3048])
    assert seats_table(made(), METRIC)["seat to (m)"].tolist() == [1015.0]


def test_the_figure_draws_the_hole_as_steps_and_says_what_it_lacks():
    figure = suitability_figure(made(), made_case(), METRIC)
    hole = next(trace for trace in figure.data if trace.name == "hole")
    assert list(hole.x) == pytest.approx([216.0, 216.0, 250.0, 250.0])
    assert list(hole.y) == pytest.approx([1000.0, 1015.0, 1015.0, 1040.0])
    limits = [trace.x[0] for trace in figure.data if trace.name == "conforming screen"]
    assert limits == pytest.approx([210.0, 240.0])
    assert any("not given" in note.text for note in figure.layout.annotations)
    median = next(trace for trace in figure.data if trace.name == "D50")
    assert list(median.x) == pytest.approx([180.0])
