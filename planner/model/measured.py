"""What was measured on the well: rates, cuts, pressures, production logs by zone, tests; with dates and errors.

A row keeps its value and error as the user wrote them, "250 bar", since its quantity depends on its kind;
`Measurement` is the same in SI.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from planner.base.units import QUANTITIES, example, parse

MeasuredKind = Literal[
    "oil rate",
    "water rate",
    "liquid rate",
    "gas rate",
    "water cut",
    "gas-oil ratio",
    "bottom-hole pressure",
    "wellhead pressure",
    "formation pressure",
    "cumulative oil",
    "cumulative water",
    "cumulative gas",
    "liquid share",
    "gas share",
    "kh",
    "skin",
]


@dataclass(frozen=True)
class KindFacts:
    """quantity: of the value; where: 'well' (no zone), 'zone' (a zone or layer is needed) or 'both'."""

    quantity: str
    where: str = "both"
    mean: bool = False  # whether it may be a mean over a time


KINDS: dict[str, KindFacts] = {
    "oil rate": KindFacts("liquid rate", mean=True),
    "water rate": KindFacts("liquid rate", mean=True),
    "liquid rate": KindFacts("liquid rate", mean=True),
    "gas rate": KindFacts("gas rate", mean=True),
    "water cut": KindFacts("fraction", mean=True),
    "gas-oil ratio": KindFacts("gas-oil ratio", mean=True),
    "bottom-hole pressure": KindFacts("pressure", "well"),
    "wellhead pressure": KindFacts("pressure", "well"),
    "formation pressure": KindFacts("pressure", "zone"),
    "cumulative oil": KindFacts("liquid volume"),
    "cumulative water": KindFacts("liquid volume"),
    "cumulative gas": KindFacts("gas volume"),
    "liquid share": KindFacts("fraction", "zone"),
    "gas share": KindFacts("fraction", "zone"),
    "kh": KindFacts("kh"),
    "skin": KindFacts("number"),
}
HistoryControl = Literal[
    "none", "oil rate", "liquid rate", "water rate", "gas rate", "bottom-hole pressure", "wellhead pressure"
]


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class MeasuredRow(_Record):
    """One measured number. Rates, cuts and ratios with `since` are means from that date to `date`."""

    date: datetime.date
    kind: MeasuredKind
    value: str = Field(description="with its unit: '250 bar'; a plain number where it has none")
    zone: str = Field(default="", description="or layer; none: the whole well")
    since: datetime.date | None = Field(default=None, description="start of the time that a mean stands for")
    error: str = Field(default="", description="one standard deviation: '2 bar' or '5 %' of the value")

    @field_validator("value", "error", mode="before")
    @classmethod
    def _as_text(cls, raw: object) -> object:
        return repr(float(raw)) if isinstance(raw, int | float) and not isinstance(raw, bool) else raw

    @model_validator(mode="after")
    def _can_be_read(self) -> MeasuredRow:
        facts = KINDS[self.kind]
        value = read_value(self.value, self.kind)
        if self.error:
            read_error(self.error, self.kind, value)
        into_zone = bool(self.zone) and self.kind.endswith(("rate", "share"))  # crossflow in a production log
        if value < 0.0 and self.kind != "skin" and not into_zone:
            raise ValueError(f"a {self.kind} cannot be negative; give the value with its right sign")
        if facts.quantity == "fraction" and value > 1.0:
            raise ValueError(f"a {self.kind} above 1; per cent? Write '{self.value} %'")
        if self.since is not None and not facts.mean:
            raise ValueError(f"a {self.kind} is of a day, no mean over a time; leave 'since' out")
        if self.since is not None and self.since >= self.date:
            raise ValueError("'since' is not before the date; correct one of the two")
        if facts.where == "zone" and not self.zone:
            raise ValueError(f"a {self.kind} belongs to a zone or a layer; name it in the column 'zone'")
        if facts.where == "well" and self.zone:
            raise ValueError(f"a {self.kind} belongs to the well; leave the zone out")
        return self


class Measured(_Record):
    """The [measured] section: what was measured, errors by kind, and whether history controls the well."""

    rows: tuple[MeasuredRow, ...] = Field(min_length=1)
    errors: dict[MeasuredKind, str] = Field(
        default={}, description="one standard deviation by kind, where a row gives none: '5 %' or '2 bar'"
    )
    control: HistoryControl = Field(
        default="none", description="the measured rate or pressure that controls the well over its history"
    )

    @model_validator(mode="after")
    def _errors_are_there(self) -> Measured:
        for kind, text in self.errors.items():
            read_error(text, kind, 1.0)
        lacking = sorted({row.kind for row in self.rows if not row.error and row.kind not in self.errors})
        if lacking:
            such = ", ".join(f'"{kind}" = "5 %"' for kind in lacking[:2])
            remedy = f"write measured.errors = {{ {such} }} or a column 'error'"
            raise ValueError(f"no error is given for {', '.join(lacking)}; {remedy}")
        return self


@dataclass(frozen=True)
class Measurement:
    """A measured number in SI. since: None for a value of the day. error: one standard deviation, SI."""

    kind: str
    zone: str
    date: datetime.date
    since: datetime.date | None
    value: float
    error: float

    @property
    def quantity(self) -> str:
        """Quantity of value and error, see planner.base.units."""
        return KINDS[self.kind].quantity

    @property
    def label(self) -> str:
        """'oil rate of Umber'."""
        return f"{self.kind} of {self.zone}" if self.zone else self.kind


def measurements(measured: Measured) -> tuple[Measurement, ...]:
    """All rows in SI, in order of date; an error per cent is of the value, never below a tenth of the largest.

    That floor keeps a rate of nought with 5 % error from weighing without bound.
    """
    values = [read_value(row.value, row.kind) for row in measured.rows]
    largest: dict[tuple[str, str], float] = {}
    for row, value in zip(measured.rows, values, strict=True):
        at = (row.kind, row.zone)
        largest[at] = max(largest.get(at, 0.0), abs(value))
    made = []
    for row, value in zip(measured.rows, values, strict=True):
        error = read_error(row.error or measured.errors[row.kind], row.kind, value)
        floor = 0.1 * read_error(row.error or measured.errors[row.kind], row.kind, largest[row.kind, row.zone])
        floor = max(floor, 1e-30)
        made.append(Measurement(row.kind, row.zone, row.date, row.since, value, max(error, floor)))
    return tuple(sorted(made, key=lambda one: (one.date, one.kind, one.zone)))


def read_value(text: str, kind: str) -> float:
    """A value of a kind in SI. Raises ValueError with the remedy."""
    quantity = KINDS[kind].quantity
    bare = text.strip()
    if quantity == "fraction" and bare.endswith("%"):
        return parse(bare[:-1].strip(), "number") / 100.0
    return parse(bare, quantity)


def read_error(text: str, kind: str, value: float) -> float:
    """A standard deviation in SI: '5 %' of the value, or an amount. Raises ValueError with the remedy."""
    quantity = KINDS[kind].quantity
    bare = text.strip()
    if bare.endswith("%"):
        if quantity in ("fraction", "number"):
            raise ValueError(f"per cent of a {kind} can be meant in two ways; give the error as a number, such as 0.02")
        share = parse(bare[:-1].strip(), "number") / 100.0
        amount = share * abs(value)
    else:
        share = amount = parse(bare, quantity) - (parse(f"0 {_unit(bare)}", quantity) if QUANTITIES[quantity].si else 0)
    if not share > 0.0:
        raise ValueError(f"an error must be above 0; give one standard deviation with {example(quantity)}, or per cent")
    return amount


def _unit(text: str) -> str:
    return text.lstrip("+-0123456789.eE").strip()
