"""The main job on the real engine: open the shipped oil producer, shut a zone, see the answer change."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import figure, ready, settled, tile

pytestmark = pytest.mark.browser
LONG = 120_000  # ms; the first run after an installation compiles the kernels


def test_open_shut_compare(served: str, visit: Callable[..., Page], keep: Callable[[Page, str], Path]) -> None:
    page = visit(served, patience=LONG)
    oil, water = figure(page, "Oil"), figure(page, "Water")
    keep(page, "magpie start")
    page.locator(".part-zone[data-name='Umber'] .zone-name").click()
    page.get_by_role("button", name="Shut it", exact=True).click()
    expect(page.locator("#status")).to_contain_text("against the base", timeout=LONG)
    settled(page, LONG)
    expect(tile(page, "Oil")).not_to_have_text(oil)
    expect(tile(page, "Water")).not_to_have_text(water)
    expect(page.locator(".tile[data-figure='Water'] .tile-note")).to_contain_text("better")
    keep(page, "magpie Umber shut")
    page.locator(".part-zone[data-name='Ochre'] .zone-name").click()
    expect(page.locator("#part-panel .refusal")).to_contain_text("blank 1")
    page.reload()
    ready(page, LONG)
    expect(page.locator(".event-text")).to_have_text("Shut Umber")
    assert page.troubles == []  # type: ignore[attr-defined]
