"""What an ensemble says as plain data for JSON, keys with units."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from planner.base.units import QUANTITIES, UnitSystem
from planner.model.cautions import CAUTION
from planner.model.ensemble import OK, Findings, Input
from planner.report.documents import Document
from planner.report.ensemble_tables import input_of
from planner.report.frames import Style
from planner.report.tables import keys_for
from planner.uncertainty.statistics import quantity_of_figure


def ensemble_document(found: Findings, system: UnitSystem, currency: str) -> Document:
    """Everything that the findings hold. Bands are [low, high]; null where a band has no end."""
    style = keys_for(system)
    made = found.ensemble
    inputs = made.draws.inputs
    return {
        "well": made.well,
        "kind": made.kind,
        "units": system,
        "currency": currency,
        "caution": CAUTION,
        "members": made.members,
        "seed": made.draws.seed,
        "design": made.draws.design,
        "what_ifs": list(made.what_ifs),
        "inputs": [asdict(one) for one in inputs],
        "folder": made.folder,
        "ranges": [_united(asdict(one), one.quantity, _RANGE, style) for one in found.ranges],
        "comparisons": [_united(asdict(one), one.quantity, _DUEL, style) for one in found.duels],
        "swings": [_swing(asdict(one), quantity_of_figure(one.figure), inputs, style) for one in found.swings],
        "variance_shares": [asdict(one) for one in found.shares],
        "flips": [_drawn(asdict(one), ("threshold",), one.input, inputs, style) for one in found.flips],
        "convergence": [_united(asdict(one), one.quantity, _CONVERGENCE, style) for one in found.convergence],
        "fans": [_fan(asdict(one), one.quantity, style) for one in found.fans],
        "not_computed": [
            {"member": member, "what_if": what_if, "reason": why}
            for (member, what_if), why in sorted(made.messages.items())
        ],
        "members_done": int((made.status == OK).all(axis=1).sum()),
        "notes": list(found.notes),
    }


DRIVERS = ("The tornado", "Shares of the variance")


def over_draws_notes(found: Findings) -> list[str]:
    """The notes without those on what drives the figures."""
    return [text for text in found.notes if not text.startswith(DRIVERS)]


def over_draws_document(found: Findings, system: UnitSystem) -> Document:
    """Ranges and what-if against what-if alone, beside a comparison."""
    whole = ensemble_document(found, system, "")
    kept = ("members", "members_done", "seed", "design", "folder", "ranges", "comparisons", "not_computed")
    return {name: whole[name] for name in kept} | {"notes": over_draws_notes(found)}


_BANDS = ("p90_band", "p50_band", "p10_band")
_RANGE = ("p90", "p50", "p10", "mean", "sd", "mean_error", *_BANDS)
_DUEL = ("gain_mean", "gain_error", "gain_p90", "gain_p50", "gain_p10")
_CONVERGENCE = ("p90", "p50", "p10", *_BANDS)


def _united(record: Document, quantity: str, names: tuple[str, ...], style: Style) -> Document:
    """A record with units put on the numbers named."""
    made: Document = {}
    for name, value in record.items():
        if name in names:
            made[style.header(name, quantity)] = style.value(np.asarray(value, dtype=np.float64), quantity)
        elif name != "quantity":
            made[name] = value
    return {name: value.item() if isinstance(value, np.ndarray) and not value.ndim else value
            for name, value in made.items()}  # fmt: skip


def _swing(record: Document, quantity: str, inputs: tuple[Input, ...], style: Style) -> Document:
    made = _united(record, quantity, ("low", "high", "error"), style)
    return _drawn(made, ("low_draw", "high_draw"), str(record["input"]), inputs, style)


def _drawn(
    record: Document, names: tuple[str, ...], label: str, inputs: tuple[Input, ...], style: Style
) -> Document:  # fmt: skip
    """A record with the unit of an input put on its draws."""
    one = input_of(label, inputs)
    quantity = one.quantity if one is not None else "number"
    zero: Any = style.value(0.0, quantity) if one is not None and one.kind == "shift" else 0.0
    made: Document = {}
    for name, value in record.items():
        if name in names and QUANTITIES[quantity].si:
            made[style.header(name, quantity)] = style.value(value, quantity) - zero
        else:
            made[name] = value
    return made


def _fan(record: Document, quantity: str, style: Style) -> Document:
    made = _united(record, quantity, ("p90", "p50", "p10", "mean"), style)
    return made | {"dates": [str(day) for day in np.asarray(record["dates"]).astype("datetime64[D]")]}
