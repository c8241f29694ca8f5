"""Water against the IAPWS releases and the reference package iapws; brine against sea water and a handbook."""

import numpy as np
import pytest
from iapws import IAPWS95, SeaWater

from planner.physics import water

STATES = [(290.0, 1e5), (290.0, 60e6), (330.0, 30e6), (365.0, 1e5), (400.0, 30e6), (450.0, 60e6)]


@pytest.mark.parametrize(
    ("temperature", "pressure", "volume"),
    # IAPWS R7-97 (2012), table 5
    [(300.0, 3e6, 0.100215168e-2), (300.0, 80e6, 0.971180894e-3), (500.0, 3e6, 0.120241800e-2)],
)
def test_specific_volume_of_the_release(temperature: float, pressure: float, volume: float) -> None:
    assert 1.0 / float(water.water_density(pressure, temperature)) == pytest.approx(volume, rel=5e-9)


def test_compressibility_of_the_release() -> None:
    # IAPWS R7-97, region 1 at 500 K, 3 MPa: 0.00112892188 1/MPa, as the iapws package documents it
    assert float(water.water_compressibility(3e6, 500.0)) == pytest.approx(0.00112892188e-6, rel=1e-8)


@pytest.mark.parametrize(("temperature", "pressure"), STATES)
def test_against_the_scientific_formulation(temperature: float, pressure: float) -> None:
    # IAPWS-95 is another equation of state: the industrial one stays within 0.003 % in density, 0.5 % in slope
    reference = IAPWS95(T=temperature, P=pressure / 1e6)
    assert float(water.water_density(pressure, temperature)) == pytest.approx(reference.rho, rel=3e-5)
    assert float(water.water_viscosity(pressure, temperature)) == pytest.approx(reference.mu, rel=5e-5)
    assert float(water.water_compressibility(pressure, temperature)) * 1e6 == pytest.approx(reference.kappa, rel=5e-3)


def test_viscosity_at_twenty_degrees() -> None:
    # NIST and IAPWS: 1.0016 mPa s at 20 degC and one atmosphere (NIST Chemistry WebBook 1.0016)
    assert float(water.water_viscosity(101325.0, 293.15)) == pytest.approx(1.0016e-3, abs=1e-7)


@pytest.mark.parametrize(("temperature", "pressure"), [(288.15, 101325.0), (310.0, 30e6), (340.0, 30e6)])
def test_brine_against_sea_water(temperature: float, pressure: float) -> None:
    # IAPWS R13-08; McCain's ratio is for sodium chloride at standard conditions, the salts of the sea differ by 0.2 %
    reference = SeaWater(T=temperature, P=pressure / 1e6, S=0.035)
    assert float(water.water_density(pressure, temperature, 0.035)) == pytest.approx(reference.rho, rel=2e-3)


def test_brine_compressibility_of_fresh_water_is_up_to_11_percent_high_for_sea_water() -> None:
    low, high = SeaWater(T=310.0, P=29.5, S=0.035), SeaWater(T=310.0, P=30.5, S=0.035)
    sea = (high.rho / low.rho - 1.0) / 1e6
    assert 1.0 < float(water.water_compressibility(30e6, 310.0, 0.035)) / sea < 1.11


def test_brine_density_of_ten_percent_salt() -> None:
    # CRC Handbook, sodium chloride 10 % by mass at 20 degC: 1.0707 g/cm3, water 0.9982 (from memory)
    assert float(water.brine_density_ratio(0.10)) == pytest.approx(1.0707 / 0.9982, rel=1e-3)


def test_brine_viscosity_of_ten_percent_salt() -> None:
    # CRC Handbook, sodium chloride 10 % by mass at 20 degC: 1.193 times water (from memory); McCain claims 5 %
    assert float(water.brine_viscosity_ratio(293.15, 0.10)) == pytest.approx(1.193, rel=0.05)


def test_formation_volume_factor_is_mass_conserving() -> None:
    standard, deep = IAPWS95(T=288.15, P=0.101325), IAPWS95(T=363.15, P=25.0)
    found = water.water_formation_volume_factor(np.array([25e6]), 363.15, 0.1)
    assert found[0] == pytest.approx(standard.rho / deep.rho, rel=1e-4)
