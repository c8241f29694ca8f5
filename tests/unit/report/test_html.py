"""The report holds what a partner must see, escapes what a user typed, and asks nothing of the outside."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from planner.base.cards import CARDS
from planner.decide.compare import Ran, comparison_of
from planner.io.read import read_case
from planner.model.cautions import CAUTIONS
from planner.model.methods import used
from planner.report.html import report_text
from planner.report.methods import range_text, range_warnings
from planner.report.tables import style_for
from tests.unit.synthetic import made_case, made_flow, made_forecast, shut_lower

CASES = Path(__file__).parents[3] / "cases"


@pytest.fixture(scope="module")
def page() -> str:
    case = made_case()
    ran = [
        Ran(None, made_forecast()),
        Ran(shut_lower(), made_forecast("shut lower", "lower")),
        Ran(case.what_ifs[1], refused="There is no blank pipe above it."),
        Ran(case.what_ifs[2], failed="The water balance of layer 2 did not close."),
    ]
    return report_text(comparison_of(case, ran), case, made_flow())


class Reader(HTMLParser):
    """Collects text outside scripts, tags that fetch, and checks that tags are closed."""

    VOID = ("meta", "link", "br", "hr", "img", "input")

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self.fetched: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open += [] if tag in self.VOID else [tag]
        self.fetched += [value or "" for name, value in attrs if name in ("src", "href", "srcset", "action")]

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-1:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if not {"script", "style"} & set(self.open):
            self.words.append(data)


@pytest.fixture(scope="module")
def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


def test_it_fetches_nothing(page, read):
    assert [one for one in read.fetched if not one.startswith(("#", "data:"))] == []
    style = re.findall(r"<style>(.*?)</style>", page, flags=re.S)
    assert style and not any("url(" in one or "@import" in one for one in style)


def test_the_plot_library_is_there_once(page):
    assert page.count("plotly.js v") == 1


def test_the_cautions_stand_in_full(read):
    text = " ".join("".join(read.words).split())
    assert all(caution in text for caution in CAUTIONS)


@pytest.mark.parametrize(
    "words",
    [
        "There is no blank pipe above it.",  # why a zone cannot be shut, and the refused what-if
        "The water balance of layer 2 did not close.",
        "sand drawdown",
        "Water reaches the lower zone.",
        "Outside the range of a correlation.",
        "The aquifer is a guess.",
        "mass balance within 2.0e-11",
        "discounted at 0.1 per year",
        "Not given, so not checked",
        "NPV against base (million EUR)",
        "Well plan, what-ifs compared",
    ],
)
def test_it_says(read, words):
    assert words in " ".join("".join(read.words).split())


def test_every_method_used_comes_with_its_source_and_no_other(read):
    text = " ".join("".join(read.words).split())
    keys = used(made_case())
    assert len(keys) > 3
    told = [key for key, card in CARDS.items() if " ".join(card.source.split()) in text]
    sources = {CARDS[key].source for key in keys}
    assert {CARDS[key].source for key in told} == sources


def test_methods_follow_the_inputs():
    """What the fluids, the rock, the supports and the screens of a case call for, and nothing else."""
    magpie, wagtail = (read_case(CASES / name) for name in ("magpie", "wagtail"))
    assert {"standing_1947", "beggs_robinson_1975", "carter_tracy_1960", "fetkovich_1971"} <= set(used(magpie))
    assert not {"standing_1947", "baker_1988"} & set(used(wagtail))
    assert {"wichert_aziz_1972", "jones_leung_1981"} <= set(used(wagtail))
    assert not {"jones_leung_1981", "let_2005", "vogel_1968"} & set(used(magpie))


def test_an_input_outside_a_range_is_told_in_the_shown_units():
    """Standing's data span 16.5 to 63.8 degAPI and 100 to 258 degF; 10 degAPI is outside, 82 degC inside."""
    case = read_case(CASES / "magpie")
    assert range_warnings(case, style_for("metric")) == []
    oil = case.fluid.oil.model_copy(update={"api": 10.0})
    heavy = case.model_copy(update={"fluid": case.fluid.model_copy(update={"oil": oil, "temperature": 300.0})})
    found = range_warnings(heavy, style_for("metric"))
    assert any("Standing 1947" in text and "oil gravity 1 is outside" in text for text in found)
    assert any("Standing 1947" in text and "26.85 degC" in text and "37.78 to 125.6 degC" in text for text in found)


def test_ranges_of_methods_are_in_the_shown_units():
    """100 to 340 degF and 100 to 8000 psi are 37.8 to 171.1 degC and 6.895 to 551.6 bar."""
    temperature, pressure = CARDS["lee_gonzalez_eakin_1966"].ranges["temperature"], (6.894757e5, float("inf"))
    assert range_text("temperature", *temperature, style_for("field")) == "temperature 100 to 340 degF"
    assert range_text("temperature", *temperature, style_for("metric")) == "temperature 37.78 to 171.1 degC"
    assert range_text("pressure", *pressure, style_for("metric")) == "pressure from 6.895 bar"


def test_what_a_user_typed_is_escaped(page, read):
    assert "Two sands <made up>" in "".join(read.words)
    assert "<made up>" not in page


def test_inputs_stand_with_their_units(read):
    text = " ".join("".join(read.words).split())
    assert "216 mm" in text and "30 bar" in text and "500 md" in text
    assert "400 per m3" in text


def test_other_units_may_be_asked_for():
    case = made_case()
    text = report_text(comparison_of(case, [Ran(None, made_forecast())]), case, None, "field")
    assert "oil (Mbbl)" in text and "oil (1000 m3)" not in text
