"""A proposed split as plain data for JSON."""

from __future__ import annotations

from planner.base.units import UnitSystem
from planner.model.cautions import CAUTION
from planner.model.split_results import SplitResult
from planner.report.documents import Document, records
from planner.report.split_tables import (
    check_table,
    elements_table,
    groups_table,
    install_table,
    pay_table,
    seals_table,
    split_zones_table,
    tally_table,
    wishes_table,
)
from planner.report.tables import keys_for


def split_document(result: SplitResult, system: UnitSystem) -> Document:
    """Tally, zones, cost, value and what it was chosen from."""
    style = keys_for(system)

    def number(name: str, value: float, quantity: str) -> Document:
        return {style.header(name, quantity): style.value(value, quantity)}

    return {
        "well": result.well,
        "units": system,
        "currency": result.case.economics.currency,
        "caution": CAUTION,
        **number("value", result.value, "money"),
        **number("screen worth", result.screen_worth, "money"),
        **number("shut worth", result.shut_worth, "money"),
        **number("cost", result.cost, "money"),
        "cost_weight": result.cost_weight,
        **number("rig time", result.rig_time, "time"),
        **number("lost pay", result.lost_pay, "length"),
        **number("lost worth", result.lost_worth, "money"),
        **number("gap to bound", result.gap, "money"),
        **number("value without wishes", result.free_value, "money"),
        "zones": records(split_zones_table(result, style)),
        "elements": records(elements_table(result, style)),
        "tally": records(tally_table(result, style)),
        "install": records(install_table(result, style)),
        "by_seals": records(seals_table(result, style)),
        "check": records(check_table(result, style)),
        "groups": records(groups_table(result, style)),
        "pay": records(pay_table(result, style)),
        "wishes": records(wishes_table(result, style)),
        "forecasts": result.forecasts,
        "members": result.members,
        "what_ifs_left_out": list(result.dropped),
        "warnings": list(result.warnings),
    }
