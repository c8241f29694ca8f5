"""The march along the tubing: limits that are known exactly, temperature, gas lift and pump."""

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import Colebrook
from pydantic import ValidationError
from scipy.integrate import solve_ivp

from planner.base.constants import AIR_MOLAR_MASS, STANDARD_GRAVITY
from planner.model.case import Fluid, Gas, Oil, SurveyStation, Water
from planner.model.lift import GasLift, Pump, PumpPoint, Tubing
from planner.network.lift_fluids import TubingFluids, flowing_state, oil_in_place, tubing_fluids
from planner.network.lift_march import (
    Pipe,
    bottom_hole_pressure,
    make_pipe,
    pump_head,
    pump_intake,
    traverse,
)
from planner.network.trajectory import Trajectory
from planner.physics import gas as gas_physics
from planner.physics import oil as oil_physics
from planner.physics import water as water_physics

DAY = 86400.0
BLACK_OIL = Fluid(
    temperature="82 degC",
    oil=Oil(api=33, solution_gas_ratio="80 m^3/m^3", bubble_point="138 bar"),
    gas=Gas(gravity=0.75),
    water=Water(salinity=0.035),
)
STIFF = Fluid(  # water that neither expands nor thins: the exact answer is a straight line
    temperature="82 degC",
    gas=Gas(gravity=0.65),
    water=Water(
        method="constant", density="1000 kg/m^3", viscosity="0.5 cP", formation_volume_factor="1 m^3/m^3",
        compressibility="0 1/bar", reference_pressure="200 bar"),
)  # fmt: skip
MULTIPHASE = ["beggs-brill 1973", "hagedorn-brown 1965", "gray 1974", "drift flux 2005"]


def tables(fluid: Fluid) -> TubingFluids:
    return tubing_fluids(fluid, 200e5, 6e7, 278.15, 400.0)


def pipe_of(
    md: float = 2000.0, survey: tuple[SurveyStation, ...] = (), injecting: bool = False, **fields: object
) -> Pipe:
    tubing = Tubing(**({"inner_diameter": "76 mm", "roughness": "0.02 mm"} | fields))
    return make_pipe(tubing, Trajectory(survey), md, 355.15, injecting)


@pytest.mark.parametrize("method", [*MULTIPHASE, "liquid column"])
@pytest.mark.parametrize("injecting", [False, True])
def test_liquid_alone_is_head_and_colebrook_friction(method: str, injecting: bool) -> None:
    rate, d = 900.0 / DAY, 0.076
    pipe = pipe_of(method=method, injecting=injecting)
    found = bottom_hole_pressure(tables(STIFF), pipe, 30e5, 0.0, rate, 0.0)
    speed = rate / (0.25 * math.pi * d**2)
    friction = Colebrook(1000.0 * speed * d / 0.5e-3, 2e-5 / d) * 1000.0 * speed**2 / (2.0 * d) * 2000.0
    head = 1000.0 * STANDARD_GRAVITY * 2000.0
    assert found == pytest.approx(30e5 + head + (-friction if injecting else friction), rel=1e-6)


def test_head_follows_the_true_depth_and_friction_the_length() -> None:
    survey = tuple(
        SurveyStation(md=md, inclination=inc)
        for md, inc in (("0 m", "0 deg"), ("500 m", "0 deg"), ("1100 m", "60 deg"))
    )
    d, rate = 0.076, 900.0 / DAY
    pipe = pipe_of(3000.0, survey, method="beggs-brill 1973", segment="20 m")
    found = bottom_hole_pressure(tables(STIFF), pipe, 30e5, 0.0, rate, 0.0)
    speed = rate / (0.25 * math.pi * d**2)
    friction = Colebrook(1000.0 * speed * d / 0.5e-3, 2e-5 / d) * 1000.0 * speed**2 / (2.0 * d) * 3000.0
    # arc of 600 m through 60 degrees: rise r sin 60, then straight
    depth = 500.0 + 600.0 / math.radians(60.0) * math.sin(math.radians(60.0)) + 1900.0 * 0.5
    assert found == pytest.approx(30e5 + 1000.0 * STANDARD_GRAVITY * depth + friction, rel=1e-6)


METHANE = 16.0428e-3 / AIR_MOLAR_MASS


