"""LAS files as people send them: read as they mean it, or refused with the reason; never silently wrong.

Forms after the LAS 1.2, 2.0 and 3.0 standards of the Canadian Well Logging Society; oddities: common practice.
"""

from __future__ import annotations

import gzip
import io
import zipfile
from pathlib import Path

import numpy as np
import pytest

from planner.base.errors import Problem
from planner.io.logs import Log, read_log

PLAIN = """\
~Version
VERS.   2.0 : CWLS LOG ASCII STANDARD
WRAP.    NO : one line a depth
~Well
STRT.M  1000.0 : first
STOP.M  1002.0 : last
STEP.M     0.5 : step
NULL.  -999.25 : null
WELL.  Curlew 1 : well
~Curve
DEPT.M         : measured depth
GR  .GAPI      : gamma ray
PHIE.V/V       : porosity
~Parameter
BHT .DEGC 80   : bottom-hole temperature
~Other
free words about the run, 3 of them
~ASCII
1000.0  50.0   0.20
1000.5  60.0  -999.25
1001.0  70.0   0.22
1001.5  80.0   0.23
1002.0  90.0   0.24
"""
DEPTH = [1000.0, 1000.5, 1001.0, 1001.5, 1002.0]
GAMMA = [50.0, 60.0, 70.0, 80.0, 90.0]
POROSITY = [0.20, np.nan, 0.22, 0.23, 0.24]


def read(folder: Path, text: str | bytes) -> tuple[Log | None, list[Problem]]:
    raw = text.encode("utf-8") if isinstance(text, str) else text
    (folder / "a.las").write_bytes(raw)
    problems: list[Problem] = []
    return read_log(folder / "a.las", "a.las", "layers.log", problems.append), problems


def zipped(text: str) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("a.las", text)
    return made.getvalue()


def good(folder: Path, text: str | bytes) -> tuple[Log, str]:
    """A log that must be readable, and its remarks as one text."""
    log, problems = read(folder, text)
    assert not problems, [str(one) for one in problems]
    assert log is not None and log.facts is not None
    assert all(one.file == "a.las" and one.remedy for one in log.facts.remarks)
    return log, " | ".join(str(one) for one in log.facts.remarks)


def refused(folder: Path, text: str | bytes) -> Problem:
    log, problems = read(folder, text)
    assert log is None
    (problem,) = problems
    assert problem.file == "a.las" and problem.remedy
    return problem


def swap(*changes: tuple[str, str]) -> str:
    text = PLAIN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def assert_plain(log: Log) -> None:
    assert log.depth == pytest.approx(DEPTH)
    assert log.curves["GR"] == pytest.approx(GAMMA)
    assert log.curves["PHIE"] == pytest.approx(POROSITY, nan_ok=True)


def test_plain_file_without_a_remark(tmp_path: Path) -> None:
    log, remarks = good(tmp_path, PLAIN)
    assert_plain(log)
    assert remarks == ""
    assert log.facts is not None
    assert log.facts.form == "LAS 2.0, blanks"
    assert log.facts.span == "1000 to 1002 m, step 0.5 m"
    names = [(one.name, one.unit, one.missing, one.least, one.most) for one in log.facts.columns]
    assert names[1:] == [("GR", "GAPI", 0.0, 50.0, 90.0), ("PHIE", "V/V", 0.2, 0.20, 0.24)]


