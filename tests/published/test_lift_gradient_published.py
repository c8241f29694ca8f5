"""Multiphase gradients against textbook examples, the library `fluids`, and second fits of the same charts."""

import math
from itertools import pairwise

import numpy as np
import pytest
from fluids import friction as reference
from fluids.two_phase import Beggs_Brill

from planner.base.constants import STANDARD_GRAVITY
from planner.physics import beggs_brill, drift_flux, gray_wet_gas, hagedorn_brown
from planner.physics.field_units import BARREL, CENTIPOISE, CUBIC_FOOT, FOOT, POUND_PER_CUBIC_FOOT, PSI
from planner.physics.multiphase_gradient import METHODS, PATTERNS, gradient
from planner.physics.wall_friction import wall_friction

UP = 0.5 * math.pi
INCH = 0.0254

# Economides, Hill, Ehlig-Economides and Zhu, Petroleum production systems, chapter 7, from memory: 2000 bbl/d of oil
# (2 cP, 30 dyn/cm) and 1 MMscf/d of gas (z 0.935) at 800 psia, 175 degF in 2 7/8 in tubing (2.259 in inside)
DIAMETER = 2.259 * INCH
AREA = 0.25 * math.pi * DIAMETER**2
OIL = 2000.0 * BARREL / 86400.0 / AREA
GAS = 1.0e6 * CUBIC_FOOT / 86400.0 * (14.7 / 800.0) * (635.0 / 520.0) * 0.935 / AREA
EXAMPLE = (
    OIL,
    GAS,
    49.92 * POUND_PER_CUBIC_FOOT,
    2.6 * POUND_PER_CUBIC_FOOT,
    2.0 * CENTIPOISE,
    0.0131 * CENTIPOISE,
    0.030,
)


def example(method: str) -> tuple[float, float, float, float, float, int]:
    return gradient(METHODS.index(method), 800.0 * PSI, *EXAMPLE, DIAMETER, 0.0006 * DIAMETER, UP)


def test_hagedorn_brown_textbook_example() -> None:
    # printed: usl 4.67, usg 8.72 ft/s; NVL 10.28, NVG 19.20, ND 29.35, NL 9.26e-3; holdup 0.46 (from memory)
    assert OIL / FOOT == pytest.approx(4.67, abs=0.005)
    assert GAS / FOOT == pytest.approx(8.72, abs=0.005)
    scale = (EXAMPLE[2] / (STANDARD_GRAVITY * 0.030)) ** 0.25
    assert OIL * scale == pytest.approx(10.28, abs=0.01)
    assert GAS * scale == pytest.approx(19.20, abs=0.02)
    n_viscosity = 2.0e-3 * (STANDARD_GRAVITY / (EXAMPLE[2] * 0.030**3)) ** 0.25
    assert n_viscosity == pytest.approx(9.26e-3, rel=0.005)
    assert hagedorn_brown.viscosity_coefficient(n_viscosity) == pytest.approx(0.0022, abs=0.00015)
    *_, holdup, pattern = example("hagedorn-brown 1965")
    assert holdup == pytest.approx(0.46, abs=0.005)
    assert PATTERNS[pattern] == "slug to mist"


def test_beggs_brill_textbook_example() -> None:
    # printed for the same flow: input share 0.35, Froude number 29.6, L1 230, L2 0.0124, L3 0.456, L4 590, so
    # intermittent; horizontal holdup 0.454; gravity part 0.169 psi/ft (from memory)
    share = OIL / (OIL + GAS)
    froude = (OIL + GAS) ** 2 / (STANDARD_GRAVITY * DIAMETER)
    assert share == pytest.approx(0.35, abs=0.005)
    assert froude == pytest.approx(29.6, abs=0.1)
    flat, pattern = beggs_brill.beggs_brill_1973_holdup(OIL, GAS, EXAMPLE[2], 0.030, DIAMETER, 0.0, False)
    assert PATTERNS[pattern] == "intermittent"
    assert flat == pytest.approx(0.454, abs=0.002)
    _, gravity, _, _, holdup, _ = example("beggs-brill 1973")
    assert flat < holdup < 1.05 * flat
    assert gravity / PSI * FOOT == pytest.approx(0.169, abs=0.001)


@pytest.mark.parametrize(
    ("share", "froude", "pattern"),
    # the limits at a share of 0.35 as printed: L1 230, L2 0.0124, L3 0.456
    [(0.35, 0.0122, "segregated"), (0.35, 0.0126, "transition"), (0.35, 0.454, "transition"),
     (0.35, 0.462, "intermittent"), (0.35, 229.0, "intermittent"), (0.35, 231.5, "distributed")],
)  # fmt: skip
def test_beggs_brill_pattern_limits(share: float, froude: float, pattern: str) -> None:
    assert PATTERNS[beggs_brill.pattern_of(share, froude)] == pattern


