"""A whole session as a newcomer has it, on the invented engine: every page, what-ifs, comparison, inputs, report."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import ready, settled, watch
from tests.browser.test_page import click_zone, press

pytestmark = pytest.mark.browser
Visit = Callable[..., Page]
Keep = Callable[[Page, str], Path]
PAGES = (
    "Inputs", "Revisions", "Suitability", "Zone split", "Match", "Flow", "Life", "The well", "What-ifs", "Compare",
    "Blanks", "Report",
)  # fmt: skip


def go(page: Page, title: str) -> None:
    """To a page by the rail, and wait until it is there."""
    page.locator(".rail").get_by_text(title, exact=True).click()
    expect(page.locator(".rail [aria-current=page]")).to_have_text(title)


def test_every_page_opens_without_a_complaint(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    for title in PAGES:
        go(page, title)
        expect(page.locator("#page > *")).to_be_visible()
        expect(page.locator("#status")).to_contain_text("Showing")
        keep(page, f"page {title}")
        assert page.evaluate(
            "document.documentElement.scrollWidth <= 1280 && document.documentElement.scrollHeight <= 800"
        )
    assert page.troubles == []


def test_a_newcomers_session(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    click_zone(page, "Birch")
    press(page, "Shut it")
    expect(page.locator(".tile[data-figure='Water'] .tile-note")).to_contain_text("better")
    expect(page.locator("#at-once")).to_contain_text("Done on day one")
    press(page, "New")
    expect(page.locator(".card.in-hand .card-title")).to_contain_text("What-if")
    page.locator(".part-blank-pipe[data-name='blank 3'] text").click()
    press(page, "Straddle from here")
    expect(page.locator(".event-text")).to_contain_text("Straddle from blank 3 to blank 5")
    press(page, "New")
    expect(page.locator(".event-text")).to_have_count(0)
    click_zone(page, "Elder")
    page.get_by_label("Month by which water reaches the zone").focus()
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    press(page, "Water comes early")
    expect(page.locator(".event-text")).to_have_text("Water reaches Elder early")
    go(page, "Compare")
    expect(page.locator(".figures tbody tr")).to_have_count(4)
    page.get_by_role("textbox", name="What over time").click()
    page.get_by_role("option", name="Water cut").click()
    expect(page.locator("#compare-time .scatterlayer .trace")).to_have_count(4)
    press(page, "Copy for a spreadsheet")
    expect(page.locator("#compare-copied")).to_contain_text("Copied")
    with page.expect_download() as waiting:
        press(page, "Save all numbers (CSV)")
    rows = list(csv.DictReader(io.StringIO(Path(waiting.value.path()).read_text())))
    assert len({row["what_if"] for row in rows}) == 4 and float(rows[0]["oil rate (bbl/d)"]) > 0
    keep(page, "session compare")
    where = page.url
    page.reload()
    expect(page.locator(".figures tbody tr")).to_have_count(4)
    assert page.url == where
    go(page, "The well")
    ready(page)
    expect(page.locator(".event-text")).to_have_text("Water reaches Elder early")
    assert page.troubles == []


def test_an_event_of_any_kind_is_made_in_its_form(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    go(page, "What-ifs")
    page.get_by_role("textbox", name="What happens").click()
    page.get_by_role("option", name="Change control").click()
    page.get_by_text("When a condition is met").click()
    expect(page.get_by_label("Water cut above, %")).to_be_visible()  # the form is drawn anew, its fields empty
    page.get_by_label("Bottom hole pressure, psi").fill("2000")
    page.get_by_label("Water cut above, %").fill("140")
    press(page, "Add it")
    expect(page.locator("#event-editor")).to_contain_text("Must be at most 1")
    page.get_by_label("Water cut above, %").fill("60")
    press(page, "Add it")
    expect(page.locator(".event-pick")).to_contain_text("when the water cut of the well passes 60.0 %")
    page.locator(".event-pick").click()
    page.get_by_label("Water cut above, %").fill("70")
    press(page, "Change it")
    expect(page.locator(".event-pick")).to_contain_text("70.0 %")
    keep(page, "what-if form")
    page.reload()
    expect(page.locator(".event-pick")).to_contain_text("70.0 %")
    assert page.troubles == []


def test_a_cell_is_checked_where_it_stands_and_a_good_one_is_a_revision(
    invented: str, visit: Visit, keep: Keep
) -> None:
    page = visit(invented)
    go(page, "Inputs")
    cell = page.locator(".ag-row[row-index='1'] [col-id='permeability']")

    def type_in(text: str) -> None:
        cell.dblclick()
        page.keyboard.press("Control+a")
        page.keyboard.type(text)
        page.keyboard.press("Enter")

    type_in("-5")
    expect(page.locator(".bad-cell")).to_have_count(1)
    expect(page.locator("#input-said")).to_contain_text("must be above 0", ignore_case=True)
    keep(page, "bad cell")
    type_in("777")
    expect(page.locator(".bad-cell")).to_have_count(0)
    expect(page.locator("#undo")).to_be_enabled()
    go(page, "Revisions")
    expect(page.locator("#revision-list")).to_contain_text("777")
    page.get_by_role("button", name="Go back to revision 1").click()
    expect(page.locator("#revision-list")).to_contain_text("Back to revision 1")
    go(page, "Inputs")
    expect(cell).not_to_have_text("777")
    assert page.troubles == []


def test_rows_are_pasted_from_a_spreadsheet(invented: str, visit: Visit) -> None:
    page = visit(invented)
    go(page, "Inputs")
    page.get_by_text("Survey", exact=True).click()
    expect(page.locator(".ag-header")).to_contain_text("Inclination")
    page.get_by_label("Cells of a spreadsheet").fill("md [m]\tinclination [deg]\n0\t0\n2400\t10\n3000\t12")
    press(page, "Put in place of all rows")
    expect(page.locator(".ag-center-cols-container .ag-row")).to_have_count(3)
    expect(page.locator("#undo")).to_be_enabled()
    page.get_by_label("Cells of a spreadsheet").fill("md\tcolour\n1\t2")
    press(page, "Put below")
    expect(page.locator("#input-said")).to_contain_text("no column 'colour'")
    assert page.troubles == []


def test_the_report_is_made_and_kept(invented: str, visit: Visit) -> None:
    page = visit(invented)
    page.get_by_text("Shut Birch early", exact=True).click()
    settled(page)
    page.get_by_label("Compare Shut Birch early").click()
    go(page, "Report")
    press(page, "Make the report")
    expect(page.locator(".paper > h2")).to_have_text("Report in field")
    go(page, "Life")
    go(page, "Report")
    expect(page.locator(".paper")).to_contain_text("Shut Birch early")
    assert page.troubles == []


def test_a_case_is_started_from_files_and_its_problems_are_told(
    server: str, browser_of: Callable, tmp_path: Path
) -> None:
    page = browser_of().pages[0]
    watch(page, server)
    page.goto(server)
    expect(page.locator(".ways")).to_be_visible()
    bad = tmp_path / "notes.txt"
    bad.write_text("no case")
    page.locator("#case-files input[type=file]").set_input_files(str(bad))
    expect(page.locator("#case-problems")).to_contain_text("no TOML file among them")
    page.get_by_role("button", name="Start from a small well").click()
    ready(page)
    assert "/well" in page.url
    assert page.troubles == []


def test_an_address_leads_a_second_browser_to_the_same_place(invented: str, visit: Visit) -> None:
    one = visit(invented)
    one.get_by_text("Seal 4 leaks", exact=True).click()
    settled(one)
    one.get_by_label("Date of the picture").focus()
    one.keyboard.press("End")
    expect(one.locator("#date-text")).to_have_text("Jan 2046")
    assert "on=2046-01" in one.url
    two = visit(one.url)
    expect(two.locator(".card.in-hand .card-title")).to_have_text("Seal 4 leaks")
    expect(two.locator("#date-text")).to_have_text("Jan 2046")


def sign_in(page: Page, address: str, name: str) -> None:
    watch(page, address)
    page.goto(address)
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(10 * name)
    page.get_by_role("button", name="Sign in").click()


def test_two_users_do_not_see_each_others_work(team: str, browser_of: Callable) -> None:
    ann, bob = browser_of().pages[0], browser_of().pages[0]
    sign_in(ann, team, "ann")
    sign_in(bob, team, "bob")
    for page in (ann, bob):
        page.get_by_role("button", name="Start from a small well").click()
        ready(page)
        page.goto(team)
        expect(page.locator(".plain-table tbody tr")).to_have_count(1)
    ann.locator(".plain-table a").click()
    ready(ann)
    bob.goto(ann.url)
    ready(bob)
    expect(bob.locator(".case-owner")).to_contain_text("of ann")
    press(bob, "New")
    expect(bob.locator("#trouble")).to_contain_text("take a copy")
    assert ann.troubles == [] and bob.troubles == []


def test_nobody_gets_in_without_a_password(team: str, browser_of: Callable) -> None:
    page = browser_of().pages[0]
    page.goto(f"{team}p/0000000000000000/well")
    page.get_by_label("Name").fill("ann")
    page.get_by_label("Password").fill("wrong password")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_contain_text("not right")
    assert page.evaluate("fetch('/_dash-layout').then((r) => r.status)") == 401
