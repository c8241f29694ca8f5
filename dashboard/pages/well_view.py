"""From the work and the results to everything the answers show; no callbacks here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from dash import Output, no_update

from dashboard import events, ids, work
from dashboard.figures import by_zone, over_time
from dashboard.measure import System
from dashboard.session import CaseDesk, Result, Standing
from dashboard.theme import Theme
from dashboard.widgets import answer_views, cards, picture

Json = dict[str, Any]
PATIENCE = 0.8  # s that a request waits for a forecast before it promises to come back
BASE = "base"

OUTPUTS: dict[str, Any] = {
    "cards": Output(ids.CARDS, "children"),
    "status": Output(ids.STATUS, "children"),
    "stop": Output(ids.STOP, "display"),
    "retry": Output(ids.TRY_AGAIN, "display"),
    "tiles": Output(ids.TILES, "children"),
    "numbers": Output(ids.NUMBERS, "children"),
    "zones": Output(ids.ZONES, "children"),
    "happened": Output(ids.HAPPENED, "children"),
    "picture": Output(ids.PICTURE, "data"),
    "shown": Output(ids.SHOWN, "data"),
    "quiet": Output(ids.AGAIN, "disabled"),
    **{f"chart {name}": Output(ids.chart(name), "figure") for name in (*ids.CHARTS, *ids.ZONE_CHARTS)},
    **{f"title {name}": Output(ids.chart_title(name), "children") for name in (*ids.CHARTS, *ids.ZONE_CHARTS)},
}


@dataclass(frozen=True)
class View:
    """How the user wants to see things."""

    system: System
    theme: Theme
    scope: str = ""
    section: str = "time"


def standings(desk: CaseDesk, session_id: str, mine: Json, patience: float = PATIENCE) -> dict[str, Standing]:
    """How the base, the what-if in hand and every compared one stand; those that cannot be read are refused."""
    asked: dict[str, Any] = {BASE: None}
    unread: dict[str, Standing] = {}
    in_hand = work.chosen(mine)
    for card in [in_hand, *[c for c in mine["cards"] if c["compared"] and c is not in_hand]]:
        if not work.active(card):
            continue
        try:
            asked[card["id"]] = work.what_if_of(card)
        except events.BadInput as bad:
            unread[card["id"]] = Standing("refused", text=str(bad))
    return {**desk.stand(session_id, asked, patience), **unread}


def compared(mine: Json, stood: dict[str, Standing]) -> dict[str, Result]:
    """Results by the name on the card: the base, then the compared cards that are done."""
    found = {BASE: stood[BASE].result} if stood[BASE].result else {}
    for card in mine["cards"]:
        standing = stood.get(card["id"])
        if standing and standing.result and (card["compared"] or card["id"] == mine["chosen"]):
            name, number = card["name"], 2
            while name in found:
                name, number = f"{card['name']} ({number})", number + 1
            found[name] = standing.result
    return {name: result for name, result in found.items() if result}


def answer(desk: CaseDesk, session_id: str, mine: Json, view: View, shown: Json | None, only_polled: bool) -> Json:
    """A value for each of OUTPUTS; what is still being computed leaves the old answer standing."""
    stood = standings(desk, session_id, mine, 0.0 if only_polled else PATIENCE)
    in_hand = work.chosen(mine)
    standing = stood.get(in_hand["id"])
    base = stood[BASE]
    out: Json = dict.fromkeys(OUTPUTS, no_update)
    pending = any(s.open for s in stood.values())
    out["quiet"] = not pending
    out["cards"] = cards.strip(mine, stood)
    out["status"] = _status(in_hand["name"], base, standing, stood)
    out["stop"] = "inline-block" if pending else "none"
    out["retry"] = "inline-block" if any(s.state in ("failed", "cancelled") for s in stood.values()) else "none"
    open_now = base.open or bool(standing and standing.open)
    marks = {
        "revision": mine["revision"], "open": open_now, "done": sorted(k for k, s in stood.items() if not s.open),
        "view": [view.system, view.theme, view.scope, view.section], "card": in_hand["id"],
    }  # fmt: skip
    if base.result is None and not shown and not only_polled:
        out["picture"] = _still(desk, mine, view.system)
    if base.result is None or (standing and standing.open and shown):
        return out
    if only_polled and shown == marks:
        return out
    out["shown"] = marks
    other = standing.result if standing else None
    out.update(_charts(base.result, other, view))
    out["tiles"] = answer_views.tiles(desk.case, base.result, other, view.system)
    out["numbers"] = answer_views.numbers_table(desk.case, compared(mine, stood), view.system)
    out["zones"] = answer_views.zone_table(base.result, other, view.system)
    out["happened"] = answer_views.happened(base.result, other, in_hand["name"], view.system)
    out["picture"] = _picture(desk, base.result, other, mine, view.system)
    return out


def _still(desk: CaseDesk, mine: Json, system: System) -> Json:
    """The well before anything is computed: everything but the flow."""
    still = picture.well(desk.case, desk.description, system)
    return {"revision": mine["revision"], "well": still, "flow": None, "base": None}


def _picture(desk: CaseDesk, base: Result, other: Result | None, mine: Json, system: System) -> Json:
    told = (other or base).forecast.description
    return {
        "revision": mine["revision"],
        "well": picture.well(desk.case, told, system),
        "flow": picture.flow((other or base).forecast, system),
        "base": picture.flow(base.forecast, system) if other else None,
    }


def _charts(base: Result, other: Result | None, view: View) -> Json:
    """The charts of the section in view; those out of sight are drawn when it is their turn."""
    return _by_zone(base, other, view) if view.section == "zones" else _over_time(base, other, view)


def _over_time(base: Result, other: Result | None, view: View) -> Json:
    names = [zone.name for zone in base.forecast.description.zones]
    zone = names.index(view.scope) if view.scope in names else None
    against = other.forecast if other else None
    out: Json = {}
    drawn = over_time.four(base.forecast, against, view.system, view.theme, zone)
    titles = over_time.titles(base.forecast, view.system, zone)
    for name, figure in zip(ids.CHARTS, drawn, strict=True):
        out[f"chart {name}"] = figure
        where = f" \u2013 {view.scope}" if zone is not None else ""
        out[f"title {name}"] = answer_views.chart_head(titles[name] + where, over_time.keys(name, base.forecast, zone))
    return out


def _by_zone(base: Result, other: Result | None, view: View) -> Json:
    main = over_time.phases_of(base.forecast.description.kind)[0]
    given = (base.forecast, other.forecast if other else None)
    out: Json = {}
    out["chart recovery"] = by_zone.recovery(*given, view.system, view.theme)
    out["chart main"] = by_zone.produced(*given, main, view.system, view.theme)
    out["chart water"] = by_zone.produced(*given, "water", view.system, view.theme)
    for name, title in by_zone.titles(main, view.system).items():
        out[f"title {name}"] = title
    return out


def _status(name: str, base: Standing, standing: Standing | None, stood: dict[str, Standing]) -> str:
    """One sentence on what the answers are."""
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
    more = f" {waiting} more being computed for the table." if waiting else ""
    return f"Showing \u2018{name}\u2019 against the base.{_early(standing)}{more}"


def _early(standing: Standing) -> str:
    """How the water that was asked to come early was made to come, or that it came by itself."""
    told = [] if standing.result is None else [h.text for h in standing.result.forecast.happenings if h.day == 0.0]
    said = [text for text in told if "streak" in text]
    return "".join(f" {text[:1].upper()}{text[1:].rstrip('.')}." for text in said)


def _progress(standing: Standing) -> str:
    share = f", {standing.share:.0%}" if standing.share > 0 else ""
    left = f", about {standing.time_left:.0f} s left" if standing.time_left and standing.time_left > 1 else ""
    return share + left
