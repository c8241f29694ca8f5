"""Dates of a column as people write them. What can be meant in two ways is settled by the whole column or refused."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from planner.base.errors import Problem
from planner.io.messages import sentence
from planner.io.reporting import Report

DateForm = Literal["", "day first", "month first", "excel 1900", "excel 1904"]

_YEARS = (1900, 2150)
# Names and short names of the months in English, German, French, Spanish, Portuguese, Italian, Norwegian and Dutch; a
# name that two of them give to different months is not here.
_MONTHS = (
    "jan january januar j\u00e4n j\u00e4nner janvier janv enero ene janeiro gennaio gen januari",
    "feb february februar f\u00e9vrier f\u00e9vr f\u00e9v fevr fev febrero fevereiro febbraio februari",
    "mar march m\u00e4rz m\u00e4r marz mars marzo mar\u00e7o maart mrt",
    "apr april avril avr abril abr aprile",
    "may mai mayo maio maggio mag mei",
    "jun june juni juin junio junho giugno giu",
    "jul july juli juillet juil julio julho luglio lug",
    "aug august ao\u00fbt aout agosto ago augustus",
    "sep sept september septembre septiembre setembro set settembre",
    "oct october oktober okt octobre octubre outubro out ottobre ott",
    "nov november novembre noviembre novembro",
    "dec december dezember dez d\u00e9cembre d\u00e9c diciembre dic dezembro dicembre desember des",
)
_MONTH_OF = {name: number for number, names in enumerate(_MONTHS, start=1) for name in names.split()}
_CLOCK = re.compile(r"[T\s]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?\s*(Z|[AaPp][Mm]|[+-]\d{2}:?\d{2})?$")
_ISO = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$")
_ISO_MONTH = re.compile(r"^(\d{4})[-/.](\d{1,2})$")
_MONTH_YEAR = re.compile(r"^(\d{1,2})[-/.](\d{4})$")
_NUMBERS = re.compile(r"^(\d{1,2})([-/. ])(\d{1,2})\2(\d{4}|\d{2})$")
_ENDING = r"(?:st|nd|rd|th)?"
_NAMED = re.compile(
    rf"^(?:(\d{{1,2}}){_ENDING}[-/., ]*)?([^\W\d_]{{3,10}})\.?[-/., ]*(?:(\d{{1,2}}){_ENDING},\s*)?(\d{{4}}|'?\d{{2}})$"
)
_ORIGINS = {"excel 1900": datetime.date(1899, 12, 30), "excel 1904": datetime.date(1904, 1, 1)}
_SERIALS = (15_000, 80_000)  # 1941 to 2119


@dataclass(frozen=True)
class Day:
    """A date, or a month: `date` is then its first day."""

    date: datetime.date
    month_only: bool = False

    @property
    def end(self) -> datetime.date:
        """The first day after what it names."""
        if not self.month_only:
            return self.date
        return datetime.date(self.date.year + self.date.month // 12, self.date.month % 12 + 1, 1)


Cell = tuple[int, str]  # line of the file, text


def days_of(
    cells: Sequence[Cell], column: str, form: DateForm, name: str, report: Report, remark: Report
) -> list[Day] | None:
    """Dates of a column; None after a report of each cell that is none, or of why they cannot be told apart."""
    order = _order(cells, column, form, name, report, remark)
    if order is None:
        return None
    found: list[Day] = []
    bad: list[Problem] = []
    serials, first = 0, ""
    for line, text in cells:
        try:
            day, serial = _day(text.strip(), order, form)
            if serial and not serials:
                first = f"{text.strip()} as {day.date}"
            serials += serial
            found.append(day)
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            place = f"row {line} column {column}"
            bad.append(Problem(name, place, text, message, sentence(remedy) or "Write 2030-01-31."))
    for problem in bad:
        report(problem)
    if serials and not form.startswith("excel"):
        told = f"{serials} dates are numbers; read as days of a spreadsheet counted from 1900"
        remark(Problem(name, f"column {column}", first, told, "Check the first date; the other count is excel 1904."))
    return None if bad else found


def _order(
    cells: Sequence[Cell], column: str, form: DateForm, name: str, report: Report, remark: Report
) -> Literal["day first", "month first"] | None:
    """Which of the two numbers before the year is the day; None after a report. Dots: day first, by custom."""
    parted = [(line, text, _NUMBERS.match(_bare(text))) for line, text in cells]
    asked = [(line, text, match) for line, text, match in parted if match is not None]
    if form in ("day first", "month first"):
        return "day first" if form == "day first" else "month first"
    if not asked:
        return "day first"
    short = next(((line, text) for line, text, match in asked if len(match[4]) == 2), None)
    if short is not None:
        message = "a date with a year of two digits can be meant in several ways"
        report(Problem(name, f"row {short[0]} column {column}", short[1], message, _REMEDY))
        return None
    day_first = [(line, text) for line, text, match in asked if int(match[1]) > 12]
    month_first = [(line, text) for line, text, match in asked if int(match[3]) > 12]
    if day_first and month_first:
        line, text = month_first[0]
        message = f"day and month stand in another order than in row {day_first[0][0]}, {day_first[0][1]}"
        report(Problem(name, f"row {line} column {column}", text, message, "Write all dates as 2030-01-31."))
        return None
    if month_first:
        return "month first"
    if day_first or all(match[2] == "." for _, _, match in asked):
        return "day first"
    if all(match[1] == match[3] for _, _, match in asked):
        return "day first"
    line, text, _ = next(one for one in asked if one[2][1] != one[2][3])
    message = "day or month first? No date of the column tells"
    report(Problem(name, f"row {line} column {column}", text, message, _REMEDY))
    return None


_REMEDY = 'Say date_format = "day first" or "month first", or write 2030-01-31.'


def _bare(text: str) -> str:
    return _CLOCK.sub("", text.strip())


def _day(text: str, order: str, form: DateForm) -> tuple[Day, bool]:
    """One date and whether it was a spreadsheet's number. Raises ValueError with the remedy."""
    bare = _bare(text)
    for pattern, take in ((_ISO, _iso), (_ISO_MONTH, _iso_month), (_MONTH_YEAR, _month_year), (_NAMED, _named)):
        match = pattern.match(bare)
        if match is not None:
            return take(match), False
    match = _NUMBERS.match(bare)
    if match is not None:
        first, second, year = int(match[1]), int(match[3]), _year(match[4])
        day, month = (first, second) if order == "day first" else (second, first)
        return Day(_date(year, month, day)), False
    return _number(bare, form)


