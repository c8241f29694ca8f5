"""Against what goes wrong: a server killed in mid-work, damaged files, two tabs at once, odd names, late answers."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import ROOT, free_port, ready, settled, watch
from tests.browser.test_page import click_zone, press
from tests.browser.test_session import go

pytestmark = pytest.mark.browser
Visit = Callable[..., Page]


class Killable:
    """A server on the invented engine that is killed and started again on the same folder and port."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port = folder, free_port()
        self.process: subprocess.Popen[str] | None = None

    def start(self) -> str:
        """Start it; gives its address."""
        command = [sys.executable, "-m", "tests.browser.serve_invented", str(self.port), str(self.folder)]
        self.process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        assert "blankwise is at" in self.process.stdout.readline()
        return f"http://127.0.0.1:{self.port}/"

    def kill(self) -> None:
        """kill -9, without a word."""
        if self.process is not None:
            os.kill(self.process.pid, signal.SIGKILL)
            self.process.wait(20)
            assert self.process.stdout is not None
            self.process.stdout.close()
            self.process = None


@pytest.fixture
def killable(tmp_path: Path) -> Iterator[Killable]:
    made = Killable(tmp_path / "projects")
    made.folder.mkdir()
    yield made
    made.kill()


def project_at(address: str) -> str:
    """The address of a new project on a server."""
    with urllib.request.urlopen(f"{address}make") as answer:
        return address.rstrip("/") + str(answer.read().decode())


def test_a_killed_server_loses_neither_work_nor_answers(killable: Killable, visit: Visit) -> None:
    address = project_at(killable.start())
    page = visit(address)
    click_zone(page, "Birch")
    press(page, "Shut it")
    expect(page.locator(".event-text")).to_have_text("Shut Birch")
    go(page, "Report")
    press(page, "Make the report")
    expect(page.locator(".paper > h2")).to_have_text("Report in field")
    expect(page.locator("#report-said")).to_contain_text("Done on")
    killable.kill()
    killable.start()
    page.reload()
    expect(page.locator(".paper")).to_contain_text("Shut Birch")
    expect(page.locator(".paper .plot .main-svg").first).to_be_visible()  # drawn on a page opened by its address
    expect(page.locator("#report-said")).to_contain_text("Done on")
    go(page, "The well")
    ready(page)
    expect(page.locator(".event-text")).to_have_text("Shut Birch")
    click_zone(page, "Elder")
    press(page, "Shut it")
    expect(page.locator(".event-text")).to_have_count(2)
    go(page, "Report")
    expect(page.locator("#report-said")).to_contain_text("is of an older state: the what-ifs have changed since")


def test_a_kill_while_work_is_written_leaves_the_state_before_or_after(killable: Killable, visit: Visit) -> None:
    address = project_at(killable.start())
    page = visit(address)
    for name in ("Birch", "Elder"):
        click_zone(page, name)
        press(page, "Shut it")  # and killed at once, whether it has been written or not
        killable.kill()
        killable.start()
        page.goto(address)
        ready(page)
        assert page.locator(".event-text").count() in (0, 1, 2)
        expect(page.locator("#trouble")).to_be_empty()


def test_a_damaged_project_file_is_made_good_and_a_lost_one_told(killable: Killable, visit: Visit) -> None:
    address = project_at(killable.start())
    page = visit(address)
    click_zone(page, "Birch")
    press(page, "Shut it")
    expect(page.locator(".event-text")).to_have_text("Shut Birch")
    place = killable.folder / "projects" / address.split("/")[4]
    (place / "project.json").write_text('{"form": 2, "hea')
    page.reload()
    ready(page)
    expect(page.locator(".event-text")).to_have_text("Shut Birch")
    for file in place.rglob("*.json"):
        file.write_text("{")
    page.reload()
    expect(page.locator("#case-problems")).to_contain_text("no such project")
    page.get_by_role("button", name="Start from a small well").click()
    ready(page)


