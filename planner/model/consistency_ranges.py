"""Checks of ranges, correlations, alternatives and failures."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from planner.base.errors import CaseError, Problem
from planner.model.case import Case
from planner.model.consistency_parts import Show, problem, unknown_name
from planner.model.consistency_plan import SEALING, doubled, set_later
from planner.model.names import element_names
from planner.model.paths import Plus, Times, expand, put, quantity_at
from planner.model.uncertain import Failure, Uncertain, amount, amounts

# Paths reach everywhere, so the ranges are judged once the whole case is good by itself.
ALL_OF_IT = " ".join(Case.model_fields)
Z10, Z01 = 1.2815515655446004, 2.3263478740408408  # normal numbers exceeded with 10 % and 1 %
UNEVEN = 0.01  # of P10 less P90, by which the P50 of a normal range may lie off the middle
JOBS = ("shut zone", "open zone", "set plug", "set straddle", "choke zone", "set skin", "change lift", "change control")
CLOSED = (
    "schedule",
    "uncertain",
    "correlation",
    "alternatives",
    "failures",
    "units",
)  # parts that a draw may not touch
_NEEDS: dict[str, tuple[str, ...]] = {
    "leak seal": ("element", "conductance"),
    "plug screen": ("zone",),
    "lose support": ("support",),
    "job fails": ("job", "success"),
}


def names(case: Case, show: Show) -> Iterator[Problem]:
    """Ranges, alternatives and failures have names of their own, none shared, since each names a column of draws."""
    seen: set[str] = set()
    for part, given in (
        ("uncertain", [one.name for one in case.uncertain]),
        ("alternatives", [one.name for one in case.alternatives]),
        ("failures", [one.name for one in case.failures]),
    ):
        yield from doubled(part, "ranges" if part == "uncertain" else part, given)
        for number, name in enumerate(given, start=1):
            if name in seen:
                message = "a range, an alternative and a failure may not share a name"
                yield problem(f"{part}[{number}].name", message, "Give each a name of its own.", name)
        seen |= set(given)


def ranges(case: Case, show: Show) -> Iterator[Problem]:
    """Each range leads to inputs of one quantity and has the parameters of its kind, in order."""
    taken: dict[str, str] = {}
    for number, row in enumerate(case.uncertain, start=1):
        place = f"uncertain[{number}]"
        if bool(row.path) == bool(row.paths):
            yield problem(place, f"'{row.name}' needs either path or paths", "Name the input that it is the range of.")
            continue
        quantities = []
        for path in row.all_paths:
            if path.strip().split(".")[0] in CLOSED:
                yield problem(f"{place}.path", "this part of the case cannot be a range", "Choose an input.", path)
                continue
            try:
                inputs = expand(case, path, _zones(case))
                quantities += [quantity_at(case, one) for one in inputs]
            except CaseError as error:
                yield from (problem(f"{place}.path", one.message, one.remedy, path) for one in error.problems)
                continue
            before = next((taken[one] for one in inputs if one in taken), "")
            if before and row.acts_as == "value":
                message = f"'{before}' acts on the same input, and '{row.name}' would undo it"
                remedy = 'Leave one out, or let the later one act as "multiplier" or "shift".'
                yield problem(f"{place}.path", message, remedy, path)
            taken |= dict.fromkeys(inputs, row.name)
        if len(set(quantities)) > 1 and row.acts_as != "multiplier":
            message = f"'{row.name}' has inputs of {' and '.join(sorted(set(quantities)))}"
            yield problem(f"{place}.paths", message, 'Split it, or say acts_as = "multiplier".')
        elif "" in quantities:
            yield problem(f"{place}.path", "the input is not a number", "Use an alternative for words and yes or no.")
        elif quantities:
            wrong = list(_parameters(place, row, quantities[0]))
            yield from wrong or _beyond(case, place, row, quantities[0])


def _zones(case: Case) -> dict[str, list[str]]:
    """Zones as far as they can be told without the string: any layer, to see whether a key is there."""
    layers = [layer.name for layer in case.layers]
    return dict.fromkeys(case.zones or [f"zone {k}" for k in range(1, len(case.string) + 1)], layers)


def _parameters(place: str, row: Uncertain, quantity: str) -> Iterator[Problem]:
    try:
        given = amounts(row, quantity)
        listed = [amount(one, quantity, row.acts_as) for one in (*row.values, *(r.value for r in row.table))]
    except ValueError as error:
        message, _, remedy = str(error).partition("; ")
        yield problem(place, f"'{row.name}': {message}", remedy[:1].upper() + remedy[1:] or "Correct the value.")
        return
    wrong = _wrong(row, given, listed)
    if wrong is not None:
        yield problem(place, f"'{row.name}' ({row.kind}): {wrong[0]}", wrong[1])


def _beyond(case: Case, place: str, row: Uncertain, quantity: str) -> Iterator[Problem]:
    """Ends of a range that an input does not take, so that members would fail one by one."""
    low, high = _ends(row, quantity)
    for words, value in (("down to", low), ("up to", high)):
        if not math.isfinite(value):
            continue
        new = Times(value) if row.acts_as == "multiplier" else Plus(value) if row.acts_as == "shift" else value
        try:
            put(case, dict.fromkeys(row.all_paths, new), _zones(case))
        except CaseError as error:
            bad = error.problems[0]
            cut = "Cut it off with at_least or at_most." if row.kind in ("normal", "lognormal") else "Narrow the range."
            message = f"'{row.name}' goes {words} what {bad.place} does not take: {bad.message}"
            yield problem(f"{place}.path", message, cut, row.all_paths[0])


def _ends(row: Uncertain, quantity: str) -> tuple[float, float]:
    """Least and largest value of a range, SI; of a bell one draw in a hundred lies beyond. nan: not told."""
    given = amounts(row, quantity)
    listed = [amount(one, quantity, row.acts_as) for one in (*row.values, *(r.value for r in row.table))]
    if listed:
        return min(listed), max(listed)
    if row.kind not in ("normal", "lognormal"):
        return given["low"], given["high"]
    low, high = _bell_ends(row.kind, given)
    return given.get("at_least", low), given.get("at_most", high)


def _bell_ends(kind: str, given: dict[str, float]) -> tuple[float, float]:
    """Values below and above which one draw in a hundred lies; nan for a lognormal with a location."""
    if kind == "lognormal":
        if "mean" in given:
            spread = math.log1p((given["sd"] / given["mean"]) ** 2)
            mean, sd = math.log(given["mean"]) - 0.5 * spread, math.sqrt(spread)
            return math.exp(mean - Z01 * sd), math.exp(mean + Z01 * sd)
        if {"p90", "p50", "p10"} <= set(given):
            return math.nan, math.nan
        low, high = _bell_ends("normal", {name: math.log(value) for name, value in given.items()})
        return math.exp(low), math.exp(high)
    if "mean" in given:
        return given["mean"] - Z01 * given["sd"], given["mean"] + Z01 * given["sd"]
    at = {"p90": -Z10, "p50": 0.0, "p10": Z10}
    first, *_, last = [name for name in at if name in given]
    sd = (given[last] - given[first]) / (at[last] - at[first])
    mean = given[first] - sd * at[first]
    return mean - Z01 * sd, mean + Z01 * sd


def _wrong(row: Uncertain, given: dict[str, float], listed: list[float]) -> tuple[str, str] | None:
    """What is wrong with the parameters of a range, and the remedy; None where nothing is."""
    if row.kind in ("normal", "lognormal"):
        return _wrong_bell(row, given)
    if "at_least" in given or "at_most" in given:
        return "only a normal or lognormal range is cut off", "Leave out at_least and at_most."
    if row.kind == "uniform" or row.kind == "triangular":
        need = ("low", "high") if row.kind == "uniform" else ("low", "likely", "high")
        if not set(need) <= set(given):
            return f"needs {', '.join(need)}", f"Give {', '.join(need)}."
        inside = given.get("likely", given["low"])
        if not (given["low"] < given["high"] and given["low"] <= inside <= given["high"]):
            return "low, likely and high are not in this order", "Swap or correct them."
        return None
    if row.kind == "discrete":
        if len(listed) < 2 or (row.weights and len(row.weights) != len(listed)):
            return "needs two or more values, and no weights or one for each", "Give values = [ ... ]."
        return None
    below = [one.below for one in row.table]
    if len(listed) < 2 or below[0] != 0.0 or below[-1] != 1.0:
        return "the table must begin with below = 0 and end with below = 1", "Give the least and the largest value."
    if any(b <= a for a, b in pairwise(listed)) or any(b < a for a, b in pairwise(below)):
        return "values and probabilities of the table must rise", "List the rows from low to high."
    return None


def _wrong_bell(row: Uncertain, given: dict[str, float]) -> tuple[str, str] | None:
    percentiles = [name for name in ("p90", "p50", "p10") if name in given]
    moments = [name for name in ("mean", "sd") if name in given]
    if bool(percentiles) == bool(moments) or len(percentiles) == 1 or len(moments) == 1:
        return "needs two or three of p90, p50, p10, or mean and sd", "Give one or the other."
    order = [given[name] for name in percentiles]
    if any(b <= a for a, b in pairwise(order)):
        return "p90 is the low case, p10 the high one: they must rise from p90 to p10", "Swap or correct them."
    if moments and given["sd"] <= 0.0:
        return "sd must be above 0", "Correct the spread."
    if row.kind == "lognormal" and len(percentiles) != 3 and min([*order, given.get("mean", 1.0)]) <= 0.0:
        return "a lognormal range has positive values alone", "Use normal, or give all of p90, p50 and p10."
    if row.kind == "normal" and len(percentiles) == 3:
        off = abs(given["p50"] - 0.5 * (given["p90"] + given["p10"]))
        if off > UNEVEN * (given["p10"] - given["p90"]):
            remedy = 'Use kind = "lognormal", which then meets all three, or a table.'
            return "p50 does not lie midway between p90 and p10, as a normal range has it", remedy
    if given.get("at_least", -math.inf) >= given.get("at_most", math.inf):
        return "at_least is not below at_most", "Swap or correct them."
    return None


def choices(case: Case, show: Show) -> Iterator[Problem]:
    """Probabilities of alternatives come to 1; what they set is there and takes the value."""
    for number, row in enumerate(case.alternatives, start=1):
        place = f"alternatives[{number}]"
        total = sum(one.probability for one in row.choices)
        if abs(total - 1.0) > 1e-6:
            message = f"the probabilities of '{row.name}' come to {total:.6g}, not to 1"
            yield problem(f"{place}.choices", message, "Correct them; exactly one choice holds.")
        yield from doubled(f"{place}.choices", f"choices of '{row.name}'", [one.name for one in row.choices])
        for count, one in enumerate(row.choices, start=1):
            for path in one.set:
                if path.strip().split(".")[0] in CLOSED:
                    where = f"{place}.choices[{count}].set"
                    yield problem(where, "an alternative cannot change this part of the case", "Choose an input.", path)
            try:
                put(case, one.set, _zones(case))
            except CaseError as error:
                where = f"{place}.choices[{count}].set"
                yield from (problem(where, f"{bad.place}: {bad.message}", bad.remedy) for bad in error.problems)


def correlations(case: Case, show: Show) -> Iterator[Problem]:
    """Correlations join two different inputs once, and can all hold together."""
    known = drawn_names(case)
    seen: set[frozenset[str]] = set()
    good = True
    for number, row in enumerate(case.correlation, start=1):
        place = f"correlation[{number}]"
        pair = frozenset(row.between)
        bad = [
            unknown_name(f"{place}.between", "range, alternative or failure", name, known)
            for name in row.between
            if name not in known
        ]
        if len(pair) == 1 or pair in seen:
            bad.append(problem(f"{place}.between", "two different inputs are joined, each pair once", "Correct it."))
        if (row.rank is None) == (row.normal is None):
            bad.append(problem(place, "needs either rank or normal", "Give one of them."))
        seen.add(pair)
        good = good and not bad
        yield from bad
    if good and case.correlation:
        least = float(np.linalg.eigvalsh(normal_correlation(case)).min())
        if least < -1e-9:
            message = "the correlations contradict one another (their matrix has a negative eigenvalue)"
            yield problem(
                "correlation", message, "Bring the strong ones nearer to 0, or leave one out.", f"{least:.3g}"
            )


def drawn_names(case: Case) -> list[str]:
    """Names of what correlations may join, in the order of the columns of draws: ranges, alternatives, failures."""
    return [one.name for part in (case.uncertain, case.alternatives, case.failures) for one in part]


def normal_correlation(case: Case) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Correlation matrix of the normals behind the draws, in the order of `drawn_names`.

    A rank correlation r goes with a correlation of normals of 2 sin(pi r / 6) (Pearson 1907; in Iman and Conover
    1982, A distribution-free approach to inducing rank correlation among input variables, Comm. Stat. B11).
    """
    names_of = drawn_names(case)
    matrix = np.eye(len(names_of))
    for row in case.correlation:
        i, j = (names_of.index(name) for name in row.between)
        value = row.normal if row.normal is not None else 2.0 * math.sin(math.pi * float(row.rank or 0.0) / 6.0)
        matrix[i, j] = matrix[j, i] = value
    return matrix


