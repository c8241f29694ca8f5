"""Inflow along a horizontal hole with friction, against its boundary-value problem.

Dikken 1990: dq/dx = J (p_e - p), dp/dx = friction(q), q(toe) = 0, p(heel) given. Solved here with scipy's collocation
and Colebrook 1939 friction from the `fluids` package; laminar flow has a closed form (hyperbolic).
"""

from __future__ import annotations

import fluids
import numpy as np
from scipy.integrate import solve_bvp

from tests.building import BAR, CONSTANT_OIL, M3D, MD, element, make, steady, within

LENGTH, RADIUS, HOLE, ROUGH, MU, RHO = 1000.0, 50.0, 4.25 * 0.0254, 4.6e-5, 1e-3, 850.0


def well(diameter, permeability, drawdown, viscosity=1.0, piece=30.0, inflow=False):
    """A hole that is horizontal from 2000 m on, with a constant-pressure boundary of its own oil 50 m away."""
    survey = [
        {"md": "0 m", "inclination": "0 deg"},
        {"md": "1000 m", "inclination": "0 deg"},
        {"md": "1990 m", "inclination": "90 deg"},
        {"md": "4000 m", "inclination": "90 deg"},
    ]
    layers = [
        {
            "name": "l",
            "top_md": "2000 m",
            "base_md": f"{2000 + LENGTH} m",
            "compartment": "c",
            "permeability": f"{permeability} md",
            "porosity": 0.25,
            "rock": "r",
            "geometry": "along hole",
            "drainage_radius": f"{RADIUS} m",
            "cells": 1,
            "support": "edge",
            "pressure": "220 bar",
        }
    ]
    inner = {"inner_diameter": f"{diameter} m", "roughness": f"{ROUGH} m"}
    oil = {
        **CONSTANT_OIL,
        "compressibility": "0 1/bar",
        "formation_volume_factor": "1 m^3/m^3",
        "viscosity": f"{viscosity} cP",
    }
    return make(
        well={"name": "h", "survey": survey, "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        layers=layers,
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        fluid={"temperature": "90 degC", "oil": oil},
        string=[element("casing", 1999.8, 2000.0, **inner), element("screen", 2000.0, 2000.0 + LENGTH, **inner)],
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": f"{220.0 - drawdown} bar"}],
        numerics={"friction": True, "gravity": False, "piece_length": f"{piece} m", "wellbore_inflow": inflow},
        schedule={"start": "2027-01-01", "end": "2028-01-01"},
    )


def boundary_value(diameter, permeability, drawdown, viscosity=1.0, inflow=False):
    """(rate at the heel, m3/s; rate as a function of the distance from the heel).

    inflow: with acceleration, d(rho v^2)/dx, and with the friction of Ouyang, Arbabi and Aziz 1998 (turbulent inflow
    through an open wall: 1 - 29.03 (Re_w/Re)^0.8003; laminar: 1 + 0.04304 Re_w^0.6142), held at 0.1 at the least.
    """
    mu = viscosity * 1e-3
    index = 2.0 * np.pi * permeability * MD / (mu * np.log(RADIUS / HOLE))
    area = 0.25 * np.pi * diameter**2

    def gradient(q):
        speed = np.maximum(np.abs(q), 1e-12) / area
        reynolds = RHO * speed * diameter / mu
        factor = np.array(
            [
                64.0 / re if re < 2000.0 else fluids.friction_factor(Re=re, eD=ROUGH / diameter, Method="Colebrook")
                for re in reynolds
            ]
        )
        return factor * RHO * speed**2 / (2.0 * diameter)

    def slopes(x, y):  # y: pressure above the heel in drawdowns, rate in units of the frictionless one
        q = y[1] * index * drawdown * BAR * LENGTH
        rise = gradient(q)
        if inflow:
            into = np.maximum(index * drawdown * BAR * (1.0 - y[0]), 0.0)
            wall = RHO * into / (np.pi * mu)
            reynolds = np.maximum(RHO * np.abs(q) / area * diameter / mu, 1e-9)
            share = np.clip(np.log(reynolds / 2000.0) / np.log(2.0), 0.0, 1.0)
            low = np.minimum(1.0 + 0.04304 * wall**0.6142, np.pi**2 / 8.0)
            high = np.clip(1.0 - 29.03 * (wall / reynolds) ** 0.8003, 0.1, 10.0)
            rise = rise * ((1.0 - share) * low + share * high) + 2.0 * RHO * q / area**2 * into
        return np.vstack((rise / (drawdown * BAR), -(1.0 - y[0]) / LENGTH))

    x = np.linspace(0.0, LENGTH, 401)
    first = np.vstack((0.3 * np.ones_like(x), 0.5 * (1.0 - x / LENGTH)))
    solved = solve_bvp(slopes, lambda a, b: np.array([a[0], b[1]]), x, first, tol=1e-6, max_nodes=100000)
    assert solved.success
    whole = index * drawdown * BAR * LENGTH
    return solved.sol(0.0)[1] * whole, whole, solved


def test_turbulent_against_the_boundary_value_problem():
    """A third of the drawdown or more is lost to friction; 30 m pieces."""
    for diameter, permeability, drawdown in ((0.1, 200.0, 2.0), (0.1, 1000.0, 1.0), (0.15, 1000.0, 2.0)):
        exact, free, _ = boundary_value(diameter, permeability, drawdown)
        result = steady(well(diameter, permeability, drawdown))
        print(f"frictionless {free / M3D:.0f}, exact {exact / M3D:.0f} m3/d")
        within("rate at the heel", result.well["oil_rate"][-1] / exact - 1.0, 0.02)


def test_acceleration_and_inflow_against_the_boundary_value_problem():
    """Both together take two per cent of the rate of a thin bore; what is left of the error is far below that."""
    for diameter, permeability, drawdown in ((0.1, 1000.0, 1.0), (0.1, 1000.0, 0.2)):
        exact, _, _ = boundary_value(diameter, permeability, drawdown, inflow=True)
        without, _, _ = boundary_value(diameter, permeability, drawdown)
        result = steady(well(diameter, permeability, drawdown, piece=10.0, inflow=True))
        plain = steady(well(diameter, permeability, drawdown, piece=10.0))
        found, bare = result.well["oil_rate"][-1], plain.well["oil_rate"][-1]
        print(f"exact {exact / M3D:.0f}, without {without / M3D:.0f}, found {found / M3D:.0f}, bare {bare / M3D:.0f}")
        within("rate at the heel", found / exact - 1.0, 0.005)
        assert abs(found / bare - exact / without) < 0.25 * abs(exact / without - 1.0)


def test_error_falls_with_the_length_of_the_pieces():
    exact, _, _ = boundary_value(0.1, 1000.0, 1.0)
    found = [steady(well(0.1, 1000.0, 1.0, piece=piece)).well["oil_rate"][-1] / exact - 1.0 for piece in (60, 30, 10)]
    print("errors with 60, 30, 10 m", found)
    assert abs(found[2]) < 0.5 * abs(found[0])
    within("10 m pieces", found[2], 0.005)


def test_laminar_closed_form():
    """q = q_free tanh(a L) / (a L), a^2 = J R with R = 128 mu / (pi d^4): linear, so exact (Poiseuille)."""
    viscosity, diameter, permeability, drawdown = 100.0, 0.05, 500.0, 2.0
    mu = viscosity * 1e-3
    index = 2.0 * np.pi * permeability * MD / (mu * np.log(RADIUS / HOLE))
    a = np.sqrt(index * 128.0 * mu / (np.pi * diameter**4))
    exact = index * drawdown * BAR * LENGTH * np.tanh(a * LENGTH) / (a * LENGTH)
    reynolds = RHO * exact / (0.25 * np.pi * diameter**2) * diameter / mu
    assert reynolds < 2000.0
    for piece, limit in ((30.0, 0.03), (10.0, 0.01)):
        result = steady(well(diameter, permeability, drawdown, viscosity, piece))
        print(f"aL = {a * LENGTH:.2f}, Re {reynolds:.0f}")
        within(f"rate at the heel, {piece:g} m pieces", result.well["oil_rate"][-1] / exact - 1.0, limit)


def test_inflow_along_the_hole():
    """More comes in at the heel than at the toe, piece by piece as the boundary-value problem has it."""
    exact, _, solved = boundary_value(0.1, 1000.0, 1.0)
    result = steady(well(0.1, 1000.0, 1.0))
    pieces = [k for k, p in enumerate(result.description.pieces) if p.kind == "screen"]
    edges = np.array([result.description.pieces[k].top_md - 2000.0 for k in pieces] + [LENGTH])
    share = -np.diff(solved.sol(edges)[1]) / solved.sol(0.0)[1]
    got = result.piece["oil_inflow"][-1, pieces] / result.piece["oil_inflow"][-1, pieces].sum()
    within("share of inflow by piece, of the largest", np.abs(got - share).max() / share.max(), 0.02)
    assert exact > 0.0
