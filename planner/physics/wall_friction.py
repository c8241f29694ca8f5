"""Friction factor of pipe flow (Darcy's) for one Reynolds number at a time, compiled: the law of pipe_flow."""

from __future__ import annotations

import math

from planner.base.compiled import kernel

LAMINAR_END = 2000.0
TURBULENT_START = 4000.0


@kernel
def colebrook(reynolds: float, relative_roughness: float) -> tuple[float, float]:
    """Darcy friction factor of turbulent flow and its slope to the Reynolds number. Source: Colebrook 1939."""
    k = 2.0 / math.log(10.0)
    a = relative_roughness / 3.7
    x = -1.8 * math.log10(a**1.11 + 6.9 / reynolds)
    for _ in range(6):
        inside = a + 2.51 * x / reynolds
        value = x + k * math.log(inside)
        step = value / (1.0 + k * 2.51 / (reynolds * inside))
        x -= step
        if abs(step) < 1e-14 * x:
            break
    inside = a + 2.51 * x / reynolds
    slope_x = k * 2.51 * x / (reynolds * reynolds * inside) / (1.0 + k * 2.51 / (reynolds * inside))
    return 1.0 / (x * x), -2.0 * slope_x / (x * x * x)


@kernel
def laminar_inflow_share(wall_reynolds: float) -> float:
    """Friction with inflow over friction without, laminar [-]; see pipe_flow.laminar_inflow_multiplier."""
    inward = max(wall_reynolds, 0.0)
    outward = min(max(-wall_reynolds, 0.0), 4.5)
    gain = 0.04304 * inward**0.6142
    loss = 0.0625 * outward**1.3056 / (4.626 - outward) ** 0.2724
    return float(min(1.0 + gain, math.pi**2 / 8.0) - loss)


@kernel
def turbulent_inflow_share(wall_reynolds: float, reynolds: float, perforated: bool) -> float:
    """Friction with inflow over friction without, turbulent [-]; see pipe_flow.turbulent_inflow_multiplier."""
    inward = max(wall_reynolds, 0.0)
    re = max(reynolds, 1.0)
    relief = 0.0153 * inward**0.3978 if perforated else 29.03 * (inward / re) ** 0.8003
    rise = 17.5 * max(-wall_reynolds, 0.0) / re**0.75
    return float(min(max(1.0 - relief + rise, 0.1), 10.0))


@kernel
def inflow_share(wall_reynolds: float, reynolds: float, perforated: bool = False) -> float:
    """Friction with inflow through the wall over friction without, at any Reynolds number [-].

    Ouyang, Arbabi and Aziz 1998: laminar inflow raises friction, turbulent inflow lowers it; outflow the other way
    round. Wall Reynolds number above 0 for inflow; blended between laminar and turbulent as wall_friction is.
    """
    if reynolds <= LAMINAR_END:
        return laminar_inflow_share(wall_reynolds)
    turbulent = turbulent_inflow_share(wall_reynolds, reynolds, perforated)
    if reynolds >= TURBULENT_START:
        return turbulent
    share = math.log(reynolds / LAMINAR_END) / math.log(TURBULENT_START / LAMINAR_END)
    return (1.0 - share) * laminar_inflow_share(wall_reynolds) + share * turbulent


@kernel
def wall_friction(reynolds: float, relative_roughness: float) -> float:
    """Friction factor at any Reynolds number above 0 [-]: laminar to 2000, Colebrook from 4000, log-blended between."""
    if reynolds <= LAMINAR_END:
        return 64.0 / max(reynolds, 1e-9)
    turbulent, _ = colebrook(reynolds, relative_roughness)
    if reynolds >= TURBULENT_START:
        return turbulent
    share = math.log(reynolds / LAMINAR_END) / math.log(TURBULENT_START / LAMINAR_END)
    return math.exp((1.0 - share) * math.log(64.0 / reynolds) + share * math.log(turbulent))
