"""Units in which the published correlations were printed, and the factors that lead to them.

Correlations are fits, not laws: their coefficients hold only in the units of the paper, so each function converts on
entry and on exit. Factors from NIST SP 811 (2008), appendix B.8.
"""

from __future__ import annotations

from planner.physics.arrays import Array, Numbers, doubles

PSI = 6894.757293168361  # Pa
FOOT = 0.3048  # m, exact
BARREL = 0.158987294928  # m3, exact: 42 US gallons
CUBIC_FOOT = FOOT**3  # m3
CENTIPOISE = 1.0e-3  # Pa s
POUND_PER_CUBIC_FOOT = 16.01846337396014  # kg/m3
SCF_PER_STB = CUBIC_FOOT / BARREL  # m3/m3, both at the same standard conditions
RANKINE = 5.0 / 9.0  # K


def fahrenheit(temperature: Numbers) -> Array:
    """Temperature in degrees Fahrenheit from kelvin."""
    return doubles(temperature) * 1.8 - 459.67


def rankine(temperature: Numbers) -> Array:
    """Temperature in degrees Rankine from kelvin."""
    return doubles(temperature) * 1.8
