"""Gas properties against the Standing-Katz chart and an open reference equation of state (CoolProp)."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.optimize import brentq

from planner.base.constants import AIR_MOLAR_MASS
from planner.physics import gas
from planner.physics.field_units import PSI, RANKINE

METHANE_T, METHANE_P = 190.564, 4.5992e6  # critical point, Setzmann and Wagner 1991
METHANE_GRAVITY = 16.0428e-3 / AIR_MOLAR_MASS
MIXTURE = "HEOS::Methane[0.90]&Ethane[0.06]&Propane[0.03]&Nitrogen[0.01]"


# Standing and Katz 1942, as tabulated by Poettmann and Carpenter 1952; from memory, read to 0.01
@pytest.mark.parametrize(
    ("t_r", "p_r", "z"),
    [(1.5, 1.0, 0.91), (1.5, 3.0, 0.79), (1.5, 5.0, 0.80), (2.0, 3.0, 0.94)],
)
def test_z_factor_on_the_chart(t_r: float, p_r: float, z: float) -> None:
    assert float(gas.z_factor(p_r, t_r, 1.0, 1.0)) == pytest.approx(z, abs=0.02)


def hall_yarborough(p_r: float, t_r: float) -> float:
    """Deviation factor by another fit of the same chart: Hall and Yarborough 1973."""
    t = 1.0 / t_r
    a = 0.06125 * t * np.exp(-1.2 * (1.0 - t) ** 2)
    b, c, d = 14.76 * t - 9.76 * t**2 + 4.58 * t**3, 90.7 * t - 242.2 * t**2 + 42.4 * t**3, 2.18 + 2.82 * t

    def residual(y: float) -> float:
        return float(-a * p_r + (y + y**2 + y**3 - y**4) / (1.0 - y) ** 3 - b * y**2 + c * y**d)

    return float(a * p_r / brentq(residual, 1e-9, 0.9))


@pytest.mark.parametrize("t_r", [1.2, 1.5, 2.0, 2.8])
@pytest.mark.parametrize("p_r", [0.3, 1.0, 3.0, 6.0, 12.0])
def test_z_factor_against_another_fit_of_the_chart(t_r: float, p_r: float) -> None:
    # both papers give about 0.5 % of mean error against the chart
    assert float(gas.z_factor(p_r, t_r, 1.0, 1.0)) == pytest.approx(hall_yarborough(p_r, t_r), rel=0.02)


@pytest.mark.parametrize("temperature", [320.0, 370.0, 420.0])
@pytest.mark.parametrize("pressure", [1e6, 10e6, 30e6, 55e6])
def test_z_factor_of_methane(temperature: float, pressure: float) -> None:
    # the chart is of natural gases: methane by itself lies up to 1.5 % off (the paper gives 0.5 % for the chart)
    reference = PropsSI("Z", "T", temperature, "P", pressure, "Methane")
    assert float(gas.z_factor(pressure, temperature, METHANE_T, METHANE_P)) == pytest.approx(reference, rel=0.016)


@pytest.mark.parametrize("temperature", [330.0, 380.0])
@pytest.mark.parametrize("pressure", [2e6, 10e6, 20e6, 40e6])
def test_z_factor_of_a_natural_gas_through_sutton(temperature: float, pressure: float) -> None:
    molar_mass = PropsSI("M", "T", 350.0, "P", 1e5, MIXTURE)
    t_pc, p_pc = gas.pseudo_critical(molar_mass / AIR_MOLAR_MASS, n2=0.01)
    reference = PropsSI("Z", "T", temperature, "P", pressure, MIXTURE)
    assert float(gas.z_factor(pressure, temperature, t_pc, p_pc)) == pytest.approx(reference, rel=0.012)


@pytest.mark.parametrize("temperature", [320.0, 370.0, 420.0])
@pytest.mark.parametrize("pressure", [1e6, 10e6, 30e6, 55e6])
def test_viscosity_of_methane(temperature: float, pressure: float) -> None:
    # Lee, Gonzalez and Eakin give a standard deviation of 2.7 % and a largest of 9 %
    density = PropsSI("D", "T", temperature, "P", pressure, "Methane")
    reference = PropsSI("V", "T", temperature, "P", pressure, "Methane")
    assert float(gas.gas_viscosity(density, temperature, METHANE_GRAVITY)) == pytest.approx(reference, rel=0.06)


def test_density_and_volume_factor_of_methane() -> None:
    z = PropsSI("Z", "T", 350.0, "P", 20e6, "Methane")
    density = PropsSI("D", "T", 350.0, "P", 20e6, "Methane")
    assert float(gas.gas_density(20e6, 350.0, z, METHANE_GRAVITY)) == pytest.approx(density, rel=1e-5)
    # volume of the same mass, standard conditions taken as ideal (z there is 0.998)
    standard = PropsSI("D", "T", 288.15, "P", 101325.0, "Methane")
    assert float(gas.gas_bg(20e6, 350.0, z)) == pytest.approx(standard / density, rel=0.0025)


def test_gas_compressibility_of_methane() -> None:
    reference = PropsSI("ISOTHERMAL_COMPRESSIBILITY", "T", 370.0, "P", 30e6, "Methane")
    found = float(gas.gas_compressibility(30e6, 370.0, METHANE_T, METHANE_P))
    assert found == pytest.approx(reference, rel=0.03)


def test_sutton_and_wichert_aziz_by_hand() -> None:
    # Sutton 1985 at gravity 0.7: 756.8 - 91.7 - 1.764 psia; 169.2 + 244.65 - 36.26 degR
    t_pc, p_pc = gas.pseudo_critical(0.7)
    assert t_pc / RANKINE == pytest.approx(377.59, abs=0.005)
    assert p_pc / PSI == pytest.approx(663.336, abs=0.0005)
    # Wichert and Aziz 1972 at 10 % CO2, 20 % H2S: eps = 120(0.3^0.9 - 0.3^1.6) + 15(0.2^0.5 - 0.2^4)
    # = 120 (0.33839 - 0.14568) + 15 (0.44721 - 0.00160) = 29.809 degR
    # critical points of the impurities in psia and degR (Ahmed 2010, table 1-1, from memory)
    hydrocarbon = (0.9 - 1.1767 * 0.2 - 1.5196 * 0.1) / 0.7
    mixed_t = 0.7 * (169.2 + 349.5 * hydrocarbon - 74.0 * hydrocarbon**2) + 672.35 * 0.2 + 547.58 * 0.1
    mixed_p = 0.7 * (756.8 - 131.0 * hydrocarbon - 3.6 * hydrocarbon**2) + 1306.0 * 0.2 + 1071.0 * 0.1
    t_pc, p_pc = gas.pseudo_critical(0.9, co2=0.1, h2s=0.2)
    shift = mixed_t - t_pc / RANKINE
    assert shift == pytest.approx(29.809, abs=0.002)
    assert p_pc / PSI == pytest.approx(mixed_p * (mixed_t - shift) / (mixed_t + 0.16 * shift), rel=1e-9)


def test_z_factor_satisfies_its_own_equation_of_state_everywhere() -> None:
    # the eleven-constant series written out afresh from the paper, as a residual
    a = (0.3265, -1.07, -0.5339, 0.01569, -0.05165, 0.5475, -0.7361, 0.1844, 0.1056, 0.6134, 0.721)
    t, p = np.meshgrid(np.linspace(1.02, 3.0, 34), np.geomspace(1e-3, 30.0, 60))
    z = gas.z_factor(p, t, 1.0, 1.0)
    r = 0.27 * p / (z * t)
    series = (
        1.0
        + (a[0] + a[1] / t + a[2] / t**3 + a[3] / t**4 + a[4] / t**5) * r
        + (a[5] + a[6] / t + a[7] / t**2) * r**2
        - a[8] * (a[6] / t + a[7] / t**2) * r**5
        + a[9] * (1 + a[10] * r**2) * r**2 / t**3 * np.exp(-a[10] * r**2)
    )
    assert np.max(np.abs(series - z)) < 1e-9
