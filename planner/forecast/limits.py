"""Limits of the case on every report date: value against limit over time, the worst of it, and margins along depth.

Every limit is an input of the case; one that is not given is not checked. Values come from the columns that were
recorded, so that what is shown and what is judged are the same numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import STANDARD_GRAVITY
from planner.forecast.along_string import AlongString
from planner.forecast.flow_limits import erosional_limit, loading_at_top, tubing_limits
from planner.forecast.geometry import StringGeometry
from planner.forecast.recorder import Recorder
from planner.forecast.snapshots import StringStates
from planner.model.case import Case
from planner.model.names import element_names
from planner.model.results import LimitCheck, LimitSeries, margin_of
from planner.network.compile import Network

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Recorded:
    """What the limits of a well are judged by."""

    recorder: Recorder
    net: Network
    at: StringGeometry
    states: StringStates
    along: AlongString

    @classmethod
    def of(cls, recorder: Recorder) -> Recorded:
        """From a recorder, all dates so far."""
        return cls(recorder, recorder.march.network, *recorder.string())

    @property
    def case(self) -> Case:
        """Of the well."""
        return self.net.case

    @property
    def well(self) -> dict[str, Floats]:
        """Rates out of the string [T], also on the first date, and the bottom-hole pressure."""
        return outlet_of(self.recorder, self.states)

    def shut(self) -> NDArray[np.bool_]:
        """Whether each zone is shut off [T, zones]."""
        names = [zone.name for zone in self.net.graph.zones]
        return np.array([[state.get(name) == "shut" for name in names] for state in self.recorder.states])

    def through(self) -> list[list[str]]:
        """Name of what carries the flow, [T][P]: the element, or the straddle inside it."""
        names = [piece.name for piece in self.net.graph.pieces]
        straddles = [straddle.name for straddle in self.at.straddles]
        return [[names[k] if s < 0 else straddles[s] for k, s in enumerate(row)] for row in self.along.inner.tolist()]


def outlet_of(recorder: Recorder, states: StringStates) -> dict[str, Floats]:
    """Surface rates out of the top of the string [T], m3/s, positive in the direction of the well, and its pressure."""
    water, oil, gas = recorder.sign * states.outlet.T
    pressure = np.array(recorder.tables["well"]["bottom_hole_pressure"])
    return {"oil_rate": oil, "water_rate": water, "gas_rate": gas, "bottom_hole_pressure": pressure}


def limit_series(recorder: Recorder) -> tuple[LimitSeries, ...]:
    """Every limit of the case that means something for the well, the one with the least margin first."""
    said = Recorded.of(recorder)
    limits = said.case.limits
    found = [*_drawdowns(said), *_fracture(said), *_seals(said), *_speeds(said)]
    found += [*loading_at_top(said.case, said.net, said.well), *tubing_limits(said.case, said.states, said.well)]
    for name, column, limit, lower in (
        ("water handling", "water_rate", limits.water_handling, False),
        ("oil rate that pays", "oil_rate", limits.oil_rate_economic, True),
    ):
        if limit is not None and not (lower and recorder.march.control.injector):
            values = said.well[column]
            found.append(LimitSeries(name, "well", "liquid rate", values, np.full(len(values), limit), lower))
    return tuple(sorted((one for one in found if np.isfinite(one.value).any()), key=_least))


def checks(series: Iterable[LimitSeries], days: Floats) -> tuple[LimitCheck, ...]:
    """The worst of every limit, and the first day on which it was crossed by more than round-off."""
    return tuple(one.check(one.worst, days) for one in series if one.worst is not None)


def limits_now(recorder: Recorder) -> tuple[LimitCheck, ...]:
    """Every limit at the last state recorded alone, the one with the least margin first."""
    standing = [one for one in limit_series(recorder) if np.isfinite(one.value[-1])]
    found = [one.check(len(one.value) - 1, recorder.days, slice(-1, None)) for one in standing]
    return tuple(sorted(found, key=lambda check: check.margin if np.isfinite(check.margin) else np.inf))


def _least(series: LimitSeries) -> float:
    margin = series.margin
    return float(np.nanmin(margin)) if np.isfinite(margin).any() else np.inf


def _drawdowns(said: Recorded) -> Iterator[LimitSeries]:
    """Rock less bore: of every zone, and of every layer with a limit of its own; not asked of a zone that is shut."""
    case, name = said.case, "drawdown against the sand limit"
    general, own = case.limits.sand_drawdown, [layer.sand_drawdown for layer in case.layers]
    shut = said.shut()
    flowing = said.recorder.sign * np.array(said.recorder.tables["zone"]["drawdown"])
    count = len(shut)
    for k, zone in enumerate(said.net.graph.zones):
        layers = {column.layer for column in said.net.graph.columns if column.zone == k}
        if general is not None and any(own[layer] is None for layer in layers):
            values = np.where(shut[:, k], np.nan, flowing[:, k])
            yield LimitSeries(name, zone.name, "pressure", values, np.full(count, general))
    zone_of = {index: body.zone for index, body in enumerate(said.net.bodies)}
    for k, limit in enumerate(own):
        rows = np.flatnonzero(said.at.face_layer == k)
        if limit is None or not len(rows):
            continue
        values = said.recorder.sign * said.along.face_drawdown[:, rows]
        behind = shut[:, [zone_of[int(said.at.face_body[row])] for row in rows]]
        worst = np.where(behind, -np.inf, values).max(axis=1)
        worst = np.where(np.isfinite(worst), worst, np.nan)
        yield LimitSeries(name, case.layers[k].name, "pressure", worst, np.full(count, limit))


def _fracture(said: Recorded) -> Iterator[LimitSeries]:
    """Pressure at the sandface of every layer of an injector."""
    if not said.recorder.march.control.injector:
        return
    outside = said.along.columns["annulus_pressure"]
    for k, layer in enumerate(said.case.layers):
        limit = layer.fracture_pressure or said.case.limits.fracture_pressure
        pieces = said.at.face_piece[said.at.face_layer == k]
        if limit is not None and len(pieces):
            values = outside[:, pieces].max(axis=1)
            name = "injection below fracture pressure"
            yield LimitSeries(name, layer.name, "pressure", values, np.full(len(values), limit))


def _ratings(case: Case) -> dict[str, float | None]:
    """Differential that each element stands, by name."""
    general = case.limits.seal_differential
    named = zip(element_names(case), case.string, strict=True)
    return {
        name: general if element.differential_rating is None else element.differential_rating for name, element in named
    }


def _differentials(said: Recorded) -> list[Floats]:
    """Pressure across every closure [T], the head between its two sides taken out; nan while nothing closes there."""
    found = []
    states = said.states
    for closure in said.at.closures:
        shut = states.multiplier[:, closure.row] == 0.0
        shut |= (states.linear[:, closure.row] > 0.0) | (states.quadratic[:, closure.row] > 0.0)
        mean = 0.5 * (states.density[:, closure.a] + states.density[:, closure.b])
        across = states.pressure[:, closure.a] - states.pressure[:, closure.b]
        across += STANDARD_GRAVITY * closure.fall * mean
        found.append(np.where(shut, np.abs(across), np.nan))
    return found


def _seals(said: Recorded) -> Iterator[LimitSeries]:
    """Differential across every seal, packer and plug, those of the string and those set later."""
    ratings, values = _ratings(said.case), _differentials(said)
    later = said.case.later_element.differential_rating
    later = said.case.limits.seal_differential if later is None else later
    by_name: dict[str, list[Floats]] = {}
    for closure, across in zip(said.at.closures, values, strict=True):
        for name in closure.names:
            if closure.later:
                ratings[name] = later
            if ratings.get(name) is not None:
                by_name.setdefault(name, []).append(across)
    for name, parts in by_name.items():
        rating = ratings[name]
        assert rating is not None
        worst = np.fmax.reduce(np.array(parts), axis=0)
        yield LimitSeries("differential across seal or plug", name, "pressure", worst, np.full(len(worst), rating))


def _speeds(said: Recorded) -> Iterator[LimitSeries]:
    """Flow through the screens, and velocity in the bore and in straddles, at the worst place on every date."""
    limits, columns = said.case.limits, said.along.columns
    elements = [[piece.name for piece in said.net.graph.pieces]] * len(said.states.wellhead)
    if limits.screen_velocity is not None:
        yield from _worst_place(
            "flow through the screen", columns["screen_velocity"], np.array(limits.screen_velocity), elements
        )
    if limits.bore_velocity is not None:
        yield from _worst_place("flow in the bore", columns["velocity"], np.array(limits.bore_velocity), said.through())
    if limits.erosional_constant is not None:
        allowed = erosional_limit(columns["mixture_density"], limits.erosional_constant)
        yield from _worst_place("erosional velocity in the string", columns["velocity"], allowed, said.through())


def _worst_place(name: str, values: Floats, limit: Floats, where: list[list[str]]) -> Iterator[LimitSeries]:
    """On every date the place [T, P] that is nearest to its limit or furthest beyond."""
    allowed = np.broadcast_to(limit, values.shape)
    margin = np.where(np.isfinite(values), margin_of(values, allowed), np.inf)
    if not np.isfinite(margin).any():
        return
    at = margin.argmin(axis=1)
    rows = np.arange(len(at))
    places = tuple(where[t][k] for t, k in enumerate(at))
    yield LimitSeries(name, "string", "velocity", values[rows, at], allowed[rows, at].copy(), False, places)


def margins_along(recorder: Recorder) -> dict[str, Floats]:
    """Margins by piece [T, P] of the limits that were given: what is left before each, as a share; nan elsewhere."""
    said = Recorded.of(recorder)
    limits, columns, case = said.case.limits, said.along.columns, said.case
    found: dict[str, Floats] = {}
    if limits.screen_velocity is not None:
        found["screen_margin"] = margin_of(columns["screen_velocity"], limits.screen_velocity)
    if limits.bore_velocity is not None:
        found["bore_velocity_margin"] = margin_of(columns["velocity"], limits.bore_velocity)
    if limits.erosional_constant is not None:
        allowed = erosional_limit(columns["mixture_density"], limits.erosional_constant)
        found["erosional_margin"] = margin_of(columns["velocity"], allowed)
    found |= _rock_margins(said)
    seals = _seal_margin(said)
    if seals is not None:
        found["seal_margin"] = seals
    assert all(values.shape == columns["pressure"].shape for values in found.values()), case.title
    return found


def _rock_margins(said: Recorded) -> dict[str, Floats]:
    """Margins to the sand limit and, of an injector, to fracture pressure at the pieces that rock opens to.

    As in the checks: the drawdown of the zone, or of the layer where it has a limit of its own.
    """
    case, found = said.case, {}
    injector = bool(said.recorder.march.control.injector)
    shut = said.shut()
    zone_of = np.array([body.zone for body in said.net.bodies])[said.at.face_body]
    own_limit = np.array([layer.sand_drawdown is not None for layer in case.layers])[said.at.face_layer]
    by_zone = np.array(said.recorder.tables["zone"]["drawdown"])[:, zone_of]
    asked = np.where(own_limit, said.along.face_drawdown, by_zone)
    drawdown = np.where(shut[:, zone_of], np.nan, said.recorder.sign * asked)
    pressure = said.along.columns["annulus_pressure"][:, said.at.face_piece]
    for name, values, general, field, wanted in (
        ("drawdown_margin", drawdown, case.limits.sand_drawdown, "sand_drawdown", True),
        ("fracture_margin", pressure, case.limits.fracture_pressure, "fracture_pressure", injector),
    ):
        own = [getattr(layer, field) for layer in case.layers]
        limit = np.array([np.nan if (v := general if one is None else one) is None else v for one in own])
        if not wanted or not np.isfinite(limit).any():
            continue
        margin = margin_of(values, limit[said.at.face_layer])
        by_piece = np.full(said.along.columns["pressure"].shape, np.nan)
        for k, piece in enumerate(said.at.face_piece):
            by_piece[:, piece] = np.fmin(by_piece[:, piece], margin[:, k])
        found[name] = by_piece
    return found


def _seal_margin(said: Recorded) -> Floats | None:
    """Margin of the seals, packers and plugs at the pieces where they stand."""
    series = {one.where: one.margin for one in _seals(said)}
    if not series:
        return None
    found = np.full(said.along.columns["pressure"].shape, np.nan)
    for closure in said.at.closures:
        for name in closure.names:
            for piece in closure.pieces if name in series else ():
                found[:, piece] = np.fmin(found[:, piece], series[name])
    return found
