"""Projects on disk: kept, had back, nobody else's, whole after a crash."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dashboard import records, shelf
from dashboard.shelf import NoProject, NotYours, Project, Shelf
from planner import api
from tests.dashboard import synthetic

SHUT = {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}


@pytest.fixture
def kept(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path)


def add(kept: Shelf, project: Project, raw: dict = SHUT) -> Project:
    return kept.apply(project.id, project.owner, {"do": "add event", "card": project.cards[0]["id"], "event": raw})


@pytest.mark.parametrize("case", ["magpie", "wagtail"])
def test_a_case_comes_back_to_the_last_digit(case: str) -> None:
    read = api.read_case(Path(__file__).parents[2] / "cases" / case)
    again = api.case_from(json.loads(json.dumps(records.exact(read))))
    assert again == read


def test_another_server_finds_the_project_as_it_was_left(kept: Shelf, tmp_path: Path) -> None:
    project = add(kept, kept.make(synthetic.case(), owner="ann"))
    again = Shelf(tmp_path).get(project.id)
    assert again == project
    assert [entry.id for entry in Shelf(tmp_path).of("ann")] == [project.id]


def test_undo_and_redo_walk_the_whole_way(kept: Shelf) -> None:
    start = kept.make(synthetic.case())
    one = add(kept, start)
    two = add(kept, one, {"do": "set plug", "blank": "blank 3", "on": "2035-01-01"})
    for _ in range(3):
        back = kept.apply(start.id, "", {"do": "undo"})
    assert back.cards == start.cards
    for _ in range(3):
        forth = kept.apply(start.id, "", {"do": "redo"})
    assert forth.cards == two.cards and forth.future == []


def test_a_new_step_after_undo_forgets_the_undone(kept: Shelf) -> None:
    project = add(kept, kept.make(synthetic.case()))
    kept.apply(project.id, "", {"do": "undo"})
    assert add(kept, project, {"do": "set plug", "blank": "blank 3", "on": "2035-01-01"}).future == []


def test_a_step_that_changes_nothing_makes_no_revision(kept: Shelf) -> None:
    project = kept.make(synthetic.case())
    assert kept.apply(project.id, "", {"do": "dance"}).revision == project.revision
    assert kept.apply(project.id, "", {"do": "undo"}).revision == project.revision


def test_every_revision_can_be_had_back_and_that_can_be_undone(kept: Shelf) -> None:
    start = kept.make(synthetic.case())
    one = add(kept, start)
    told = [entry.told for entry in kept.revisions(start.id)]
    assert told == ["Shut Birch, Jan 2031: Shut Birch on 1 Jan 2031", "Started"]
    back = kept.apply(start.id, "", {"do": "go back to", "revision": start.revision})
    assert back.cards == start.cards
    assert kept.apply(start.id, "", {"do": "undo"}).cards == one.cards


def test_another_case_is_a_revision_with_the_old_one_kept(kept: Shelf) -> None:
    project = kept.make(synthetic.case())
    other = project.case.model_copy(update={"title": "another"})
    step = {"do": "set case", "case": other, "told": "Title changed"}
    assert kept.apply(project.id, "", step).case.title == "another"
    assert kept.apply(project.id, "", {"do": "undo"}).case == project.case


def test_somebody_elses_project_can_be_seen_and_copied_but_not_changed(kept: Shelf) -> None:
    project = kept.make(synthetic.case(), owner="ann")
    with pytest.raises(NotYours, match="ann"):
        kept.apply(project.id, "bob", {"do": "new card", "card": ""})
    with pytest.raises(NotYours):
        kept.remove(project.id, "bob")
    copy = kept.copy(project.id, "bob")
    assert copy.cards == project.cards and copy.owner == "bob"
    assert [entry.id for entry in kept.of("bob")] == [copy.id]


@pytest.mark.parametrize("name", ["", "../..", "0" * 16, "nobody"])
def test_a_name_that_is_no_project_is_refused(kept: Shelf, name: str) -> None:
    with pytest.raises(NoProject):
        kept.get(name)


def test_a_crash_while_writing_leaves_the_project_as_it_was(kept: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    project = kept.make(synthetic.case())
    real = shelf.replace_text

    def dies(path: Path, text: str) -> None:
        if path.name == "project.json":
            raise KeyboardInterrupt
        real(path, text)

    monkeypatch.setattr(shelf, "replace_text", dies)
    with pytest.raises(KeyboardInterrupt):
        add(kept, project)
    monkeypatch.undo()
    assert Shelf(kept.root.parent).get(project.id) == project
    assert add(kept, project).cards[0]["name"] == "Shut Birch, Jan 2031"
