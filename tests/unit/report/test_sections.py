"""Decisions in the report: the numbers of the verbs, one progress, what a case lacks said in words, folders taken."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planner import api
from planner.base.errors import Cancelled, CaseError
from planner.model.case import Case
from planner.report.documents import to_json
from tests.agreement.test_cure import NOW, well

PLAN = api.DecisionPlan(members=2, on=NOW)


@pytest.fixture(scope="module")
def case() -> Case:
    return well()


@pytest.fixture(scope="module")
def told() -> list[tuple[float, str]]:
    return []


@pytest.fixture(scope="module")
def whole(case: Case, told: list[tuple[float, str]], tmp_path_factory: pytest.TempPathFactory):
    """A report with late life and what the case has no inputs for: its sections and its text."""
    comparison, sections = api.prepare_report(
        case, ["cure", "split", "portfolio"], PLAN, progress=lambda share, text: told.append((share, text))
    )
    path = api.report(comparison, tmp_path_factory.mktemp("report") / "report.html", "metric", sections)
    return {one.key: one for one in sections}, path.read_text("utf-8")


def without_times(document: dict) -> str:
    return re.sub(r'"seconds": [\d.e-]+', "", to_json(document))


def test_a_section_holds_the_numbers_of_its_verb(case: Case, whole) -> None:
    """Two roads: `cure` by itself, and the section that the report made."""
    found = api.cure(case, NOW, step=None)
    sections, text = whole
    assert without_times(sections["cure"].document) == without_times(api.document_of(found))
    cell = f'data-value="{found.jobs[0].value:.7g}"' if found.jobs[0].value % 1 else f"{found.jobs[0].value:,.0f}"
    million = f'data-value="{found.jobs[0].value / 1e6:.7g}"'
    assert cell in text or million in text


def test_chapters_stand_in_order_in_the_contents_and_in_the_text(whole) -> None:
    _, text = whole
    listed = re.findall(r'<a href="#section-([\w-]+)">', text)
    assert listed[:5] == ["answer", "split", "cure", "portfolio", "well"] and listed[-1] == "numerics"
    assert re.findall(r'<section class="chapter" id="section-([\w-]+)">', text) == listed


def test_what_a_case_lacks_is_said_in_its_place(whole) -> None:
    sections, text = whole
    for name, words in (("split", "add [split] to its file"), ("portfolio", "no wells were named")):
        assert words in sections[name].why_not and words in text and not sections[name].failed
        assert sections[name].document == {}


def test_progress_goes_once_from_nothing_to_all_and_names_the_section(whole, told: list[tuple[float, str]]) -> None:
    shares = [share for share, _ in told]
    assert shares == sorted(shares) and 0.0 <= shares[0] < 0.5 and 0.9 < shares[-1] <= 1.0
    assert any(text.startswith("Late life") for _, text in told) and not told[0][1].startswith("Late life")


def test_it_can_be_cancelled_in_a_section(case: Case) -> None:
    asked = []

    def cancelled() -> bool:
        asked.append(1)
        return len(asked) > 3

    with pytest.raises(Cancelled):
        api.decisions(case, ["cure"], PLAN, cancelled=cancelled)


def test_an_unknown_section_is_refused_before_anything_is_computed(case: Case) -> None:
    with pytest.raises(CaseError, match="neither a section nor a folder"):
        api.prepare_report(case, ["cures"], PLAN, progress=lambda share, text: pytest.fail("began"))


def test_a_finished_chapter_is_taken_from_its_folder(case: Case, tmp_path: Path) -> None:
    found = api.cure(case, NOW, step=None)
    api.keep_chapter(found, tmp_path)
    (taken,) = api.decisions(case, [tmp_path], PLAN, progress=lambda share, text: pytest.fail("computed"))
    assert taken.key == "cure" and taken.chapter == api.chapter_of(found)


def test_offers_say_what_is_quick_and_what_is_missing(case: Case) -> None:
    offers = {one.key: one for one in api.section_offers(case)}
    assert not offers["cure"].why_not and not any(one.quick for one in offers.values())
    judged = case.model_copy(update={"suitability": type(api.read_case("cases/wagtail").suitability)()})
    assert {one.key for one in api.section_offers(judged) if one.quick} == {"suit"}
    assert "[suitability]" in offers["suit"].why_not and "[[uncertain]]" in offers["blanks"].why_not