def test_two_tabs_press_at_the_same_time(invented: str, visit: Visit) -> None:
    one = visit(invented)
    two = one.context.new_page()
    two.goto(invented)
    ready(two)
    click_zone(one, "Birch")
    click_zone(two, "Elder")
    for page in (one, two):  # neither waits for the other
        page.evaluate("[...document.querySelectorAll('button')].find((b) => b.innerText === 'Shut it').click()")
    for page in (one, two):
        expect(page.locator(".event-text")).to_have_count(2)
        expect(page.locator("#events")).to_contain_text("Shut Birch")
        expect(page.locator("#events")).to_contain_text("Shut Elder")
        settled(page)


def test_a_name_may_be_long_and_in_any_script(invented: str, visit: Visit) -> None:
    page = visit(invented)
    name = "Förderung \u6c34 \u0645\u0627\u0621 <b>&\"' " + "long " * 60
    page.get_by_label("Name of the what-if").fill(name)
    page.keyboard.press("Enter")
    title = page.locator(".card.in-hand .card-title")
    expect(title).to_contain_text("Förderung \u6c34 \u0645\u0627\u0621 <b>&\"'")
    assert len(title.inner_text()) <= 80
    assert page.evaluate("document.documentElement.scrollWidth <= 1280")
    go(page, "Compare")
    go(page, "What-ifs")
    expect(title).to_contain_text("Förderung")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_three_clicks_from_start_to_the_comparison(invented: str, visit: Visit) -> None:
    page = visit(invented)
    page.evaluate(
        "window.clicks = 0; addEventListener('click', (e) => { window.clicks += e.isTrusted ? 1 : 0; }, true)"
    )
    click_zone(page, "Birch")
    press(page, "Shut it")
    expect(page.locator(".tile[data-figure='Water'] .tile-note")).to_contain_text("better")  # already against the base
    assert page.evaluate("window.clicks") == 2
    go(page, "Compare")
    expect(page.locator(".figures tbody tr")).to_have_count(2)
    assert page.evaluate("window.clicks") == 3


def test_an_event_is_moved_on_its_line_by_keys_and_by_the_mouse(invented: str, visit: Visit) -> None:
    page = visit(invented)
    page.get_by_text("Shut Birch early", exact=True).click()
    go(page, "What-ifs")
    mark = page.locator(".mark-event")
    expect(page.locator(".event-pick")).to_contain_text("on 1 Jan 2031")
    mark.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    expect(page.locator(".event-pick")).to_contain_text("on 1 Mar 2031")
    expect(mark).to_be_focused()
    page.keyboard.press("PageUp")
    expect(page.locator(".event-pick")).to_contain_text("on 1 Mar 2032")
    box = mark.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 10, box["y"] + 10)
    page.mouse.down()
    page.mouse.move(box["x"] + 150, box["y"] + 10, steps=5)
    page.mouse.up()
    expect(page.locator(".event-pick")).to_contain_text(re.compile(r"on 1 \w+ 203[5-9]"))
    press(page, "Undo")
    expect(page.locator(".event-pick")).to_contain_text("on 1 Mar 2032")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_numbers_typed_for_a_part_outlive_a_change_of_another_tab(invented: str, visit: Visit) -> None:
    page = visit(invented)
    click_zone(page, "Birch")
    page.get_by_label("Water cut in percent").fill("55")
    other = page.context.new_page()
    watch(other, invented)
    other.goto(invented)
    ready(other)
    other.get_by_label("Name of the what-if").fill("From the other tab")
    other.keyboard.press("Enter")
    expect(page.locator(".card.in-hand .card-title")).to_have_text("From the other tab")
    settled(page)
    expect(page.get_by_label("Water cut in percent")).to_have_value("55")
    press(page, "Shut when wet")
    expect(page.locator(".event-text")).to_contain_text("passes 55.0 %")
