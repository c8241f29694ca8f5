"""A LAS file cut into its sections, whatever their order (Canadian Well Logging Society, LAS 1.2, 2.0 and 3.0)."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from planner.base.errors import Problem
from planner.io.reporting import Report

Line = tuple[int, str]

_NUMBERS = re.compile(r"^\s*[-+]?[\d.]+(?:[eE][-+]?\d+)?(?:[\s,;\t]+\S+)+\s*$")
_PLAIN = {"V": "version", "W": "well", "C": "curve", "P": "parameter", "O": "other", "A": "data"}


@dataclass(frozen=True)
class DataSet:
    """Definition and data of one set of curves: a LAS 3 file may hold several."""

    name: str
    definition: tuple[Line, ...]
    data: tuple[Line, ...]
    title: str  # of the data section: LAS 1.2 and 2.0 files may carry the mnemonics there


@dataclass
class Sections:
    """Lines, with their numbers, of the sections that matter; comments and empty lines are left out."""

    version: list[Line] = field(default_factory=list)
    well: list[Line] = field(default_factory=list)
    sets: list[DataSet] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)
    open_end: bool = False  # the text stops without a line end


@dataclass
class _Section:
    kind: str
    name: str
    number: int
    title: str
    association: str
    lines: list[Line] = field(default_factory=list)


def sections_of(text: str, name: str, report: Report) -> Sections | None:
    """The sections of a LAS text; None after a report of what makes it none."""
    found = _cut(text)
    if not found:
        report(Problem(name, "", "", "not a readable LAS file (no line starts with ~)", "Give a LAS 1.2 to 3.0 file."))
        return None
    for kind in ("version", "well"):
        again = [one for one in found if one.kind == kind]
        if len(again) > 1:
            where = ", ".join(f"line {one.number}" for one in again)
            report(
                Problem(name, where, again[1].title, f"more than one ~{kind.capitalize()} section: several logs in one "
                        "file", "Keep one log in a file.")
            )  # fmt: skip
            return None
    made = Sections()
    made.version = next((one.lines for one in found if one.kind == "version"), [])
    made.well = next((one.lines for one in found if one.kind == "well"), [])
    made.open_end = not text.endswith("\n")
    made.sets = _sets(found, name, report)
    used = ("version", "well", "curve", "data", "parameter", "other")
    made.left_out = [one.title.lstrip("~").split("|")[0].strip() for one in found if one.kind not in used]
    return made if made.sets else None


def _cut(text: str) -> list[_Section]:
    found: list[_Section] = []
    for number, raw in enumerate(text.replace("\x1a", "").split("\n"), start=1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        if line.startswith("~"):
            found.append(_section(number, line))
        elif found:
            found[-1].lines.append((number, raw.strip("\f\v ")))
    return found


def _section(number: int, title: str) -> _Section:
    """What a title line says: '~Curve', '~A  DEPT GR', '~Log_Data[1] | Log_Definition[1]'."""
    body, _, association = title[1:].partition("|")
    words = body.split()
    word = words[0] if words else ""
    match = re.match(r"(?i)^(?P<stem>\w+?)_(?P<part>definition|data|parameter)s?(?P<run>\[[\d,\s]+\])?$", word)
    if match is None:
        of = re.match(r"(?i)\s*(?P<stem>\w+?)_(definition|data)\b", association)
        if of is not None and of["stem"].lower() != "log":  # LAS 3: '~Core[1] | Core_Definition'
            return _Section(f"{of['stem'].lower()} data", "log", number, title, association.strip())
        return _Section(_PLAIN.get(word[:1].upper(), "unknown"), "log", number, title, association.strip())
    stem, part = match["stem"].lower(), match["part"].lower()
    kind = {"definition": "curve", "data": "data", "parameter": "parameter"}[part]
    if stem != "log":
        kind = f"{stem} {part}"
    return _Section(kind, "log" + (match["run"] or ""), number, title, association.strip())


def _sets(found: list[_Section], name: str, report: Report) -> list[DataSet]:
    """Each data section with its definition."""
    curves = [one for one in found if one.kind == "curve"]
    data = [one for one in found if one.kind == "data"]
    if not curves:
        report(Problem(name, "", "", "the file has no curve section", "Add ~Curve with one line a column of the data."))
        return []
    if not data:
        strayed = next(
            (line for one in found if one.kind in ("curve", "other", "parameter", "well", "unknown")
             for line in one.lines if _NUMBERS.match(line[1]) and ":" not in line[1]), None
        )  # fmt: skip
        place, value = (f"line {strayed[0]}", strayed[1][:40]) if strayed else ("", "")
        message = "the file has no data section (~A)" + (", yet this line looks like data" if strayed else "")
        report(Problem(name, place, value, message, "Put a line ~A above the first line of data."))
        return []
    sets = []
    for one in data:
        wanted = _section(0, "~" + one.association.split(",")[0].strip()).name if one.association else one.name
        mine = [curve for curve in curves if curve.name == wanted] or (curves if len(curves) == 1 else [])
        if len(mine) != 1 or (len(data) > 1 and one.name == "log"):
            message = "more than one section of this kind, without saying which belong together"
            report(Problem(name, f"line {one.number}", one.title[:40], message, "Keep one curve and one data section."))
            return []
        if not _same_order(mine[0], one, name, report):
            return []
        sets.append(DataSet(one.name, tuple(mine[0].lines), tuple(one.lines), one.title))
    return sets


def _same_order(curves: _Section, data: _Section, name: str, report: Report) -> bool:
    """Whether mnemonics in the title of the data stand in the order of the curve section; a report where not."""
    defined = [line.partition(".")[0].strip().upper() for _, line in curves.lines if "." in line]
    shown = [word.upper() for word in data.title.replace(",", " ").split()[1:]]
    if len(shown) != len(defined) or shown[1:] == defined[1:] or sorted(shown[1:]) != sorted(defined[1:]):
        return True
    message = f"the title of the data names the columns in another order than the curve section: {', '.join(defined)}"
    report(Problem(name, f"line {data.number}", ", ".join(shown), message, "Correct the one that is wrong."))
    return False
