"""What the server holds for all visitors, and one visit: project, case, what-if in hand, units, look."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import flask

from dashboard import events, session, work
from dashboard.archive import Archive
from dashboard.drawer import Drawer
from dashboard.engine import Engine
from dashboard.measure import System
from dashboard.shelf import NoProject, Project, Shelf
from dashboard.theme import Theme
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import WellDescription

Json = dict[str, Any]


@dataclass(frozen=True)
class Visit:
    """What a page is drawn from."""

    project: Project
    told: WellDescription
    card: Json
    system: System
    theme: Theme
    tab: str = ""
    on: str = ""
    mine: bool = True

    @property
    def case(self) -> Case:
        """The case of the project."""
        return self.project.case

    @property
    def cards(self) -> list[Json]:
        """The what-if cards of the project."""
        return self.project.cards


class House:
    """Shelf, archive of long answers, engine, and the cases that came with the product."""

    def __init__(self, shelf: Shelf, engine: Engine, shipped: tuple[Path, ...] = (), team: bool = False) -> None:
        self.shelf, self.engine, self.shipped, self.team = shelf, engine, shipped, team
        self.archive, self.drawer = Archive(shelf.root), Drawer(shelf.root)

    def user(self) -> str:
        """Who is asking; '' where one person serves himself."""
        return str(flask.session.get("user", "")) if self.team and flask.has_request_context() else ""

    def visit(self, here: Json | None, look: Json | None = None, tab: str = "", on: str = "") -> Visit | None:
        """The visit that a browser tab makes; None where it is at no project."""
        if not here or not here.get("project"):
            return None
        try:
            project = self.shelf.get(here["project"])
        except (NoProject, session.BadCase):
            return None
        return self.of(project, here.get("card", ""), look, tab, on)

    def of(self, project: Project, card: str = "", look: Json | None = None, tab: str = "", on: str = "") -> Visit:
        """A visit to a project."""
        chosen = (look or {}).get("units")
        system: System = chosen if chosen in ("field", "metric") else project.case.units
        theme: Theme = "dark" if (look or {}).get("theme") == "dark" else "light"
        mine = project.owner == self.user()
        in_hand = work.in_hand(project.cards, card)
        return Visit(project, session.describe(project.case), in_hand, system, theme, tab, on, mine)

    def apply(self, here: Json, step: Json) -> Json:
        """Put a step to the reducer; where the tab is afterwards. Raises what `Shelf.apply` raises."""
        project = self.shelf.apply(here["project"], self.user(), step)
        card = step.get("made") or here.get("card", "")
        if work.find(project.cards, card) is None:
            card = project.cards[0]["id"]
        self._begin(project, work.in_hand(project.cards, card))
        return {**here, "revision": project.revision, "card": card}

    def _begin(self, project: Project, card: Json) -> None:
        """Begin the forecast of a card before its page comes to ask for it; what was only guessed makes way."""
        asked: dict[str, WhatIf | None] = {"base": None}
        if work.acts(card):
            with suppress(events.BadInput):
                asked["in hand"] = work.what_if_of(card)
        self.engine.ahead(project.id, project.case, asked)
        self.engine.ahead(f"a guess in {project.id}", project.case, {})

    def guess(self, visit: Visit, raws: list[Json]) -> None:
        """Begin the forecasts that the what-if in hand would ask for with one more event, the likeliest first."""
        asked: dict[str, WhatIf | None] = {}
        for number, raw in enumerate(raws):
            with suppress(events.BadInput):
                given = [*work.active(visit.card), raw]
                asked[str(number)] = events.what_if(visit.card["name"], given, visit.card.get("completion"))
        self.engine.ahead(f"a guess in {visit.project.id}", visit.case, asked)
