"""How the forecasts behind a page stand, their results by card, and the sentence that says so."""

from __future__ import annotations

from typing import Any

from dashboard import events, work
from dashboard.house import House, Visit
from dashboard.session import Result, Standing

Json = dict[str, Any]
PATIENCE = 0.9  # s that a request waits for a forecast before it promises to come back
LONGEST = 2.5  # s that the headline figures are waited for
BETWEEN = 0.2  # s that a request waits which came back
BASE = "base"


def asked_for(visit: Visit) -> tuple[Json, dict[str, Standing]]:
    """What-ifs to compute by card (the base, the one in hand, the compared ones), and those that cannot be read."""
    asked: dict[str, Any] = {BASE: None}
    unread: dict[str, Standing] = {}
    for card in [visit.card, *[c for c in visit.cards if c["compared"] and c is not visit.card]]:
        if not work.acts(card):
            continue
        try:
            asked[card["id"]] = work.what_if_of(card)
        except events.BadInput as bad:
            unread[card["id"]] = Standing("refused", text=str(bad))
    return asked, unread


def standings(house: House, visit: Visit, patience: float = 0.0) -> dict[str, Standing]:
    """How the base, the what-if in hand and every compared one stand; those that cannot be read are refused."""
    asked, unread = asked_for(visit)
    return {**house.engine.stand(visit.tab, visit.case, asked, patience), **unread}


def base_and_mine(stood: dict[str, Standing], visit: Visit) -> tuple[Result | None, Result | None]:
    """The results of the base and of the what-if in hand, as far as they are there."""
    mine = stood.get(visit.card["id"])
    return stood[BASE].result, mine.result if mine else None


def compared(visit: Visit, stood: dict[str, Standing]) -> dict[str, Result]:
    """Results by the name on the card: the base, then the compared cards and the one in hand that are done."""
    found = {BASE: stood[BASE].result} if stood[BASE].result else {}
    for card in visit.cards:
        standing = stood.get(card["id"])
        if standing and standing.result and (card["compared"] or card is visit.card):
            name, number = card["name"], 2
            while name in found:
                name, number = f"{card['name']} ({number})", number + 1
            found[name] = standing.result
    return {name: result for name, result in found.items() if result}


def marks(visit: Visit, stood: dict[str, Standing]) -> Json:
    """What pages look at to see whether there is news."""
    mine = stood.get(visit.card["id"])
    return {
        "project": visit.project.id,
        "revision": visit.project.revision,
        "card": visit.card["id"],
        "states": {key: standing.state for key, standing in stood.items()},
        "open": stood[BASE].open or bool(mine and mine.open),
    }


def fits(visit: Visit, told: Json) -> bool:
    """Whether a place or a state of the work is about the work as it stands now, so that its answer may be shown."""
    return bool(
        told.get("project") == visit.project.id
        and told.get("revision") == visit.project.revision
        and told.get("card") == visit.card["id"]
    )


def sentence(visit: Visit, stood: dict[str, Standing]) -> str:
    """One sentence on what the answers are."""
    name, base, standing = visit.card["name"], stood[BASE], stood.get(visit.card["id"])
    if base.state in ("failed", "refused", "cancelled"):
        return f"The base could not be computed. {base.text}"
    if base.open:
        return f"Computing the base{_progress(base)}"
    if standing is None:
        return "Showing the base. Pick a part of the well to ask what if."
    if standing.open:
        return f"Computing \u2018{name}\u2019{_progress(standing)}; the numbers below are from before the change"
    if standing.state == "refused":
        return f"\u2018{name}\u2019 is not possible: {standing.text.rstrip('. ')}. Showing the base."
    if standing.state in ("failed", "cancelled"):
        return f"\u2018{name}\u2019: {standing.text} Showing the base; your events are kept."
    waiting = sum(s.open for s in stood.values())
    more = f" {waiting} more being computed for the comparison." if waiting else ""
    return f"Showing \u2018{name}\u2019 against the base.{_early(standing)}{more}"


def _early(standing: Standing) -> str:
    """How the water that was asked to come early was made to come, or that it came by itself."""
    told = [] if standing.result is None else [h.text for h in standing.result.forecast.happenings if h.day == 0.0]
    said = [text for text in told if "streak" in text]
    return "".join(f" {text[:1].upper()}{text[1:].rstrip('.')}." for text in said)


def _progress(standing: Standing) -> str:
    """How far, and how long still."""
    share = f", {standing.share:.0%}" if standing.share > 0 else ""
    left = f", about {standing.time_left:.0f} s left" if standing.time_left and standing.time_left > 1 else ""
    return share + left
