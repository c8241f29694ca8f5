"""Layers and hole from LAS logs: units, nulls, wrapping, encodings, cut-offs, and what the user is told."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from planner.base.errors import CaseError, Problem
from planner.io.log_layers import LogLayers, layers_from_log
from planner.io.logs import read_log
from planner.io.read import read_case

MD = 9.869232667160130e-16  # m2 in a millidarcy, 1 darcy = 9.869233e-13 m2 (SI brochure's cgs conversion)
NULL = -999.25

LOG_CASE = """\
[layers]
log = "my.las"
[layers.cutoffs]
gamma_ray = 75
porosity = 0.10
water_saturation = 0.6
permeability = "5 md"
minimum_thickness = "1.2 m"
maximum_gap = "0.6 m"
[[layers.intervals]]
name = "A"
top_md = "1000 m"
base_md = "1014 m"
compartment = "sand A"
rock = "sand"
support = "aquifer"
drainage_radius = "400 m"
[[layers.intervals]]
name = "B"
top_md = "1020 m"
base_md = "1040 m"
compartment = "sand A"
rock = "sand"
drainage_radius = "300 m"
skin = 3.0
"""


def log_table() -> np.ndarray:
    """Samples every 0.5 m: two clean sands, a thin tight streak in the first, a sliver too thin, one null."""
    depth = np.arange(995.0, 1045.01, 0.5)
    sand = ((depth >= 1002) & (depth <= 1010)) | ((depth >= 1024) & (depth <= 1030)) | (depth == 1035)
    tight = depth == 1006.0
    gamma = np.where(sand, 30.0, 110.0)
    porosity = np.where(sand & ~tight, np.where(depth < 1015, 0.20, 0.25), 0.05)
    porosity[depth == 1028.0] = NULL
    permeability = np.where(sand & ~tight, np.where(depth < 1006, 100.0, 300.0), 0.01)
    saturation = np.where(sand, 0.25, 1.0)
    caliper = np.where(sand, 8.5, 9.25)
    return np.column_stack([depth, gamma, porosity, saturation, permeability, caliper])


def las(table: np.ndarray, depth_unit: str = "M", wrap: bool = False, remark: str = "invented", **units: str) -> str:
    """A LAS 2.0 file as text (Canadian Well Logging Society, LAS 2.0 floppy disk standard)."""
    unit = {"gr": "GAPI", "phie": "V/V", "sw": "V/V", "perm": "MD", "cali": "IN"} | units
    curves = [f"DEPT.{depth_unit} : depth"] + [f"{name.upper()}.{of} : {remark}" for name, of in unit.items()]
    rows = []
    for row in table:
        cells = [f"{value:.4f}" for value in row]
        rows += [cells[0], " ".join(cells[1:4]), " ".join(cells[4:])] if wrap else [" ".join(cells)]
    return "\n".join(
        ["~Version", "VERS. 2.0 :", f"WRAP. {'YES' if wrap else 'NO'} :", "~Well", f"STRT.{depth_unit} {table[0, 0]} :",
         f"STOP.{depth_unit} {table[-1, 0]} :", f"STEP.{depth_unit} {table[1, 0] - table[0, 0]} :", f"NULL. {NULL} :",
         f"WELL. {remark} : well", "~Curve", *curves, "~ASCII", *rows, ""]
    )  # fmt: skip


@pytest.fixture
def log_folder(folder: Path) -> Path:
    """The good case, its layers from a log."""
    text = (folder / "case.toml").read_text()
    start = text.index("[layers]\n")
    text = text[:start] + LOG_CASE + text[text.rindex("[[rocks]]") :]
    (folder / "case.toml").write_text(text)
    (folder / "my.las").write_text(las(log_table()))
    return folder


def refused(folder: Path) -> list[Problem]:
    with pytest.raises(CaseError) as caught:
        read_case(folder)
    return caught.value.problems


def test_layers_by_cut_offs(log_folder: Path) -> None:
    first, second = read_case(log_folder).layers
    assert (first.name, second.name) == ("A", "B")
    # a sample stands for the rock half-way to its neighbours: 1002..1010 m becomes 1001.75..1010.25 m
    assert (first.top_md, first.base_md) == pytest.approx((1001.75, 1010.25), abs=1e-9)
    assert (second.top_md, second.base_md) == pytest.approx((1023.75, 1030.25), abs=1e-9)
    # 17 samples, one tight: 16/17 net; 8 of 100 md and 8 of 300 md: 200 md on average
    assert first.net_to_gross == pytest.approx(16 / 17, abs=1e-4)
    assert first.permeability == pytest.approx(200 * MD, rel=1e-5)
    assert first.porosity == pytest.approx(0.20, abs=1e-6)
    # 13 samples, one null: a null is not net
    assert second.net_to_gross == pytest.approx(12 / 13, abs=1e-4)
    assert (first.support, second.support, second.skin) == ("aquifer", "", 3.0)
    assert (first.drainage_radius, second.drainage_radius) == pytest.approx((400.0, 300.0))


def test_gap_splits_layers(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text().replace('maximum_gap = "0.6 m"', 'maximum_gap = "0.4 m"')
    (log_folder / "case.toml").write_text(text)
    names = [layer.name for layer in read_case(log_folder).layers]
    assert names == ["A 1", "A 2", "B 1", "B 2"]


def test_interval_cuts_a_layer(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text().replace('base_md = "1014 m"', 'base_md = "1008 m"')
    (log_folder / "case.toml").write_text(text)
    assert read_case(log_folder).layers[0].base_md == pytest.approx(1008.0)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("wrap", [False, True])
def test_encodings_and_wrapping_do_not_change_the_layers(log_folder: Path, encoding: str, wrap: bool) -> None:
    plain = read_case(log_folder).layers
    text = las(log_table(), wrap=wrap, remark="Größe in µm, Pr\u00fcfung")
    (log_folder / "my.las").write_bytes(text.encode(encoding))
    assert read_case(log_folder).layers == plain


def test_feet_upside_down_and_per_cent(log_folder: Path) -> None:
    plain = read_case(log_folder).layers
    table = log_table()
    table[:, 0] /= 0.3048
    table[:, 2] = np.where(table[:, 2] == NULL, NULL, 100 * table[:, 2])
    (log_folder / "my.las").write_text(las(table[::-1], depth_unit="FT", phie="%"))
    layers = read_case(log_folder).layers
    assert [layer.name for layer in layers] == [layer.name for layer in plain]
    for one, other in zip(layers, plain, strict=True):
        assert one.top_md == pytest.approx(other.top_md, abs=1e-3)
        assert one.permeability == pytest.approx(other.permeability, rel=1e-4)
        assert one.porosity == pytest.approx(other.porosity, abs=1e-4)


def test_messages_show_the_unit_of_the_log(log_folder: Path) -> None:
    table = log_table()
    table[:, 0] /= 0.3048
    (log_folder / "my.las").write_text(las(table, depth_unit="FT"))
    text = (log_folder / "survey.csv").read_text().replace("\n1080,", "\n1025,")
    (log_folder / "survey.csv").write_text(text)
    found = [problem for problem in refused(log_folder) if problem.file == "my.las"]
    assert len(found) == 1
    assert found[0].place.startswith("layer 'B' from 3358.")
    assert found[0].value.endswith(" ft")
    assert "the survey ends at 1025 m" in found[0].message


def test_permeability_from_porosity_and_shale_volume_from_gamma_ray(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text()
    text = text.replace("gamma_ray = 75", "shale_volume = 0.3")
    extra = (
        'permeability_from_porosity = { permeability = "100 md", at = 0.20, decades = 20 }\n'
        "gamma_ray_scale = { clean = 20, shale = 120 }\n[layers.cutoffs]"
    )
    (log_folder / "case.toml").write_text(text.replace("[layers.cutoffs]", extra))
    first, second = read_case(log_folder).layers
    assert first.permeability == pytest.approx(100 * MD, rel=1e-5)
    assert second.permeability == pytest.approx(1000 * MD, rel=1e-5)  # 0.05 higher: 20 x 0.05 = one decade


def test_water_saturation_from_the_log(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text()
    (log_folder / "case.toml").write_text(
        text.replace('\nlog = "my.las"', '\nlog = "my.las"\ninitial_saturation = true')
    )
    assert [layer.water_saturation for layer in read_case(log_folder).layers] == pytest.approx([0.25, 0.25])


def test_hole_from_caliper(folder: Path) -> None:
    (folder / "my.las").write_text(las(log_table()))
    text = (folder / "case.toml").read_text()
    text = text.replace('hole_diameter = "8.5 in"', 'hole = { log = "my.las", curve = "CALI" }')
    (folder / "case.toml").write_text(text)
    hole = read_case(folder).well.hole
    sizes = {round(row.md, 6): round(row.diameter / 0.0254, 3) for row in hole}
    assert sizes[995.0] == 9.25
    assert sizes[1002.0] == 8.5
    assert sizes[1010.5] == 9.25


# change of the log or of the case; file, place, value, part of message, part of remedy
BAD_LOG: dict[str, tuple[str, str, str, str, str, str, str]] = {
    "curve missing": ("PERM.MD", "KSMOOTH.MD", "my.las", "", "", "no permeability curve under a usual name", "KSMOOTH"),
    "unit of depth": ("DEPT.M", "DEPT.S", "my.las", "curve section", "S", "neither m nor ft", "M or FT"),
    "unit of permeability": (
        "PERM.MD",
        "PERM.BAR",
        "my.las",
        "curve PERM",
        "BAR",
        "not a unit of permeability",
        "'md'",
    ),
    "unit of porosity": ("PHIE.V/V", "PHIE.MM", "my.las", "curve PHIE", "MM", "not a unit of a fraction", "V/V or %"),
}


@pytest.mark.parametrize("name", BAD_LOG)
def test_bad_logs(log_folder: Path, name: str) -> None:
    old, new, file, place, value, message, remedy = BAD_LOG[name]
    text = las(log_table()).replace(old, new)
    if name == "unit of depth":
        text = text.replace("STRT.M", "STRT.S").replace("STOP.M", "STOP.S").replace("STEP.M", "STEP.S")
    (log_folder / "my.las").write_text(text)
    (problem,) = refused(log_folder)
    assert (problem.file, problem.place, problem.value) == (file, place, value)
    assert message in problem.message
    assert remedy in problem.remedy


def test_per_cent_without_saying_so(log_folder: Path) -> None:
    table = log_table()
    table[:, 3] *= 100
    (log_folder / "my.las").write_text(las(table))
    (problem,) = refused(log_folder)
    assert (problem.file, problem.place, problem.value) == ("my.las", "curve SW", "100")
    assert "per cent" in problem.message and "%" in problem.remedy


@pytest.mark.parametrize("text", ["", "hello", "~Version\nVERS. 2.0 :\n", las(log_table()).split("~ASCII")[0]])
def test_not_a_log(log_folder: Path, text: str) -> None:
    (log_folder / "my.las").write_text(text)
    (problem,) = refused(log_folder)
    assert problem.file == "my.las"
    assert problem.message and problem.remedy


def test_log_missing_and_mnemonic_wrong(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text()
    (log_folder / "case.toml").write_text(text.replace('log = "my.las"', 'log = "mi.las"'))
    (problem,) = refused(log_folder)
    assert (problem.place, problem.value, problem.message) == ("layers.log", "mi.las", "file not found")
    assert "Did you mean 'my.las'?" in problem.remedy
    curves = '\nlog = "my.las"\ncurves = { porosity = "PHI" }'
    (log_folder / "case.toml").write_text(text.replace('\nlog = "my.las"', curves))
    (problem,) = refused(log_folder)
    assert (problem.file, problem.value, problem.message) == ("my.las", "PHI", "no such curve in the log")
    assert "Did you mean 'PHIE'?" in problem.remedy


def test_wrong_keys_of_log_layers(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text()
    text = text.replace("porosity = 0.10", "porosty = 0.10").replace('base_md = "1014 m"', "base_md = 1014")
    (log_folder / "case.toml").write_text(text)
    found = {(one.file, one.place): one for one in refused(log_folder)}
    assert "Did you mean 'porosity'?" in found["case.toml", "layers.cutoffs.porosty"].remedy
    assert found["case.toml", "layers.intervals[1].base_md"].message == "a unit is missing"


def test_nothing_passes(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text().replace("porosity = 0.10", "porosity = 0.40")
    (log_folder / "case.toml").write_text(text)
    (problem,) = refused(log_folder)
    assert "no sample passes the cut-offs" in problem.message
    assert "Loosen" in problem.remedy


def test_rock_is_neither_made_nor_lost(tmp_path: Path) -> None:
    """Net thickness of the layers is that of the samples that pass, whatever the gap, when no layer is too thin."""
    (tmp_path / "my.las").write_text(las(log_table()))
    problems: list[Problem] = []
    log = read_log(tmp_path / "my.las", "my.las", "layers", problems.append)
    assert log is not None and not problems
    for gap in ("0.1 m", "0.6 m", "5 m"):
        wanted = LogLayers.model_validate(
            {
                "log": "my.las",
                "cutoffs": {"porosity": 0.1, "minimum_thickness": "0.1 m", "maximum_gap": gap},
                "intervals": [
                    {"name": "all", "top_md": "990 m", "base_md": "1050 m", "compartment": "c", "rock": "r"},
                ],
            }
        )
        found = layers_from_log(log, wanted, problems.append)
        assert found is not None
        metres = [
            (float(r["base_md"].split()[0]) - float(r["top_md"].split()[0])) * r["net_to_gross"] for r in found[0]
        ]
        assert sum(metres) == pytest.approx((16 + 12 + 1) * 0.5, rel=1e-4)
