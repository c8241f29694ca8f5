"""Limits of the case checked on every report date: worst value, when, and the first day beyond."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import STANDARD_GRAVITY
from planner.forecast.march import March
from planner.forecast.recorder import Recorder
from planner.model.names import element_names
from planner.model.results import LimitCheck

Floats = NDArray[np.float64]


class LimitWatch:
    """Differentials across seals, packers and plugs are gathered during the march, the rest is read afterwards."""

    def __init__(self, march: March) -> None:
        self.march = march
        self.rows: list[dict[str, float]] = []
        case = march.network.case
        self.ratings = {
            name: rating for name, element in zip(element_names(case), case.string, strict=True)
            if (rating := element.differential_rating or case.limits.seal_differential) is not None
        }  # fmt: skip

    def record(self) -> None:
        """Differentials now, by element; the head of the fluid between the two nodes is taken out."""
        march = self.march
        net = march.network
        now: dict[str, float] = {}
        for link in net.graph.links:
            if link.kind not in ("bore", "seal"):
                continue
            row = net.rows_of_link[link.index][0]
            if march.switches.multiplier[row] != 0.0 and march.switches.linear[row] == 0.0:
                continue
            a, b = int(net.links.a[row]), int(net.links.b[row])
            head = STANDARD_GRAVITY * net.links.fall[row] * 0.5 * (march.work.mixture[a, 0] + march.work.mixture[b, 0])
            difference = abs(float(march.x[a, 0] - march.x[b, 0] + head))
            for name in link.elements or (self._later(link.index),):
                now[name] = max(now.get(name, 0.0), difference)
        self.rows.append(now)

    def _later(self, link: int) -> str:
        """Name of what a job has set in a blank pipe."""
        net = self.march.network
        name = f"plug or packer in {net.graph.blank_at(link).name}"
        self.ratings.setdefault(name, net.case.later_element.differential_rating)
        return name

    def checks(self, recorder: Recorder) -> tuple[LimitCheck, ...]:
        """All limits that the case gives, worst first."""
        case = self.march.network.case
        limits = case.limits
        tables = recorder.columns()
        days = recorder.days
        out: list[LimitCheck] = []
        zones = [zone.name for zone in self.march.network.graph.zones]
        elements = [piece.name for piece in self.march.network.graph.pieces]
        if limits.sand_drawdown is not None:
            shut = np.array([[state.get(zone) == "shut" for zone in zones] for state in recorder.states])
            drawdown = np.where(shut, 0.0, tables["zone"]["drawdown"])
            out += _each("drawdown against the sand limit", zones, "pressure", limits.sand_drawdown, drawdown, days)
        if limits.screen_velocity is not None:
            speed = np.nan_to_num(tables["piece"]["screen_velocity"])
            out += _worst_piece("flow through the screen", elements, "velocity", limits.screen_velocity, speed, days)
        if limits.bore_velocity is not None:
            speed = np.nan_to_num(tables["piece"]["velocity"])
            out += _worst_piece("flow in the bore", elements, "velocity", limits.bore_velocity, speed, days)
        if limits.fracture_pressure is not None and self.march.control.injector:
            out += _worst_piece(
                "injection below fracture pressure",
                elements,
                "pressure",
                limits.fracture_pressure,
                tables["piece"]["pressure"],
                days,
            )
        if limits.water_handling is not None:
            out += _each(
                "water handling",
                ["well"],
                "liquid rate",
                limits.water_handling,
                tables["well"]["water_rate"][:, None],
                days,
            )
        for name in dict.fromkeys(name for row in self.rows for name in row):
            if name in self.ratings:
                values = np.array([row.get(name, 0.0) for row in self.rows])
                out += _each(
                    "differential across seal or plug", [name], "pressure", self.ratings[name], values[:, None], days
                )
        return tuple(sorted(out, key=lambda check: check.margin))


def _each(name: str, where: list[str], quantity: str, limit: float, values: Floats, days: Floats) -> list[LimitCheck]:
    """One check for every column of values [T, places]."""
    return [_check(name, place, quantity, limit, values[:, k], days) for k, place in enumerate(where)]


def _worst_piece(
    name: str, where: list[str], quantity: str, limit: float, values: Floats, days: Floats
) -> list[LimitCheck]:
    """One check at the piece where the value is largest, over all time."""
    if values.size == 0:
        return []
    place = int(np.argmax(values.max(axis=0)))
    return [_check(name, where[place], quantity, limit, values[:, place], days)]


def _check(name: str, where: str, quantity: str, limit: float, values: Floats, days: Floats) -> LimitCheck:
    at = int(np.argmax(values))
    over = np.nonzero(values > limit * (1.0 + 1e-9))[0]
    first = float(days[over[0]]) if len(over) else float("nan")
    return LimitCheck(name, where, quantity, limit, float(values[at]), float(days[at]), first)