@pytest.mark.parametrize(("rate", "injecting"), [(1e-6, False), (8.0, False), (4.0, True)])
def test_gas_alone_against_an_equation_of_state(rate: float, injecting: bool) -> None:
    # dp/dz of real gas with density and viscosity of methane from the reference equation (CoolProp), by scipy
    d, depth = 0.076, 2500.0
    fluid = Fluid(temperature="82 degC", gas=Gas(gravity=METHANE))
    pipe = pipe_of(depth, method="gas column", injecting=injecting)
    mass = rate * tables(fluid).density_gas
    area = 0.25 * math.pi * d**2

    def slope(z: float, p: np.ndarray) -> list[float]:
        t = 288.15 + (355.15 - 288.15) * z / depth
        rho = PropsSI("D", "T", t, "P", float(p[0]), "Methane")
        mu = PropsSI("V", "T", t, "P", float(p[0]), "Methane")
        speed = mass / (rho * area)
        reynolds = rho * speed * d / mu
        wall = (Colebrook(reynolds, 2e-5 / d) if reynolds > 4000.0 else 0.0) * rho * speed**2 / (2.0 * d)
        push = STANDARD_GRAVITY * rho + (-wall if injecting else wall)
        return [push / (1.0 - rho * speed**2 / float(p[0]))]

    exact = float(solve_ivp(slope, (0.0, depth), [80e5], rtol=1e-8, max_step=100.0).y[0, -1])
    found = bottom_hole_pressure(tables(fluid), pipe, 80e5, 0.0, 0.0, rate)
    # the deviation factor of natural-gas charts is up to 1.6 % off methane (see the tests of gas)
    assert found == pytest.approx(exact, rel=0.004)
    assert found - 80e5 == pytest.approx(exact - 80e5, rel=0.02, abs=0.5e5)


@pytest.mark.parametrize("method", MULTIPHASE)
def test_steps_of_the_march_are_short_enough(method: str) -> None:
    rates = (0.006, 0.002, 0.6)
    answers = [
        bottom_hole_pressure(tables(BLACK_OIL), pipe_of(method=method, segment=s), 20e5, *rates)
        for s in ("100 m", "5 m")
    ]
    assert answers[0] == pytest.approx(answers[1], rel=1e-3)


def test_properties_along_the_tubing_are_those_of_the_correlations() -> None:
    fluids = tables(BLACK_OIL)
    gravity = float(oil_physics.specific_gravity_from_api(33.0))
    stretch = float(oil_physics.standing_1947_bubble_point(80.0, 355.15, gravity, 0.75)) / 138e5
    for p, t in ((20e5, 310.0), (90e5, 330.0), (130e5, 350.0)):
        rs = float(oil_physics.standing_1947_rs(p * stretch, t, gravity, 0.75))
        rs -= float(oil_physics.standing_1947_rs(1e5 * stretch, t, gravity, 0.75))
        bo, mu, found = oil_in_place(fluids, p, t, 500.0)
        assert found == pytest.approx(rs, rel=3e-3)
        assert bo == pytest.approx(float(oil_physics.standing_1947_bo(rs, t, gravity, 0.75)), rel=1e-3)
        dead = oil_physics.beggs_robinson_1975_dead_viscosity(t, gravity)
        assert mu == pytest.approx(float(oil_physics.beggs_robinson_1975_saturated_viscosity(dead, rs)), rel=1e-2)
        z = gas_physics.z_factor(p, t, *gas_physics.pseudo_critical(0.75))
        _, free, _, rho_g, *_ = flowing_state(fluids, p, t, 0.0, 0.01, 1.0)
        assert rho_g == pytest.approx(float(gas_physics.gas_density(p, t, z, 0.75)), rel=2e-3)
        assert free == pytest.approx(float(gas_physics.gas_bg(p, t, z)), rel=2e-3)
        liquid, *_ = flowing_state(fluids, p, t, 0.0, 0.01, 0.0)
        assert liquid == pytest.approx(0.01 * float(water_physics.water_formation_volume_factor(p, t, 0.035)), rel=1e-4)


def test_undersaturated_oil_keeps_its_gas_and_shrinks_with_pressure() -> None:
    fluids = tables(BLACK_OIL)
    at_bubble = oil_in_place(fluids, 138e5, 355.15, 80.0)
    above = oil_in_place(fluids, 250e5, 355.15, 80.0)
    # the measured bubble point; the correlation's gas at 1 bar is taken off, as in the reservoir's tables
    assert at_bubble[2] == pytest.approx(80.0, rel=0.01)
    assert above[2] == 80.0
    assert above[0] < at_bubble[0]
    assert above[1] > at_bubble[1]


def test_mass_is_the_same_at_every_depth() -> None:
    fluids = tables(BLACK_OIL)
    oil, water, gas = 0.006, 0.002, 0.6
    mass = oil * fluids.density_oil + water * fluids.density_water + gas * fluids.density_gas
    for p, t in ((5e5, 300.0), (60e5, 330.0), (200e5, 355.0)):
        liquid, free, rho_l, rho_g, *_ = flowing_state(fluids, p, t, oil, water, gas)
        assert liquid * rho_l + free * rho_g == pytest.approx(mass, rel=2e-4)