DATA = PLAIN.split("~ASCII\n")[1]
WRAPPED = DATA.replace("  50", "\n50").replace("  60", "\n60").replace("  70", "\n70").replace("  80", "\n80")
WRAPPED = WRAPPED.replace("  90", "\n90")
SAME: dict[str, tuple[str | bytes, str]] = {
    "cr line ends": (PLAIN.replace("\n", "\r").encode(), ""),
    "crlf line ends": (PLAIN.replace("\n", "\r\n").encode(), ""),
    "end-of-file mark": (PLAIN + "\x1a", ""),
    "utf-8 mark": (PLAIN.replace("Curlew", "Größe").encode("utf-8-sig"), ""),
    "utf-16 mark": (PLAIN.replace("Curlew", "Größe").encode("utf-16"), ""),
    "utf-16 without mark": (PLAIN.encode("utf-16-le"), ""),
    "latin-1": (PLAIN.replace("Curlew", "Größe µ").encode("latin-1"), ""),
    "comments and empty lines": (PLAIN.replace("~ASCII\n", "~ASCII\n# a remark\n\n"), ""),
    "wrapped": (swap(("WRAP.    NO", "WRAP.   YES"), (DATA, WRAPPED)), ""),
    "wrapped and not said": (swap((DATA, WRAPPED)), "WRAP says NO"),
    "wrapped said and not done": (swap(("WRAP.    NO", "WRAP.   YES")), "WRAP says YES"),
    "no wrap line, wrapped": (swap(("WRAP.    NO : one line a depth\n", ""), (DATA, WRAPPED)), ""),
    "tabs": (swap((DATA, DATA.replace("   ", "\t").replace("  ", "\t"))), ""),
    "commas": (swap((DATA, ",".join(DATA.split(" ")).replace(",,,", ",").replace(",,", ","))), ""),
    "decimal commas": (swap((DATA, DATA.replace(".", ","))), ""),
    "title with mnemonics": (swap(("~ASCII", "~A  DEPTH  GR  PHIE")), ""),
    "depth going up": (
        swap((DATA, "".join(reversed(DATA.splitlines(True)))), ("STRT.M  1000.0", "STRT.M  1002.0"),
             ("STOP.M  1002.0", "STOP.M  1000.0"), ("STEP.M     0.5", "STEP.M    -0.5")), ""),
    "no null line": (swap(("NULL.  -999.25 : null\n", "")), "names no null value"),
    "other null": (swap(("NULL.  -999.25", "NULL.  -9999")), "taken as nulls (value: -999.25)"),
    "huge null": (swap(("0.20\n1000.5  60.0  -999.25", "0.20\n1000.5  60.0  1e30")), "taken as nulls (value: 1e+30)"),
    "word as null": (swap(("60.0  -999.25", "60.0  N/A")), ""),
    "word among numbers": (swap(("60.0  -999.25", "60.0  stuck")), "line 20: 1 cells hold words"),
    "null is zero": (swap(("NULL.  -999.25", "NULL.  0"), ("60.0  -999.25", "60.0  0")), ""),
    "numbers that touch": (swap(("60.0  -999.25", "60.0-999.25")), "numbers that touch"),
    "start contradicts": (swap(("STRT.M  1000.0", "STRT.M   900.0")), "STRT does not meet the data"),
    "stop contradicts": (swap(("STOP.M  1002.0", "STOP.M  1200.0")), "STOP does not meet the data"),
    "step contradicts": (swap(("STEP.M     0.5", "STEP.M     0.1")), "STEP does not meet the data"),
    "step 0 for uneven": (swap(("STEP.M     0.5", "STEP.M     0")), ""),
    "no version": (swap(("~Version\nVERS.   2.0 : CWLS LOG ASCII STANDARD\nWRAP.    NO : one line a depth\n", "")),
                   "does not say its version"),
    "version 1.2": (swap(("VERS.   2.0", "VERS.   1.2"), ("WELL.  Curlew 1 : well", "WELL.  WELL : Curlew 1")), ""),
    "header line without form": (swap(("WELL.  Curlew 1 : well", "Curlew number one")), "left out"),
    "depth without unit": (swap(("DEPT.M ", "DEPT.  ")), "taken from STRT: M"),
    "unit apart from the dot": (swap(("DEPT.M ", "DEPT. M")), "read as DEPT.M"),
    "sample without depth": (swap(("1000.5  60.0", "-999.25 66.0 0.3\n1000.5  60.0")), "1 samples without a depth"),
    "same depth twice": (swap(("1000.5  60.0", "1000.0  51.0 0.3\n1000.5  60.0")), "the first of each is kept"),
    "titles among the data": (swap(("~ASCII\n", "~A\nDEPT GR PHIE\nm below rotary table\n")), "2 lines of words above"),
    "semicolons": (swap((DATA, ";".join(DATA.split(" ")).replace(";;;", ";").replace(";;", ";"))), ""),
    "semicolons and decimal commas": (
        swap((DATA, ";".join(DATA.split(" ")).replace(";;;", ";").replace(";;", ";").replace(".", ","))), ""),
    "exponents of Fortran": (swap(("0.20\n", "2.0D-01\n"), ("0.22", "2.2d-1")), ""),
    "null cut short": (swap(("60.0  -999.25", "60.0  -999.3")), "taken as nulls (value: -999.3)"),
    "null with a comma": (swap(("NULL.  -999.25", "NULL.  -9,9"), ("60.0  -999.25", "60.0  -9.9")), ""),
    "zero bytes": (PLAIN + "\0" * 20, ""),
    "cut off within the last number": (PLAIN.rstrip() + "\n1002.5 95.0 0.2", "stops within its last line"),
    "unit in two parts": (swap(("DEPT.M        ", "DEPT.M (RKB)  ")), ""),
    "underscores are no numbers": (swap(("60.0  -999.25", "60.0  1_000")), "hold words among numbers"),
    "true vertical depth": (swap((": measured depth", ": True Vertical Depth")), "read as measured depth"),
    "cut off at the end": (PLAIN + "1002.5  9", "the last line ends after 2 of 3 values"),
    "wrapped, cut off": (swap(("WRAP.    NO", "WRAP.   YES"), (DATA, WRAPPED + "1002.5\n95.0")), "ends after 2 of 3"),
}  # fmt: skip


