"""Well logs in the open LAS standard (1.2, 2.0, 3.0): curves against measured depth, and what was odd in them."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Problem
from planner.io.log_curves import Column, columns_of, null_value
from planner.io.log_depth import DepthUnit, as_number, depth_unit, length_unit, remarks_on_range
from planner.io.log_header import HeaderLine, header_lines
from planner.io.log_samples import rows_of, without_cut_number
from planner.io.log_sections import DataSet, Sections, sections_of
from planner.io.log_units import curve_in_si, is_loose_unit
from planner.io.messages import suggestion
from planner.io.reporting import Report
from planner.io.text import read_or_report
from planner.model.data_facts import ColumnFacts, FileFacts

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Log:
    """A log file: measured depth of the samples in m, going down; curves by mnemonic, in the file's units."""

    name: str
    depth: Floats
    depth_unit: str
    curves: dict[str, Floats]
    units: dict[str, str]
    facts: FileFacts | None = field(default=None, compare=False)
    vertical: bool = False  # the depths are true vertical ones

    def curve(
        self, mnemonic: str, quantity: str, place: str, report: Report, remark: Report = lambda problem: None
    ) -> Floats | None:
        """Values of a curve in the SI unit of a quantity, NaN where null; None after a report of what is wrong."""
        known = {name.upper(): name for name in self.curves}
        name = known.get(mnemonic.upper())
        several = [one for one in self.curves if one.upper().startswith(f"{mnemonic.upper()}:")]
        if name is None and several:
            same = all(np.array_equal(self.curves[one], self.curves[several[0]], equal_nan=True) for one in several[1:])
            if not same:
                remedy = f"Name one of {', '.join(several)}."
                report(Problem(self.name, place, mnemonic, f"{len(several)} curves have this name", remedy))
                return None
            name = several[0]
        if name is None:
            report(Problem(self.name, place, mnemonic, "no such curve in the log", suggestion(mnemonic, self.curves)))
            return None
        return curve_in_si(self.name, name, self.curves[name], self.units[name], quantity, report, remark)


def read_log(path: Path, name: str, place: str, report: Report) -> Log | None:
    """A LAS file (1.2, 2.0 or 3.0); None after a report of what is wrong.

    name: the file as the user wrote it; place: where the case names it. Nulls become NaN, samples are put in order of
    depth. What was odd and how it was taken stands in `facts.remarks`.
    """
    read = read_or_report(path, name, place, report)
    if read is None:
        return None
    text, encoding = read
    sections = sections_of(text, name, report)
    if sections is None:
        return None
    remarks: list[Problem] = []
    if "\ufffd" in text:
        message = "some characters could not be read"
        remarks.append(Problem(name, "", "", message, "Save the file as UTF-8 if names matter."))
    return _Reader(name, encoding, sections, report, remarks.append, remarks).read()


