"""Columns with a quantity become a table in the user's units, with the unit in every header."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import pandas as pd

from planner.base.units import QUANTITIES, UnitSystem, from_si, key

Headers = Literal["words", "keys"]

NEGLIGIBLE = dict.fromkeys(("liquid rate", "gas rate", "liquid volume", "gas volume"), 1e-3)  # in the shown unit
MILLION = 1e6
UNNAMED = "money"  # stands for a currency that the case does not name
FIXED_DECIMALS = {"fraction": 3, "length": 1, "number": 2}


@dataclass(frozen=True)
class Column:
    """A column before it has units: its name in words, its quantity ('' for text or dates) and its values in SI."""

    name: str
    quantity: str
    values: Sequence[Any] | np.ndarray[Any, Any]


@dataclass(frozen=True)
class Style:
    """How tables leave the program: the unit system, headers for people or stable keys, the name of the currency."""

    system: UnitSystem = "field"
    headers: Headers = "words"
    currency: str = "money"

    def header(self, name: str, quantity: str) -> str:
        """Header of a column: 'oil rate (bbl/d)' in words, 'oil_rate_bbl_per_d' as a key."""
        if self.headers == "keys":
            return key(name, quantity, self.system) if quantity else name.replace(" ", "_").replace("-", "_")
        unit, shown = self.unit(quantity), name.replace("npv", "NPV")
        return f"{shown} ({unit})" if unit else shown

    def unit(self, quantity: str) -> str:
        """Unit as printed: the currency for money, 'fraction' for a share, '' for text and plain numbers."""
        if quantity == "money":
            return self.currency or UNNAMED
        if quantity == "fraction":
            return "fraction"
        return QUANTITIES[quantity].label(self.system) if quantity else ""

    @property
    def million(self) -> str:
        """Millions of the currency: 'million EUR'; plain 'million' where the case names none."""
        return "million" if self.currency in ("", UNNAMED) else f"million {self.currency}"

    def sum(self, value: float, signed: bool = False) -> str:
        """A sum of money in a sentence: '21.9 million EUR' from a million on, below '700,000 EUR'."""
        sign = "+" if signed else ""
        if abs(value) >= MILLION:
            return f"{value / MILLION:{sign},.4g} {self.million}"
        return f"{value:{sign},.0f} {self.unit('money')}"

    def value(self, value: Any, quantity: str) -> Any:
        """SI number or array to the shown unit; anything without a quantity passes through."""
        return from_si(value, quantity, self.system) if quantity else value


def frame(columns: Iterable[Column], style: Style) -> pd.DataFrame:
    """A DataFrame in the units and with the headers of a style; `attrs['quantities']` gives header -> quantity."""
    made: dict[str, Any] = {}
    quantities: dict[str, str] = {}
    for column in columns:
        header = style.header(column.name, column.quantity)
        values = np.asarray(column.values, dtype=np.float64) if column.quantity else list(column.values)
        made[header] = style.value(values, column.quantity)
        quantities[header] = column.quantity
    table = pd.DataFrame(made)
    table.attrs["quantities"] = quantities
    return table


def words(name: str) -> str:
    """'oil_rate' to 'oil rate'."""
    return name.replace("_", " ")


def decimals_for(values: Iterable[float], quantity: str) -> int:
    """Decimals that show the largest number of a column with about four digits; the same for the whole column."""
    numbers = np.abs(np.asarray(list(values), dtype=np.float64))
    numbers = numbers[np.isfinite(numbers)]
    largest = float(numbers.max()) if numbers.size else 0.0
    if quantity in FIXED_DECIMALS:
        return FIXED_DECIMALS[quantity]
    most = 3 if quantity == "money" else 6
    if largest < NEGLIGIBLE.get(quantity, 0.0) or largest == 0.0:
        return 0
    return int(np.clip(3 - np.floor(np.log10(largest)), 0, most))


def shown(value: Any, decimals: int) -> str:
    """A number with thousands separators and a fixed count of decimals; '-' where there is none."""
    if value is None or (isinstance(value, float) and not np.isfinite(value)):
        return "-"
    if isinstance(value, int | float | np.floating | np.integer) and not isinstance(value, bool):
        text = f"{float(value):,.{decimals}f}"
        return text[1:] if text.startswith("-") and float(text.replace(",", "")) == 0.0 else text
    return str(value)


def as_text(table: pd.DataFrame) -> pd.DataFrame:
    """The same table with every cell as text, rounded for reading."""
    quantities = table.attrs.get("quantities", {})
    made: dict[str, list[str]] = {}
    for header in table.columns:
        numeric = pd.api.types.is_numeric_dtype(table[header])
        decimals = decimals_for(table[header], quantities.get(header, "")) if numeric else 0
        made[str(header)] = [shown(value, decimals) for value in table[header]]
    return pd.DataFrame(made)
