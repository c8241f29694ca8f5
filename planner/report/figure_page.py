"""Figures as a page of their own, in need of nothing from outside."""

from __future__ import annotations

import plotly.graph_objects as go
from markupsafe import escape

from planner.model.cautions import CAUTION

CONFIG = {"displaylogo": False, "responsive": True}


def figure_page(*figures: go.Figure) -> str:
    """HTML text of a page that holds figures, one below the other, and the cautions."""
    title = escape(figures[0].layout.title.text or "figure")
    body = ""
    for number, figure in enumerate(figures):
        label = escape(figure.layout.title.text or "figure")
        inner = figure.to_html(include_plotlyjs=number == 0, full_html=False, config=CONFIG)
        body += f'<figure role="img" aria-label="{label}">{inner}</figure>'
    head = f'<meta charset="utf-8"><link rel="icon" href="data:,"><title>{title}</title>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body>{body}<p>{escape(CAUTION)}</p></body></html>\n'
