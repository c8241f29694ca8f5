"""What is not known for sure: ranges of inputs, how they move together, alternatives, and what may fail when.

Frozen validated records. Parameters of a range stay as the user wrote them, since their unit is that of the input that
the path names; `amount` and `amounts` read them. Percentiles are in the trade's sense: P90 is the low case, exceeded
with a probability of 90 %.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from planner.base.units import parse, parse_difference
from planner.model.quantity import Duration, Fraction, LeakConductance, Positive


@dataclass(frozen=True)
class AsWritten:
    """Marks a field that keeps what the user wrote, a number or text; its unit is judged with the path beside it."""

    kinds: tuple[type, ...]
    words: str

    def read(self, raw: object) -> object:
        """The same value. Raises ValueError for another kind."""
        if not isinstance(raw, self.kinds) or (isinstance(raw, bool) and bool not in self.kinds):
            raise ValueError(f"{self.words} is needed here")
        return raw

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        known = {float: "number", int: "integer", str: "string", bool: "boolean", date: "string"}
        return {"type": list(dict.fromkeys(known[kind] for kind in self.kinds))}


Amount = Annotated[float | str, AsWritten((float, int, str), "a number, or text with a unit,")]
Value = Annotated[
    bool | int | float | date | str, AsWritten((bool, int, float, date, str), "a number, text, date, true or false")
]


class RangeRecord(BaseModel):
    """Base of the records of what is uncertain: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class TableRow(RangeRecord):
    """A value of a range given as a table, and the probability of being below it."""

    value: Amount
    below: Fraction


class Uncertain(RangeRecord):
    """The range of one input, or of several that take the same draw."""

    name: str
    path: str = Field(default="", description="of the input in the case, such as layers.A sand.permeability")
    paths: tuple[str, ...] = Field(default=(), description="of several inputs that take the same draw, instead of path")
    acts_as: Literal["value", "multiplier", "shift"] = Field(
        default="value", description="what is drawn: the value itself, a multiple of the case's, or what is added to it"
    )
    kind: Literal["normal", "lognormal", "triangular", "uniform", "discrete", "table"]
    p90: Amount | None = Field(default=None, description="low case, exceeded with 90 % (normal, lognormal)")
    p50: Amount | None = None
    p10: Amount | None = Field(default=None, description="high case")
    mean: Amount | None = Field(default=None, description="with sd, instead of percentiles (normal, lognormal)")
    sd: Amount | None = Field(default=None, description="standard deviation of the value itself")
    low: Amount | None = Field(default=None, description="least value (triangular, uniform)")
    likely: Amount | None = Field(default=None, description="most likely value (triangular)")
    high: Amount | None = Field(default=None, description="largest value (triangular, uniform)")
    values: tuple[Amount, ...] = Field(default=(), description="of a discrete range")
    weights: tuple[Positive, ...] = Field(default=(), description="of the values; none: all alike")
    table: tuple[TableRow, ...] = Field(default=(), description="values rising; straight lines between the rows")
    at_least: Amount | None = Field(default=None, description="cut off below (normal, lognormal)")
    at_most: Amount | None = Field(default=None, description="cut off above (normal, lognormal)")

    @property
    def all_paths(self) -> tuple[str, ...]:
        """Paths of the inputs that take the draw."""
        return (self.path,) if self.path else self.paths


class Correlation(RangeRecord):
    """How two ranges, alternatives or failures move together: the rank correlation, or that of the normal numbers.

    Both are of the numbers behind the draws, before they become steps: the choices of an alternative rise in the order
    in which they are listed, a failure rises with the time to it, a job that may fail from failure to success.
    """

    between: tuple[str, str]
    rank: float | None = Field(default=None, ge=-1.0, le=1.0, description="rank correlation (Spearman)")
    normal: float | None = Field(
        default=None, ge=-1.0, le=1.0, description="instead of rank: correlation of the normals of a Gaussian copula"
    )


class Choice(RangeRecord):
    """One of several alternatives: what it sets, by path, and its probability."""

    name: str
    probability: Fraction
    set: dict[str, Value] = Field(default={}, description="path = value; numbers as '2130 m', 'x1.2' or '+5 m'")


class Alternative(RangeRecord):
    """Alternatives of which exactly one holds: which contact, a shale that seals or leaks."""

    name: str
    choices: tuple[Choice, ...] = Field(min_length=2)


class Failure(RangeRecord):
    """Something that may fail: a seal, a screen or a support at a date that is drawn, or a job.

    The time to failure counts from the start of the schedule. A job that fails costs its money and changes nothing.
    """

    name: str
    do: Literal["leak seal", "plug screen", "lose support", "job fails"]
    element: str = Field(default="", description="leak seal: the seal, packer or plug")
    conductance: LeakConductance | None = Field(default=None, description="leak seal: of the leak, 1 cP fluid")
    zone: str = Field(default="", description="plug screen, job fails (none: every zone)")
    support: str = Field(default="", description="lose support")
    remaining: Fraction = Field(default=0.2, description="plug screen, lose support: share that remains")
    over: Duration = Field(default=0.0, description="plug screen: time that it takes")
    rate: Positive | None = Field(default=None, description="failures a year: exponential time to failure")
    scale: Duration | None = Field(default=None, description="instead of rate: scale of a Weibull time to failure")
    shape: Positive = Field(default=1.0, description="of the Weibull: above 1 wears out, below 1 fails early")
    job: str = Field(default="", description="job fails: the 'do' of the job, such as shut zone")
    success: Fraction | None = Field(default=None, description="job fails: the job's chance of success")


def amount(raw: Amount, quantity: str, acts_as: str = "value") -> float:
    """A parameter of a range as SI; of a multiplier a plain number, of a shift without the zero of its unit.

    Raises ValueError with the remedy.
    """
    if acts_as == "multiplier":
        return parse(raw, "number")
    return parse_difference(raw, quantity) if acts_as == "shift" else parse(raw, quantity)


PARAMETERS = ("p90", "p50", "p10", "mean", "sd", "low", "likely", "high", "at_least", "at_most")


def amounts(row: Uncertain, quantity: str) -> dict[str, float]:
    """The parameters of a range that are given, SI, by name; the spread `sd` without the zero of its unit."""
    given = {name: getattr(row, name) for name in PARAMETERS}
    spread = "shift" if row.acts_as == "value" else row.acts_as
    return {
        name: amount(raw, quantity, spread if name == "sd" else row.acts_as)
        for name, raw in given.items()
        if raw is not None
    }
