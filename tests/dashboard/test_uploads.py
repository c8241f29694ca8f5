"""A case that is uploaded with its files: what was odd in them is said where they were dropped."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard import session
from dashboard.pages.cases import remark_list
from planner import api


@pytest.fixture
def files(tmp_path: Path) -> dict[str, bytes]:
    """The starting case with a table of rates by month."""
    toml = api.new_case(tmp_path / "new")
    first = api.read_case(toml).schedule.start
    text = toml.read_text() + '\n[measured]\nfile = "rates.csv"\nerrors = { "oil rate" = "5 %" }\n'
    found = {path.name: path.read_bytes() for path in toml.parent.iterdir()}
    rates = f"month,oil rate [m3/d]\n{first:%Y-%m},100\nTotal,100\n"
    return found | {"case.toml": text.encode(), "rates.csv": rates.encode()}


def test_remarks_of_uploaded_files(files: dict[str, bytes]) -> None:
    assert session.case_from_files(files).measured is not None
    told = session.remarks_on_files(files)
    assert any("1 lines are sums or means; left out" in one for one in told)
    assert any("rates of a month are taken as means by calendar day" in one for one in told)
    shown = str(remark_list(told, "/here"))
    assert all(one in shown for one in ("sums or means", "Open the case", "/here"))


def test_a_spreadsheet_among_the_uploads_is_refused_with_its_remedy(files: dict[str, bytes]) -> None:
    with pytest.raises(session.BadCase) as caught:
        session.case_from_files(files | {"rates.csv": b"PK\x03\x04" + bytes(200)})
    (problem,) = caught.value.problems
    assert (problem["file"], "spreadsheet" in problem["message"]) == ("rates.csv", True)


def test_no_remarks_where_nothing_is_odd(files: dict[str, bytes]) -> None:
    text = files["case.toml"].decode().partition("\n[measured]\n")[0]
    assert session.remarks_on_files(files | {"case.toml": text.encode()}) == ()
