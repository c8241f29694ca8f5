"""Tables beside a case as people write them: decimal commas, marks for thousands, remarks, units; or refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.base.errors import Problem
from planner.base.units import parse
from planner.io.csv_tables import read_table
from planner.model.case import SurveyStation

SURVEY = "md [m],inclination [deg],azimuth [deg]\n"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (SURVEY + "0,0,0\n1500.5,30,120\n", 1500.5),
        ("# tie line\n" + SURVEY + "0,0,0\n# a remark\n1500.5,30,120\n", 1500.5),
        (SURVEY.replace(",", ";") + "0;0;0\n1500,5;30,25;120\n", 1500.5),
        (SURVEY.replace(",", ";") + "0;0;0\n1.500,5;30;120\n", 1500.5),
        (SURVEY.replace(",", "\t") + "0\t0\t0\n1 500,5\t30\t120\n", 1500.5),
        (SURVEY.replace(",", "|") + "0|0|0\n1'500.5|30|120\n", 1500.5),
        (SURVEY + '0,0,0\n"1,500.5",30,120\n', 1500.5),
        (
            SURVEY.replace("[m]", "[usft]") + "0,0,0\n3937,30,120\n",
            1200.0,
        ),  # 1 US survey foot = 1200/3937 m, NIST SP 811
        (SURVEY.replace("md [m]", '"md\n[ft]"') + "0,0,0\n1000,30,120\n", 304.8),
    ],
)
def test_surveys_as_they_are_found(tmp_path: Path, text: str, expected: float) -> None:
    (tmp_path / "s.csv").write_text(text)
    problems: list[Problem] = []
    table = read_table(tmp_path / "s.csv", "s.csv", SurveyStation, problems.append)
    assert table is not None, [str(one) for one in problems]
    assert [SurveyStation.model_validate(row).md for row in table.rows] == pytest.approx([0.0, expected], rel=1e-12)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (SURVEY + '0,0,0\n"1,500",30,120\n', "decimal comma or thousands"),
        (SURVEY.replace(",", ";") + "0;0;0\n1.500;30;120\n", "decimal point or thousands"),
        (SURVEY.replace("[m]", "[ftMD]") + "0,0,0\n1,30,120\n", "not a unit of length"),
        (SURVEY.replace(" [m]", "") + "0,0,0\n1,30,120\n", "a unit is missing"),
        ("PK\x03\x04 and more\n", "a spreadsheet"),
    ],
)
def test_surveys_that_cannot_be_told(tmp_path: Path, text: str, message: str) -> None:
    (tmp_path / "s.csv").write_text(text)
    problems: list[Problem] = []
    assert read_table(tmp_path / "s.csv", "s.csv", SurveyStation, problems.append) is None
    assert any(message in one.message and one.remedy for one in problems), [str(one) for one in problems]


@pytest.mark.parametrize("text", ["5 mcf/day", "5 mscf/day", "5 km3/day", "5 Mm3/day"])
def test_prefixes_that_the_trade_reads_otherwise_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="several ways"):
        parse(text, "gas rate")


def test_underscores_and_small_pascals_are_refused() -> None:
    with pytest.raises(ValueError, match="several ways"):
        parse("25 mPa", "pressure")
    with pytest.raises(ValueError, match="not a number"):
        parse("1_500 m", "length")
    assert parse("1 mPa*s", "viscosity") == pytest.approx(1e-3)
