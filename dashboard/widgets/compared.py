"""The comparison in tables: figures against the base, limits with their margins; for page and spreadsheet."""

from __future__ import annotations

from typing import Any

import numpy as np
from dash import html

from dashboard.figures import compared
from dashboard.measure import System, amount, in_percent, number, shown
from dashboard.session import Result
from dashboard.theme import Theme
from dashboard.widgets.answers import broken, table
from planner.model.case import Case
from planner.model.results import LimitCheck

Json = dict[str, Any]


def swatch(name: str, at: int, theme: Theme) -> Any:
    """The line of a what-if as it is in the charts."""
    colour, dash, _ = compared.style(name, at, theme)
    css = {"solid": "solid", "dot": "dotted"}.get(dash, "dashed")
    return html.I(className="swatch", style={"borderTop": f"3px {css} {colour}"})


def figures_table(case: Case, results: dict[str, Result], refused: dict[str, str], system: System, theme: Theme) -> Any:
    """A row a what-if: its figures, the difference to the base under each."""
    header, rows = table(case, results, system)
    body = []
    for at, (name, row) in enumerate(zip(results, rows, strict=True), start=-1):
        cells = [html.Th([swatch(name, at, theme), row[0][0]], scope="row")]
        cells += [
            html.Td([value, html.Span(gap, className="gap")] if gap else value, className="number")
            for value, gap in row[1:-1]
        ]
        cells.append(_crossed(broken(results[name].forecast)))
        body.append(html.Tr(cells))
    body += [
        html.Tr([html.Th(name, scope="row"), html.Td(text, colSpan=len(header) - 1, className="warn")])
        for name, text in refused.items()
    ]
    head = html.Tr([html.Th(text, scope="col") for text in header])
    return html.Table([html.Thead(head), html.Tbody(body)], className="plain-table figures")


def _crossed(names: list[str]) -> Any:
    """How many limits were crossed, marked and named where there are any."""
    if not names:
        return html.Td("0", className="number")
    more = f" and {len(names) - 1} more" if len(names) > 1 else ""
    said = [html.B(f"{len(names)} crossed", className="warn"), html.Span(names[0] + more, className="gap warn")]
    return html.Td(said, className="number", title="; ".join(names))


def spreadsheet(case: Case, results: dict[str, Result], system: System) -> str:
    """The table of figures with tabs between the cells, differences in columns of their own."""
    header, rows = table(case, results, system)
    head = [header[0]]
    for text in header[1:]:
        head += [text, f"{text}, against the base"]
    lines = ["\t".join(head)]
    for row in rows:
        cells = [row[0][0]]
        for value, gap in row[1:]:
            cells += [_plain(value), _plain(gap)]
        lines.append("\t".join(cells))
    return "\n".join(lines)


def _plain(text: str) -> str:
    """A number as a spreadsheet reads it: no comma between thousands, a plain minus."""
    return text.replace(",", "").replace("\u2212", "-").replace("\u2013", "")


def limits_table(results: dict[str, Result], system: System) -> Any:
    """A row a limit, a column a what-if: the worst value and what is left before the limit."""
    found: dict[tuple[str, str], dict[str, LimitCheck]] = {}
    for name, result in results.items():
        for check in result.forecast.limits:
            found.setdefault((check.name, check.where), {})[name] = check
    if not found:
        return html.P("No limits were given in the case, so none were checked.", className="hint")
    head = html.Tr([html.Th("Limit"), html.Th("Value"), *[html.Th("Base" if n == "base" else n) for n in results]])
    rows = []
    for (name, where), checks in found.items():
        one = next(iter(checks.values()))
        cells = [
            html.Td(f"{name}{f', {where}' if where else ''}"),
            html.Td(amount(one.limit, one.quantity, system), className="number"),
        ]
        rows.append(html.Tr(cells + [_margin(checks.get(n), system) for n in results]))
    return html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table")


def _margin(check: LimitCheck | None, system: System) -> Any:
    if check is None:
        return html.Td("\u2013", className="number")
    worst = number(float(in_percent(shown(check.worst, check.quantity, system), check.quantity)), 4)
    if check.broken:
        return html.Td([worst, html.Span("crossed", className="gap warn")], className="number")
    left = f"{number(100 * check.margin)} % left" if np.isfinite(check.margin) else ""
    return html.Td([worst, html.Span(left, className="gap")], className="number")
