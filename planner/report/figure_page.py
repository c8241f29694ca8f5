"""One figure as a page of its own, in need of nothing from outside."""

from __future__ import annotations

import plotly.graph_objects as go
from markupsafe import escape

from planner.model.cautions import CAUTION


def figure_page(figure: go.Figure) -> str:
    """HTML text of a page that holds a figure and the cautions."""
    title = escape(figure.layout.title.text or "figure")
    inner = figure.to_html(include_plotlyjs=True, full_html=False, config={"displaylogo": False, "responsive": True})
    head = f'<meta charset="utf-8"><link rel="icon" href="data:,"><title>{title}</title>'
    return (
        f'<!doctype html><html lang="en"><head>{head}</head><body><figure role="img" aria-label="{title}">{inner}'
        f"</figure><p>{escape(CAUTION)}</p></body></html>\n"
    )
