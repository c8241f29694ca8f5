"""Bring the ranges of a case to what was measured: by the ensemble smoother or by least squares."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import CaseError, ForecastError, Problem
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.consistency_ranges import drawn_names
from planner.model.ensemble import Draws, Input
from planner.model.match import Match, MatchedParameter, MatchedSeries, MatchMethod, Misfit
from planner.model.measured import Measurement, measurements
from planner.model.paths import put, quantity_at
from planner.network.zone_layers import zone_layers
from planner.uncertainty.fit import NoFit, fit
from planner.uncertainty.identify import coverage_of, directions_of, regressed_slopes, warnings_of
from planner.uncertainty.member_data import TIME_OUT, MemberData
from planner.uncertainty.observe import days_to_report, last_day, predicted
from planner.uncertainty.pool import Asked, Crew
from planner.uncertainty.smoother import TooFewMembers, inflation_factors, smooth
from planner.uncertainty.space import Space, space_of

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]

LOW, HIGH = 5.0, 95.0  # per cent of the members
EDGE = 1.6448536269514722  # normal number of the 95 % point


@dataclass(frozen=True)
class MatchOptions:
    """How to match. rounds, ratio, localise: of the smoother; prior: of least squares, whether the ranges pull."""

    method: MatchMethod = "smoother"
    members: int = 100
    seed: int = 1
    rounds: int = 4
    ratio: float = 1.0
    localise: bool = False
    prior: bool = True
    only: tuple[str, ...] = ()
    time_out: float = TIME_OUT


@dataclass(frozen=True)
class _Found:
    """What a method gives: normal numbers [m, n] and data [m, d] before and after, best, spread and correlation."""

    prior: Floats
    posterior: Floats
    prior_data: Floats
    data: Floats
    best: Floats
    best_data: Floats
    spread: Floats
    correlation: Floats
    jacobian: Floats
    lost: int
    inflation: tuple[float, ...]
    notes: tuple[str, ...]


def match(
    case: Case, options: MatchOptions = MatchOptions(), *, crew: Crew = Crew(),  # noqa: B008 - frozen
    progress: Progress | None = None, cancelled: Asked | None = None,
) -> Match:  # fmt: skip
    """Match the ranges of a case to its measurements.

    The result depends on the case, the options and the seed, not on the crew. Raises CaseError where there is nothing
    to match or to match by, ForecastError where too few members could be computed, Cancelled.
    """
    began = time.perf_counter()
    if case.measured is None:
        remedy = "Give [measured] with a file of measurements; 'inspect' shows what a file holds."
        raise CaseError([Problem("", "measured", "", "the case has no measurements to match", remedy)])
    if options.method == "smoother" and options.members < 10:
        remedy = "Use at least 10, better 100."
        raise CaseError([Problem("", "members", str(options.members), "too few members for a smoother", remedy)])
    rows = measurements(case.measured)
    space = space_of(case, zone_layers(case), options.only)
    _try(space, rows)
    runs = MemberData(space, rows, crew, _expected(options, len(space.inputs)), progress, cancelled, options.time_out)
    try:
        found = _smoothed(space, rows, options, runs) if options.method == "smoother" else _fitted(
            space, rows, options, runs)  # fmt: skip
    finally:
        runs.close()
    return _record(case, space, rows, options, found, runs, began)


def _try(space: Space, rows: tuple[Measurement, ...]) -> None:
    """One forecast in the middle of the ranges, so that what is wrong with all members is told before any work."""
    middle = space.case_at(np.zeros(len(space.inputs)))
    found = forecast(middle, until=last_day(rows, middle), also=days_to_report(rows))
    predicted(middle, found, rows)


def _expected(options: MatchOptions, count: int) -> int:
    """Forecasts that the work may take."""
    if options.method == "smoother":
        return options.members * (options.rounds + 1) + 1
    return 10 * (2 * count + 1) + 2 * options.members


def _data(rows: tuple[Measurement, ...]) -> tuple[Floats, Floats]:
    return np.array([row.value for row in rows]), np.array([row.error for row in rows])


def _smoothed(space: Space, rows: tuple[Measurement, ...], options: MatchOptions, runs: MemberData) -> _Found:
    data, error = _data(rows)
    rng = np.random.default_rng(options.seed)
    factors = inflation_factors(options.rounds, options.ratio)
    first = space.prior(options.members, rng)
    try:
        found = smooth(first, runs, data, error, factors, rng, options.localise)
    except TooFewMembers as reason:
        raise ForecastError(f"{reason}. {_most_common(runs.failures)}") from None
    best = found.posterior.mean(axis=0)
    best_data = runs(best[None, :])[0]
    notes = () if np.isfinite(best_data).all() else ("the forecast of the mean of the members failed",)
    spread = found.posterior.std(axis=0, ddof=1)
    jacobian = regressed_slopes(found.prior, found.prior_data, error)
    return _Found(
        found.prior, found.posterior, found.prior_data, found.posterior_data, best, best_data, spread,
        _correlation(np.cov(found.posterior, rowvar=False).reshape(len(best), len(best))), jacobian, found.lost,
        tuple(float(one) for one in factors), notes,
    )  # fmt: skip


def _fitted(space: Space, rows: tuple[Measurement, ...], options: MatchOptions, runs: MemberData) -> _Found:
    data, error = _data(rows)
    rng = np.random.default_rng(options.seed)
    try:
        found = fit(runs, data, error, space.correlation, options.prior)
    except NoFit as reason:
        raise ForecastError(f"{reason}. {_most_common(runs.failures)}") from None
    spread = np.sqrt(np.diag(found.covariance))
    notes = [f"least squares ended after {found.evaluations} rounds: {found.message}"]
    if np.any(np.abs(found.best) > 3.9):
        at = [name for name, z in zip(space.names, found.best, strict=True) if abs(z) > 3.9]
        notes.append(f"at the end of its range: {', '.join(at)}")
    if options.members == 0:
        start = np.zeros((1, len(found.best)))
        return _Found(
            start, found.best[None, :], runs(start), found.data[None, :], found.best, found.data, spread,
            _correlation(found.covariance), found.jacobian, 0, (), tuple(notes),
        )  # fmt: skip
    notes.append("the members after matching come from the slopes at the best point, as if data were linear in it")
    before = space.prior(options.members, rng)
    after = found.best + rng.standard_normal(before.shape) @ np.linalg.cholesky(found.covariance).T
    prior_data, posterior_data = runs(before), runs(after)
    good = np.isfinite(prior_data).all(axis=1) & np.isfinite(posterior_data).all(axis=1)
    if not good.any():
        raise ForecastError(f"no member could be computed. {_most_common(runs.failures)}")
    return _Found(
        before[good], after[good], prior_data[good], posterior_data[good], found.best, found.data, spread,
        _correlation(found.covariance), found.jacobian, int((~good).sum()), (), tuple(notes),
    )  # fmt: skip


def _most_common(failures: dict[str, int]) -> str:
    if not failures:
        return ""
    why = max(failures, key=lambda one: failures[one])
    return f"Most often: {why}"


def _correlation(covariance: Floats) -> Floats:
    size = np.sqrt(np.maximum(np.diag(covariance), 1e-300))
    return np.asarray(covariance / np.outer(size, size), dtype=np.float64)


# --- the record


def _record(
    case: Case, space: Space, rows: tuple[Measurement, ...], options: MatchOptions, found: _Found, runs: MemberData,
    began: float,
) -> Match:  # fmt: skip
    data, error = _data(rows)
    parameters = _parameters(space, options, found)
    rng = np.random.default_rng(options.seed + 1)
    misfits = _misfits(rows, found, data, error, rng)
    directions = directions_of(found.jacobian, space.names, space.correlation)
    overall = tuple(
        float(np.mean(((part - data) / error) ** 2)) for part in (found.prior_data, found.data, found.best_data)
    )
    members = len(found.posterior) if options.members else 0
    warnings = warnings_of(
        parameters, found.correlation, directions, misfits, (overall[0], overall[1], overall[2]), members, data.size
    )
    if runs.failures:
        total = sum(runs.failures.values())
        warnings.append(f"{total} forecasts failed and were left out. {_most_common(runs.failures)}")
    draws = _draws(case, space, found.posterior, options.seed)
    return Match(
        case=matched_case(case, space, found.best), method=options.method, seed=options.seed, parameters=parameters,
        misfits=misfits, series=_series(rows, found), directions=directions, correlation=found.correlation,
        prior=space.values(found.prior), posterior=space.values(found.posterior), draws=draws, data=rows,
        members=members, lost=found.lost, failures=dict(runs.failures), forecasts=runs.done,
        seconds=time.perf_counter() - began, inflation=found.inflation,
        overall=(overall[0], overall[1], overall[2]), warnings=tuple(warnings),
        coverage=tuple(coverage_of(case, rows, tuple(space.zones))), notes=(*space.notes, *found.notes),
    )  # fmt: skip


def matched_case(case: Case, space: Space, best: Floats) -> Case:
    """The case with the best values put in place of the matched ranges; the other ranges stay."""
    values = dict(zip(space.paths(), (float(one) for one in space.numbers_at(best)), strict=True))
    made = put(case, values, space.zones)
    kept = tuple(row for row in case.uncertain if row.name in space.others)
    left = set(drawn_names(case)) - set(space.names)
    pairs = tuple(one for one in case.correlation if set(one.between) <= left)
    title = f"{case.title}, matched" if case.title else "matched"
    return made.model_copy(update={"uncertain": kept, "correlation": pairs, "title": title})


def _draws(case: Case, space: Space, posterior: Floats, seed: int) -> Draws:
    """Members by path, as the ensemble takes them: what each member's case holds."""
    inputs = tuple(Input(path, "path", quantity_at(case, path), (path,)) for path in space.paths())
    return Draws(inputs, np.array([space.numbers_at(z) for z in posterior]), seed, "given")


