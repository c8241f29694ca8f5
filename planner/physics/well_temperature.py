"""Temperature of the fluid along a flowing well."""

from __future__ import annotations

import math

from planner.base.compiled import kernel

# Heat capacities [J/(kg K)]: common practice, no source
WATER_HEAT, OIL_HEAT, GAS_HEAT = 4200.0, 2000.0, 2300.0


@kernel
def relaxation_length(mass_rate: float, heat_capacity: float, diameter: float, heat_transfer: float) -> float:
    """Length over which a flowing fluid nears the rock's temperature by a factor e [m].

    mass_rate [kg/s], heat_capacity [J/(kg K)], heat_transfer [W/(m2 K)] between fluid and undisturbed rock over the
    wall of `diameter` [m]. Ramey 1962 with the time function within the coefficient.
    """
    return mass_rate * heat_capacity / (math.pi * diameter * heat_transfer)


@kernel
def ramey_1962_step(entering: float, rock_here: float, rock_there: float, length: float, relaxation: float) -> float:
    """Temperature [K] of the fluid after a length of pipe [m]; the rock's is linear between.

    Exact solution of dT/ds = (rock - T)/relaxation. Ramey 1962, equation for liquids; heating and cooling of gas by
    expansion is left out.
    """
    if relaxation <= 1e-6 * length:
        return rock_there
    slope = (rock_there - rock_here) / length
    fade = math.exp(-length / relaxation)
    return rock_there - slope * relaxation + (entering - rock_here + slope * relaxation) * fade


@kernel
def ramey_1962_time_function(diffusivity: float, time: float, radius: float) -> float:
    """f(t) of the transient heat flow into rock [-] after a time [s]; diffusivity [m2/s], outer radius [m].

    ln(2 sqrt(diffusivity time)/radius) - 0.29: for more than about a week.
    """
    return math.log(2.0 * math.sqrt(diffusivity * time) / radius) - 0.29


def overall_heat_transfer(
    inner: float, rock_conductivity: float, time_function: float, wall_coefficient: float = math.inf
) -> float:
    """Coefficient between fluid and undisturbed rock [W/(m2 K)] over the wall of diameter `inner` [m].

    rock_conductivity [W/(m K)], time_function f(t) [-], wall_coefficient [W/(m2 K)] of tubing, annulus and cement over
    the same wall. Resistances in series: Ramey 1962.
    """
    rock = inner * time_function / (2.0 * rock_conductivity)
    return 1.0 / (rock + (0.0 if math.isinf(wall_coefficient) else 1.0 / wall_coefficient))
