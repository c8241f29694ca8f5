"""Figures as a page of their own, in need of nothing from outside."""

from __future__ import annotations

import plotly.graph_objects as go

from planner.model.chapter import Chapter, Part
from planner.report.markup import figure_markup, page_text


def figure_page(*figures: go.Figure) -> str:
    """HTML text of a page that holds figures, one below the other, and the cautions."""
    title = figures[0].layout.title.text or "Figure"
    return page_text(
        Chapter("figures", "Figures", title, "", (Part("Along the hole", "", tuple(map(figure_markup, figures))),))
    )
