"""A chapter in its frames: the same fragment on a page, in the report and on a screen; colours, numbers, escaping."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pandas as pd
import plotly.graph_objects as go
import pytest

from dashboard import theme
from planner.base.errors import CaseError
from planner.model.chapter import Book, Chapter, Part, alone, from_plain, plain
from planner.report import look
from planner.report.kept import CHAPTER, kept_chapter, kept_text
from planner.report.markup import book_text, figure_markup, fragment_text, list_markup, page_text, table_markup

COLOUR = re.compile(r"#[0-9a-f]{6}\b", re.IGNORECASE)
TABLE = pd.DataFrame({"zone": ["<upper>", "=lower"], "kh (md ft)": [1234.56789, 0.5]})


def figure() -> go.Figure:
    made = go.Figure()
    for index in range(8):
        made.add_bar(x=[1], y=[2], marker=look.bar(index))
        made.add_scatter(x=[1], y=[2], line=look.line(index))
    return look.dressed(made, "All looks </script>")


@pytest.fixture
def chapter() -> Chapter:
    body = (table_markup(TABLE, "Of zones"), figure_markup(figure()), list_markup(["one", "two"]))
    return Chapter("suit", "Suitability", "T-1 judged", "Nothing speaks against it.", (Part("By zone", "Told.", body),))


def inside(text: str) -> str:
    """What the part of a chapter holds, wherever it stands."""
    found = re.findall(r'<div class="body">(.*?)</section>', text, flags=re.S)
    assert len(found) == 1
    return " ".join(found[0].split())


def test_page_report_and_screen_show_the_same_fragment(chapter: Chapter) -> None:
    other = Chapter("answer", "", "Comparison", "", ())
    report = Book("Well plan", "T-1", "Both.", (other, chapter))
    page, whole, screen = page_text(chapter), book_text(report), fragment_text(alone(chapter))
    assert inside(page) == inside(whole) == inside(screen)
    assert "<h1>T-1 judged</h1>" in page and "<h2>By zone</h2>" in page
    for text in (whole, screen):
        assert '<h2 tabindex="-1">T-1 judged</h2>' in text and "<h3>By zone</h3>" in text
    assert 'href="#section-suit">Suitability</a>' in whole and 'id="section-suit"' in whole
    assert all("lanning estimates" in text for text in (page, whole, screen))
    assert "<html" not in screen and "plotly.js v" not in screen


def test_a_book_of_one_chapter_is_its_page(chapter: Chapter) -> None:
    assert book_text(alone(chapter)) == page_text(chapter)


def test_what_a_user_typed_is_escaped_everywhere(chapter: Chapter) -> None:
    screen = fragment_text(alone(chapter))
    assert "&lt;upper&gt;" in screen and "<upper>" not in screen
    assert screen.count("</script>") == 1  # the end of the figure's own data


def test_numbers_are_rounded_for_reading_and_kept_for_copying() -> None:
    assert '<td class="number" data-value="1234.568">1,234.6</td>' in table_markup(TABLE) or (
        '<td class="number" data-value="1234.568">1,235</td>' in table_markup(TABLE)
    )


def test_every_colour_of_a_figure_has_one_for_a_dark_screen() -> None:
    text = figure_markup(figure())
    data = json.loads(re.search(r'json">(.*?)</script>', text, flags=re.S)[1])  # type: ignore[index]
    used = {colour.lower() for colour in COLOUR.findall(json.dumps(data))}
    assert used and used <= set(look.DARK)
    faded = re.findall(r"rgba\((\d+),(\d+),(\d+),[\d.]+\)", json.dumps(data))
    assert {f"#{int(r):02x}{int(g):02x}{int(b):02x}" for r, g, b in faded} - {"#000000"} <= set(look.DARK)


def test_no_figure_has_a_colour_of_its_own() -> None:
    """What is not in `look` would stay as it is on a dark screen."""
    rooms = Path(look.__file__).parent.glob("*.py")
    own = [
        f"{file.name}: {found}"
        for file in rooms
        if file.name != "look.py"
        for found in COLOUR.findall(file.read_text())
    ]
    assert own == []


def test_the_hues_are_those_of_the_screens() -> None:
    for phase in ("oil", "water", "gas", "liquid"):
        colour = look.PHASES[phase][0]
        assert colour == theme.COLOURS["light"][phase] and look.DARK[colour] == theme.COLOURS["dark"][phase]
    for colour, name in ((look.INK, "ink"), (look.QUIET, "quiet"), (look.FAINT, "line"), (look.PAPER, "sheet")):
        assert colour == theme.COLOURS["light"][name] and look.DARK[colour] == theme.COLOURS["dark"][name]


def _light(colour: str) -> float:
    """Relative luminance, WCAG 2.1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("colour", look.SERIES)
def test_lines_stand_out_from_their_ground_in_both_themes(colour: str) -> None:
    """Graphical objects need a contrast of 3 to 1 (WCAG 2.1, 1.4.11)."""
    for shown, ground in ((colour, look.PAPER), (look.DARK[colour], look.DARK[look.PAPER])):
        high, low = sorted((_light(shown), _light(ground)), reverse=True)
        assert (high + 0.05) / (low + 0.05) >= 3.0


def test_a_book_survives_being_kept(chapter: Chapter, tmp_path) -> None:
    book = alone(chapter)
    again = from_plain(json.loads(json.dumps(plain(book))))
    assert again == book and fragment_text(again) == fragment_text(book)
    (tmp_path / CHAPTER).write_text(kept_text(chapter, "T-1"), encoding="utf-8")
    assert kept_chapter(tmp_path, "T-1") == chapter


def test_a_folder_without_a_chapter_or_about_another_well_is_told(chapter: Chapter, tmp_path) -> None:
    with pytest.raises(CaseError, match="keeps no finished chapter"):
        kept_chapter(tmp_path, "T-1")
    (tmp_path / CHAPTER).write_text(kept_text(replace(chapter), "T-9"), encoding="utf-8")
    with pytest.raises(CaseError, match="about well T-9, not T-1"):
        kept_chapter(tmp_path, "T-1")
    (tmp_path / CHAPTER).write_text('{"book": 3}', encoding="utf-8")
    with pytest.raises(CaseError, match="not a chapter that this program wrote"):
        kept_chapter(tmp_path, "T-1")