def test_beggs_brill_against_the_library_fluids() -> None:
    # the library holds no holdup inside 0 to 1 and forbids no value below the input share: compared where neither acts,
    # and away from the bridges that are ours (see the module)
    rng = np.random.default_rng(3)
    seen = set()
    compared = 0
    for _ in range(4000):
        liquid, gas = 10.0 ** rng.uniform(-2.5, 0.8), 10.0 ** rng.uniform(-1.0, 1.5)
        angle = float(rng.choice([-90.0, -30.0, 0.0, 10.0, 45.0, 90.0]))
        rho_l, rho_g, mu_l = rng.uniform(700.0, 1100.0), rng.uniform(2.0, 150.0), 10.0 ** rng.uniform(-4.0, -2.0)
        sigma, diameter = rng.uniform(0.01, 0.07), rng.uniform(0.03, 0.2)
        share, froude = liquid / (liquid + gas), (liquid + gas) ** 2 / (STANDARD_GRAVITY * diameter)
        flat, _ = beggs_brill.beggs_brill_1973_holdup(liquid, gas, rho_l, sigma, diameter, 0.0, False)
        found = gradient(
            0, 1e7, liquid, gas, rho_l, rho_g, mu_l, 1.5e-5, sigma, diameter, 4.6e-5, math.radians(angle))  # fmt: skip
        held = found[4] <= 0.0011 or found[4] >= 0.999 or flat >= 0.999 or found[4] <= 1.0001 * share
        density, mu = share * rho_l + (1.0 - share) * rho_g, share * mu_l + (1.0 - share) * 1.5e-5
        reynolds = density * (liquid + gas) * diameter / mu
        # between laminar and turbulent each of us joins the two in a way of his own
        if held or flat <= 1.0001 * share or froude < 0.02 or 1990.0 < reynolds < 4100.0:
            continue
        weights = beggs_brill.pattern_shares(share, froude)
        low, high = 0.0009252 * share**-2.4684, 0.10 * share**-1.4516
        y = share / found[4] ** 2
        if 0.0 < weights[2] < 1.0 or (low < froude and high < 1.3 * low) or y < 0.02 or 0.4 < y <= 1.0:
            continue
        mass = liquid * rho_l + gas * rho_g
        expected = Beggs_Brill(
            m=mass * 0.25 * math.pi * diameter**2, x=gas * rho_g / mass, rhol=rho_l, rhog=rho_g, mul=mu_l, mug=1.5e-5,
            sigma=sigma, P=1e7, D=diameter, angle=angle, roughness=4.6e-5, L=1.0)  # fmt: skip
        assert found[0] == pytest.approx(expected, rel=1e-4, abs=0.01), (liquid, gas, angle)
        compared += 1
        seen.add((PATTERNS[found[5]], math.copysign(1.0, angle) if angle else 0.0))
    assert compared > 500
    assert {name for name, _ in seen} == {"segregated", "transition", "intermittent", "distributed"}


def test_payne_factors() -> None:
    # Payne, Palmer, Brill and Beggs 1979: 0.924 uphill, 0.685 downhill
    up = example("beggs-brill 1973")[4]
    assert example("beggs-brill 1973 with payne 1979")[4] == pytest.approx(0.924 * up, rel=1e-12)
    down = [beggs_brill.beggs_brill_1973_holdup(1.0, 1.0, 800.0, 0.03, 0.06, -0.3, payne)[0] for payne in (False, True)]
    assert down[1] == pytest.approx(0.685 * down[0], rel=1e-12)


@pytest.mark.parametrize("group", [3e-5, 1e-4, 3e-4, 1e-3, 3e-3])
def test_hagedorn_brown_holdup_chart_by_two_fits(group: float) -> None:
    # second fit: polynomial of Brown 1977 as printed by Economides et al. and Guo et al. (from memory)
    x = math.log10(group) + 6.0
    other = -0.10307 + 0.61777 * x - 0.63295 * x**2 + 0.29598 * x**3 - 0.0401 * x**4
    assert hagedorn_brown.holdup_chart(group) == pytest.approx(other, abs=0.035)


@pytest.mark.parametrize("group", [0.012, 0.02, 0.03, 0.05, 0.07])
def test_hagedorn_brown_correction_chart_by_two_fits(group: float) -> None:
    other = 0.91163 - 4.82176 * group + 1232.25 * group**2 - 22253.6 * group**3 + 116174.3 * group**4
    assert hagedorn_brown.correction_chart(group) == pytest.approx(other, rel=0.05)