def test_temperature_lies_between_the_rock_and_the_bottom() -> None:
    slow = traverse(tables(BLACK_OIL), pipe_of(heat_transfer=20.0), 20e5, 0.0002, 0.0, 0.016)
    fast = traverse(tables(BLACK_OIL), pipe_of(heat_transfer=20.0), 20e5, 0.012, 0.0, 0.96)
    rock = traverse(tables(BLACK_OIL), pipe_of(), 20e5, 0.012, 0.0, 0.96)
    assert rock.temperature[0] == pytest.approx(288.15)
    assert np.all(np.diff(rock.temperature) > 0.0)
    assert rock.temperature[0] < slow.temperature[0] < fast.temperature[0] < 355.15
    assert fast.temperature[-1] == slow.temperature[-1] == pytest.approx(355.15)


def test_injected_water_stays_cold() -> None:
    down = traverse(tables(STIFF), pipe_of(heat_transfer=20.0, injecting=True), 30e5, 0.0, 0.02, 0.0)
    assert down.temperature[0] == pytest.approx(288.15)
    assert 288.15 < down.temperature[-1] < 300.0


@pytest.mark.parametrize("method", MULTIPHASE)
def test_gas_lift_lightens_the_column_above_it(method: str) -> None:
    rates = (0.001, 0.004, 0.06)
    plain = pipe_of(method=method)
    lifted = pipe_of(method=method, gas_lift=GasLift(depth_md="1500 m", rate="30 e3m3/day"))
    before, after = (traverse(tables(BLACK_OIL), pipe, 15e5, *rates) for pipe in (plain, lifted))
    assert after.pressure[-1] < before.pressure[-1] - 20e5
    above, below = after.md < 1499.0, after.md > 1501.0
    assert np.all(after.gas_velocity[above] > np.interp(after.md[above], before.md, before.gas_velocity))
    assert np.all(after.holdup[above] < 1.0)
    # below the valve the mixture is the well's own: at the same pressure it has the same velocity
    assert after.liquid_velocity[below] == pytest.approx(
        np.interp(after.md[below], before.md, before.liquid_velocity), rel=0.05
    )


CURVE = tuple(PumpPoint(rate=f"{q} m^3/day", head=f"{h} m") for q, h in ((0, 9.0), (500, 8.0), (1000, 5.0)))


def test_pump_adds_its_head() -> None:
    pump = Pump(depth_md="1800 m", curve=CURVE, stages=100)
    with_pump, without = pipe_of(pump=pump, method="liquid column"), pipe_of(method="liquid column")
    fluids, rate = tables(STIFF), 500.0 / DAY
    difference = bottom_hole_pressure(fluids, without, 30e5, 0.0, rate, 0.0) - bottom_hole_pressure(
        fluids, with_pump, 30e5, 0.0, rate, 0.0
    )
    assert difference == pytest.approx(1000.0 * STANDARD_GRAVITY * 800.0, abs=2.0)
    intake, free = pump_intake(fluids, with_pump, 30e5, 0.0, rate, 0.0)
    assert free == 0.0
    assert intake < 30e5 + 1000.0 * STANDARD_GRAVITY * 1800.0


def test_pump_speed_follows_the_affinity_laws() -> None:
    fast = pipe_of(pump=Pump(depth_md="1800 m", curve=CURVE, stages=10, speed=1.2))
    assert pump_head(fast, 600.0 / DAY) == pytest.approx(1.2**2 * 80.0)
    assert pump_head(fast, 0.0) == pytest.approx(1.2**2 * 90.0)
    assert pump_head(fast, 5000.0 / DAY) == 0.0


def test_gas_at_the_intake_is_reported() -> None:
    pipe = pipe_of(pump=Pump(depth_md="1000 m", curve=CURVE, stages=50))
    pressure, free = pump_intake(tables(BLACK_OIL), pipe, 20e5, 0.004, 0.001, 0.6)
    liquid, gas, *_ = flowing_state(tables(BLACK_OIL), pressure, 321.65, 0.004, 0.001, 0.6)
    assert 0.0 < free < 1.0
    assert free == pytest.approx(gas / (gas + liquid), rel=1e-6)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="above its top"):
        pipe_of(md=100.0, top_md="200 m")
    with pytest.raises(ValueError, match="outside the tubing"):
        pipe_of(md=1000.0, gas_lift=GasLift(depth_md="1500 m", rate="30 e3m3/day"))
    with pytest.raises(ValidationError, match="must not rise"):
        Pump(depth_md="1 m", curve=(PumpPoint(rate="0 m^3/day", head="5 m"), PumpPoint(rate="9 m^3/day", head="6 m")))
    with pytest.raises(ValidationError, match="must rise"):
        Pump(depth_md="1 m", curve=(PumpPoint(rate="9 m^3/day", head="5 m"), PumpPoint(rate="9 m^3/day", head="4 m")))
    with pytest.raises(ValidationError, match="depth_md"):
        Tubing(inner_diameter="3 in", base_md="900 m", gas_lift=GasLift(depth_md="1000 m", rate="30 e3m3/day"))
    with pytest.raises(ValueError, match="no pump"):
        pump_intake(tables(STIFF), pipe_of(), 30e5, 0.0, 0.01, 0.0)
