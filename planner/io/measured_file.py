"""What a case says of a file of measurements: how it is to be read."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.io.dates import DateForm
from planner.io.measured_periods import DateMeaning, RateMeaning
from planner.io.numbers import DecimalMark


class MeasuredFile(BaseModel):
    """How the file of [measured] is to be read."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    file: str
    layout: Literal["", "long", "wide"] = Field(default="", description="none: by its columns")
    well: str = Field(default="", description="which well of the table; none: the case's, or the only one")
    date_format: DateForm = ""
    decimal: DecimalMark = ""
    units: dict[str, str] = Field(default={}, description="of columns or kinds whose header has none")
    rates: RateMeaning = Field(default="", description="what rates of a wide table are means of")
    dates: DateMeaning = Field(default="", description="where the date stands in the time of a volume or mean rate")
