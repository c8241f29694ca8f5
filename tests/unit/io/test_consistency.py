"""Checks across records: each with place, message and remedy, depths in the unit that the user wrote."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.io.read import read_case
from planner.model.consistency import check

Change = tuple[str, str, str]
TOML = "case.toml"

ZONE_EVENT = 'do = "shut zone"\nzone = "lower"\nwhen = { zone = "lower", water_cut_above = 0.8 }'
EARLY = 'do = "early water"\nzone = "lower"\nby = 2033-01-01\n'


def _event(text: str) -> Change:
    return (TOML, ZONE_EVENT, text)


# changes; file, place, value, part of the message, part of the remedy
CASES: dict[str, tuple[list[Change], str, str, str, str, str]] = {
    "layers overlap": (
        [("layers.csv", "A2,1022,", "A2,1006,")],
        "layers.csv", "row 3 column top md", "1006 m", "layer 'A2' overlaps 'A1', which reaches down to 1008 m",
        "Let one end",
    ),
    "layers overlap, in feet": (
        [("layers.csv", "top md [m],base md [m]", "top md [ft],base md [ft]"), ("layers.csv", "1000,1008", "3280,3310"),
         ("layers.csv", "1022,1034", "3300,3390")],
        "layers.csv", "row 3 column top md", "3300 ft", "which reaches down to 3310 ft", "Let one end",
    ),
    "base above top": (
        [("layers.csv", "1022,1034", "1034,1022")],
        "layers.csv", "row 3 column base md", "1022 m", "base of layer 'A2' is not below its top at 1034 m", "Swap",
    ),
    "layers out of order": (
        [("layers.csv", "A1,1000,1008", "A1,1036,1038")],
        "layers.csv", "row 3 column top md", "1022 m", "listed below 'A1'", "from top to bottom",
    ),
    "skin that is no number": (
        [("layers.csv", "0.9,180,1", "0.9,180,nan")],
        "layers.csv", "row 3 column skin", "nan", "skin of layer 'A2' is not a finite number", "0 for none",
    ),
    "skin of an event that is no number": (
        [_event('do = "set skin"\nzone = "lower"\nskin = inf\non = 2033-01-01')],
        TOML, "what_ifs[1].events[1].skin", "inf", "not a finite number", "0 for none",
    ),
    "layer above the hole": (
        [(TOML, 'hole_diameter = "8.5 in"', 'hole = [{ md = "1010 m", diameter = "8.5 in" }]')],
        "layers.csv", "row 2 column top md", "1000 m", "begins above the first row of the hole at 1010 m", "well.hole",
    ),
    "layer below the survey": (
        [("layers.csv", "1022,1034", "1022,1090")],
        "layers.csv", "row 3 column base md", "1090 m", "not in the hole: the survey ends at 1080 m", "Add a station",
    ),
    "hole backwards": (
        [(TOML, 'hole_diameter = "8.5 in"',
          'hole = [{ md = "900 m", diameter = "8.5 in" }, { md = "800 m", diameter = "8 in" }]')],
        TOML, "well.hole[2].md", "800 m", "the hole table is not increasing: the row before is at 900 m",
        "List the rows",
    ),
    "survey backwards": (
        [("survey.csv", "700,10,90", "300,10,90")],
        "survey.csv", "row 4 column md", "300 m", "the survey runs backwards: the station before is at 400 m",
        "each depth once",
    ),
    "inclination beyond 180": (
        [("survey.csv", "700,10,90", "700,190,90")],
        "survey.csv", "row 4 column inclination", "190 deg", "outside 0 to 180 deg", "straight down",
    ),
    "unknown compartment": (
        [("layers.csv", "A1,1000,1008,sand A", "A1,1000,1008,sand B")],
        "layers.csv", "row 2 column compartment", "sand B", "no compartment is called 'sand B'",
        "Did you mean 'sand A'?",
    ),
    "unknown rock": (
        [("layers.csv", "0.22,sand", "0.22,chalk")],
        "layers.csv", "row 2 column rock", "chalk", "no rock is called 'chalk'", "Known: sand.",
    ),
    "unknown support": (
        [("layers.csv", "1,aquifer", "1,aquifr")],
        "layers.csv", "row 2 column support", "aquifr", "no support is called 'aquifr'", "Did you mean 'aquifer'?",
    ),
    "oil producer without oil": (
        [(TOML, "[fluid.oil]\nmethod", "[numerics]\n#"), (TOML, "[numerics]                       #", "[numerics2] #"),
         (TOML, "api = 30", "#"), (TOML, "solution_gas_ratio", "# "), (TOML, 'correlation = "standing 1947"', "#"),
         (TOML, "[numerics2] # how finely to compute; the defaults do for most cases\ncells = 12", ""),
         (TOML, 'inner_diameter = "120 mm"', "# ")],
        TOML, "fluid.oil", "", "is an oil producer, but the fluid has no oil", "[fluid.oil]",
    ),
    "elements overlap": (
        [("string.csv", "blank 1,985,996", "blank 1,985,997")],
        "string.csv", "row 4 column top md", "996 m", "'screen 1' overlaps 'blank 1', which ends at 997 m",
        "begin where",
    ),
    "gap in the string": (
        [("string.csv", "blank 1,985,996", "blank 1,985,995")],
        "string.csv", "row 4 column top md", "996 m", "nothing is given between 'blank 1', which ends at 995 m",
        "Fill the gap",
    ),
    "element upside down": (
        [("string.csv", "screen 2,1020,1038", "screen 2,1020,1019")],
        "string.csv", "row 7 column base md", "1019 m", "base of 'screen 2' is not below its top at 1020 m", "Swap",
    ),
    "packer outside a blank": (
        [("string.csv", "screen,screen 1", "packer,my packer,1000,1002,120\nscreen,screen 1")],
        "string.csv", "row 4 column top md", "1000 m", "packer 'my packer' is not inside a blank pipe",
        "'blank 1' 985 m to 996 m",
    ),
    "plug without any blank": (
        [("string.csv", "blank pipe,blank 1", "casing,blank 1"), ("string.csv", "blank pipe,blank 2", "plug,blank 2")],
        "string.csv", "row 6 column top md", "1012 m", "plug 'blank 2' is not inside a blank pipe", "Put a blank pipe",
    ),
    "string too deep": (
        [("string.csv", "1020,1038", "1020,1100")],
        "string.csv", "row 7 column base md", "1100 m", "'screen 2' is deeper than the survey, which ends at 1080 m",
        "station",
    ),
    "nothing can flow": (
        [("string.csv", "screen,screen 1", "blank pipe,screen 1"), ("string.csv", "screen,screen 2",
        "blank pipe,screen 2")],
        "string.csv", "", "", "no screen, no open hole", "Add a screen",
    ),
    "gravel pack without gravel": (
        [("string.csv", "inner diameter [mm]", "inner diameter [mm],screen"),
         ("string.csv", "996,1010,120", "996,1010,120,gravel pack")],
        "string.csv", "row 4 column gravel permeability", "", "'screen 1' has no gravel permeability", "Give gravel",
    ),
    "outer not above inner diameter": (
        [("string.csv", "inner diameter [mm]", "inner diameter [mm],outer diameter [mm]"),
         ("string.csv", "996,1010,120", "996,1010,120,100")],
        "string.csv", "row 4 column outer diameter", "100 mm", "outer diameter of 'screen 1' is not above", "Swap",
    ),
    "event before the start": (
        [_event('do = "shut zone"\nzone = "lower"\non = 2029-05-01')],
        TOML, "what_ifs[1].events[1].on", "2029-05-01", "before the start of the schedule, 2030-01-01",
        "into the schedule",
    ),
    "event after the end": (
        [_event('do = "shut zone"\nzone = "lower"\non = 2041-05-01')],
        TOML, "what_ifs[1].events[1].on", "2041-05-01", "after the end of the schedule, 2040-01-01", "move the end",
    ),
    "trigger after the end": (
        [_event(ZONE_EVENT.replace("0.8 }", "0.8, after = 2050-01-01 }"))],
        TOML, "what_ifs[1].events[1].when.after", "2050-01-01", "after the end of the schedule", "move the end",
    ),
    "early water before the start": (
        [_event(EARLY.replace("2033", "2023"))],
        TOML, "what_ifs[1].events[1].by", "2023-01-01", "before the start", "into the schedule",
    ),
    "unknown zone": (
        [_event(ZONE_EVENT.replace('zone = "lower"\n', 'zone = "lowr"\n'))],
        TOML, "what_ifs[1].events[1].zone", "lowr", "no zone is called 'lowr'", "Did you mean 'lower'?",
    ),
    "unknown zone of a trigger": (
        [_event(ZONE_EVENT.replace('{ zone = "lower"', '{ zone = "middle"'))],
        TOML, "what_ifs[1].events[1].when.zone", "middle", "no zone is called 'middle'", "Known: upper, lower.",
    ),
    "unknown blank": (
        [_event('do = "set plug"\nblank = "blank 7"\non = 2033-01-01')],
        TOML, "what_ifs[1].events[1].blank", "blank 7", "no blank pipe is called 'blank 7'", "Known: blank 1, blank 2.",
    ),
    "straddle upside down": (
        [_event('do = "set straddle"\nupper_blank = "blank 2"\nlower_blank = "blank 1"\non = 2033-01-01')],
        TOML, "what_ifs[1].events[1].upper_blank", "blank 2", "is not above the lower one 'blank 1'", "Swap",
    ),
    "unknown seal": (
        [_event('do = "leak seal"\nelement = "screen 1"\nconductance = "1 m^3/day/bar"\non = 2033-01-01')],
        TOML, "what_ifs[1].events[1].element", "screen 1", "no seal, packer or plug is called",
        "Known: hanger, seal 1.",
    ),
    "unknown layer": (
        [_event(EARLY + 'layer = "A9"')],
        TOML, "what_ifs[1].events[1].layer", "A9", "no layer is called 'A9'", "Known: A1, A2.",
    ),
    "unknown support of an event": (
        [_event('do = "lose support"\nsupport = "sea"\non = 2033-01-01')],
        TOML, "what_ifs[1].events[1].support", "sea", "no support is called 'sea'", "Known: aquifer, edge.",
    ),
    "trigger without condition": (
        [_event('do = "shut zone"\nzone = "lower"\nwhen = { zone = "lower" }')],
        TOML, "what_ifs[1].events[1].when", "", "the trigger has no condition", "exactly one of water_cut_above",
    ),
    "trigger with two conditions": (
        [_event(ZONE_EVENT.replace("0.8 }", '0.8, oil_rate_below = "5 sm3/d" }'))],
        TOML, "what_ifs[1].events[1].when", "", "2 conditions (water_cut_above, oil_rate_below)", "exactly one",
    ),
    "date and trigger": (
        [_event(ZONE_EVENT + "\non = 2033-01-01")],
        TOML, "what_ifs[1].events[1]", "", "both a date and a trigger", "not both",
    ),
    "neither date nor trigger": (
        [_event('do = "shut zone"\nzone = "lower"')],
        TOML, "what_ifs[1].events[1]", "", "neither a date nor a trigger", "when = {",
    ),
    "early water with a date": (
        [_event(EARLY + "on = 2033-01-01")],
        TOML, "what_ifs[1].events[1]", "", "comes by its date 'by'", "Leave out on and when",
    ),
    "share of early water": (
        [_event(EARLY + "share = 1.0")],
        TOML, "what_ifs[1].events[1].share", "1.0", "must be below 1", "such as 0.3",
    ),
    "arrival of early water": (
        [_event(EARLY + "water_cut = 0.0")],
        TOML, "what_ifs[1].events[1].water_cut", "0.0", "between 0 and 1", "such as 0.05",
    ),
    "change of control that changes nothing": (
        [_event('do = "change control"\non = 2033-01-01')],
        TOML, "what_ifs[1].events[1]", "", "changes nothing", "Give at least one of shut",
    ),
    "gas-oil contact below oil-water contact": (
        [(TOML, '# gas_oil_contact = "980 m" ', 'gas_oil_contact = "1070 m" #')],
        TOML, "compartments[1].gas_oil_contact", "1070 m", "is not above the oil-water contact at 1060 m", "Swap",
    ),
    "gas-water contact beside oil": (
        [(TOML, '# gas_water_contact = "1060 m"', 'gas_water_contact = "1060 m"')],
        TOML, "compartments[1].gas_water_contact", "1060 m", "a gas-water contact and a contact with oil",
        "where there is no oil",
    ),
    "end points": (
        [(TOML, "residual_oil_to_water = 0.25", "residual_oil_to_water = 0.8")],
        TOML, "rocks[1].relative_permeability.residual_oil_to_water", "0.8",
        "of rock 'sand' come to 1: nothing can move",
        "below 1",
    ),
    "end points of gas": (
        [(TOML, "# residual_oil_to_gas = 0.10", "residual_oil_to_gas = 0.76")],
        TOML, "rocks[1].relative_permeability.residual_oil_to_gas", "0.76", "come to 1.01", "below 1",
    ),
    "let without numbers": (
        [(TOML, 'form = "corey"', 'form = "let"')],
        TOML, "rocks[1].relative_permeability.water_let", "", "without water_let", "[L, E, T]",
    ),
    "api nonsense": (
        [(TOML, "api = 30 ", "api = 876 ")], TOML, "fluid.oil.api", "876", "api is outside 5 to 70", "its unit",
    ),
    "temperature nonsense": (
        [(TOML, '"50 degC"', '"50 K"')], TOML, "fluid.temperature", "50 K", "outside 0 to 250 degC", "its unit",
    ),
    "salinity in per cent": (
        [(TOML, "salinity = 0.03 ", "salinity = 0.9 ")],
        TOML, "fluid.water.salinity", "0.9", "as a mass fraction", "Check the number",
    ),
    "impure gas": (
        [(TOML, "# nitrogen = 0.0", "nitrogen = 0.6"), (TOML, "# carbon_dioxide = 0.0", "carbon_dioxide = 0.5")],
        TOML, "fluid.gas.carbon_dioxide", "0.5", "come to 1.1 of the gas", "below 1",
    ),
    "linear layer without width": (
        [("layers.csv", ",skin,support", ",skin,support,geometry,length [m]"),
         ("layers.csv", "1,aquifer", "1,aquifer,linear,300")],
        "layers.csv", "row 2 column width", "", "linear layer 'A1' has no width", "Give width",
    ),
    "radial layer without drainage radius": (
        [("layers.csv", "0.9,180", "0.9,")],
        "layers.csv", "row 3 column drainage radius", "", "layer 'A2' (radial) has no drainage radius",
        "half the distance",
    ),
    "drainage radius inside the hole": (
        [("layers.csv", "0.9,180", "0.9,0.1")],
        "layers.csv", "row 3 column drainage radius", "0.1 m", "not beyond the hole wall at 0.10795 m", "its unit",
    ),
    "controls out of order": (
        [(TOML, "[limits] ", '[[controls]]\ndate = 2029-01-01\noil_rate = "9 sm3/d"\n[limits] ')],
        TOML, "controls[2].date", "2029-01-01", "not in date order: the one before is of 2030-01-01", "by date",
    ),
    "first control too late": (
        [(TOML, "date = 2030-01-01", "date = 2031-01-01")],
        TOML, "controls[1].date", "2031-01-01", "after the start of the schedule, 2030-01-01", "from the start on",
    ),
    "control after the end": (
        [(TOML, "[limits] ", '[[controls]]\ndate = 2049-01-01\noil_rate = "9 sm3/d"\n[limits] ')],
        TOML, "controls[2].date", "2049-01-01", "after the end of the schedule", "Leave it out",
    ),
    "unbounded control": (
        [(TOML, 'bottom_hole_pressure = "70 bar"', "#"), (TOML, 'liquid_rate = "150 sm3/d"', "#")],
        TOML, "controls[1]", "", "does not bound the well at all", "wellhead_pressure, oil_rate",
    ),
    "fetkovich without its keys": (
        [(TOML, 'volume = "500000 e3m3"', "#"), (TOML, 'productivity_index = "100 sm3/day/bar"', "#")],
        TOML, "supports.aquifer", "", "lacks volume, productivity_index",
        "needs volume, compressibility, productivity_index",
    ),
    "carter-tracy without its keys": (
        [(TOML, 'kind = "fetkovich aquifer"', 'kind = "carter-tracy aquifer"')],
        TOML, "supports.aquifer", "", "lacks permeability, porosity, thickness, radius", "Give permeability",
    ),
    "injector without rate": (
        [(TOML, 'kind = "fetkovich aquifer"', 'kind = "injector"')],
        TOML, "supports.aquifer", "", "neither rate nor voidage_replacement", "exactly one",
    ),
    "schedule backwards": (
        [(TOML, "end = 2040-01-01", "end = 2029-01-01")],
        TOML, "schedule.end", "2029-01-01", "ends before it starts, 2030-01-01", "Swap",
    ),
    "constant oil": (
        [(TOML, 'method = "correlation"           # "correlation", "constant" or "table"', 'method = "constant"')],
        TOML, "fluid.oil.viscosity", "", "a constant oil needs viscosity", 'method = "correlation"',
    ),
    "constant oil without volume factor": (
        [(TOML, 'method = "correlation"           # "correlation", "constant" or "table"', 'method = "constant"')],
        TOML, "fluid.oil.formation_volume_factor", "", "needs formation volume factor", "Give formation_volume_factor",
    ),
    "oil without density": (
        [(TOML, "api = 30 ", "# ")], TOML, "fluid.oil.density", "", "the oil has no density", "density or api",
    ),
    "density twice": (
        [(TOML, "api = 30 ", 'density = "876 kg/m^3"\napi = 30 ')],
        TOML, "fluid.oil.api", "30", "density and api are both given", "Keep one",
    ),
    "ideal gas": (
        [(TOML, "[fluid.gas]", '[fluid.gas]\nmethod = "ideal"')],
        TOML, "fluid.gas.viscosity", "", "an ideal gas needs its viscosity", "Give viscosity",
    ),
    "constant water": (
        [(TOML, "[fluid.water]", '[fluid.water]\nmethod = "constant"')],
        TOML, "fluid.water.viscosity", "", "a constant water needs viscosity", "Give viscosity",
    ),
    "table not asked for": (
        [(TOML, '# table = { file = "gas.csv" }',
          'table = [{ pressure = "50 bar", formation_volume_factor = "0.02 m^3/sm3", viscosity = "0.01 cP" }] #')],
        TOML, "fluid.gas.table", "", "a gas table is given, but the method is correlation", 'method = "table"',
    ),
    "name twice": (
        [("layers.csv", "A2,", "A1,")], "layers.csv", "row 3 column name", "A1", "two layers are called 'A1'",
        "its own",
    ),
    "element named twice": (
        [("string.csv", "screen 2,", "screen 1,")],
        "string.csv", "row 7 column name", "screen 1", "two elements of the string are called 'screen 1'", "its own",
    ),
    "zone named twice": (
        [(TOML, '["upper", "lower"]', '["lower", "lower"]')],
        TOML, "zones[2]", "lower", "two zones are called 'lower'", "its own",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_each_check(spoil, name: str) -> None:
    changes, file, place, value, message, remedy = CASES[name]
    found = spoil(*changes)
    matching = [one for one in found if (one.file, one.place) == (file, place) and message in one.message]
    assert len(matching) == 1, "\n".join(map(str, found))
    if value != "0.10795 m":
        assert matching[0].value == value
    assert remedy in matching[0].remedy


OIL_TABLE = """\
pressure [bar],solution gas ratio [m^3/m^3],formation volume factor [rb/stb],viscosity [cP]
50,20,1.08,2.0
150,60,1.2,1.2
100,40,1.14,1.5
"""


def test_oil_table_must_increase(folder: Path, spoil) -> None:
    (folder / "oil.csv").write_text(OIL_TABLE)
    found = spoil(
        (TOML, 'method = "correlation"           #', 'method = "table"           #'),
        (TOML, '# table = { file = "oil.csv" }', 'table = { file = "oil.csv" }'),
    )
    assert [(one.file, one.place, one.value) for one in found] == [
        ("oil.csv", "row 4 column pressure", "100 bar"),
        ("oil.csv", "row 4 column solution gas ratio", "40 m^3/m^3"),
    ]
    assert all("not increasing" in one.message and "low to high" in one.remedy for one in found)


def test_case_from_memory_is_checked_without_files(folder: Path) -> None:
    case = read_case(folder)
    assert check(case) == []
    swapped = case.model_copy(update={"layers": case.layers[::-1]})
    (problem,) = check(swapped)
    assert (problem.file, problem.place, problem.value) == ("", "layers[2].top_md", "1000 m")


def test_zones_without_names_are_not_judged(folder: Path) -> None:
    text = (folder / TOML).read_text().replace('zones = ["upper", "lower"]', "")
    (folder / TOML).write_text(text)
    assert read_case(folder).zones == ()
