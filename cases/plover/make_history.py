"""Make production.csv and pressures.csv of Plover 2: the model at the true numbers below, with noise. All invented.

Run it beside the case: .venv/bin/python cases/plover/make_history.py [FOLDER]
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from planner.forecast.run import forecast
from planner.io.read import read_case
from planner.model.case import Case
from planner.model.measured import Measured, Measurement
from planner.model.paths import Times, put
from planner.network.zone_layers import zone_layers
from planner.uncertainty.observe import predicted

HERE = Path(__file__).resolve().parent
SEED = 20
TRUTH = {
    "zones.Reed.permeability": Times(0.75),
    "zones.Sedge.permeability": Times(1.5),
    "zones.Rush.permeability": Times(0.8),
    "zones.Reed.skin": 6.0,
    "zones.Sedge.porosity": Times(0.82),
    "supports.rush aquifer.volume": 18.0e6,
    "rocks.sand.relative_permeability.water_end_point": 0.28,
}
MONTHS = [date(2024 + k // 12, k % 12 + 1, 1) for k in range(49)]
SHUT_DAYS = {date(2025, 6, 1): 18, date(2026, 9, 1): 9}
NAMES = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()


def main(folder: Path = HERE) -> None:
    """Write both tables into a folder."""
    rng = np.random.default_rng(SEED)
    case = true_case()
    days = sorted({*MONTHS, *(day for _, _, day, _ in tests())})
    run = forecast(case, until=MONTHS[-1], also=days)
    production(case, run, rng, folder / "production.csv")
    pressures(case, run, rng, folder / "pressures.csv")


def true_case() -> Case:
    """The case at its true numbers, its liquid rate by month as planned, without measurements."""
    with TemporaryDirectory() as place:
        text = (HERE / "case.toml").read_text(encoding="utf-8").split("[measured]")[0]
        (Path(place) / "case.toml").write_text(text, encoding="utf-8")
        for name in ("layers.csv", "string.csv"):
            (Path(place) / name).write_text((HERE / name).read_text(encoding="utf-8"), encoding="utf-8")
        case = read_case(place)
    case = put(case, dict(TRUTH), zone_layers(case))
    rows = [
        {"date": after, "since": month, "kind": "liquid rate", "value": f"{rate} m^3/day", "error": "1 %"}
        for month, after, rate in planned()
    ]
    return case.model_copy(update={"measured": Measured.model_validate({"rows": rows, "control": "liquid rate"})})


def planned() -> Iterator[tuple[date, date, float]]:
    """Liquid rate of each month by calendar day, m3/d."""
    for k, (month, after) in enumerate(pairwise(MONTHS)):
        length = (after - month).days
        on = 1.0 - SHUT_DAYS.get(month, 0) / length
        yield month, after, round((420.0 + 3.0 * k) * on, 1)


def tests() -> list[tuple[str, str, date, str]]:
    """Kind, place, day and error of what is measured besides production."""
    flowing = [MONTHS[k] + timedelta(days=14) for k in range(2, 48, 4)]
    found = [("bottom-hole pressure", "", day, "2 bar") for day in flowing]
    for day in (MONTHS[17], MONTHS[41]):
        found += [("formation pressure", zone, day, "2 bar") for zone in ("Reed", "Sedge", "Rush")]
    for day in (MONTHS[20], MONTHS[44]):
        found += [("liquid share", zone, day, "0.04") for zone in ("Reed", "Sedge", "Rush")]
        found += [("water cut", zone, day, "0.05") for zone in ("Reed", "Sedge", "Rush")]
    return [*found, ("kh", "", MONTHS[3], "800 md*m")]


def production(case: Case, run: object, rng: np.random.Generator, path: Path) -> None:
    """Volumes by month as an office of the continent sends them: semicolons, decimal commas, names of months."""
    lines = ["Well;Month;Oil [m3];Water [m3];Liquid [m3];Producing days"]
    for month, after, _ in planned():
        rows = [Measurement(kind, "", after, month, 0.0, 1.0) for kind in ("oil rate", "water rate")]
        rates = predicted(case, run, rows) * 86_400.0  # type: ignore[arg-type]
        length = (after - month).days
        oil, water = rates * length * (1.0 + 0.02 * rng.standard_normal(2))
        on = length - SHUT_DAYS.get(month, 0)
        cells = [f"{value:,.1f}".replace(",", " ").replace(".", ",") for value in (oil, water, oil + water)]
        lines.append(";".join(["Plover 2", f"{NAMES[month.month - 1]} {month.year}", *cells, str(on)]))
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def pressures(case: Case, run: object, rng: np.random.Generator, path: Path) -> None:
    """The other measurements, one a line."""
    units = {"bottom-hole pressure": ("bar", 1e5), "formation pressure": ("bar", 1e5), "kh": ("md*m", 9.869233e-16)}
    lines = ["date,kind,zone,value,error,unit"]
    for kind, zone, day, text in tests():
        unit, scale = units.get(kind, ("", 1.0))
        error = float(text.split()[0])
        exact = predicted(case, run, [Measurement(kind, zone, day, None, 0.0, 1.0)])[0] / scale  # type: ignore[arg-type]
        value = float(exact + error * rng.standard_normal())
        if kind in ("water cut", "liquid share"):
            value = min(max(value, 0.0), 1.0)
        lines.append(f"{day},{kind},{zone},{value:.4g},{text.split()[0]},{unit}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(*(Path(word) for word in sys.argv[1:2]))
