"""Production and measurement tables as people send them: settled by the whole table, or refused with the reason."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from planner.base.errors import CaseError, Problem
from planner.io.dates import Day, days_of
from planner.io.inspect import inspect_file
from planner.io.measured_file import MeasuredFile
from planner.io.measured_tables import MeasuredTable, read_measured
from planner.io.numbers import decimal_mark, number
from planner.model.measured import MeasuredRow, read_value

DAY = 86_400.0


def days(texts: list[str], form: str = "") -> tuple[list[Day] | None, list[Problem], list[Problem]]:
    problems: list[Problem] = []
    remarks: list[Problem] = []
    cells = list(enumerate(texts, start=2))
    return days_of(cells, "date", form, "p.csv", problems.append, remarks.append), problems, remarks  # type: ignore[arg-type]


def read(folder: Path, text: str | bytes, well: str = "", **how: object) -> tuple[MeasuredTable | None, list[Problem]]:
    (folder / "p.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
    problems: list[Problem] = []
    table = read_measured(folder / "p.csv", MeasuredFile(file="p.csv", **how), well, problems.append)  # type: ignore[arg-type]
    return table, problems


def good(folder: Path, text: str | bytes, well: str = "", **how: object) -> tuple[list[MeasuredRow], str]:
    table, problems = read(folder, text, well, **how)
    assert table is not None, [str(one) for one in problems]
    rows = [MeasuredRow.model_validate(row) for row in table.rows]
    return rows, " | ".join(str(one) for one in table.facts.remarks)


def refused(folder: Path, text: str, **how: object) -> Problem:
    table, problems = read(folder, text, **how)
    assert table is None
    assert all(one.file == "p.csv" and one.message and one.remedy for one in problems)
    return problems[0]


# --- dates

SAME_DAY = ["2031-02-03", "2031/2/3", "2031.02.03", "20310203", "2031-02-03T00:00:00Z", "2031-02-03 00:00",
            "3-Feb-2031", "03 February 2031", "Feb 3, 2031", "3 Feb. 2031", "3rd Feb 2031"]  # fmt: skip


@pytest.mark.parametrize("text", SAME_DAY)
def test_dates_that_mean_one_day(text: str) -> None:
    found, problems, _ = days([text])
    assert not problems and found == [Day(date(2031, 2, 3))]


@pytest.mark.parametrize("text", ["2031-02", "02/2031", "203102", "Feb 2031", "Feb-31", "february 2031"])
def test_months(text: str) -> None:
    found, problems, _ = days([text])
    assert not problems and found == [Day(date(2031, 2, 1), True)]
    assert found[0].end == date(2031, 3, 1)


def test_the_whole_column_settles_the_order() -> None:
    found, _, _ = days(["01/02/2031", "25/02/2031"])
    assert found is not None and found[0].date == date(2031, 2, 1)
    found, _, _ = days(["01/02/2031", "02/25/2031"])
    assert found is not None and found[0].date == date(2031, 1, 2)
    found, _, _ = days(["01.02.2031"])  # dots: day first, by custom
    assert found is not None and found[0].date == date(2031, 2, 1)


def test_what_the_column_does_not_settle_is_refused_unless_said() -> None:
    found, problems, _ = days(["01/02/2031", "01/03/2031"])
    assert found is None
    assert (problems[0].place, problems[0].value) == ("row 2 column date", "01/02/2031")
    assert "date_format" in problems[0].remedy
    assert days(["01/02/2031"], "day first")[0] == [Day(date(2031, 2, 1))]
    assert days(["01/02/2031"], "month first")[0] == [Day(date(2031, 1, 2))]
    assert days(["13/02/2031", "02/25/2031"])[0] is None
    assert days(["01/02/31"])[0] is None
    assert days(["01/02/31"], "day first")[0] == [Day(date(2031, 2, 1))]


def test_spreadsheet_numbers() -> None:
    # 1 January 2000 is day 36526 of the 1900 count and 35064 of the 1904 count (their difference is 1462 days)
    found, problems, remarks = days(["36526"])
    assert not problems and found == [Day(date(2000, 1, 1))]
    assert "days of a spreadsheet" in remarks[0].message
    assert days(["35064"], "excel 1904")[0] == [Day(date(2000, 1, 1))]


def test_every_bad_date_is_told() -> None:
    found, problems, _ = days(["2031-02-30", "soon", "2031-01-01", "31-Foo-2031", "7"])
    assert found is None
    assert [one.place for one in problems] == [f"row {k} column date" for k in (2, 3, 5, 6)]


# --- numbers


@pytest.mark.parametrize(
    ("cells", "mark", "values"),
    [
        (["1234.5", "7"], ".", [1234.5, 7.0]),
        (["1,234.5", "1,234"], ".", [1234.5, 1234.0]),
        (["1.234,5", "1.234"], ",", [1234.5, 1234.0]),
        (["1 234,5", "0,250"], ",", [1234.5, 0.25]),
        (["1'234.5", "-2e3"], ".", [1234.5, -2000.0]),
        (["1\u00a0234", "12"], ".", [1234.0, 12.0]),
        (["1,234,567", "12"], ".", [1234567.0, 12.0]),
        (["0.250", "\u22120.5"], ".", [0.25, -0.5]),
    ],
)
def test_numbers(cells: list[str], mark: str, values: list[float]) -> None:
    problems: list[Problem] = []
    assert decimal_mark([("row", cell) for cell in cells], "", "p.csv", problems.append) == mark
    assert [number(cell, mark) for cell in cells] == values


@pytest.mark.parametrize(("cells", "part"), [(["1,234"], "No number"), (["1,5", "1.5"], "a decimal comma here")])
def test_numbers_that_can_be_meant_in_two_ways(cells: list[str], part: str) -> None:
    problems: list[Problem] = []
    assert decimal_mark([("row", cell) for cell in cells], "", "p.csv", problems.append) is None
    assert part in problems[0].message and "decimal" in problems[0].remedy


# --- wide tables

WIDE = """\
well,month,oil [m3],water [m3],producing days
C-1,2031-01,3100,310,31
C-1,2031-02,2800,,28
C-1,2031-03,1550,155,15.5
"""


def test_monthly_volumes_become_mean_rates(tmp_path: Path) -> None:
    rows, remarks = good(tmp_path, WIDE, "C-1")
    assert remarks == ""
    oil = [row for row in rows if row.kind == "oil rate"]
    assert [(row.since, row.date) for row in oil] == [
        (date(2031, 1, 1), date(2031, 2, 1)), (date(2031, 2, 1), date(2031, 3, 1)),
        (date(2031, 3, 1), date(2031, 4, 1))]  # fmt: skip
    assert [read_value(row.value, row.kind) * DAY for row in oil] == pytest.approx([100.0, 100.0, 50.0])
    assert len(rows) == 5  # the empty cell of February is no measurement


def test_the_same_table_in_another_dress(tmp_path: Path) -> None:
    plain, _ = good(tmp_path, WIDE, "C-1")
    semicolons = WIDE.replace(",", ";").replace("15.5", "15,5").replace("3100", "3.100").replace("2800", "2.800")
    semicolons = semicolons.replace("1550", "1.550")
    under = WIDE.replace("oil [m3],water [m3]", "oil,water").replace("\nC-1,2031-01", "\n,,m3,m3,d\nC-1,2031-01", 1)
    titled = "Made up for a test\n\n" + WIDE
    tabs = WIDE.replace(",", "\t")
    dates = (
        WIDE.replace("2031-01,", "31/01/2031,").replace("2031-02,", "28/02/2031,").replace("2031-03,", "31/03/2031,")
    )
    for text in (semicolons, under, titled, tabs, dates, WIDE.replace("producing days", "producing hours")
                 .replace(",31\n", ",744\n").replace(",28\n", ",672\n").replace(",15.5", ",372")):  # fmt: skip
        assert good(tmp_path, text, "C-1")[0] == plain
    assert good(tmp_path, WIDE.encode("utf-16"), "C-1")[0] == plain
    bare = WIDE.replace(" [m3]", "").replace("oil", "oil volume").replace("water", "water volume")
    assert good(tmp_path, bare, "C-1", units={"oil volume": "m3", "water volume": "m3"})[0] == plain


def test_rates_by_producing_day(tmp_path: Path) -> None:
    text = WIDE.replace("[m3]", "[m3/d]").replace("3100", "100").replace("2800", "100").replace("1550", "100")
    problem = refused(tmp_path, text)
    assert "calendar day or by producing day" in problem.message and "rates =" in problem.remedy
    rows, _ = good(tmp_path, text, rates="producing day")
    oil = [read_value(row.value, row.kind) * DAY for row in rows if row.kind == "oil rate"]
    assert oil == pytest.approx([100.0, 100.0, 50.0])
    rows, _ = good(tmp_path, text, rates="calendar day")
    assert [read_value(row.value, row.kind) * DAY for row in rows if row.kind == "oil rate"] == pytest.approx(
        [100.0] * 3
    )


def test_whole_dates_need_to_say_what_time_they_stand_for(tmp_path: Path) -> None:
    text = "date,oil volume [m3]\n2031-01-05,500\n2031-01-10,1000\n2031-01-20,1000\n"
    assert "start or end" in refused(tmp_path, text).message
    rows, remarks = good(tmp_path, text, dates="start of period")
    assert [read_value(row.value, row.kind) * DAY for row in rows] == pytest.approx([100.0, 100.0])
    assert "the last row has no other date" in remarks
    rows, _ = good(tmp_path, text, dates="end of period")
    assert [read_value(row.value, row.kind) * DAY for row in rows] == pytest.approx([200.0, 100.0])


def test_kinds_by_unit_and_other_names(tmp_path: Path) -> None:
    text = (
        "date,zone,oil_rate_bbl_per_d,GOR [scf/stb],BHP [barg],water cut [%],cum oil [Mbbl],oil rate error [%],choke\n"
        "2031-01-31,Upper,1000,500,200,25,10,5,32\n"
    )
    table, problems = read(tmp_path, text)
    assert not problems and table is not None
    found = {row["kind"]: row for row in table.rows}
    # 1 bbl = 0.158987294928 m3, 1 ft3 = 0.028316846592 m3 (NIST SP 811)
    assert read_value(found["oil rate"]["value"], "oil rate") * DAY == pytest.approx(158.987294928, rel=1e-9)
    ratio = 500 * 0.028316846592 / 0.158987294928
    assert read_value(found["gas-oil ratio"]["value"], "gas-oil ratio") == pytest.approx(ratio, rel=1e-9)
    assert read_value(found["bottom-hole pressure"]["value"], "bottom-hole pressure") == pytest.approx(20_101_325.0)
    assert read_value(found["water cut"]["value"], "water cut") == pytest.approx(0.25)
    assert read_value(found["cumulative oil"]["value"], "cumulative oil") == pytest.approx(1589.87294928)
    assert found["oil rate"]["error"] == "5 %"
    told = " | ".join(str(one) for one in table.facts.remarks)
    assert "gauge pressures" in told and "choke" in told and "those of the date" in told


BAD_WIDE: dict[str, tuple[str, dict[str, object], str, str]] = {
    "no header": ("1,2,3\n4,5,6\n", {}, "row 1", "no header"),
    "no unit": (WIDE.replace(" [m3]", ""), {}, "row 1 column oil", "a unit is missing"),
    "unit of another thing": (WIDE.replace("[m3]", "[bar]"), {}, "row 1 column oil", "not a unit of liquid rate"),
    "rate with a volume's unit": (WIDE.replace("oil [m3]", "oil rate [m3]"), {}, "row 1 column oil rate", "not a unit"),
    "unit of two meanings": ("date,gas volume [MSm3]\n2031-01,4\n", {}, "row 1 column gas volume", "thousands"),
    "not a number": (WIDE.replace("2800", "28o0"), {}, "row 3 column oil", "not a number"),
    "no date": (WIDE.replace("2031-02", ""), {}, "row 3 column month", "no date"),
    "same month twice": (WIDE.replace("2031-02", "2031-01"), {}, "row 3", "the same date as row 2"),
    "total that falls": (WIDE.replace("oil [m3]", "cumulative oil [m3]"), {}, "row 3 column cumulative oil", "falls"),
    "too many days": (WIDE.replace(",28\n", ",30\n"), {}, "row 3 column producing days", "more producing time"),
    "decimal commas unquoted": (WIDE.replace("3100", "3100,5"), {}, "row 2", "more cells than the header"),
    "column twice": (WIDE.replace("water [m3]", "oil [m3]"), {}, "row 1 column oil", "there twice"),
    "months and days": (WIDE.replace("2031-02", "2031-02-28"), {}, "row 2", "some dates are months"),
    "nothing in it": (WIDE.split("\n")[0] + "\n", {}, "", "no rows"),
    "asked for long": (WIDE, {"layout": "long"}, "row 1", "needs the columns 'kind' and 'value'"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD_WIDE)
def test_bad_wide_tables(tmp_path: Path, name: str) -> None:
    text, how, place, message = BAD_WIDE[name]
    problem = refused(tmp_path, text, **how)
    assert problem.place == place, str(problem)
    assert message in problem.message, str(problem)


def test_all_problems_in_one_go(tmp_path: Path) -> None:
    text = WIDE.replace("3100", "x1").replace("2800", "2,8,0").replace("155,15.5", "y,15.5").replace("2,8,0", "28o")
    _, problems = read(tmp_path, text)
    assert [one.place for one in problems] == ["row 2 column oil", "row 3 column oil", "row 4 column water"]


def test_what_looks_odd_is_told(tmp_path: Path) -> None:
    lines = ["month,zone,oil volume [m3]"]
    lines += [f"2031-{m:02d},,{1000 * m}" for m in range(1, 10)]
    lines += [f"2031-{m:02d},A,{600 * m}" for m in range(1, 10) if m != 5]
    _, remarks = good(tmp_path, "\n".join(lines) + "\n")
    assert "volumes that never fall, from 1000 to 9000: a total?" in remarks
    assert "1 months of the table are not there" in remarks
    assert "zones and well differ, most by 3600" in remarks


def test_wells_of_a_table(tmp_path: Path) -> None:
    two = WIDE + "C-2,2031-01,1,1,31\n"
    rows, remarks = good(tmp_path, two, "C-1")
    assert len(rows) == 5 and "1 rows of 1 other wells left out" in remarks
    rows, remarks = good(tmp_path, WIDE, "Curlew 1")
    assert len(rows) == 5 and "taken as the same well" in remarks
    _, problems = read(tmp_path, two, "Curlew 1")
    assert "no row is of the well 'Curlew 1'" in problems[0].message and "C-1, C-2" in problems[0].value


# --- long tables

LONG = """\
date,kind,zone,value,error,unit
2031-01-31,oil rate,,100,5,m3/d
2031-01-31,Formation pressure,Upper,200.5 bar,1.5 bar,
2031-02,water cut,,0.25,0.02,
2031-02-01,skin,Upper,-2,1,
2031-02-01,oil rate,Upper,-9,5,m3/d
2031-02-01,kh,Upper,1500 md*m,300 md*m,
2031-02-03,oil rate,,,5,m3/d
"""


def test_long_table(tmp_path: Path) -> None:
    rows, remarks = good(tmp_path, LONG)
    assert "1 rows without a value" in remarks
    by = {(row.kind, row.zone): row for row in rows}
    assert by["formation pressure", "Upper"].value == "200.5 bar"
    assert (by["water cut", ""].since, by["water cut", ""].date) == (date(2031, 2, 1), date(2031, 3, 1))
    assert read_value(by["kh", "Upper"].value, "kh") == pytest.approx(1500 * 9.869232667160130e-16)
    assert by["oil rate", "Upper"].value == "-9 m^3/day"  # crossflow into a zone


def test_file_facts_of_a_table(tmp_path: Path) -> None:
    table, _ = read(tmp_path, WIDE, "C-1")
    assert table is not None
    assert table.facts.form == "table, one column a quantity, commas, decimal point"
    assert table.facts.span == "2031-01-01 to 2031-04-01"
    water = next(one for one in table.facts.columns if one.name == "water")
    assert (water.unit, water.least, water.most) == ("m3", 155.0, 310.0)
    assert water.missing == pytest.approx(1 / 3)


# Tables as they are found: what is read, and what of it is told.
MONTHS = "month,oil volume [m3]\n2030-01,3100\n2030-02,2800\n"
RATE = 100.0 / 86_400.0  # 3,100 m3 in 31 days, 2,800 m3 in 28 days


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (MONTHS, ""),
        (MONTHS + "Total,5900\n", "1 lines are sums or means; left out"),
        (MONTHS + "Grand total,5900\n", "1 lines are sums or means"),
        (MONTHS + "# exported\n", "1 lines are remarks"),
        (MONTHS.replace("2030-02", "shut in for a job,\n2030-02"), "1 lines hold words alone"),
        (MONTHS.replace("2030-02", "month,oil volume [m3]\n2030-02"), "1 lines repeat the header"),
        ("A report, 2030\n\n" + MONTHS, "1 lines above the header"),
        (MONTHS.replace("oil volume [m3]", '"oil volume\n[m3]"'), ""),
        (MONTHS.replace("2030-01,", "janvier 2030,").replace("2030-02,", "févr. 2030,"), ""),
        (MONTHS.replace("2030-01,", "Jän 2030,").replace("2030-02,", "Feb 2030,"), ""),
        (MONTHS.replace("[m3]", "[1000 m3]").replace("3100", "3.1").replace("2800", "2.8"), ""),
        (MONTHS.replace("[m3]", "[Mbbl]").replace("3100", "3.1").replace("2800", "2.8"), "barrels"),
        ("sep=;\n" + MONTHS.replace(",", ";"), ""),
        (MONTHS.replace("3100", "3 100").replace("2800", "2 800"), ""),
    ],
)
def test_monthly_volumes_as_they_are_found(tmp_path: Path, text: str, told: str) -> None:
    (tmp_path / "m.csv").write_text(text, encoding="utf-8")
    problems: list[Problem] = []
    table = read_measured(tmp_path / "m.csv", MeasuredFile(file="m.csv"), "", problems.append)
    assert table is not None, [str(one) for one in problems]
    scale = 0.158987294928 if told == "barrels" else 1.0  # m3 in a barrel: 42 US gallons of 231 cubic inches
    expected = [RATE * scale, RATE * scale]
    assert [float(row["value"].split()[0]) for row in table.rows] == pytest.approx(expected, rel=1e-9)
    assert [(row["since"], row["date"]) for row in table.rows] == [
        ("2030-01-01", "2030-02-01"), ("2030-02-01", "2030-03-01")]  # fmt: skip
    remarks = " | ".join(str(one) for one in table.facts.remarks)
    assert (told in remarks) if told not in ("", "barrels") else not remarks


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (MONTHS.replace("3100", "<5"), "a limit of detection"),
        (MONTHS.replace("3100", "trace"), "not a number"),
        (MONTHS.replace("3100", "3_100"), "not a number"),
        (MONTHS.replace("3100", "inf"), "not a number"),
        (MONTHS.replace("3100", "1e400"), "not a number"),
        (MONTHS.replace("[m3]", "[t]"), "is a mass"),
        (MONTHS.replace("[m3]", "[tonnes]"), "is a mass"),
        (MONTHS.replace("[m3]", "[m3/month]"), "not equally long"),
        (MONTHS.replace("volume [m3]", "rate [bbl/month]"), "not equally long"),
        (MONTHS.replace("oil volume [m3]", "gas volume [Tm3]"), "several things"),
        (MONTHS.replace("oil volume [m3]", "gas volume [Nm3]"), "several things"),
        (MONTHS.replace("oil volume [m3]", "gas volume [MSm3]"), "thousands or millions"),
        (MONTHS.replace("2030-01", "2930-01"), "a year outside 1900 to 2150"),
        (MONTHS.replace("2030-01", "2030-01-31"), "some dates are months, some are days"),
        (MONTHS.replace("oil volume", "A oil"), "beside the date no column is known"),
        (MONTHS.replace("2030-02", "2030-01"), "the same date as row 2"),
    ],
)
def test_what_cannot_be_taken_is_refused(tmp_path: Path, text: str, message: str) -> None:
    (tmp_path / "m.csv").write_text(text, encoding="utf-8")
    problems: list[Problem] = []
    table = read_measured(tmp_path / "m.csv", MeasuredFile(file="m.csv", dates="end of period"), "", problems.append)
    assert table is None
    assert any(message in one.message for one in problems), [str(one) for one in problems]
    assert all(one.file == "m.csv" and one.place and one.remedy[:1].isupper() for one in problems)


def test_spreadsheets_are_refused(tmp_path: Path) -> None:
    for raw in (b"PK\x03\x04" + bytes(100), b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(500)):
        (tmp_path / "m.csv").write_bytes(raw)
        problems: list[Problem] = []
        assert read_measured(tmp_path / "m.csv", MeasuredFile(file="m.csv"), "", problems.append) is None
        assert "spreadsheet" in problems[0].message and "CSV" in problems[0].remedy


def test_doubtful_values_are_told(tmp_path: Path) -> None:
    text = (
        "date,zone,oil rate [m3/d],water cut [%]\n2030-01-31,A,10,0.5\n2030-02-28,A,9999,0.6\n2030-02-28,Total,20,0.6\n"
    )
    (tmp_path / "m.csv").write_text(text)
    problems: list[Problem] = []
    table = read_measured(tmp_path / "m.csv", MeasuredFile(file="m.csv"), "", problems.append)
    assert table is not None
    told = " | ".join(str(one) for one in table.facts.remarks)
    assert "1 values are exactly 9999; kept as measured" in told
    assert "no value is above 1 %, the largest is 0.6; read as per cent" in told
    assert "rows of this zone are taken as those of the whole well" in told


def test_the_same_measurement_twice_in_a_long_table(tmp_path: Path) -> None:
    text = "date,kind,value\n2030-01-31,bottom-hole pressure,250 bar\n"
    text += "2030-01-31,bottom-hole pressure,250 bar\n2030-01-31,bottom-hole pressure,251 bar\n"
    (tmp_path / "m.csv").write_text(text)
    problems: list[Problem] = []
    table = read_measured(tmp_path / "m.csv", MeasuredFile(file="m.csv"), "", problems.append)
    assert table is not None
    assert [row["value"] for row in table.rows] == ["250 bar", "251 bar"]
    told = " | ".join(str(one) for one in table.facts.remarks)
    assert "row 3: the same measurement as in row 2; left out" in told
    assert "row 4: the bottom-hole pressure of this date stands in row 2 too" in told


@pytest.mark.parametrize(
    ("line", "message"),
    [("2030-01-31,oil rate,-5 m3/d", "cannot be negative"), ("2030-01-31,water cut,50", "above 1"),
     ("2030-01-31,temperature,80 degC", "temperature"), ("2030-01-31,oil rate,100", "unit")],
)  # fmt: skip
def test_inspect_says_what_a_case_would_refuse(tmp_path: Path, line: str, message: str) -> None:
    (tmp_path / "m.csv").write_text(f"date,kind,value\n{line}\n")
    with pytest.raises(CaseError) as caught:
        inspect_file(tmp_path / "m.csv", {})
    assert any(message in str(one) and "row 2" in one.place for one in caught.value.problems), str(caught.value)