@pytest.mark.parametrize("name", SAME)
def test_the_same_log_in_another_dress(tmp_path: Path, name: str) -> None:
    text, remark = SAME[name]
    log, remarks = good(tmp_path, text)
    assert_plain(log)
    assert remark in remarks
    assert remark or not remarks, remarks


def test_sections_in_any_order(tmp_path: Path) -> None:
    parts = ["~" + one for one in PLAIN.split("~")[1:]]
    for order in ([0, 2, 1, 3, 4, 5], [0, 5, 2, 1], [5, 4, 3, 2, 1, 0]):
        log, remarks = good(tmp_path, "".join(parts[k] for k in order))
        assert_plain(log)
        assert remarks == ""


# exact by definition: 1 ft = 0.3048 m, 1 in = 0.0254 m (NIST SP 811, appendix B)
UNITS = {
    "M": (1.0, "m"), "METRES": (1.0, "m"), "Meter": (1.0, "m"), "m.": (1.0, "m"), "F": (0.3048, "ft"),
    "FT": (0.3048, "ft"), "FEET": (0.3048, "ft"), "ft": (0.3048, "ft"), ".1IN": (0.00254, "ft"),
    "0.1IN": (0.00254, "ft"), "0.5FT": (0.1524, "ft"), "FT.US": (0.3048, "ft"),
    "mMD": (1.0, "m"), "FTMD": (0.3048, "ft"), "mRKB": (1.0, "m"), "\u043c\u0435\u0442\u0440": (1.0, "m"),
    "\u0444\u0443\u0442": (0.3048, "ft"), "CM": (0.01, "m"), "MM": (0.001, "m"),
}  # fmt: skip


@pytest.mark.parametrize("unit", UNITS)
def test_units_of_depth(tmp_path: Path, unit: str) -> None:
    metre, shown = UNITS[unit]
    text = swap(("DEPT.M ", f"DEPT.{unit} "), ("STRT.M", f"STRT.{unit}"), ("STOP.M", f"STOP.{unit}"),
                ("STEP.M", f"STEP.{unit}"))  # fmt: skip
    log, remarks = good(tmp_path, text)
    assert log.depth == pytest.approx(np.array(DEPTH) * metre, rel=1e-12)
    assert (log.depth_unit, remarks) == (shown, "")


def test_limits_in_another_unit_that_meet_the_data(tmp_path: Path) -> None:
    text = swap(("STRT.M  1000.0", "STRT.FT 3280.84"), ("STOP.M  1002.0", "STOP.FT 3287.40"), ("STEP.M", "STEP.FT"))
    log, _ = good(tmp_path, text)
    assert log.depth == pytest.approx(DEPTH)


