"""Decision pages are part of the screen: they follow its theme, can be read by everybody, give their tables away."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.test_access import SMALL, faults
from tests.browser.test_page import press
from tests.browser.test_session import go
from tests.dashboard.synthetic import ZONES

pytestmark = pytest.mark.browser
Visit = Callable[..., Page]
Keep = Callable[[Page, str], Path]

GROUND = "getComputedStyle(document.querySelector('.paper').closest('.sheet')).backgroundColor"
HEADING = "getComputedStyle(document.querySelector('.paper h2')).color"
LINE = "document.querySelector('.paper .js-plotly-plot').data[0].line.color"
TYPE = "getComputedStyle(document.querySelector('.paper')).fontFamily === getComputedStyle(document.body).fontFamily"


def opened(page: Page, title: str, button: str = "") -> None:
    """The page with its answer, its figure drawn."""
    go(page, title)
    if button:
        press(page, button)
    expect(page.locator(".paper .plot .main-svg").first).to_be_visible()


def test_chapters_follow_the_switch_of_the_theme_without_a_reload(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    opened(page, "Suitability")
    page.evaluate("window.stillHere = true")
    seen = []
    for theme in ("Light", "Dark"):
        page.get_by_text(theme, exact=True).click()
        page.wait_for_function(f"document.querySelector('.paper .plot').dataset.theme === '{theme.lower()}'")
        seen.append([page.evaluate(what) for what in (GROUND, HEADING, LINE)])
        keep(page, f"chapter {theme}")
    assert seen == [
        ["rgb(255, 254, 250)", "rgb(23, 40, 43)", "#17282b"],
        ["rgb(24, 35, 38)", "rgb(232, 238, 234)", "#e8eeea"],
    ]
    assert page.evaluate("window.stillHere") and page.evaluate(TYPE)
    assert page.locator("iframe").count() == 0
    assert page.troubles == []  # type: ignore[attr-defined]


@pytest.mark.parametrize("theme", ["Light", "Dark"])
def test_chapters_can_be_read_by_everybody(invented: str, visit: Visit, theme: str) -> None:
    page = visit(invented)
    page.get_by_text(theme, exact=True).click()
    told = []
    for title, button in (("Suitability", ""), ("Zone split", "Find the best split"), ("Report", "Make the report")):
        opened(page, title, button)
        told += [f"{title}: {fault}" for fault in faults(page)]
        told += [f"{title}: small: {node}" for node in page.evaluate(SMALL)]
        assert page.evaluate("document.documentElement.scrollWidth <= 1280")
    assert told == []


def test_a_table_is_saved_with_all_its_digits(invented: str, visit: Visit) -> None:
    page = visit(invented)
    opened(page, "Suitability")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="CSV: By zone Of the zones").click()
    assert waiting.value.suggested_filename == "by-zone-of-the-zones.csv"
    rows = list(csv.DictReader(io.StringIO(Path(waiting.value.path()).read_text("utf-8-sig"))))
    assert [row["zone"] for row in rows] == ZONES and rows[0]["kh (md ft)"] == "1234.568"
    page.get_by_role("button", name="Copy: By zone Of the zones").click()
    expect(page.locator(".table-tools [role=status]").first).to_contain_text("Copied")


def test_the_report_holds_the_decisions_chosen(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    opened(page, "Zone split", "Find the best split")
    go(page, "Report")
    expect(page.get_by_label("Value of blank pipe")).to_be_disabled()
    for name in ("Suitability", "Zone split"):
        expect(page.get_by_label(name, exact=True)).to_be_checked()
    press(page, "Make the report")
    contents = page.locator(".paper .contents a")
    expect(contents).to_have_text(["Comparison", "Suitability", "Zone split"])
    keep(page, "report with decisions")
    contents.nth(2).click()
    expect(page.locator("#section-split h2")).to_be_focused()
    expect(page.locator("#section-split h2")).to_be_in_viewport()
    page.locator("#page .mantine-Chip-label").get_by_text("Zone split", exact=True).click()
    press(page, "Make the report")
    expect(contents).to_have_text(["Comparison", "Suitability"])
    assert page.troubles == []  # type: ignore[attr-defined]
