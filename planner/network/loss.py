"""Loss coefficients of a flow path, part by part."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Loss(NamedTuple):
    """A linear and a quadratic loss coefficient of a flow path."""

    linear: float
    quadratic: float


Parts = dict[str, Loss]


def total(parts: Mapping[str, Loss]) -> Loss:
    """Losses in series."""
    return Loss(sum(one.linear for one in parts.values()), sum(one.quadratic for one in parts.values()))