@dataclass
class _Reader:
    """One log while it is read."""

    name: str
    encoding: str
    sections: Sections
    report: Report
    remark: Report
    remarks: list[Problem]

    def read(self) -> Log | None:
        """The first set of curves that has a depth; None after a report."""
        version = self._version()
        if version is None:
            return None
        well = self._keyed(self.sections.well, "Well", version)
        refused: list[Problem] = []
        several = len(self.sections.sets) > 1
        for one in self.sections.sets:
            outer, self.report = self.report, refused.append if several else self.report
            log = self._set(one, well, version)
            self.report = outer
            if log is not None:
                return log
        for problem in refused[:1]:
            self.report(problem)
        return None

    def _keyed(self, lines: list[tuple[int, str]], section: str, version: float) -> dict[str, HeaderLine]:
        found = header_lines(lines, section, version, self.name, self.remark)
        return {line.mnemonic.upper(): line for line in reversed(found)}

    def _version(self) -> float | None:
        self.about = self._keyed(self.sections.version, "Version", 2.0)
        said = self.about.get("VERS")
        version = as_number(said.value) if said else None
        if version is None:
            message = "the file does not say its version; read as LAS 2.0"
            self.remark(Problem(self.name, "version section", said.value if said else "", message, "Add VERS. 2.0 :"))
            return 2.0
        if not 1.0 <= version < 4.0:
            remedy = "Give a LAS 1.2, 2.0 or 3.0 file."
            self.report(Problem(self.name, "version section", f"{version:g}", "not a version that is known", remedy))
            return None
        return version

    def _set(self, one: DataSet, well: dict[str, HeaderLine], version: float) -> Log | None:
        header = header_lines(one.definition, "Curve", 2.0, self.name, self.remark)
        header = [self._with_unit(line) for line in header]
        if len(header) < 2:
            message = f"the curve section names {len(header)} curves"
            self.report(Problem(self.name, "curve section", "", message, "Name the depth and at least one curve."))
            return None
        said = self.about.get("WRAP")
        wrapped = None if said is None else said.value.upper().startswith("Y")
        delimiter = self.about["DLM"].value if "DLM" in self.about else ""
        rows = rows_of(one.data, len(header), delimiter, wrapped, self.name, self.report, self.remark)
        if rows is None:
            return None
        if self.sections.open_end and one is self.sections.sets[-1]:
            rows = without_cut_number(rows, self.name, self.remark)
        null = null_value(well, self.name, self.remark)
        columns = columns_of(rows, header, null, self.name, self.remark)
        form = f"LAS {version:.1f}, {rows.form}"
        return self._log(columns, well, form, one)

    def _with_unit(self, line: HeaderLine) -> HeaderLine:
        """A unit that stands after a blank, 'CALI. IN :', is a unit and no code of the curve."""
        loose = line.value.strip()
        if line.unit and loose and _in_two_parts(line.unit, loose):
            return HeaderLine(line.mnemonic, line.unit + loose, "", line.description, line.line, line.is_text)
        if line.unit or not loose or not is_loose_unit(loose):
            return line
        told = f"the unit stands apart from the dot; read as {line.mnemonic}.{loose}"
        self.remark(Problem(self.name, f"line {line.line}", loose, told, "Write it behind the dot without a blank."))
        return HeaderLine(line.mnemonic, loose, "", line.description, line.line, line.is_text)

    def _log(self, columns: list[Column], well: dict[str, HeaderLine], form: str, one: DataSet) -> Log | None:
        index = columns[0]
        there = np.isfinite(index.values)
        depth = index.values[there]
        if depth.size < max(2, 0.5 * there.size) or depth.min() == depth.max():
            self._no_depths(index, depth, one)
            return None
        unit = depth_unit(index.line, well, float(depth[0]), float(depth[-1]), self.name, self.report, self.remark)
        if unit is None or not self._one_way(depth):
            return None
        if not there.all():
            told = f"{int((~there).sum())} samples without a depth; left out"
            self.remark(Problem(self.name, f"curve {index.name}", "", told, "Check these lines."))
        remarks_on_range(well, depth, unit, self.name, self.remark)
        order = np.flatnonzero(there)
        order = order if depth[-1] >= depth[0] else order[::-1]
        order = self._once(index.values, order, columns)
        curves = {column.name: column.values[order] for column in columns if not column.text}
        units = {column.name: column.line.unit for column in columns if not column.text}
        facts = self._facts(columns, order, unit, form, one)
        return Log(self.name, index.values[order] * unit.metre, unit.shown, curves, units, facts, unit.vertical)

    def _no_depths(self, index: Column, depth: Floats, one: DataSet) -> None:
        """A report of an index that gives no range of depth."""
        if index.text:
            message, value = "the first column holds words, not depths", one.data[0][1].split()[0]
        elif 2 <= depth.size < 0.5 * index.values.size:
            message, value = f"{index.values.size - depth.size} of {index.values.size} samples have no depth", ""
        elif depth.size:
            message = "the log holds one sample" if depth.size == 1 else "all samples have the same depth"
            value = f"{depth[0]:g}"
        else:
            message, value = "the log holds no samples", ""
        self.report(Problem(self.name, f"curve {index.name}", value, message, "Give a log against measured depth."))

    def _one_way(self, depth: Floats) -> bool:
        """Whether depth goes one way, down or up; a report where it turns round."""
        step = np.diff(depth)
        down = depth[-1] >= depth[0]
        wrong = np.flatnonzero(step < 0.0 if down else step > 0.0)
        if wrong.size == 0:
            return True
        at = int(wrong[0])
        message = (
            f"depth turns round {wrong.size} times, the first from {depth[at]:g} to {depth[at + 1]:g}: several passes?"
        )
        self.report(
            Problem(self.name, "data section", f"{depth[at + 1]:g}", message, "Keep one pass, in order of depth.")
        )
        return False

    def _once(self, depth: Floats, order: NDArray[np.int64], columns: list[Column]) -> NDArray[np.int64]:
        """Samples of the same depth: the first is kept."""
        again = np.concatenate(([False], np.diff(depth[order]) == 0.0))
        if not again.any():
            return order
        differ = any(
            not np.array_equal(c.values[order][1:][again[1:]], c.values[order][:-1][again[1:]], equal_nan=True)
            for c in columns
        )
        what = "with other values; the first of each is kept" if differ else "with the same values; left out"
        told = f"{int(again.sum())} samples repeat the depth of the one before, {what}"
        value = f"{depth[order][again][0]:g}"
        self.remark(Problem(self.name, f"curve {columns[0].name}", value, told, "Keep one sample a depth."))
        return order[~again]

    def _facts(
        self, columns: list[Column], order: NDArray[np.int64], unit: DepthUnit, form: str, one: DataSet
    ) -> FileFacts:
        depth = columns[0].values[order] * unit.metre / (0.3048 if unit.shown == "ft" else 1.0)
        others = [two.name for two in self.sections.sets if two is not one] + self.sections.left_out
        if others:
            told = f"not read: {', '.join(others)}"
            self.remark(Problem(self.name, "", "", told, "One set of curves, and no other data, is read from a file."))
        step = float(np.median(np.diff(depth)))
        span = f"{depth[0]:g} to {depth[-1]:g} {unit.shown}, step {step:.4g} {unit.shown}"
        for column in columns[1:]:
            if not column.text and not np.isfinite(column.values[order]).any():
                told = "the curve holds nulls alone"
                self.remark(Problem(self.name, f"curve {column.name}", "", told, "Use another curve."))
        facts = tuple(_column_facts(column, order) for column in columns)
        return FileFacts(self.name, form, self.encoding, len(order), span, facts, tuple(self.remarks))


def _in_two_parts(unit: str, loose: str) -> bool:
    """Whether a unit of length was cut by a blank: '.1 IN', 'US FT', 'FT (US)'."""
    return length_unit(unit + loose) is not None and (
        unit.replace(".", "", 1).isdigit() or length_unit(unit) is None or loose.startswith("(")
    )


def _column_facts(column: Column, order: NDArray[np.int64]) -> ColumnFacts:
    values = column.values[order]
    good = values[np.isfinite(values)]
    least, most = (float(good.min()), float(good.max())) if good.size else (float("nan"), float("nan"))
    missing = 0.0 if column.text else (values.size - good.size) / max(values.size, 1)
    kind = "text" if column.text else "number"
    line = column.line
    return ColumnFacts(column.name, line.unit, kind, line.description, values.size, missing, least, most)