@pytest.mark.parametrize("number", [0.005, 0.02, 0.1, 0.3])
def test_hagedorn_brown_viscosity_chart_by_two_fits(number: float) -> None:
    # second fit, a cubic, from memory; the two differ by up to 16 % in the middle of the chart
    other = 0.061 * number**3 - 0.0929 * number**2 + 0.0505 * number + 0.0019
    assert hagedorn_brown.viscosity_coefficient(number) == pytest.approx(other, rel=0.17)


def test_griffith_holdup_solves_the_rise_of_bubbles() -> None:
    # bubbles rise at vm + 0.8 ft/s relative to the liquid: vsg/(1 - H) - vsl/H = 0.8 ft/s
    for liquid, gas in [(0.05, 0.02), (0.5, 0.1), (1.0, 0.3)]:
        holdup = hagedorn_brown.griffith_1962_holdup(liquid + gas, gas)
        assert gas / (1.0 - holdup) - liquid / holdup == pytest.approx(0.8 * FOOT, rel=1e-9)


@pytest.mark.parametrize("rates", [(1e-3, 5.0), (5e-3, 10.0), (0.05, 8.0), (0.5, 6.0)])
def test_gray_written_out_in_field_units(rates: tuple[float, float]) -> None:
    # Gray 1974 as printed in field units (lb/ft3, ft/s, sigma in lb/s2 = dyn/cm / 453.592, g 32.174), done afresh
    liquid, gas = rates
    rho_l, rho_g, sigma, diameter = 1000.0, 60.0, 0.05, 0.062
    v_l, v_g, d = liquid / FOOT, gas / FOOT, diameter / FOOT
    dense, light = rho_l / POUND_PER_CUBIC_FOOT, rho_g / POUND_PER_CUBIC_FOOT
    tension = sigma * 1000.0 / 453.59237
    share = v_l / (v_l + v_g)
    mixture = share * dense + (1.0 - share) * light
    n_v = mixture**2 * (v_l + v_g) ** 4 / (32.174 * tension * (dense - light))
    n_d = 32.174 * (dense - light) * d**2 / tension
    ratio = v_l / v_g
    power = 0.0814 * (1.0 - 0.0554 * math.log(1.0 + 730.0 * ratio / (ratio + 1.0)))
    expected = 1.0 - (1.0 - math.exp(-2.314 * (n_v * (1.0 + 205.0 / n_d)) ** power)) / (ratio + 1.0)
    found = gray_wet_gas.gray_1974_holdup(liquid, gas, rho_l, rho_g, sigma, diameter)
    # our fading-in of the slip takes up to 1e-5/ratio of it away
    assert found == pytest.approx(expected, rel=1e-3 + 1e-5 / ratio)


def test_harmathy_rise_of_a_few_bubbles() -> None:
    # Harmathy 1960: 1.53 (g sigma (rho_l - rho_g)/rho_l^2)^(1/4); air in water at 20 degC: about 0.25 m/s
    rho_l, rho_g, sigma = 998.2, 1.2, 0.0728
    rise = 1.53 * (STANDARD_GRAVITY * sigma * (rho_l - rho_g) / rho_l**2) ** 0.25
    assert rise == pytest.approx(0.25, abs=0.005)
    for liquid in (0.1, 0.5, 2.0):
        gas = 1e-4
        share = 1.0 - drift_flux.shi_2005_holdup(liquid, gas, rho_l, rho_g, sigma, 0.1, UP)
        assert gas / share - (liquid + gas) == pytest.approx(rise, rel=0.01)


@pytest.mark.parametrize("part", [0.3, 0.6, 0.9, 0.999])
def test_gas_through_standing_liquid_up_to_flooding(part: float) -> None:
    # Shi et al. 2005 with liquid at rest solved by hand (C0 = 1, share above a2): vsg = alpha (vsg + vd) gives
    # alpha = vsg / (Ku vc + vsg (1 - s)), s = (rho_g/rho_l)^(1/2), which is 1 at the flooding velocity Ku vc / s
    rho_l, rho_g, sigma, diameter = 1000.0, 20.0, 0.07, 0.15
    characteristic = (sigma * STANDARD_GRAVITY * (rho_l - rho_g) / rho_l**2) ** 0.25
    size = diameter * math.sqrt(STANDARD_GRAVITY * (rho_l - rho_g) / sigma)
    rise = (3.2 if size >= 50.0 else 3.0 + 0.2 * (size - 28.0) / 22.0) * characteristic
    s = math.sqrt(rho_g / rho_l)
    gas = part * rise / s
    share = 1.0 - drift_flux.shi_2005_holdup(1e-9, gas, rho_l, rho_g, sigma, diameter, UP)
    assert share == pytest.approx(gas / (rise + gas * (1.0 - s)), abs=1e-6)


