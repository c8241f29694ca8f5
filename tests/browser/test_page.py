"""The well on the invented engine: mouse, keys, refusals, memory, two tabs, undo, units."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import figure, ready, settled, tile

pytestmark = pytest.mark.browser
Visit = Callable[..., Page]
Keep = Callable[[Page, str], Path]


def click_zone(page: Page, name: str) -> None:
    """Click a zone and wait for its panel, as a person would before pressing a button in it."""
    page.locator(f".part-zone[data-name='{name}'] .zone-name").click()
    expect(page.locator("#part-panel h2")).to_have_text(name)


def press(page: Page, text: str) -> None:
    page.get_by_role("button", name=text, exact=True).click()


def test_the_page_opens_without_a_complaint_and_without_leaving_the_machine(
    invented: str, visit: Visit, keep: Keep
) -> None:
    page = visit(invented)
    assert page.title().endswith("blankwise")
    assert page.locator(".part").count() >= 15
    expect(page.locator("footer.foot")).to_contain_text("Planning estimates")
    keep(page, "start light")
    assert page.troubles == []


def test_two_clicks_shut_a_zone_and_the_numbers_change(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    before = figure(page, "Water")
    click_zone(page, "Birch")
    press(page, "Shut it")
    expect(page.locator(".tile[data-figure='Water'] .tile-note")).to_contain_text("better")
    settled(page)
    expect(tile(page, "Water")).not_to_have_text(before)
    expect(page.locator("#status")).to_contain_text("against the base")
    expect(page.locator(".part-zone[data-name='Birch']")).to_have_attribute("aria-label", re.compile("shut"))
    keep(page, "shut light")
    assert page.troubles == []


def test_the_whole_way_by_keyboard(invented: str, visit: Visit) -> None:
    page = visit(invented)
    before = figure(page, "Oil")
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.classList.contains('part')"):
            break
    for _ in range(40):
        if page.evaluate("document.activeElement.getAttribute('data-name')") == "Elder":
            break
        page.keyboard.press("ArrowDown")
    assert page.evaluate("getComputedStyle(document.activeElement.querySelector('.ring')).strokeWidth") == "3px"
    page.keyboard.press("Enter")
    expect(page.locator("#part-panel h2")).to_have_text("Elder")
    for _ in range(80):
        if page.evaluate("document.activeElement.innerText || ''") == "Shut it":
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".event-text")).to_have_text("Shut Elder")
    settled(page)
    expect(tile(page, "Oil")).not_to_have_text(before)


def test_zooming_by_keys_keeps_the_focus_and_the_parts_true_to_depth(invented: str, visit: Visit) -> None:
    page = visit(invented)
    seal = page.locator(".part-seal[data-name='seal 4'] .hit").first
    assert seal.bounding_box()["height"] >= 12
    page.locator(".part-zone[data-name='Cedar']").focus()
    tall = page.locator(".part-zone[data-name='Cedar'] .zone-area").bounding_box()["height"]
    page.keyboard.press("+")
    page.keyboard.press("+")
    assert page.locator(".part-zone[data-name='Cedar'] .zone-area").bounding_box()["height"] > 1.8 * tall
    assert page.evaluate("document.activeElement.getAttribute('data-name')") == "Cedar"
    page.keyboard.press("0")
    assert page.locator(".part-zone[data-name='Cedar'] .zone-area").bounding_box()["height"] == pytest.approx(tall)


def test_depths_on_the_screen_are_in_proportion(invented: str, visit: Visit) -> None:
    page = visit(invented)
    from tests.dashboard import synthetic

    at = synthetic.depths()
    tall = {
        name: page.locator(f".part-zone[data-name='{name}'] .zone-area").bounding_box()["height"]
        for name in ("Birch", "Damson")
    }
    birch = at["screen 2"][1] - at["screen 2"][0]
    damson = at["screen 4"][1] - at["screen 4"][0]
    assert tall["Birch"] / tall["Damson"] == pytest.approx(birch / damson, rel=0.02)


def test_what_the_string_cannot_do_is_refused_with_the_reason(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    click_zone(page, "Cedar")
    expect(page.locator("#part-panel .refusal")).to_contain_text("blank 4 below it is 2.0 m")
    assert page.get_by_role("button", name="Shut it", exact=True).count() == 0
    page.locator(".part-blank-pipe[data-name='blank 4'] text").click()
    expect(page.locator("#part-panel .refusal")).to_contain_text("needs 6.0 m")
    keep(page, "refused light")


def test_a_bad_number_gets_a_sentence_at_its_field(invented: str, visit: Visit) -> None:
    page = visit(invented)
    click_zone(page, "Birch")
    page.get_by_label("Water cut in percent").fill("140")
    press(page, "Shut when wet")
    expect(page.locator("#part-panel")).to_contain_text("must lie from 1 to 99.9")
    assert page.locator(".event").count() == 0
    page.get_by_label("Water cut in percent").fill("70")
    press(page, "Shut when wet")
    expect(page.locator(".event-text")).to_contain_text("passes 70.0 %")


def test_a_refresh_keeps_everything(invented: str, visit: Visit) -> None:
    page = visit(invented)
    page.locator(".part-blank-pipe[data-name='blank 3'] text").click()
    press(page, "Straddle from here")
    expect(page.locator(".event-text")).to_contain_text("Straddle from blank 3 to blank 5")
    page.get_by_label("Name of the what-if").fill("Long straddle")
    page.keyboard.press("Enter")
    expect(page.locator(".card.in-hand .card-title")).to_have_text("Long straddle")
    page.reload()
    ready(page)
    expect(page.locator(".card.in-hand .card-title")).to_have_text("Long straddle")
    expect(page.locator(".event-text")).to_contain_text("Straddle from blank 3 to blank 5")
    expect(page.locator("#part-panel h2")).to_have_text("blank 3")
    page.get_by_role("button", name="Undo", exact=True).click()
    expect(page.locator(".card.in-hand .card-title")).not_to_have_text("Long straddle")


def test_two_tabs_of_one_browser_work_on_one_desk(invented: str, visit: Visit) -> None:
    one = visit(invented)
    two = one.context.new_page()
    two.goto(invented)
    ready(two)
    click_zone(one, "Birch")
    press(one, "Shut it")
    expect(two.locator(".event-text")).to_have_text("Shut Birch")
    settled(two)
    click_zone(two, "Elder")
    press(two, "Shut it")
    for page in (one, two):
        expect(page.locator(".event-text")).to_have_text(["Shut Birch", "Shut Elder"])
        settled(page)
    expect(tile(two, "Oil")).to_have_text(figure(one, "Oil"))


def test_the_picture_shows_what_was_done_and_the_next_job_keeps_the_date(invented: str, visit: Visit) -> None:
    page = visit(invented)
    click_zone(page, "Birch")
    asked = page.get_by_label("Date of the job").input_value()
    press(page, "Shut it")
    settled(page)
    expect(page.locator("#date-text")).not_to_have_text(asked)
    expect(page.locator(".part-zone[data-name='Birch'] .zone-flow")).to_have_text("shut")
    click_zone(page, "Elder")
    expect(page.locator("#part-panel h2")).to_have_text("Elder")
    assert page.get_by_label("Date of the job").input_value() == asked


def test_undo_and_redo_by_button_and_by_key(invented: str, visit: Visit) -> None:
    page = visit(invented)
    start = figure(page, "Oil")
    click_zone(page, "Birch")
    press(page, "Shut it")
    expect(page.locator(".event-text")).to_have_text("Shut Birch")
    settled(page)
    after = figure(page, "Oil")
    page.locator("h1").click()
    page.keyboard.press("Control+z")
    expect(page.locator(".event-text")).to_have_count(0)
    settled(page)
    expect(tile(page, "Oil")).to_have_text(start)
    press(page, "Redo")
    expect(page.locator(".event-text")).to_have_text("Shut Birch")
    settled(page)
    expect(tile(page, "Oil")).to_have_text(after)


def test_an_event_is_switched_off_and_moved(invented: str, visit: Visit) -> None:
    page = visit(invented)
    start = figure(page, "Oil")
    page.get_by_text("Shut Birch early", exact=True).click()
    expect(page.locator(".event-text")).to_have_text("Shut Birch")
    settled(page)
    after = figure(page, "Oil")
    page.locator(".event .mantine-Switch-track").click()
    expect(page.locator(".event-text.off")).to_have_count(1)
    settled(page)
    expect(tile(page, "Oil")).to_have_text(start)
    page.locator(".event .mantine-Switch-track").click()
    oil = tile(page, "Oil")
    expect(oil).to_have_text(after)
    date = page.get_by_label("Date of: Shut Birch")
    date.fill("2036-05-01")
    date.press("Enter")
    expect(page.locator(".card.in-hand .card-title")).to_have_text("Shut Birch early")
    expect(oil).not_to_have_text(after)
    settled(page)
    expect(tile(page, "Oil")).not_to_have_text(start)
    expect(tile(page, "Oil")).not_to_have_text(after)


def test_the_date_slider_moves_the_flow(invented: str, visit: Visit) -> None:
    page = visit(invented)
    page.get_by_label("Date of the picture").focus()
    page.keyboard.press("Home")
    expect(page.locator("#date-text")).to_have_text("Jan 2026")
    early = page.locator(".part-zone[data-name='Birch'] .zone-flow").text_content()
    page.keyboard.press("End")
    expect(page.locator("#date-text")).to_have_text("Jan 2046")
    late = page.locator(".part-zone[data-name='Birch'] .zone-flow").text_content()
    assert "water" in late and "water" not in early


def test_units_change_in_one_place_without_loss(invented: str, visit: Visit) -> None:
    page = visit(invented)
    click_zone(page, "Birch")
    press(page, "Choke it")
    expect(page.locator(".event-text")).to_have_text("Choke Birch with a 0.500 in nozzle")
    page.get_by_text("Metric", exact=True).click()
    expect(page.locator(".event-text")).to_have_text("Choke Birch with a 12.7 mm nozzle")
    expect(page.locator(".tile-name").first).to_have_text("Oil, 1000 m3")
    expect(page.locator(".axis-title")).to_have_text("MD, m")
    page.get_by_text("Field", exact=True).click()
    expect(page.locator(".event-text")).to_have_text("Choke Birch with a 0.500 in nozzle")


def test_nothing_scrolls_at_1280_by_800(invented: str, visit: Visit) -> None:
    page = visit(invented)
    assert page.evaluate("document.documentElement.scrollHeight <= 800 && document.documentElement.scrollWidth <= 1280")
    for chart in page.locator(".section-time .graph").all():
        assert chart.bounding_box()["height"] > 90


def test_depth_along_the_hole_or_vertical(invented: str, visit: Visit) -> None:
    page = visit(invented)
    expect(page.locator(".axis-title")).to_have_text("MD, ft")
    page.get_by_text("TVD", exact=True).last.click()
    expect(page.locator(".axis-title")).to_have_text("TVD, ft")


def test_an_element_is_moved_and_taken_out(invented: str, visit: Visit) -> None:
    page = visit(invented)
    page.locator(".part-blank-pipe[data-name='blank 5'] text").click()
    press(page, "Set plug here")
    expect(page.locator(".event-text")).to_have_text("Plug in blank 5")
    press(page, "Move")
    expect(page.locator(".event-text")).to_have_text("Plug in blank 2")
    page.locator(".part-blank-pipe[data-name='blank 2'] text").click()
    press(page, "Take out")
    expect(page.locator(".event-text")).to_have_count(0)
    assert page.troubles == []
