"""Draws of all members at once: they depend on the seed, the number of members and the inputs, on nothing else."""

from __future__ import annotations

import zlib
from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import qmc

from planner.base.errors import CaseError, Problem
from planner.base.units import to_si
from planner.model.case import Case
from planner.model.consistency_ranges import drawn_names, normal_correlation
from planner.model.ensemble import Design, Draws, Input
from planner.model.paths import Zones, quantity_at
from planner.model.uncertain import Failure
from planner.uncertainty.chances import failures_of
from planner.uncertainty.correlate import copula, groups, reordered
from planner.uncertainty.distributions import choice_of, quantile_function, time_to_failure

Floats = NDArray[np.float64]
EDGE = 1e-12  # nearest that a share comes to 0 or 1


def inputs_of(case: Case, zones: Zones) -> tuple[Input, ...]:
    """Columns of the draws of a case: ranges, alternatives, failures. Raises CaseError for a path to nowhere."""
    found: list[Input] = []
    for row in case.uncertain:
        quantity = quantity_at(case, row.all_paths[0], zones)
        drawn = "number" if row.acts_as == "multiplier" else quantity
        found.append(Input(row.name, row.acts_as, drawn, row.all_paths))
    for one in case.alternatives:
        found.append(Input(one.name, "alternative", "number", (), tuple(choice.name for choice in one.choices)))
    for failure in failures_of(case, zones):
        found.append(Input(failure.name, "failure", "number" if failure.do == "job fails" else "time"))
    return tuple(found)


def draw(case: Case, members: int, seed: int, zones: Zones, design: Design = "latin hypercube") -> Draws:
    """Draws of a case. zones: zone -> layers, from network.zone_layers.

    Columns of a latin hypercube or of random numbers come from the seed and their own name, so that another input
    leaves them as they are. Sobol numbers are scrambled, best in powers of 2. Raises CaseError where the case has
    nothing that is uncertain.
    """
    inputs = inputs_of(case, zones)
    if not inputs:
        remedy = "Add [[uncertain]] rows, [[alternatives]] or [[failures]] to the case."
        raise CaseError([Problem("", "uncertain", "", "nothing in the case is uncertain", remedy)])
    shares = even_numbers([one.name for one in inputs], members, seed, design)
    notes: list[str] = []
    if design == "sobol" and members & (members - 1):
        notes.append(f"{members} Sobol points are not a power of 2: they cover the ranges less evenly")
    shares = _correlated(case, shares, seed, design, notes)
    return Draws(inputs, values_at(case, shares, zones), seed, design, tuple(notes))


def even_numbers(names: Sequence[str], members: int, seed: int, design: Design) -> Floats:
    """Independent numbers [members, names], even between 0 and 1."""
    if design == "sobol":
        engine = qmc.Sobol(len(names), scramble=True, rng=np.random.default_rng(seed))
        shares = engine.random_base2(max(int(np.ceil(np.log2(members))), 0))[:members]
    elif design == "latin hypercube":
        columns = [qmc.LatinHypercube(1, rng=_rng(seed, name)).random(members)[:, 0] for name in names]
        shares = np.column_stack(columns)
    else:
        shares = np.column_stack([_rng(seed, name).random(members) for name in names])
    return np.clip(shares, EDGE, 1.0 - EDGE)


def values_at(case: Case, shares: Floats, zones: Zones) -> Floats:
    """Drawn values [members, inputs], SI, at shares [members, inputs] of each input's own distribution."""
    columns: list[Floats] = []
    ranges, alternatives = len(case.uncertain), len(case.alternatives)
    for number, row in enumerate(case.uncertain):
        quantity = quantity_at(case, row.all_paths[0], zones)
        columns.append(np.asarray(quantile_function(row, quantity)(shares[:, number]), dtype=np.float64))
    for number, one in enumerate(case.alternatives, start=ranges):
        columns.append(choice_of(np.array([choice.probability for choice in one.choices]), shares[:, number]))
    for number, failure in enumerate(failures_of(case, zones), start=ranges + alternatives):
        columns.append(_failing(failure, shares[:, number]))
    return np.column_stack(columns)


