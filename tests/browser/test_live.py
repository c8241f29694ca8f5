"""While answers come in: what is being typed stays, and the figures shown are those of the last question."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import figure, settled

pytestmark = pytest.mark.browser


def shut(page: Page, zone: str) -> None:
    page.locator(f".part-zone[data-name='{zone}'] .zone-name").click()
    expect(page.locator("#part-panel h2")).to_contain_text(zone)
    page.get_by_role("button", name="Shut it", exact=True).click()
    expect(page.locator(".event-text").filter(has_text=f"Shut {zone}")).to_be_visible()


def test_a_date_that_is_being_typed_outlives_an_answer(invented: str, visit: Callable[..., Page]) -> None:
    page = visit(invented)
    shut(page, "Birch")
    shut(page, "Elder")
    settled(page)
    both = figure(page, "Oil")
    second = page.locator(".event input[aria-label^='Date of']").nth(1)
    second.click()
    second.press("End")
    for _ in range(5):
        second.press("Backspace")
    page.locator(".event input[type=checkbox]").first.evaluate("box => box.click()")  # the field keeps the cursor
    expect(page.locator(".tile[data-figure='Oil'] .tile-value")).not_to_have_text(both)
    settled(page)
    expect(second).to_have_value("2031-")
    second.type("07-01")
    second.press("Enter")
    second.blur()
    expect(page.locator(".event-text.off")).to_have_count(1)
    settled(page)
    expect(second).to_have_value("2031-07-01")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_quick_changes_end_with_the_figures_of_what_is_switched_on(invented: str, visit: Callable[..., Page]) -> None:
    page = visit(invented)
    base = figure(page, "Oil")
    shut(page, "Birch")
    settled(page)
    done = figure(page, "Oil")
    assert done != base
    switch = page.locator(".event input[type=checkbox]").first
    for _ in range(5):  # faster than answers come
        switch.evaluate("box => box.click()")
    page.wait_for_load_state("networkidle")
    settled(page)
    expected = done if switch.is_checked() else base
    expect(page.locator(".tile[data-figure='Oil'] .tile-value")).to_have_text(expected)
    expect(page.locator(".event-text.off")).to_have_count(0 if switch.is_checked() else 1)
    assert page.troubles == []  # type: ignore[attr-defined]
