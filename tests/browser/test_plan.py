"""Pages before the string is run, views along depth and completions, on the invented engine."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import settled
from tests.browser.test_page import press
from tests.browser.test_session import go

pytestmark = pytest.mark.browser
Visit = Callable[..., Page]
Keep = Callable[[Page, str], Path]


def test_hole_and_sand_are_judged_and_a_split_becomes_a_revision(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    go(page, "Suitability")
    expect(page.locator(".paper h2")).to_have_text("T-1 judged in field")
    go(page, "Match")
    expect(page.locator("#page")).to_contain_text("nothing to match")
    go(page, "Zone split")
    page.get_by_label("Has to be there").fill("seal nowhere")
    press(page, "Find the best split")
    expect(page.locator("#split-said")).to_contain_text("No barrier is called nowhere.")
    page.get_by_label("Has to be there").fill("seal Amber / Birch; blank 2500 m to 2504 m")
    press(page, "Find the best split")
    expect(page.locator(".paper")).to_contain_text("seal Amber / Birch, blank 2500 m to 2504 m")
    keep(page, "split done")
    press(page, "Take its case into the project")
    expect(page.locator("#undo")).to_be_enabled()
    go(page, "Revisions")
    expect(page.locator("#revision-list")).to_contain_text("String of a split into 4 zones")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_panels_along_depth_are_chosen_and_follow_the_date(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    go(page, "Flow")
    titles = page.locator("#flow-tracks .annotation")
    expect(titles).to_have_count(4)
    page.locator("#flow-panels-box").get_by_text("velocity", exact=True).click()
    expect(titles).to_have_count(5)
    for name in ("pressure", "inflow", "margin to limits"):
        page.locator("#flow-panels-box").get_by_text(name, exact=True).click()
    expect(titles).to_have_count(2)
    drawn = "document.querySelector('#flow-tracks .js-plotly-plot').data.find((t) => t.name === 'oil').x[0]"
    before = page.evaluate(drawn)
    page.get_by_label("Date of the flow").focus()
    page.keyboard.press("End")
    expect(page.locator("#flow-said")).to_have_text("Jan 2046")
    page.wait_for_function(f"{drawn} < 0.5 * {before}")
    page.get_by_text("TVD", exact=True).click()
    expect(page.locator("#flow-tracks .ytitle")).to_have_text("True vertical depth, ft")
    page.get_by_text("Limits over time", exact=True).click()
    expect(page.locator("#flow-told")).to_contain_text("No limits were given")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_a_completion_is_chosen_on_the_card(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    page.get_by_role("textbox", name="Completion of the what-if").click()
    page.get_by_role("option", name="stand-alone screens").click()
    expect(page.locator(".card.in-hand .card-title")).to_have_text("stand-alone screens")
    expect(page.locator("#events")).to_contain_text("Completed with stand-alone screens from the start")
    expect(page.locator("#status")).to_contain_text("against the base")
    settled(page)
    keep(page, "completion")
    press(page, "Undo")
    expect(page.get_by_role("textbox", name="Completion of the what-if")).to_have_value("completed as in the case")
    go(page, "Compare")
    expect(page.locator(".figures .warn").first).to_contain_text("1 crossed")
    assert page.troubles == []  # type: ignore[attr-defined]