def _failing(failure: Failure, shares: Floats) -> Floats:
    if failure.do == "job fails":
        return (shares >= 1.0 - float(failure.success or 0.0)).astype(np.float64)
    return time_to_failure(failure, shares)


def _correlated(case: Case, shares: Floats, seed: int, design: Design, notes: list[str]) -> Floats:
    """Shares with the correlations of the case put in, group by group."""
    made = shares.copy()
    matrix, known = normal_correlation(case), drawn_names(case)
    for group in groups(matrix):
        wanted = matrix[np.ix_(group, group)]
        names = "|".join(known[k] for k in group)
        if design == "sobol" or len(shares) <= 2 * len(group):
            made[:, group] = copula(shares[:, group], wanted)
        else:
            made[:, group] = reordered(shares[:, group], wanted, _rng(seed, f"order of {names}"))
        if len(shares) <= 2 * len(group) and design != "sobol":
            notes.append("too few members to reorder draws: correlations come from a Gaussian copula")
    return np.clip(made, EDGE, 1.0 - EDGE)


def _rng(seed: int, name: str) -> np.random.Generator:
    return np.random.default_rng(np.random.SeedSequence([seed, zlib.crc32(name.encode())]))


# --- draws that the user brings


def given_draws(case: Case, table: pd.DataFrame, seed: int, zones: Zones) -> Draws:
    """Draws from a table: a row a member, a column an input by name or by path, its unit in the header: 'kh [md]'.

    Inputs of the case that the table does not hold are drawn from the seed. Choices may stand by name. The table's
    attrs may name its 'file'. Raises CaseError with every column that is wrong.
    """
    own = inputs_of(case, zones)
    file = str(table.attrs.get("file", ""))
    problems: list[Problem] = []
    columns: dict[str, tuple[Input, Floats]] = {}
    for header in table.columns:
        try:
            one, values = _column(case, str(header), table[header], own, zones)
            columns[one.name] = (one, values)
        except (CaseError, ValueError) as error:
            text = error.problems[0].message if isinstance(error, CaseError) else str(error)
            remedy = f"Name a range of the case or a path, unit in brackets; ranges: {', '.join(o.name for o in own)}."
            problems.append(Problem(file, f"column {header}", "", text, remedy))
    if table.empty:
        problems.append(Problem(file, "", "", "the table holds no draws", "Give a row a member."))
    if problems:
        raise CaseError(problems)
    notes: tuple[str, ...] = ()
    left = [one.name for one in own if one.name not in columns]
    if left:
        rest = draw(case, len(table), seed, zones)
        columns |= {one.name: (one, rest.column(one.name)) for one in own if one.name in left}
        notes = (f"not in the table of draws, so drawn here: {', '.join(left)}", *rest.notes)
    order = [one.name for one in own] + [name for name in columns if name not in {one.name for one in own}]
    inputs = tuple(columns[name][0] for name in order)
    return Draws(inputs, np.column_stack([columns[name][1] for name in order]), seed, "given", notes)


def _column(
    case: Case, header: str, cells: pd.Series, own: Sequence[Input], zones: Zones
) -> tuple[Input, Floats]:  # fmt: skip
    name, _, unit = header.partition("[")
    name, unit = name.strip(), unit.rstrip("] ").strip()
    one = next((known for known in own if known.name == name), None)
    if one is None:
        one = Input(name, "path", quantity_at(case, name, zones), (name,))
        if not one.quantity:
            raise ValueError("the input is not a number")
    if one.choices and not pd.api.types.is_numeric_dtype(cells):
        unknown = sorted(set(map(str, cells)) - set(one.choices))
        if unknown:
            raise ValueError(f"no choice is called {', '.join(unknown)}; there: {', '.join(one.choices)}")
        return one, np.array([one.choices.index(str(cell)) for cell in cells], dtype=np.float64)
    numbers = pd.to_numeric(cells, errors="coerce").to_numpy(dtype=np.float64)
    if np.isnan(numbers).any():
        raise ValueError(f"row {int(np.flatnonzero(np.isnan(numbers))[0]) + 1} is not a number")
    zero = to_si(0.0, unit, one.quantity) if one.kind == "shift" else 0.0
    return one, np.array([to_si(float(value), unit, one.quantity) - zero for value in numbers])
