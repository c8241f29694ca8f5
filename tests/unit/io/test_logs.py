"""Layers and hole from LAS logs: units, nulls, wrapping, encodings, cut-offs, and what the user is told."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from planner.base.errors import CaseError, Problem
from planner.io.log_layer_keys import LogLayers
from planner.io.log_layers import layers_from_log
from planner.io.log_stretches import hole_from_log
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


def layers_of(folder: Path, text: str, **changes: object) -> tuple[list[dict[str, object]], str]:
    """Rows of layers of a log and what was remarked on; cut-offs that let everything with a porosity through."""
    (folder / "kh.las").write_text(text)
    problems: list[Problem] = []
    remarks: list[Problem] = []
    log = read_log(folder / "kh.las", "kh.las", "layers.log", problems.append)
    interval = {"name": "A", "top_md": "1000 m", "base_md": "1010 m", "compartment": "a", "rock": "r"}
    wanted = {
        "log": "kh.las",
        "cutoffs": {"minimum_thickness": "0.1 m", "maximum_gap": "20 m"},
        "intervals": [interval],
    }
    assert log is not None
    found = layers_from_log(log, LogLayers.model_validate(wanted | changes), problems.append, remarks.append)
    assert found is not None and not problems, [str(one) for one in problems]
    return found[0], " | ".join(str(one) for one in remarks)


def kh_log(rows: list[tuple[float, float, float]], unit: str = "MD") -> str:
    data = "\n".join(f"{d} {phi} {k}" for d, phi, k in rows)
    return f"~V\nVERS. 2.0 :\nWRAP. NO :\n~W\nNULL. -999.25 :\n~C\nDEPT.M :\nPHIE.V/V :\nPERM.{unit} :\n~A\n{data}\n"


def number(row: dict[str, object], key: str) -> float:
    return float(str(row[key]).split()[0])


def kh_of(rows: list[dict[str, object]]) -> float:
    """Permeability-thickness of layers, md m."""
    return sum(number(r, "permeability") * (number(r, "base_md") - number(r, "top_md")) * number(r, "net_to_gross")
               for r in rows)  # fmt: skip


def test_layers_hold_what_the_samples_hold_by_hand(tmp_path: Path) -> None:
    """Four samples of 1 m: thickness-weighted means by hand; a null among them is not net."""
    rows = [(1001.0, 0.10, 10.0), (1002.0, 0.20, 100.0), (1003.0, -999.25, 1000.0), (1004.0, 0.30, 400.0)]
    layers, told = layers_of(tmp_path, kh_log(rows))
    (layer,) = layers
    assert (layer["top_md"], layer["base_md"]) == ("1000.5 m", "1004.5 m")
    assert number(layer, "net_to_gross") == pytest.approx(3 / 4, abs=1e-5)
    assert number(layer, "porosity") == pytest.approx((0.1 + 0.2 + 0.3) / 3, abs=1e-5)
    assert number(layer, "permeability") == pytest.approx((10 + 100 + 400) / 3, rel=1e-5)
    assert kh_of(layers) == pytest.approx(510.0, rel=1e-4)
    assert "1 of 4 samples lack a value" in told
    assert "curves taken by their usual names: permeability PERM, porosity PHIE" in told
    assert "does not reach over 6 m" in told
    # in series: 3 m over (1/10 + 1/100 + 1/400) m/md is 26.67 md, 0.157 of the mean: above 0.1, nothing to tell
    assert "in series" not in told


def test_uneven_samples_weigh_by_their_length_and_a_gap_holds_no_rock(tmp_path: Path) -> None:
    rows = [(1000.5 + 0.5 * k, 0.2, 100.0) for k in range(5)] + [(1003.5, 0.2, 100.0), (1009.5, 0.2, 400.0)]
    layers, _ = layers_of(tmp_path, kh_log(rows))
    # 1000.25 to 1002.75 m; 1003.5 reaches 0.5 m up and, as 6 m is a gap, 0.25 m down; the last 0.25 m each way
    upper, lower = 2.0 + 0.25 + 0.5 + 0.5 + 0.25, 0.5
    assert kh_of(layers) == pytest.approx(100.0 * upper + 400.0 * lower, rel=1e-4)


def test_a_tight_streak_is_told_to_the_ratio_of_permeabilities(tmp_path: Path) -> None:
    rows = [(1000.5 + k, 0.2, 100.0 if k != 4 else 0.1) for k in range(9)]
    _, told = layers_of(tmp_path, kh_log(rows))
    # in series 9 / (8/100 + 1/0.1) = 0.893 md, mean 88.9 md: 0.01
    assert "in series conduct 0.01 of their mean, vertical_to_horizontal says 0.1" in told


def test_what_is_left_out_is_told(tmp_path: Path) -> None:
    rows = [(1000.5 + k, 0.2 if k in (1, 4, 5, 6) else 0.0, 100.0) for k in range(10)]
    cut = {"minimum_thickness": "1.5 m", "maximum_gap": "0.1 m"}
    second = {"name": "B", "top_md": "1008 m", "base_md": "1010 m", "compartment": "a", "rock": "r"}
    first = second | {"name": "A", "top_md": "1000 m", "base_md": "1008 m"}
    layers, told = layers_of(tmp_path, kh_log(rows), cutoffs=cut, intervals=[first, second])
    assert [row["name"] for row in layers] == ["A"]
    assert "interval 'A': 1 net stretches thinner than minimum_thickness, 1 m together and 25 %" in told
    assert "interval 'B': no layer" in told


@pytest.mark.parametrize(("unit", "values"), [("D", (0.1, 0.4)), ("UM2", (0.1 * 0.9869233, 0.4 * 0.9869233))])
def test_permeability_in_other_units_gives_the_same_layers(
    tmp_path: Path, unit: str, values: tuple[float, float]
) -> None:
    layers, _ = layers_of(tmp_path, kh_log([(1001.0, 0.2, values[0]), (1002.0, 0.2, values[1])], unit))
    assert kh_of(layers) == pytest.approx(500.0, rel=1e-5)


def test_spikes_in_a_fraction_are_nulls_and_told(tmp_path: Path) -> None:
    rows = [(1000.0 + 0.1 * k, 0.2 if k != 50 else 45.0, 100.0) for k in range(100)]
    layers, told = layers_of(tmp_path, kh_log(rows))
    assert "curve PHIE: 1 values above 1.5" in told
    assert number(layers[0], "porosity") == pytest.approx(0.2)


def test_a_log_by_vertical_depth_is_refused_in_a_leaning_well(log_folder: Path) -> None:
    (log_folder / "my.las").write_text(las(log_table()).replace("DEPT.M : depth", "TVD.M : depth"))
    assert any("true vertical depth" in one.message for one in refused(log_folder))
    survey = "md [m],inclination [deg]\n0,0\n3000,0.2\n"
    (log_folder / "survey.csv").write_text(survey)
    assert read_case(log_folder).layers


def test_intervals_upside_down_are_refused(log_folder: Path) -> None:
    text = (log_folder / "case.toml").read_text().replace('base_md = "1014 m"', 'base_md = "999 m"')
    (log_folder / "case.toml").write_text(text)
    assert any("top_md is not above base_md" in one.message for one in refused(log_folder))


def fail(problem: Problem) -> None:
    raise AssertionError(str(problem))


def test_a_silent_caliper_says_so_instead_of_holding_on_to_its_last_value(tmp_path):
    """Samples every foot from 100 to 119 ft, nulls from 105 to 112 ft: rows of the hole that were not measured."""
    rows = [f"{depth} {-999.25 if 105 <= depth <= 112 else 8.5}" for depth in range(100, 120)]
    text = "~V\nVERS. 2.0 :\nWRAP. NO :\n~W\nNULL. -999.25 :\n~C\nDEPT.FT :\nCALI.IN :\n~A\n" + "\n".join(rows)
    (tmp_path / "caliper.las").write_text(text + "\n")
    log = read_log(tmp_path / "caliper.las", "caliper.las", "well.hole", fail)
    found = hole_from_log(log, "CALI", 0.3048, fail)
    assert [(float(row["md"].split()[0]), row.get("measured", "true")) for row in found] == [
        (0.0, "false"), (100.0, "true"), (105.0, "false"), (113.0, "true"), (120.0, "false"),
    ]  # fmt: skip
    assert {row["diameter"] for row in found} == {"215.9 mm"}
