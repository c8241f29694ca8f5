"""The head of the page, the cautions at its foot, and the sheet with the well."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from dashboard import ids
from planner.model.case import Case
from planner.model.cautions import CAUTION, CAUTIONS


def _mark() -> Any:
    """The mark of the product: a pipe with a screen, a seal and a length of blank."""
    drawn = [html.Span(className=f"mark-{part}") for part in ("screen", "blank", "screen")]
    return html.Span(drawn, className="mark", **{"aria-hidden": "true"})


def header(case: Case) -> Any:
    """Name, case, undo and redo, units, theme, save."""
    title = case.title.removeprefix(case.well.name).lstrip(": ")
    plain = {"variant": "subtle", "size": "compact-sm", "n_clicks": 0}
    return html.Header(
        [
            html.Div([_mark(), html.Span("blankwise", className="wordmark")], className="brand"),
            html.Div(
                [html.H1(case.well.name), html.Span(title, className="case-title", title=case.title)],
                className="case",
            ),
            html.Div(
                [
                    dmc.Button("Undo", id=ids.UNDO, **plain),
                    dmc.Button("Redo", id=ids.REDO, **plain),
                    dmc.Button("Save numbers (CSV)", id=ids.SAVE, **plain),
                    dmc.SegmentedControl(
                        id=ids.UNITS,
                        data=[{"value": "field", "label": "Field"}, {"value": "metric", "label": "Metric"}],
                        value=case.units, size="xs", persistence=True, name="unit-system",
                        attributes={"root": {"aria-label": "Unit system"}},
                    ),
                    dmc.SegmentedControl(
                        id=ids.THEME, data=[{"value": "light", "label": "Light"}, {"value": "dark", "label": "Dark"}],
                        value="light", size="xs", persistence=True, name="theme",
                        attributes={"root": {"aria-label": "Theme"}},
                    ),
                ],
                className="tools",
            ),
        ],
        className="head",
    )  # fmt: skip


def footer() -> Any:
    """The cautions, always in sight; the whole text opens on demand."""
    paragraphs = CAUTIONS if isinstance(CAUTIONS, tuple | list) else (CAUTIONS,)
    return html.Footer(
        html.Details([html.Summary(CAUTION), *[html.P(text) for text in paragraphs]], className="cautions"),
        className="foot",
    )


def well_sheet(steps: int, kind: str) -> Any:
    """The picture of the well with the slider of its date (report dates after the first) and the key to its signs."""
    phases = [("oil", "oil"), ("water", "water"), ("gas", "gas, own scale")]
    if kind.startswith("gas"):
        phases = [("gas", "gas"), ("water", "water, own scale")]
    return html.Section(
        [
            html.Div(id=ids.WELL, className="well"),
            html.Div(
                [
                    dmc.Button("Play", id=ids.PLAY, n_clicks=0, size="compact-sm", variant="light", w=62),
                    html.Div(
                        dmc.Slider(
                            id=ids.DATE, min=0, max=steps, step=1, value=steps // 4, size="sm", label=None,
                            updatemode="drag", persistence=True, thumbLabel="Date of the picture",
                        ),
                        className="date-slider",
                    ),
                    html.Output(id=ids.DATE_TEXT, className="date-text"),
                ],
                className="date-bar",
            ),
            html.Div(
                [
                    *[html.Span([html.I(className=f"key-swatch {phase}"), text]) for phase, text in phases],
                    html.Span([html.I(className="key-swatch ghost"), "base"]),
                    html.Span([html.I(className="key-swatch seal"), "seal"]),
                    html.Span([html.I(className="key-swatch screen"), "screen"]),
                    html.Span("wheel or + \u2212: zoom", className="key-tip"),
                ],
                className="key",
            ),
        ],
        className="sheet well-sheet",
        **{"aria-label": "The well"},
    )  # fmt: skip


def stores() -> list[Any]:
    """What the browser keeps."""
    return [
        dcc.Store(id=ids.DESK, storage_type="local"),
        dcc.Store(id=ids.PICKED, storage_type="local"),
        dcc.Store(id=ids.LOOK),
        dcc.Store(id=ids.PICTURE),
        dcc.Store(id=ids.SHOWN),
        dcc.Download(id=ids.SAVED),
        dcc.Interval(id=ids.AGAIN, interval=300, disabled=True),
    ]
