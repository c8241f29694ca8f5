"""What an ensemble says as tables for people, and as a table with stable keys for files."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import pandas as pd

from planner.base.units import QUANTITIES
from planner.model.ensemble import Convergence, Draws, Duel, Findings, Flip, Input, Range, Swing, VarianceShare
from planner.report.frames import Column, Style, decimals_for, frame, shown, words
from planner.report.tables import keys_for

MILLION = 1e6
FEW = 8  # bars of the tornado and rows of other lists that are shown


def name_of(figure: str) -> str:
    """'oil_volume' as 'oil volume', 'npv' as 'NPV'."""
    return "NPV" if figure == "npv" else words(figure)


def title_of(figure: str) -> str:
    """The same at the head of a line: 'Oil volume'."""
    name = name_of(figure)
    return name[:1].upper() + name[1:]


def in_style(values: Iterable[float], quantity: str, style: Style) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """SI numbers in the shown unit; money in millions."""
    numbers = np.asarray(list(values), dtype=np.float64)
    return numbers / MILLION if quantity == "money" else np.asarray(style.value(numbers, quantity))


def unit_of(quantity: str, style: Style) -> str:
    """Unit as printed, money in millions."""
    if quantity == "money":
        return style.million
    return "" if quantity in ("", "number") else style.unit(quantity)


def ranges_for_reading(ranges: Sequence[Range], style: Style) -> pd.DataFrame:
    """Ranges of one figure, a row a what-if: each percentile with its band, the mean with its standard error."""
    quantity = ranges[0].quantity if ranges else ""
    decimals = decimals_for([0.0, *in_style((one.p10 for one in ranges), quantity, style)], quantity)

    def text(value: float) -> str:
        return shown(float(in_style([value], quantity, style)[0]), decimals)

    made: dict[str, list[str]] = {"what-if": [one.what_if for one in ranges]}
    for name in ("p90", "p50", "p10"):
        made[f"{name.upper()} (90 % band)"] = [
            f"{text(getattr(one, name))} ({' to '.join(map(text, getattr(one, f'{name}_band')))})" for one in ranges
        ]
    made["mean (standard error)"] = [f"{text(one.mean)} ({text(one.mean_error)})" for one in ranges]
    if len({one.members for one in ranges}) > 1:
        made["members"] = [str(one.members) for one in ranges]
    return pd.DataFrame(made)


def duels_for_reading(duels: Sequence[Duel], style: Style) -> pd.DataFrame:
    """What-if against what-if by one figure."""
    quantity = duels[0].quantity if duels else ""
    gains = {
        f"{label} gain": in_style((getattr(one, name) for one in duels), quantity, style)
        for label, name in (("mean", "gain_mean"), ("P90", "gain_p90"), ("P50", "gain_p50"), ("P10", "gain_p10"))
    }
    decimals = decimals_for(np.concatenate([np.zeros(1), *gains.values()]), quantity)
    return pd.DataFrame(
        {
            "what-if": [one.one for one in duels],
            "against": [one.other for one in duels],
            "probability of more": [f"{one.probability:.0%}" for one in duels],
            "90 % band": [f"{one.band[0]:.0%} to {one.band[1]:.0%}" for one in duels],
            "alike": [f"{one.alike:.0%}" for one in duels],
            **{name: [shown(float(value), decimals) for value in values] for name, values in gains.items()},
        }
    )


def swings_for_reading(swings: Sequence[Swing], quantity: str, inputs: Sequence[Input], style: Style) -> pd.DataFrame:
    """Tornado of one figure as a table, widest first."""
    low = in_style((one.low for one in swings), quantity, style)
    high = in_style((one.high for one in swings), quantity, style)
    error = in_style((one.error for one in swings), quantity, style)
    decimals = decimals_for(np.concatenate([np.zeros(1), low, high]), quantity)
    return pd.DataFrame(
        {
            "input": [one.input for one in swings],
            "low draw": [draw_text(one.input, one.low_draw, inputs, style) for one in swings],
            "high draw": [draw_text(one.input, one.high_draw, inputs, style) for one in swings],
            "figure at low": [shown(float(value), decimals) for value in low],
            "figure at high": [shown(float(value), decimals) for value in high],
            "swing": [shown(float(b - a), decimals) for a, b in zip(low, high, strict=True)],
            "error": ["-" if one.method == "runs" else shown(float(e), decimals)
                      for one, e in zip(swings, error, strict=True)],
        }
    )  # fmt: skip


def shares_for_reading(shares: Sequence[VarianceShare]) -> pd.DataFrame:
    """Shares of the variance of one figure."""
    made = {
        "input": [one.input for one in shares],
        "by itself": [share_text(one.first) for one in shares],
        "error": [f"{one.first_error:.2f}" for one in shares],
    }
    if any(np.isfinite(one.total) for one in shares):
        made |= {
            "with all interplay": [share_text(one.total) for one in shares],
            "its error": [f"{one.total_error:.2f}" for one in shares],
        }
    return pd.DataFrame(made)


def share_text(share: float) -> str:
    """Two decimals; an estimate below 0 stays what it is."""
    return f"{share:.2f}".replace("-0.00", "0.00")


def flips_for_reading(flips: Sequence[Flip], inputs: Sequence[Input], style: Style) -> pd.DataFrame:
    """Inputs that tell where one what-if beats another, strongest first."""
    return pd.DataFrame(
        {
            "input": [one.input for one in flips],
            "strength": [f"{one.strength:.2f}" for one in flips],
            "by chance": [f"{one.significance:.1g}" if one.significance >= 1e-4 else "< 0.0001" for one in flips],
            "threshold": [draw_text(one.input, one.threshold, inputs, style) for one in flips],
            "better below it": [f"{one.wins_below:.0%}" for one in flips],
            "better above it": [f"{one.wins_above:.0%}" for one in flips],
            "members below": [f"{one.share_below:.0%}" for one in flips],
        }
    )


def convergence_for_reading(runs: Convergence, style: Style) -> pd.DataFrame:
    """Percentiles from growing numbers of members: a quarter, a half, all."""
    wanted = sorted({int(np.argmin(np.abs(runs.counts - share * runs.counts[-1]))) for share in (0.25, 0.5, 1.0)})
    at = {name: in_style(getattr(runs, name), runs.quantity, style) for name in ("p90", "p50", "p10")}
    decimals = decimals_for(at["p10"], runs.quantity)
    return pd.DataFrame(
        {"members": [str(int(runs.counts[k])) for k in wanted]}
        | {name.upper(): [shown(float(values[k]), decimals) for k in wanted] for name, values in at.items()}
    )


def draw_text(label: str, value: float, inputs: Sequence[Input], style: Style) -> str:
    """A draw with its unit: '250 md', 'x1.2', '+5 m'; a choice or a job by what it means."""
    one = input_of(label, inputs)
    if one is None or one.kind == "alternative":
        return "yes" if value > 0.5 else "no"
    if one.kind == "failure":
        if one.quantity != "time":
            return "succeeds" if value > 0.5 else "fails"
        return "never" if not np.isfinite(value) else f"after {value / 31557600.0:.1f} years"
    if one.kind == "multiplier":
        return f"x{value:.3g}"
    if one.kind == "shift":
        step = float(style.value(value, one.quantity)) - float(style.value(0.0, one.quantity))
        return f"{step:+.4g} {unit_text(one.quantity, style)}".rstrip()
    return f"{float(style.value(value, one.quantity)):.4g} {unit_text(one.quantity, style)}".rstrip()


def unit_text(quantity: str, style: Style) -> str:
    """Unit of a draw as printed."""
    return QUANTITIES[quantity].label(style.system) if quantity != "money" else style.unit(quantity)


def draws_in_words(draws: Draws, number: int, style: Style) -> tuple[str, str, str]:
    """P90, P50 and P10 of an input as the members have it; of alternatives and failures how often, and the rest ''."""
    one, values = draws.inputs[number], draws.values[:, number]
    if one.kind == "alternative":
        shares = [f"{name} {np.mean(values == k):.0%}" for k, name in enumerate(one.choices)]
        return ", ".join(shares), "", ""
    if one.kind == "failure" and one.quantity != "time":
        return f"fails in {np.mean(values < 0.5):.0%}", "", ""
    at = [float(np.quantile(values, share, method="hazen")) for share in (0.1, 0.5, 0.9)]
    texts = [draw_text(one.name, value, draws.inputs, style) for value in at]
    return texts[0], texts[1], texts[2]


def input_of(label: str, inputs: Sequence[Input]) -> Input | None:
    """The input that a label of a statistic means; 'contact: deep' is a choice of the alternative 'contact'."""
    for one in inputs:
        if one.name == label or (one.kind == "alternative" and label.startswith(f"{one.name}: ")):
            return one
    return None


def ranges_table(found: Findings, style: Style) -> pd.DataFrame:
    """Ranges for files: a row a what-if, columns such as oil_volume_p50_Mbbl with keys_for, SI turned to its units."""
    keys = keys_for(style.system)
    names = found.ensemble.what_ifs
    columns = [Column("what_if", "", list(names))]
    for figure in found.figures:
        at = {one.what_if: one for one in found.ranges if one.figure == figure}
        quantity = next(iter(at.values())).quantity if at else "number"
        for name in ("p90", "p50", "p10", "mean", "mean_error"):
            values = [getattr(at[what_if], name) if what_if in at else np.nan for what_if in names]
            columns.append(Column(f"{figure}_{name}", quantity, values))
        members = [float(at[what_if].members) if what_if in at else 0.0 for what_if in names]
        columns.append(Column(f"{figure}_members", "number", members))
    return frame(columns, keys)