def _parameters(space: Space, options: MatchOptions, found: _Found) -> tuple[MatchedParameter, ...]:
    count = len(space.inputs)
    before = [space.values(np.full(count, z)) for z in (-EDGE, 0.0, EDGE)]
    if options.method == "smoother":
        values = space.values(found.posterior)
        after = [np.percentile(values, share, axis=0) for share in (LOW, 50.0, HIGH)]
    else:
        after = [space.values(found.best + z * found.spread) for z in (-EDGE, 0.0, EDGE)]
    best = space.values(found.best)
    edges = np.array([*before, *after, best])
    return tuple(
        MatchedParameter(
            name=one.name, quantity=one.quantity, acts_as=one.kind, prior_low=float(edges[0, k]),
            prior_mid=float(edges[1, k]), prior_high=float(edges[2, k]), low=float(edges[3, k]),
            mid=float(edges[4, k]), high=float(edges[5, k]), best=float(edges[6, k]),
            told=float(1.0 - found.spread[k]),
        )
        for k, one in enumerate(space.inputs)
    )  # fmt: skip


def _groups(rows: tuple[Measurement, ...]) -> dict[tuple[str, str], list[int]]:
    groups: dict[tuple[str, str], list[int]] = {}
    for k, row in enumerate(rows):
        groups.setdefault((row.kind, row.zone), []).append(k)
    return groups


