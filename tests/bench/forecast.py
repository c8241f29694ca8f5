"""Speed of the forecast as ratios in one run; see README.md beside it. Prints, asserts nothing."""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from planner.forecast.life import Life
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.network.assemble import assemble
from planner.network.properties import evaluate
from planner.solve.elimination import Pattern, solve


def case() -> Case:
    """Five zones of three layers between seals, blanks beside the seals, an aquifer below the lowest."""
    layers, string, depth = [], [{"kind": "hanger", "top_md": "1990 m", "base_md": "2000 m"}], 2000.0
    for zone in range(5):
        for part in range(3):
            layers.append(
                {
                    "name": f"{zone}{part}",
                    "top_md": f"{depth + 12.0 * part} m",
                    "base_md": f"{depth + 12.0 * part + 11.0} m",
                    "compartment": "all",
                    "permeability": f"{100 * (1 + (zone * 3 + part) % 4)} md",
                    "porosity": 0.24,
                    "rock": "sand",
                    "drainage_radius": "250 m",
                    "cells": 12,
                    "support": "aquifer" if zone == 4 else "edge" if zone == 2 else "",
                }
            )
        string += [
            {"kind": "screen", "top_md": f"{depth} m", "base_md": f"{depth + 36.0} m"},
            {"kind": "isolation joint", "top_md": f"{depth + 36.0} m", "base_md": f"{depth + 39.0} m"},
            {"kind": "blank pipe", "top_md": f"{depth + 39.0} m", "base_md": f"{depth + 51.0} m"},
        ]
        depth += 51.0
    return Case.model_validate(
        {
            "well": {"name": "bench", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
            "compartments": [{"name": "all", "datum": "2000 m", "pressure": "220 bar"}],
            "layers": layers,
            "rocks": [{"name": "sand"}],
            "supports": {
                "aquifer": {
                    "kind": "fetkovich aquifer",
                    "volume": "50000 e3m3",
                    "productivity_index": "20 m^3/day/bar",
                    "compressibility": "8e-5 1/bar",
                },
                "edge": {"kind": "constant pressure"},
            },
            "fluid": {"temperature": "80 degC", "oil": {"api": 33.0, "solution_gas_ratio": "80 m^3/m^3"}},
            "string": string,
            "controls": [{"date": "2030-01-01", "liquid_rate": "800 m^3/day", "bottom_hole_pressure": "130 bar"}],
            "schedule": {"start": "2030-01-01", "end": "2050-01-01"},
            "numerics": {"piece_length": "4.9 m"},
        }
    )


JOBS = WhatIf.model_validate(
    {
        "name": "two jobs",
        "events": [
            {"do": "shut zone", "zone": "zone 5", "on": "2040-01-01"},
            {"do": "set skin", "zone": "zone 2", "skin": -1.0, "on": "2042-01-01"},
        ],
    }
)


def best(work: Callable[[], object], rounds: int, inner: int) -> float:
    """Median over rounds of the mean time of one call, s."""
    work()
    times = []
    for _ in range(rounds):
        start = time.process_time()
        for _ in range(inner):
            work()
        times.append((time.process_time() - start) / inner)
    return statistics.median(times)


def scattered(pattern: Pattern, diagonal: np.ndarray, upper: np.ndarray, lower: np.ndarray) -> csc_matrix:
    """The same matrix for scipy."""
    n = len(pattern.order)
    dense = np.zeros((n, 3, n, 3))
    for step, k in enumerate(pattern.order):
        dense[k, :, k, :] = diagonal[k]
        for e in range(pattern.first[step], pattern.first[step + 1]):
            dense[k, :, pattern.node[e], :] = upper[e]
            dense[pattern.node[e], :, k, :] = lower[e]
    return csc_matrix(dense.reshape(3 * n, 3 * n))


def main() -> None:
    """Measure and print."""
    well = case()
    result = forecast(well, JOBS)
    facts = result.facts
    whole = best(lambda: forecast(well, JOBS), 5, 1)
    life = Life(well, None)
    life.run(well.schedule.start.replace(year=2035))
    march, net = life.march, life.network

    def properties() -> None:
        evaluate(march.x, net.nodes, net.fluids, net.rocks, net.fronts, march.work)

    def assembly() -> None:
        assemble(
            march.x, march.rates, march.outlet[0], 1, 1e7, 86400.0, march.book, march._memory, march._weight,
            net.nodes, net.links, march.switches, march.sources, march.control, march.open_zones, -1, net.pattern,
            np.zeros(3), 1.0, march.work,
        )  # fmt: skip

    assembly()
    blocks = [part.copy() for part in (march.work.diagonal, march.work.upper, march.work.lower)]
    rhs = np.zeros_like(march.work.change)
    rhs[: len(net.nodes.kind)] = march.work.residual

    def elimination() -> None:
        solve(net.pattern, *(part.copy() for part in blocks), rhs.copy())

    matrix = scattered(net.pattern, *blocks)
    seconds = {
        "properties": best(properties, 7, 100),
        "assembly": best(assembly, 7, 100),
        "elimination": best(elimination, 7, 100),
        "scipy splu and solve": best(lambda: splu(matrix).solve(rhs.ravel()), 7, 20),
    }
    square = np.random.default_rng(0).normal(size=(400, 400))
    yardstick = best(lambda: np.linalg.inv(square), 5, 3)
    pieces = len(net.bore)
    print(f"{len(net.nodes.kind)} nodes ({pieces} of bore), {facts.steps} steps, {facts.newton_iterations} iterations, "
          f"{facts.failed_steps} failed steps")  # fmt: skip
    print(f"whole forecast, warm: {whole:.3f} s of processor time = {whole / yardstick:.0f} inversions of 400 x 400")
    for name, value in seconds.items():
        print(f"{name:22s} {value * 1e6:7.1f} us = {value / seconds['elimination']:.2f} eliminations")
    print("worst balance of a component:", max(abs(v) for v in facts.balance.values()))


if __name__ == "__main__":
    main()
