"""Answers of long work on disk: there after a restart, of an older state when the case has changed, within bounds."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dashboard import archive as archives
from dashboard import session
from dashboard.archive import Archive
from dashboard.engine import Engine
from dashboard.house import House, Visit
from dashboard.jobs import AtOnce
from dashboard.session import Paper
from dashboard.shelf import Project, Shelf
from dashboard.widgets import long_work
from dashboard.widgets.long_work import LongWork
from tests.dashboard import synthetic
from tests.dashboard.tasks import told

KEY = "ab" * 32
ASKED = {"case": "c1", "what_ifs": "w1", "options": {"members": "50"}}
WORK = LongWork("trial", "tests.dashboard.tasks:paper", "Go", lambda visit, standing: standing.result)
BROKEN = LongWork("broken", "tests.dashboard.tasks:break_down_on_paper", "Go", lambda visit, standing: "")


@pytest.fixture
def kept(house: House, project: Project) -> Archive:
    return house.archive


def asked(work: LongWork, visit: Visit, house: House) -> long_work.Asked:
    return long_work.asked_of(work, visit, house, {})


def test_an_answer_comes_back_with_its_case(kept: Archive, project: Project) -> None:
    kept.keep(project.id, "match", KEY, ASKED, Paper(told("found").book, project.case, "Matched"))
    found = Archive(kept.root).get(project.id, KEY)
    assert found is not None and found.question == ASKED and found.made
    assert found.result == Paper(told("found").book, project.case, "Matched")
    assert Archive(kept.root).latest(project.id, "match") == found


def test_what_is_no_document_and_what_has_no_project_is_not_kept(kept: Archive, project: Project) -> None:
    kept.keep(project.id, "match", KEY, ASKED, object())
    kept.keep("0" * 16, "match", KEY, ASKED, told("x"))
    assert kept.latest(project.id, "match") is None and not (kept.root / ("0" * 16)).exists()


@pytest.mark.parametrize("bad", ["", "{", '{"key": "a"}', '["text"]'])
def test_a_damaged_answer_is_passed_over(kept: Archive, project: Project, bad: str) -> None:
    kept.keep(project.id, "match", KEY, ASKED, told("old"))
    other = kept.root / project.id / "answers" / "match" / f"{'cd' * 32}.json"
    other.write_text(bad)
    latest = kept.latest(project.id, "match")
    assert latest is not None and latest.result == told("old")
    assert kept.get(project.id, "cd" * 32) is None
    assert kept.get(project.id, "../../secret") is None and kept.get("../..", KEY) is None


def test_the_oldest_go(kept: Archive, project: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    for number in range(archives.KEPT_EACH + 3):
        kept.keep(project.id, "match", f"{number:064x}", ASKED, told(str(number)))
    place = kept.root / project.id / "answers" / "match"
    assert len(list(place.glob("*.json"))) == archives.KEPT_EACH
    monkeypatch.setattr(archives, "KEPT_BYTES", 2500)
    kept.keep(project.id, "report", KEY, ASKED, told("x" * 1000))
    assert kept.get(project.id, KEY) is not None
    assert sum(file.stat().st_size for file in place.parent.glob("*/*.json")) <= 2500


def test_a_restart_shows_the_last_answer_and_says_when_it_is_old(house: House, visit: Visit) -> None:
    first = asked(WORK, visit, house)
    stood = long_work.stands(house, WORK, first, start=True, stop=False)
    assert stood is not None and stood.result == told("T-1")
    again = House(Shelf(house.shelf.root.parent), Engine(AtOnce()))
    stood = long_work.stands(again, WORK, first, start=False, stop=False)
    assert stood is not None and (stood.state, stood.result) == ("done", told("T-1"))
    said = long_work._seen(again, WORK, first, stood, None)[1]
    assert said[0].startswith("Done on ")
    changed = visit.case.model_copy(update={"title": "another"})
    later = again.of(again.shelf.apply(visit.project.id, "", {"do": "set case", "case": changed, "told": "x"}))
    new = asked(WORK, later, again)
    stood = long_work.stands(again, WORK, new, start=False, stop=False)
    result, said, *_ = long_work._seen(again, WORK, new, stood, None)
    assert stood is None and result == told("T-1")
    assert "is of an older state: the case has changed since." in said[0].children


def test_what_failed_is_told_after_a_restart_and_nothing_is_lost(house: House, visit: Visit) -> None:
    question = asked(BROKEN, visit, house)
    stood = long_work.stands(house, BROKEN, question, start=True, stop=False)
    assert stood is not None and stood.state == "failed"
    assert "layer 7" in long_work.words(stood) and "Your work is kept." in long_work.words(stood)
    again = House(Shelf(house.shelf.root.parent), Engine(AtOnce()))
    said = long_work._seen(again, BROKEN, question, None, None)[1]
    assert "layer 7" in said[0]


def test_work_cut_off_by_the_end_of_the_server_is_told(house: House, visit: Visit) -> None:
    question = asked(WORK, visit, house)
    house.archive.begin(visit.project.id, WORK.name, KEY, question.question)
    said = long_work._seen(house, WORK, question, None, None)[1]
    assert "cut off when the server ended" in said[0]


def test_members_of_older_questions_go(kept: Archive, project: Project) -> None:
    for number in range(5):
        place = kept.members(project.id, f"{number:032x}" + "0" * 32)
        place.mkdir(parents=True)
        (place / "figures").write_text("1")
    assert len(list(place.parent.iterdir())) <= archives.KEPT_MEMBERS
    assert (place / "figures").exists()
    kept.forget_members(project.id, f"{4:032x}" + "0" * 32)
    assert not place.exists()


def test_a_project_file_that_cannot_be_read_is_made_good_by_the_newest_revision(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    made = shelf.make(synthetic.case(), "Birch study", "ann", "case.toml")
    card = made.cards[0]["id"]
    shelf.apply(made.id, "ann", {"do": "rename", "card": card, "name": "Kept"})
    place = tmp_path / "projects" / made.id
    for damage in ("", "{", json.dumps({"form": 2, "head": {}})):
        (place / "project.json").write_text(damage)
        found = Shelf(tmp_path).get(made.id)
        assert (found.name, found.owner, found.revision, found.cards[0]["name"]) == ("Birch study", "ann", 2, "Kept")
    (place / "revisions" / "000002.json").write_text("{")
    assert Shelf(tmp_path).get(made.id).revision == 1
    after = Shelf(tmp_path).apply(made.id, "ann", {"do": "rename", "card": card, "name": "Goes on"})
    assert after.cards[0]["name"] == "Goes on" and [one.name for one in Shelf(tmp_path).of("ann")] == ["Birch study"]


def test_a_case_that_is_gone_from_the_disk_is_a_sentence(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    made = shelf.make(synthetic.case())
    for file in (tmp_path / "projects" / made.id / "cases").iterdir():
        file.write_text("{}")
    house = House(Shelf(tmp_path), Engine(AtOnce()))
    assert house.visit({"project": made.id}) is None
    with pytest.raises((LookupError, session.BadCase)):
        house.shelf.get(made.id)
