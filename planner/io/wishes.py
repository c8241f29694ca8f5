"""Wishes for a split as people write them, and its values as tables that a case takes."""

from __future__ import annotations

import csv
import io
import re
from typing import get_args

from planner.base.units import parse
from planner.model.split import Wish, WishKind
from planner.model.split_results import SplitResult

_TO = re.compile(r"\s+to\s+")


def wish_of(text: str) -> Wish:
    """'seal Fern / Moss', 'seal 7054 ft', 'blank 2100 m to 2110 m' as a wish. Raises ValueError with the remedy."""
    what, _, rest = text.strip().partition(" ")
    kinds = get_args(WishKind)
    if what not in kinds or not rest.strip():
        raise ValueError(f"'{text}': write {', '.join(kinds)} and then depths or, for a seal, its barrier")
    depths = _depths(rest.strip())
    if depths is None:
        if what != "seal":
            raise ValueError(f"'{text}': {what} needs depths with their unit, such as '{what} 2100 m to 2110 m'")
        return Wish(what="seal", barrier=rest.strip())
    top, base = depths[0], depths[-1]
    if base < top:
        raise ValueError(f"'{text}': the second depth is above the first; swap the two")
    given = {"top_md": f"{top!r} m"} | ({"base_md": f"{base!r} m"} if len(depths) > 1 else {})
    return Wish.model_validate({"what": what, **given})


def _depths(text: str) -> list[float] | None:
    """One or two depths in m; None where the text is something else."""
    parts = _TO.split(text)
    if len(parts) > 2:
        return None
    try:
        return [parse(part, "length") for part in parts]
    except ValueError:
        return None


def values_text(found: SplitResult) -> dict[str, str]:
    """File name -> CSV text of the values of a split, as [split] of a case takes them."""
    groups = [(one.first, one.last, repr(one.worth)) for one in found.groups]
    pay = [(sand.name, *(repr(worth) for worth in row)) for sand, row in zip(found.sands, found.pay_worth, strict=True)]
    return {
        "values.csv": _csv([("sand", "to", "value"), *groups]),
        "pay.csv": _csv([("sand", "upper [1/m]", "middle [1/m]", "lower [1/m]"), *pay]),
    }


def _csv(rows: list[tuple[str, ...]]) -> str:
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows(rows)
    return stream.getvalue()
