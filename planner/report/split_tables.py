"""Tables of a proposed split."""

from __future__ import annotations

import pandas as pd

from planner.model.split_results import SplitResult
from planner.report.frames import Column, Style, frame


def tally_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """The string joint by joint, top-down."""
    rows = result.tally
    return frame(
        (
            Column("joint", "", [str(row.number) for row in rows]),
            Column("kind", "", [row.kind for row in rows]),
            Column("element", "", [row.element for row in rows]),
            Column("length", "length", [row.length for row in rows]),
            Column("top md", "length", [row.top_md for row in rows]),
            Column("base md", "length", [row.base_md for row in rows]),
        ),
        style,
    )


def elements_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """The string element by element: joints of a kind that follow on one another."""
    by_name: dict[str, list[int]] = {}
    for k, row in enumerate(result.tally):
        by_name.setdefault(row.element, []).append(k)
    runs = [[result.tally[k] for k in own] for own in by_name.values()]
    return frame(
        (
            Column("element", "", [run[0].element for run in runs]),
            Column("kind", "", [run[0].kind for run in runs]),
            Column("joints", "", [str(len(run)) for run in runs]),
            Column("top md", "length", [run[0].top_md for run in runs]),
            Column("base md", "length", [run[-1].base_md for run in runs]),
            Column("length", "length", [run[-1].base_md - run[0].top_md for run in runs]),
        ),
        style,
    )


def split_zones_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """Zones of the proposal: depths, pay behind screen, whether they can be shut later and what that is worth."""
    zones = result.zones
    return frame(
        (
            Column("zone", "", [zone.name for zone in zones]),
            Column("top md", "length", [zone.top_md for zone in zones]),
            Column("base md", "length", [zone.base_md for zone in zones]),
            Column("pay", "length", [zone.pay for zone in zones]),
            Column("behind screen", "length", [zone.open_pay for zone in zones]),
            Column("can be shut", "", ["yes" if zone.shuttable else "no" for zone in zones]),
            Column("worth of shutting", "money", [zone.shut_worth for zone in zones]),
        ),
        style,
    )


def install_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """Cost and rig time by kind of joint, what is left for the rig, and the sum."""
    rows = result.install
    cost, time = sum(row.cost for row in rows), sum(row.rig_time for row in rows)
    count, length = sum(row.joints for row in rows), sum(row.length for row in rows)
    names = [row.kind for row in rows]
    return frame(
        (
            Column("kind", "", [*names, "rig and trips", "sum"]),
            Column("joints", "", [*(str(row.joints) for row in rows), "-", str(count)]),
            Column("length", "length", [*(row.length for row in rows), 0.0, length]),
            Column("cost", "money", [*(row.cost for row in rows), result.cost - cost, result.cost]),
            Column("rig time", "time", [*(row.rig_time for row in rows), result.rig_time - time, result.rig_time]),
        ),
        style,
    )


def seals_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """Best value with just so many seals, the difference to the best of all, and its value forecast as a whole."""
    best = max(result.by_seals.values(), default=float("nan"))
    whole = {one.seals: one.value_whole for one in result.checks}
    forecast = [Column("forecast as a whole", "money", [whole.get(k, float("nan")) for k in result.by_seals])]
    return frame(
        (
            Column("seals", "", [str(count) for count in result.by_seals]),
            Column("value", "money", list(result.by_seals.values())),
            Column("against best", "money", [value - best for value in result.by_seals.values()]),
            *(forecast if whole else []),
        ),
        style,
    )


def check_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """The proposal forecast as a whole beside the sum of its parts; no rows where the worths were given."""
    one = result.check
    rows = [] if one is None else [
        ("pay without screen, seals left out", one.screen_parts, one.screen_whole),
        ("shutting zones later", one.choice_parts, one.choice_whole),
        ("value", one.value_parts, one.value_whole),
    ]  # fmt: skip
    return frame(
        (
            Column("of the proposal", "", [row[0] for row in rows]),
            Column("sum of parts", "money", [row[1] for row in rows]),
            Column("forecast as a whole", "money", [row[2] for row in rows]),
            Column("difference", "money", [row[2] - row[1] for row in rows]),
        ),
        style,
    )


def groups_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """Worth of being able to shut each group of sands, and the rule that gave it."""
    groups = result.groups
    return frame(
        (
            Column("from", "", [group.first for group in groups]),
            Column("to", "", [group.last for group in groups]),
            Column("worth of shutting", "money", [group.worth for group in groups]),
            Column("rule", "", [group.rule or "shutting never pays" for group in groups]),
        ),
        style,
    )


def pay_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """Worth of screen by length over the upper quarter, middle half and lower quarter of each sand."""
    return frame(
        (
            Column("sand", "", [sand.name for sand in result.sands]),
            *(
                Column(name, "money per length", [row[k] for row in result.pay_worth])
                for k, name in enumerate(("upper quarter", "middle half", "lower quarter"))
            ),
        ),
        style,
    )


def wishes_table(result: SplitResult, style: Style) -> pd.DataFrame:
    """What each wish costs: what would be gained if it alone were dropped."""
    return frame(
        (
            Column("wish", "", [("pin " if one.pinned else "forbid ") + one.wish for one in result.wishes]),
            Column("costs", "money", [one.cost for one in result.wishes]),
        ),
        style,
    )