def failures(case: Case, show: Show) -> Iterator[Problem]:
    """Each failure has what its kind needs, and names what exists."""
    sealing = [n for n, e in zip(element_names(case), case.string, strict=True) if e.kind in SEALING]
    for number, row in enumerate(case.failures, start=1):
        place = f"failures[{number}]"
        missing = [key for key in _NEEDS[row.do] if getattr(row, key) in (None, "")]
        if missing:
            yield problem(place, f"'{row.name}' ({row.do}) lacks {', '.join(missing)}", f"Give {', '.join(missing)}.")
        yield from _chance(place, row)
        wanted = (
            ("element", "seal, packer or plug", row.element, [*sealing, *set_later(case)]),
            ("support", "support", row.support, list(case.supports)),
            ("zone", "zone", row.zone if case.zones else "", list(case.zones)),
            ("job", "job", row.job, list(JOBS)),
        )
        for key, kind, name, known in wanted:
            if name and name not in known:
                yield unknown_name(f"{place}.{key}", kind, name, known)
        if row.do == "plug screen" and row.remaining <= 0.0:
            yield problem(f"{place}.remaining", "a plugged screen keeps a share above 0", "Give a share such as 0.1.")


def _chance(place: str, row: Failure) -> Iterator[Problem]:
    given = [key for key in ("rate", "scale") if getattr(row, key) is not None]
    if row.do == "job fails":
        if given:
            yield problem(place, "a job fails when it is done: no rate, no scale", "Give success = its chance alone.")
    elif row.success is not None:
        yield problem(f"{place}.success", "success is for jobs", "Give rate (a year) or scale and shape.")
    elif len(given) != 1 or (row.scale is not None and row.scale <= 0.0):
        yield problem(place, "needs either rate (failures a year) or scale (a time above 0)", "Give one of them.")
