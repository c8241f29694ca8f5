"""A newcomer's way to an answer under uncertainty, on the real engine: a range, members, an answer that is kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import ready, watch
from tests.browser.test_inputs import inputs, pick_number
from tests.browser.test_page import press
from tests.browser.test_session import go

pytestmark = pytest.mark.browser
LONG = 240_000  # ms


def test_from_a_range_to_an_answer_that_stays(
    served: str, browser_of: Callable, keep: Callable[[Page, str], Path]
) -> None:
    page = browser_of().pages[0]
    watch(page, served)
    page.goto("/".join(served.split("/")[:3]) + "/")
    page.get_by_role("button", name="Start from a small well").click()
    ready(page, LONG)
    go(page, "Uncertainty")
    expect(page.locator("#page")).to_contain_text("make ranges under Inputs")
    inputs(page, "Ranges")
    pick_number(page, "layer A1: permeability")
    page.get_by_label("Name of the range").fill("kh of A1")
    page.get_by_label("P90, low case, md").fill("150")
    page.get_by_label("P10, high case, md").fill("600")
    press(page, "Add this range")
    expect(page.locator("#range-list")).to_contain_text("kh of A1")
    go(page, "Uncertainty")
    page.get_by_role("textbox", name="Members").click()
    page.get_by_role("option", name="20", exact=True).click()
    press(page, "Draw and compute")
    paper = page.locator(".paper")
    expect(paper).to_contain_text("20 members", timeout=LONG)
    expect(paper).to_contain_text("kh of A1")
    said = page.locator("#uncertainty-said")
    expect(said).to_contain_text("Done on")
    keep(page, "uncertainty done")
    page.reload()
    expect(said).to_contain_text("Done on")
    expect(page.get_by_role("textbox", name="Members")).to_have_value("20")
    expect(paper).to_contain_text("kh of A1")
    inputs(page, "Ranges")
    page.get_by_role("button", name="Change kh of A1").click()
    high = page.get_by_label("P10, high case, md")
    expect(high).to_have_value("600")
    high.fill("700")
    press(page, "Keep this range")
    expect(page.locator("#range-list")).to_contain_text("P10 700 md")
    go(page, "Uncertainty")
    expect(said).to_contain_text("is of an older state: the case has changed since")
    expect(paper).to_contain_text("kh of A1")
    assert page.troubles == []  # type: ignore[attr-defined]