@pytest.mark.parametrize(
    ("diameter", "ku"),
    [(2.0, 0.0), (4.0, 1.0), (10.0, 2.1), (14.0, 2.5), (20.0, 2.8), (28.0, 3.0), (50.0, 3.2), (500.0, 3.2)],
)
def test_table_of_critical_kutateladze_numbers(diameter: float, ku: float) -> None:
    # Shi et al. 2005, table 1 (from memory)
    assert drift_flux.critical_kutateladze(diameter) == pytest.approx(ku, abs=1e-12)


def test_deviation_multiplier() -> None:
    # Shi et al. 2005, water and gas: 1.85 cos^0.21 (1 + sin)^0.95; at 45 degrees 1.85 0.9299 1.6621 = 2.859 by hand
    assert drift_flux.deviation_multiplier(math.radians(45.0)) == pytest.approx(2.859, abs=0.002)
    assert drift_flux.deviation_multiplier(0.0) == 1.0


@pytest.mark.parametrize("method", range(len(METHODS)))
@pytest.mark.parametrize("angle", [UP, 0.6, 0.0, -0.6, -UP])
def test_one_phase_alone_is_darcy_weisbach(method: int, angle: float) -> None:
    diameter, rough, speed = 0.08, 2e-5, 2.0
    for rho, mu, velocities in ((900.0, 3e-3, (speed, 0.0)), (90.0, 1.6e-5, (0.0, speed))):
        total, gravity, friction, acceleration, holdup, _ = gradient(
            method, 1e7, *velocities, 900.0, 90.0, 3e-3, 1.6e-5, 0.03, diameter, rough, angle)  # fmt: skip
        factor = reference.Colebrook(rho * speed * diameter / mu, rough / diameter)
        assert friction == pytest.approx(factor * rho * speed**2 / (2.0 * diameter), rel=1e-8)
        assert gravity == pytest.approx(rho * STANDARD_GRAVITY * math.sin(angle), rel=1e-12, abs=1e-9)
        assert holdup == (1.0 if velocities[0] > 0.0 else 0.0)
        assert total == pytest.approx(gravity + friction + acceleration, rel=1e-12)


@pytest.mark.parametrize("method", range(len(METHODS)))
@pytest.mark.parametrize("alone", ["gas", "liquid"])
def test_a_vanishing_phase_leaves_the_other_alone(method: int, alone: str) -> None:
    if METHODS[method] == "gray 1974" and alone == "liquid":
        return  # for gas with some liquid: its wall film stays as gas vanishes
    if METHODS[method].startswith("beggs-brill") and alone == "gas":
        return  # its friction multiplier grows as liquid vanishes: said on the card
    pair = (lambda x: (x, 3.0)) if alone == "gas" else (lambda x: (3.0, x))
    fluid = (850.0, 80.0, 2e-3, 1.5e-5, 0.03, 0.07, 2e-5, UP)
    limit = gradient(method, 1e7, *pair(0.0), *fluid)[0]
    near = gradient(method, 1e7, *pair(1e-7), *fluid)[0]
    assert near == pytest.approx(limit, rel=0.02)


@pytest.mark.parametrize(
    "method", ["beggs-brill 1973", "hagedorn-brown 1965", "gray 1974", "drift flux 2005", "no slip"]
)
@pytest.mark.parametrize("liquid", [0.02, 0.3, 1.0])
def test_holdup_falls_as_gas_rises(method: str, liquid: float) -> None:
    fluid = (850.0, 80.0, 2e-3, 1.5e-5, 0.03, 0.07, 2e-5, UP)
    gas = np.geomspace(1e-3, 20.0, 60)
    holdup = [gradient(METHODS.index(method), 1e7, liquid, float(v), *fluid)[4] for v in gas]
    # Beggs and Brill's patterns meet with small steps: no rise above 4 % is let through
    slack = 0.04 if method == "beggs-brill 1973" else 1e-9
    assert all(b <= a * (1.0 + slack) for a, b in pairwise(holdup))
    assert all(h >= liquid / (liquid + v) - 1e-9 for h, v in zip(holdup, gas, strict=True))


def test_wall_friction_is_the_law_of_pipe_flow() -> None:
    # also against the library where it is turbulent
    for reynolds in (100.0, 1999.0, 2500.0, 3900.0, 5e3, 1e5, 1e7):
        for rough in (0.0, 1e-4, 1e-2):
            if reynolds >= 4000.0:
                assert wall_friction(reynolds, rough) == pytest.approx(reference.Colebrook(reynolds, rough), rel=1e-8)
            elif reynolds <= 2000.0:
                assert wall_friction(reynolds, rough) == pytest.approx(64.0 / reynolds, rel=1e-12)