def _misfits(
    rows: tuple[Measurement, ...], found: _Found, data: Floats, error: Floats, rng: np.random.Generator
) -> tuple[Misfit, ...]:
    noisy = found.prior_data + error * rng.standard_normal(found.prior_data.shape)
    low, high = np.percentile(noisy, LOW, axis=0), np.percentile(noisy, HIGH, axis=0)
    if len(noisy) < 10:
        low, high = np.full_like(data, -np.inf), np.full_like(data, np.inf)
    inside = (data >= low) & (data <= high)

    def size(part: Floats, at: list[int]) -> float:
        return float(np.mean(((part[..., at] - data[at]) / error[at]) ** 2))

    return tuple(
        Misfit(kind, zone, len(at), size(found.prior_data, at), size(found.data, at), size(found.best_data, at),
               float(inside[at].mean()))
        for (kind, zone), at in _groups(rows).items()
    )  # fmt: skip


def _series(rows: tuple[Measurement, ...], found: _Found) -> tuple[MatchedSeries, ...]:
    made = []
    for (kind, zone), at in _groups(rows).items():
        some = [rows[k] for k in at]
        before = np.percentile(found.prior_data[:, at], (LOW, 50.0, HIGH), axis=0)
        after = np.percentile(found.data[:, at], (LOW, 50.0, HIGH), axis=0)
        made.append(
            MatchedSeries(
                kind=kind, zone=zone, quantity=some[0].quantity,
                dates=np.array([row.date for row in some], dtype="datetime64[D]"),
                measured=np.array([row.value for row in some]), error=np.array([row.error for row in some]),
                prior_low=before[0], prior_mid=before[1], prior_high=before[2],
                low=after[0], mid=after[1], high=after[2], best=found.best_data[at],
            )
        )  # fmt: skip
    return tuple(made)