REFUSED: dict[str, tuple[str | bytes, str, str]] = {
    "units that contradict": (swap(("STRT.M", "STRT.FT"), ("STOP.M", "STOP.FT"), ("STEP.M", "STEP.FT")),
                              "they do not meet", "line 5"),
    "indexed by time": (swap(("DEPT.M", "TIME.S"), ("STRT.M", "STRT.S"), ("STOP.M", "STOP.S"), ("STEP.M", "STEP.S")),
                        "indexed by time", "curve TIME"),
    "unknown unit": (swap(("DEPT.M", "DEPT.Q"), ("STRT.M", "STRT.Q"), ("STOP.M", "STOP.Q"), ("STEP.M", "STEP.Q")),
                     "neither m nor ft", "curve section"),
    "no data section": (swap(("~ASCII\n", "")), "this line looks like data", "line 18"),
    "no curve section": (swap(("~Curve\n", "")), "no curve section", ""),
    "two logs in one": (PLAIN + PLAIN, "several logs in one file", "line 1, line 24"),
    "two passes": (PLAIN + DATA, "depth turns round 1 times", "data section"),
    "too many columns": (swap((DATA, DATA.replace("\n", " 1.0\n"))), "do not hold 3 values", "line 19"),
    "too few columns": (swap(("PHIE.V/V       : porosity\n", "PHIE.V/V : porosity\nSW.V/V : water\n")),
                        "do not hold 4 values", "line 20"),
    "a short line amid": (swap(("1001.0  70.0   0.22", "1001.0  70.0")), "do not hold 3 values", "line 21"),
    "thousands": (swap((DATA, DATA.replace("1000.0", "1,000.0"))), "cannot be told apart", "line 19"),
    "version of tomorrow": (swap(("VERS.   2.0", "VERS.   7.0")), "not a version", "version section"),
    "depth holds words": (swap((DATA, DATA.replace("100", "a"))), "holds words, not depths", "curve DEPT"),
    "not a log": ("once upon a time\n", "no line starts with ~", ""),
    "zip": (zipped(PLAIN), "an archive or a spreadsheet", ""),
    "gzip": (gzip.compress(PLAIN.encode()), "compressed", ""),
    "pdf": (b"%PDF-1.4\n" + PLAIN.encode(), "a PDF document", ""),
    "bytes that are no text": (bytes(range(32)) * 40 + PLAIN.encode(), "no text has", ""),
    "empty": (b"", "no line starts with ~", ""),
    "one sample": (swap((DATA, "1000.0 50 0.2\n")), "one sample", "curve DEPT"),
    "one depth": (swap((DATA, "1000 50 0.2\n1000 60 0.3\n1000 70 0.2\n")), "the same depth", "curve DEPT"),
    "columns in another order": (swap(("~ASCII", "~A DEPT PHIE GR")), "another order", "line 18"),
    "depth below the sea": (swap(("DEPT.M ", "TVDSS.M ")), "below the sea", "curve TVDSS"),
    "elevation": (swap((": measured depth", ": depth below mean sea level")), "below the sea", "curve DEPT"),
    "no unit of depth": (swap(("DEPT.M ", "DEPT.  "), ("STRT.M", "STRT. "), ("STOP.M", "STOP. "), ("STEP.M", "STEP. ")),
                         "has no unit", "curve section"),
    "wrapped, a value lost": (swap(("WRAP.    NO", "WRAP.   YES"), (DATA, WRAPPED.replace("60.0  -999.25", "60.0"))),
                              "a depth should stand alone", "line 24"),
    "a title without its letter": (swap(("~ASCII", "~ DEPTH  GR")), "this line looks like data", "line 19"),
    "remark behind the data": (swap(("-999.25\n1001", "-999.25 # bad\n1001")), "do not hold 3 values", "line 20"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_the_reason(tmp_path: Path, name: str) -> None:
    text, message, place = REFUSED[name]
    problem = refused(tmp_path, text)
    assert message in problem.message, str(problem)
    assert problem.place == place, str(problem)


def test_few_bad_lines_are_left_out_and_told(tmp_path: Path) -> None:
    rows = [f"{1000 + 0.5 * k:.1f} {50 + k % 7} 0.2" for k in range(300)]
    rows[100] = "1050.0 50"
    log, remarks = good(tmp_path, swap((DATA, "\n".join(rows) + "\n"), ("STOP.M  1002.0", "STOP.M  1149.5")))
    assert log.depth.size == 299 and 1050.0 not in log.depth
    assert "1 of 300 lines do not hold 3 values" in remarks and "line 119" in remarks


def test_same_name_twice(tmp_path: Path) -> None:
    log, remarks = good(tmp_path, swap(("PHIE.V/V", "GR  .GAPI")))
    assert "2 curves are called GR" in remarks
    problems: list[Problem] = []
    assert log.curve("gr", "number", "curve section", problems.append) is None
    assert problems[0].remedy == "Name one of GR:1, GR:2."
    found = log.curve("GR:2", "number", "curve section", problems.append)
    assert found == pytest.approx(POROSITY, nan_ok=True)
    twin = swap(("PHIE.V/V", "GR  .GAPI"), ("   0.20", "  50"), ("  -999.25\n", "  60\n"), ("   0.22", "  70"),
                ("   0.23", "  80"), ("   0.24", "  90"))  # fmt: skip
    log, _ = good(tmp_path, twin)
    assert log.curve("GR", "number", "curve section", problems.append) == pytest.approx(GAMMA)


def test_text_column_is_kept_apart(tmp_path: Path) -> None:
    rows = DATA.replace("\n", " sand\n")
    log, _ = good(tmp_path, swap((DATA, rows), ("~Parameter", "LITH.       : lithology\n~Parameter")))
    assert_plain(log)
    assert "LITH" not in log.curves
    assert log.facts is not None
    assert [one.kind for one in log.facts.columns] == ["number", "number", "number", "text"]


def test_uneven_steps_and_gaps_are_told(tmp_path: Path) -> None:
    rows = DATA.replace("1002.0 ", "1022.0 ")
    log, remarks = good(tmp_path, swap((DATA, rows), ("STOP.M  1002.0", "STOP.M  1022.0")))
    assert log.depth[-2:] == pytest.approx([1001.5, 1022.0])
    assert "25 % of the steps are not the STEP" in remarks
    assert "1 gaps of more than five steps, the largest from 1001.5 to 1022" in remarks


THREE = """\
~Version
VERS.   3.0   : CWLS LOG ASCII STANDARD
WRAP.    NO   : one line a depth
DLM .  COMMA  : delimiter
~Well
STRT.M  1000.0 : first
STOP.M  1002.0 : last
STEP.M     0.5 : step
NULL.  -999.25 : null
~Log_Parameter
RUN . 1 : run {F}
~Log_Definition
DEPT.M         : measured depth {F}
GR  .GAPI      : gamma ray {F10.2}
NOTE.          : words {S}
PHIE.V/V       : porosity {F}
~Core_Definition
TOP .M : top {F}
~Core_Data | Core_Definition
1000.1
~Log_Data | Log_Definition
1000.0,50.0,,0.20
1000.5,60.0,"sandy, grey",-999.25
1001.0,70.0,1,0.22
1001.5,80.0,2,0.23
1002.0,90.0,3,0.24
"""


def test_las_3(tmp_path: Path) -> None:
    log, remarks = good(tmp_path, THREE)
    assert_plain(log)
    assert "NOTE" not in log.curves
    assert "not read: Core_Definition, Core_Data" in remarks
    empty = THREE.replace('60.0,"sandy, grey",-999.25', "60.0,,")
    assert_plain(good(tmp_path, empty)[0])


def test_las_3_with_several_sets_reads_the_first_against_depth(tmp_path: Path) -> None:
    timed = (
        "~Log_Definition[1]\nTIME.S : time {F}\nHOOK.KN : load {F}\n~Log_Data[1] | Log_Definition[1]\n0,1\n1,2\n"
        "~Log_Definition[2]"
    )
    text = THREE.replace("~Log_Definition\n", timed + "\n").replace("| Log_Definition\n", "| Log_Definition[2]\n")
    text = text.replace("~Log_Data |", "~Log_Data[2] |")
    log, remarks = good(tmp_path, text)
    assert_plain(log)
    assert "not read: log[1]" in remarks


def test_depth_unit_in_the_letters_of_windows_1251(tmp_path: Path) -> None:
    text = swap(
        ("DEPT.M", "DEPT.\u043c"), ("STRT.M", "STRT.\u043c"), ("STOP.M", "STOP.\u043c"), ("STEP.M", "STEP.\u043c")
    )
    assert_plain(good(tmp_path, text.encode("cp1251"))[0])


def test_las_3_sections_named_without_data(tmp_path: Path) -> None:
    """'~Core[1] | Core_Definition' begins with a C and is no curve section; '~ASCII | CURVE' is the log."""
    text = THREE.replace("~Core_Data |", "~Core[1] |").replace("~Log_Data | Log_Definition", "~ASCII | CURVE")
    log, remarks = good(tmp_path, text.replace("~Log_Definition", "~Curve"))
    assert_plain(log)
    assert "not read: Core_Definition, Core[1]" in remarks


# quantity, unit, value, SI: lengths exact by definition; 1 darcy = 1 cP cm/s / (atm/cm), 1 atm = 101325 Pa
UNIT_OF_CURVE = {
    "darcy": ("permeability", "D", 0.2, 0.2 * 9.869232667160130e-13),
    "millidarcy": ("permeability", "mD", 200.0, 200.0 * 9.869232667160130e-16),
    "square micrometre": ("permeability", "UM2", 0.2, 0.2e-12),
    "inch": ("diameter", "IN", 8.5, 8.5 * 0.0254),
    "inch mark": ("diameter", '"', 8.5, 8.5 * 0.0254),
    "millimetre": ("diameter", "MM", 216.0, 0.216),
    "centimetre": ("diameter", "cm", 21.6, 0.216),
    "us per foot": ("slowness", "US/F", 90.0, 90.0e-6 / 0.3048),
    "us per metre": ("slowness", "us/m", 300.0, 300.0e-6),
    "porosity units": ("fraction", "P.U.", 20.0, 0.2),
    "volumes": ("fraction", "CFCF", 0.2, 0.2),
}


@pytest.mark.parametrize("name", UNIT_OF_CURVE)
def test_units_of_curves(tmp_path: Path, name: str) -> None:
    quantity, unit, value, si = UNIT_OF_CURVE[name]
    text = swap(("PHIE.V/V ", f"PHIE.{unit} "), (DATA, "".join(f"{d} 50 {value}\n" for d in DEPTH)))
    log, _ = good(tmp_path, text)
    problems: list[Problem] = []
    found = log.curve("PHIE", quantity, "curve section", problems.append)
    assert not problems
    assert found == pytest.approx(np.full(5, si), rel=1e-12)


@pytest.mark.parametrize(
    ("quantity", "unit", "value"),
    [("diameter", "IN", 216.0), ("diameter", "MM", 8.5), ("slowness", "US/F", 330.0), ("slowness", "US/M", 90.0),
     ("permeability", "D", 200.0), ("fraction", "%", 0.2), ("fraction", "V/V", 20.0), ("permeability", "", 20.0),
     ("diameter", "", 8.5), ("fraction", "IN", 0.2)],
)  # fmt: skip
def test_units_that_the_values_cannot_have(tmp_path: Path, quantity: str, unit: str, value: float) -> None:
    text = swap(("PHIE.V/V ", f"PHIE.{unit} "), (DATA, "".join(f"{d} 50 {value}\n" for d in DEPTH)))
    log, _ = good(tmp_path, text)
    problems: list[Problem] = []
    assert log.curve("PHIE", quantity, "curve section", problems.append) is None
    (problem,) = problems
    assert problem.place == "curve PHIE" and problem.remedy


def test_decimal_commas_that_fit_as_delimiters_too(tmp_path: Path) -> None:
    """'4000,0 -9999 1,000' is three cells by blanks and by commas."""
    data = "4000,0 -9999 1,000\n4000,5 -9999 1,250\n4001,0 -9999 2,000\n"
    log, _ = good(tmp_path, swap(("NULL.  -999.25", "NULL.  -9999"), (DATA, data)))
    assert log.depth == pytest.approx([4000.0, 4000.5, 4001.0])
    assert log.curves["PHIE"] == pytest.approx([1.0, 1.25, 2.0])


def test_wrapped_lines_with_semicolons(tmp_path: Path) -> None:
    data = "".join(f"{depth}\n{50 + k};0.{20 + k}\n" for k, depth in enumerate(DEPTH))
    log, _ = good(tmp_path, swap(("WRAP.    NO", "WRAP.   YES"), (DATA, data)))
    assert log.depth == pytest.approx(DEPTH)
    assert log.curves["PHIE"] == pytest.approx([0.20, 0.21, 0.22, 0.23, 0.24])


def test_a_hundred_thousand_samples(tmp_path: Path) -> None:
    """A count of lines and no clock: every sample is there, first and last as written."""
    rows = "".join(f"{1000 + 0.1 * k:.1f} {k % 150} 0.2\n" for k in range(100_000))
    log, _ = good(tmp_path, swap((DATA, rows), ("STOP.M  1002.0", "STOP.M 10999.9"), ("STEP.M     0.5", "STEP.M 0.1")))
    assert (log.depth.size, log.depth[-1]) == (100_000, pytest.approx(10_999.9))
    assert log.curves["GR"][-1] == 99_999 % 150
