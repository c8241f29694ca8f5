"""Inputs for people who never saw a case file: ranges, price deck, measurements, logs; on the invented engine."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import ready, watch
from tests.browser.test_page import press
from tests.browser.test_session import go

pytestmark = pytest.mark.browser
Visit = Callable[..., Page]
Keep = Callable[[Page, str], Path]
RATES = "date,oil rate [m3/d],water rate [m3/d]\n2026-02-01,900,0\n2026-03-01,880,1\n2026-04-01,860,2\n"
LOG = """~Version
 VERS. 2.0 :
 WRAP. NO :
~Well
 STRT.M 2480 :
 STOP.M 2660 :
 STEP.M 1 :
 NULL. -999.25 :
~Curve
 DEPT.M :
 PHIE.V/V : effective porosity
 PERM.MD : permeability
 CALI.IN : caliper
~A
"""


def part(page: Page, name: str) -> None:
    """A part of the inputs, and wait until it is the one in hand."""
    button = page.locator(".input-part").get_by_text(name, exact=True)
    button.click()
    expect(button).to_have_attribute("aria-current", "true")


def inputs(page: Page, name: str) -> None:
    go(page, "Inputs")
    expect(page.locator("#input-body > *").first).to_be_visible()
    part(page, name)


def pick_number(page: Page, words: str) -> None:
    box = page.get_by_role("textbox", name="Which number of the case")
    box.fill(words)
    page.get_by_role("option", name=words).first.click()
    page.keyboard.press("Escape")


def test_a_range_is_made_corrected_joined_and_taken_out(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    inputs(page, "Ranges")
    listed = page.locator("#range-list")
    expect(listed).to_contain_text("No ranges yet")
    press(page, "Add this range")
    expect(page.locator("#range-editor")).to_contain_text("Choose the number of the case")
    pick_number(page, "layer Birch sand: permeability")
    page.get_by_label("Name of the range").fill("kh of Birch")
    page.get_by_label("P90, low case, md").fill("many")
    page.get_by_label("P10, high case, md").fill("900")
    press(page, "Add this range")
    expect(page.locator("#range-fields")).to_contain_text("Not a number: many")
    page.get_by_label("P90, low case, md").fill("1900")
    press(page, "Add this range")
    expect(page.locator("#range-said")).to_contain_text("they must rise from p90 to p10")
    page.get_by_label("P90, low case, md").fill("100")
    press(page, "Add this range")
    expect(listed).to_contain_text("lognormal, P90 100 md, P10 900 md")
    expect(page.get_by_label("Name of the range")).to_have_value("")
    pick_number(page, "layer Elder sand: skin")
    page.get_by_label("Name of the range").fill("skin of Elder")
    page.get_by_role("textbox", name="How it is spread").click()
    page.get_by_role("option", name="uniform").click()
    expect(page.locator("#range-fields")).to_contain_text("Low")  # the fields are those of the kind
    page.get_by_label("Low").fill("0")
    page.get_by_label("High").fill("12")
    press(page, "Add this range")
    expect(listed).to_contain_text("uniform, low 0, high 12")
    press(page, "Join them")
    expect(listed).to_contain_text("kh of Birch and skin of Elder")
    keep(page, "ranges")
    page.get_by_text("Metric", exact=True).click()
    page.get_by_role("button", name="Change kh of Birch").click()
    expect(page.get_by_label("P10, high case, md")).to_have_value("900")
    page.get_by_role("button", name="Take out skin of Elder").click()
    expect(listed).not_to_contain_text("skin of Elder")
    press(page, "Undo")
    expect(listed).to_contain_text("kh of Birch and skin of Elder")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_a_price_deck_is_pasted(invented: str, visit: Visit, keep: Keep) -> None:
    page = visit(invented)
    inputs(page, "Price deck")
    expect(page.locator(".ag-header")).to_contain_text("Oil price, per bbl")
    page.get_by_label("Cells of a spreadsheet", exact=True).fill("date\toil price\n2028-01-01\t70\n2030-01-01\tdear")
    press(page, "Put below")
    expect(page.locator(".bad-cell")).to_have_count(1)
    expect(page.locator("#input-said")).to_contain_text("Not a number: dear")
    keep(page, "price deck")
    page.get_by_label("Cells of a spreadsheet", exact=True).fill("date\toil price\n2028-01-01\t70\n2030-01-01\t75")
    press(page, "Put in place of all rows")
    expect(page.locator(".bad-cell")).to_have_count(0)
    expect(page.locator("#undo")).to_be_enabled()
    part(page, "Prices and costs")
    expect(page.get_by_label("Oil price, per bbl")).not_to_have_value("")
    page.get_by_label("Currency").fill("EUR")
    press(page, "Keep these")
    go(page, "Revisions")
    expect(page.locator("#revision-list")).to_contain_text("Prices and costs changed")
    go(page, "Inputs")
    part(page, "Price deck")
    expect(page.locator(".ag-center-cols-container .ag-row")).to_have_count(2)
    assert page.troubles == []  # type: ignore[attr-defined]


def test_measurements_come_from_a_file_with_their_errors(
    invented: str, visit: Visit, keep: Keep, tmp_path: Path
) -> None:
    page = visit(invented)
    inputs(page, "From a file: CSV, LAS")
    table = tmp_path / "Förderung März.csv"
    table.write_text(RATES, "utf-8")
    page.locator("#data-upload input[type=file]").set_input_files(str(table))
    expect(page.locator("#data-report")).to_contain_text("3 lines")
    page.get_by_role("textbox", name="Rates are means of").click()
    page.get_by_role("option", name="of the day").click()
    expect(page.locator("#data-take")).to_contain_text("6 measurements from 2026-02-01 to 2026-04-01")
    press(page, "Take them into the case")
    expect(page.locator("#data-said")).to_contain_text("Give the error of oil rate")
    page.get_by_label("Error of oil rate").fill("5 %")
    page.get_by_label("Error of water rate").fill("5 %")
    press(page, "Take them into the case")
    expect(page.locator("#data-take")).to_contain_text("6 measurements in all")
    keep(page, "measurements")
    part(page, "Measurements")
    expect(page.locator(".ag-center-cols-container .ag-row")).to_have_count(6)
    part(page, "Errors of measurement")
    expect(page.get_by_label("Oil rate")).to_have_value("5 %")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_a_log_becomes_layers(invented: str, visit: Visit, tmp_path: Path) -> None:
    page = visit(invented)
    rows = [f"{depth} {'0.22 250' if depth < 2540 else '0.03 0.1'} 8.6" for depth in range(2480, 2661)]
    file = tmp_path / "log.las"
    file.write_text(LOG + "\n".join(rows) + "\n")
    inputs(page, "From a file: CSV, LAS")
    page.locator("#data-upload input[type=file]").set_input_files(str(file))
    expect(page.locator("#data-report")).to_contain_text("effective porosity")
    lines = page.get_by_label("Intervals, one a line")
    page.get_by_label("Porosity, %").fill("10")
    page.get_by_label("Permeability, md").fill("soft")
    press(page, "Put these layers in place of the case's")
    expect(page.locator("#data-take")).to_contain_text("Not a number: soft")
    page.get_by_label("Permeability, md").fill("1")
    lines.fill("Upper; 8130; 8500; main")
    press(page, "Put these layers in place of the case's")
    expect(page.locator("#data-said")).to_contain_text("Line 1 has 4 cells")
    lines.fill("Upper; 8130; 8500; main; sand; 900")
    press(page, "Put these layers in place of the case's")
    expect(page.locator("#data-take")).to_contain_text("1 layers")
    expect(page.locator("#undo")).to_be_enabled()
    assert page.troubles == []  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("plan.pdf", b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n1 0 obj", "cannot be read yet"),
        ("empty.csv", b"", "is empty"),
        ("Größe.las", b"\x00\x01\x02 garbage", "cannot be read yet"),
        (f"{'long' * 60}.csv", b"a,b\n1,2\n", "cannot be read yet"),
    ],
)
def test_garbage_is_refused_with_a_reason(
    invented: str, visit: Visit, tmp_path: Path, name: str, content: bytes, told: str
) -> None:
    page = visit(invented)
    inputs(page, "From a file: CSV, LAS")
    page.locator("#data-upload input[type=file]").set_input_files(
        {"name": name, "mimeType": "application/octet-stream", "buffer": content}
    )
    expect(page.locator(".data-file")).to_contain_text(told)
    assert page.troubles == []  # type: ignore[attr-defined]


def test_every_part_of_the_case_opens(invented: str, visit: Visit) -> None:
    page = visit(invented)
    go(page, "Inputs")
    expect(page.locator("#input-body .ag-header")).to_be_visible()
    for name in page.locator(".input-part").all_inner_texts():
        part(page, name)
        expect(page.locator("#input-body > *").first).to_be_visible()
    assert page.troubles == []  # type: ignore[attr-defined]


def test_all_faults_of_a_case_file_are_told(served: str, browser_of: Callable, tmp_path: Path) -> None:
    page = browser_of().pages[0]
    watch(page, served)
    page.goto("/".join(served.split("/")[:3]) + "/")
    expect(page.locator(".ways")).to_be_visible()
    bad = tmp_path / "case.toml"
    bad.write_text("[well]\nname = 1\nkind = 'geyser'\n" + "".join(f"wrong_{n} = {n}\n" for n in range(12)))
    page.locator("#case-files input[type=file]").set_input_files(str(bad))
    for number in range(12):
        expect(page.locator("#case-problems")).to_contain_text(f"wrong_{number}")
    expect(page.locator("#case-problems")).to_contain_text("geyser")
    assert page.troubles == []  # type: ignore[attr-defined]


def test_what_is_typed_outlives_a_change_elsewhere(invented: str, visit: Visit) -> None:
    page = visit(invented)
    inputs(page, "Limits")
    page.get_by_label("Sand drawdown, psi").fill("1234")
    other = page.context.new_page()
    other.goto(invented)
    ready(other)
    other.get_by_label("Name of the what-if").fill("Named elsewhere")
    other.keyboard.press("Enter")
    expect(other.locator(".card.in-hand .card-title")).to_have_text("Named elsewhere")
    expect(page.locator("#undo")).to_be_enabled()  # the news has arrived
    expect(page.get_by_label("Sand drawdown, psi")).to_have_value("1234")
    press(page, "Keep these")
    go(page, "Revisions")
    expect(page.locator("#revision-list")).to_contain_text("Limits changed")