def _iso(match: re.Match[str]) -> Day:
    return Day(_date(int(match[1]), int(match[2]), int(match[3])))


def _iso_month(match: re.Match[str]) -> Day:
    return Day(_date(int(match[1]), int(match[2]), 1), True)


def _month_year(match: re.Match[str]) -> Day:
    return Day(_date(int(match[2]), int(match[1]), 1), True)


def _named(match: re.Match[str]) -> Day:
    word = match[2].lower()
    if word not in _MONTH_OF:
        raise ValueError("no month has this name; write 2030-01-31")
    month = _MONTH_OF[word]
    day = match[1] or match[3]
    if day is None:
        return Day(_date(_year(match[4]), month, 1), True)
    return Day(_date(_year(match[4]), month, int(day)))


def _number(text: str, form: DateForm) -> tuple[Day, bool]:
    """20300131, 203001, or a spreadsheet's count of days (1900 system: ECMA-376 part 1, 18.17.4.1, from memory)."""
    try:
        number = float(text)
    except ValueError:
        raise ValueError("not a date; write 2030-01-31") from None
    whole = int(number)
    if text.isdigit() and len(text) == 8:
        return Day(_date(whole // 10000, whole // 100 % 100, whole % 100)), False
    if text.isdigit() and len(text) == 6 and 1 <= whole % 100 <= 12 and 1900 <= whole // 100 <= 2150:
        return Day(_date(whole // 100, whole % 100, 1), True), False
    if not _SERIALS[0] <= number <= _SERIALS[1]:
        raise ValueError("a number that is no date; write 2030-01-31")
    return Day(_ORIGINS.get(form, _ORIGINS["excel 1900"]) + datetime.timedelta(days=whole)), True


def _year(text: str) -> int:
    """Two digits: 1969 to 2068, as POSIX has it."""
    year = int(text.lstrip("'"))
    return year if year > 99 else year + (1900 if year > 68 else 2000)


def _date(year: int, month: int, day: int) -> datetime.date:
    try:
        made = datetime.date(year, month, day)
    except ValueError:
        raise ValueError("there is no such day; check day and month") from None
    if not _YEARS[0] <= year <= _YEARS[1]:
        raise ValueError(f"a year outside {_YEARS[0]} to {_YEARS[1]}; correct it")
    return made
