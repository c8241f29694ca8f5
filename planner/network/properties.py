"""Fluid and rock properties of every node with their derivatives to the three unknowns. Compiled; arrays only."""

from __future__ import annotations

import math

from planner.base.compiled import inlined, kernel
from planner.network.arrays import (
    BO,
    GAS_EXPANSION,
    GAS_POTENTIAL,
    INVERSE_BW,
    KRG,
    KROG,
    KROW,
    KRW,
    MU_G,
    MU_O,
    MU_W,
    OIL_COMPRESSIBILITY,
    OIL_VISCOSITY_SLOPE,
    PIPE,
    RS,
    Floats,
    Fluids,
    Fronts,
    Nodes,
    Rocks,
    Work,
)

LEAST_OIL = 1e-12


@kernel
def _row(fluids: Fluids, pressure: float) -> tuple[int, float]:
    """Row of the fluid table below a pressure and the share of the way to the next row."""
    place = (pressure - fluids.start) / fluids.step
    row = min(max(int(place), 0), fluids.table.shape[0] - 2)
    return row, place - row


@kernel
def _at(fluids: Fluids, row: int, share: float, column: int) -> tuple[float, float]:
    """Value and slope of a column of the fluid table."""
    low = fluids.table[row, column]
    rise = fluids.table[row + 1, column] - low
    return low + share * rise, rise / fluids.step


@kernel
def _bubble_row(fluids: Fluids, ratio: float) -> tuple[int, float, float]:
    """Row and share at which the oil is saturated with `ratio` of gas, and the slope of bubble point to it."""
    low = 0
    high = fluids.table.shape[0] - 1
    while high - low > 1:
        middle = (low + high) // 2
        if fluids.table[middle, RS] <= ratio:
            low = middle
        else:
            high = middle
    rise = fluids.table[low + 1, RS] - fluids.table[low, RS]
    if rise <= 0.0:
        return low, 0.0, 0.0
    return low, (ratio - fluids.table[low, RS]) / rise, fluids.step / rise


@kernel
def oil_state(
    fluids: Fluids, p: float, oil: float, gas: float
) -> tuple[float, float, float, float, float, float, float, float, float, float, float, float, bool]:
    """(Bo, mu, Rs and each one's slopes to p, oil, gas content, saturated) of the oil at p with these contents."""
    row, share = _row(fluids, p)
    ratio_sat, ratio_sat_p = _at(fluids, row, share, RS)
    if fluids.dead or gas > ratio_sat * oil:
        b, b_p = _at(fluids, row, share, BO)
        mu, mu_p = _at(fluids, row, share, MU_O)
        return b, b_p, 0.0, 0.0, mu, mu_p, 0.0, 0.0, ratio_sat, ratio_sat_p, 0.0, 0.0, True
    oil_in = max(oil, LEAST_OIL)
    ratio = max(gas / oil_in, 0.0)
    ratio_o = -ratio / oil_in if oil > LEAST_OIL else 0.0
    ratio_g = 1.0 / oil_in if gas > 0.0 else 0.0
    row, share, pb_ratio = _bubble_row(fluids, ratio)
    pb = fluids.start + (row + share) * fluids.step
    b_b, b_b_p = _at(fluids, row, share, BO)
    mu_b, mu_b_p = _at(fluids, row, share, MU_O)
    c, c_p = _at(fluids, row, share, OIL_COMPRESSIBILITY)
    v, v_p = _at(fluids, row, share, OIL_VISCOSITY_SLOPE)
    rise = p - pb
    b = b_b * math.exp(-c * rise)
    b_pb = b * (b_b_p / b_b + c - c_p * rise)
    mu = mu_b * math.exp(v * rise)
    mu_pb = mu * (mu_b_p / mu_b - v + v_p * rise)
    b_r = b_pb * pb_ratio
    mu_r = mu_pb * pb_ratio
    return (
        b,
        -c * b,
        b_r * ratio_o,
        b_r * ratio_g,
        mu,
        v * mu,
        mu_r * ratio_o,
        mu_r * ratio_g,
        ratio,
        0.0,
        ratio_o,
        ratio_g,
        False,
    )


@kernel
def _curve(rocks: Rocks, rock: int, column: int, saturation: float) -> tuple[float, float]:
    """Relative permeability and its slope; flat outside 0 to 1."""
    last = rocks.curves.shape[1] - 1
    if saturation <= 0.0:
        return rocks.curves[rock, 0, column], 0.0
    if saturation >= 1.0:
        return rocks.curves[rock, last, column], 0.0
    place = saturation * last
    row = min(int(place), last - 1)
    low = rocks.curves[rock, row, column]
    rise = rocks.curves[rock, row + 1, column] - low
    return low + (place - row) * rise, rise * last


@kernel
def relative_permeability(
    rocks: Rocks, rock: int, sw: float, so: float, sg: float
) -> tuple[float, float, float, float, float, float, float, float]:
    """(krw, dkrw/dSw, krg, dkrg/dSg, kro, its slopes to Sw, So, Sg); kro by saturation-weighted interpolation.

    Source of the interpolation: Baker 1988, SPE 17369.
    """
    krw, krw_w = _curve(rocks, rock, KRW, sw)
    krg, krg_g = _curve(rocks, rock, KRG, sg)
    krow, krow_o = _curve(rocks, rock, KROW, so)
    water = max(sw - rocks.connate[rock], 0.0)
    free = max(sg, 0.0)
    if free == 0.0:
        return krw, krw_w, krg, krg_g, krow, 0.0, krow_o, 0.0
    krog, krog_o = _curve(rocks, rock, KROG, so)
    slope_w = 1.0 if sw > rocks.connate[rock] else 0.0
    whole = free + water + 1e-9
    kro = (free * krog + (water + 1e-9) * krow) / whole
    return (
        krw,
        krw_w,
        krg,
        krg_g,
        kro,
        slope_w * (krow - kro) / whole,
        (free * krog_o + (water + 1e-9) * krow_o) / whole,
        (krog - kro) / whole,
    )


@kernel
def face_saturation(fronts: Fronts, row: int, sw: float) -> tuple[float, float]:
    """Water saturation at the outlet face of a cell that a front sweeps, and its slope to the cell's mean."""
    ahead = fronts.ahead[row]
    if sw <= ahead:
        return sw, 1.0
    low = fronts.low[row]
    if sw <= low:
        return ahead, 0.0
    high = fronts.high[row]
    first = fronts.table[row, 0]
    if sw < high:
        slope = (first - ahead) / (high - low)
        return ahead + slope * (sw - low), slope
    top = fronts.top[row]
    if sw >= top:
        return sw, 1.0
    last = fronts.table.shape[1] - 1
    place = (sw - high) / (top - high) * last
    i = min(int(place), last - 1)
    rise = fronts.table[row, i + 1] - fronts.table[row, i]
    return fronts.table[row, i] + (place - i) * rise, rise * last / (top - high)


@inlined
def _mobilities(
    rocks: Rocks,
    rock: int,
    i: int,
    face: int,
    sw: float,
    so: float,
    sg: float,
    slopes: Floats,
    viscous: Floats,
    work: Work,
) -> None:
    """Fill work.mobility[i, face]: slopes [3,3] of the saturations; viscous [2,4]: b/mu of water and oil, slopes."""
    krw, krw_w, krg, krg_g, kro, kro_w, kro_o, kro_g = relative_permeability(rocks, rock, sw, so, sg)
    work.mobility[i, face, 0] = krw * viscous[0, 0]
    work.mobility[i, face, 1] = kro * viscous[1, 0]
    work.mobility[i, face, 2] = krg
    for k in range(3):
        w, o, g = slopes[0, k], slopes[1, k], slopes[2, k]
        work.mobility_slope[i, face, 0, k] = krw_w * w * viscous[0, 0] + krw * viscous[0, 1 + k]
        work.mobility_slope[i, face, 1, k] = (kro_w * w + kro_o * o + kro_g * g) * viscous[1, 0] + (
            kro * viscous[1, 1 + k]
        )
        work.mobility_slope[i, face, 2, k] = krg_g * g


@inlined
def _face(
    rocks: Rocks, rock: int, i: int, face: float, face_w: float, slopes: Floats, viscous: Floats, work: Work
) -> None:
    """Mobilities at an outlet face of water saturation `face`; oil and gas share the rest as they do in the cell."""
    rest = max(1.0 - work.saturation[i, 0], 1e-6)
    gas = max(work.saturation[i, 2], 0.0) / rest
    for k in range(3):
        by_water = work.saturation_slope[i, 0, k]
        slopes[0, k] = face_w * by_water
        gas_slope = work.saturation_slope[i, 2, k] / rest if work.saturation[i, 2] > 0.0 else 0.0
        if rest > 1e-6:
            gas_slope += gas * by_water / rest
        slopes[2, k] = (1.0 - face) * gas_slope - gas * slopes[0, k]
        slopes[1, k] = -slopes[0, k] - slopes[2, k]
    free = (1.0 - face) * gas
    _mobilities(rocks, rock, i, 1, face, 1.0 - face - free, free, slopes, viscous, work)


@kernel
def evaluate(x: Floats, nodes: Nodes, fluids: Fluids, rocks: Rocks, fronts: Fronts, work: Work) -> None:
    """All properties of all nodes at the state x [n,3], into work."""
    viscous = work.viscous
    slopes = work.face_slope
    for i in range(x.shape[0]):
        p = x[i, 0]
        oil = x[i, 1]
        gas = x[i, 2]
        row, share = _row(fluids, p)
        bw, bw_p = _at(fluids, row, share, INVERSE_BW)
        mw, mw_p = _at(fluids, row, share, MU_W)
        e, e_p = _at(fluids, row, share, GAS_EXPANSION)
        mg, mg_p = _at(fluids, row, share, MU_G)
        psi, psi_p = _at(fluids, row, share, GAS_POTENTIAL)
        bo, bo_p, bo_o, bo_g, mo, mo_p, mo_o, mo_g, rs, rs_p, rs_o, rs_g, saturated = oil_state(fluids, p, oil, gas)
        so = oil * bo
        so_p = oil * bo_p
        so_o = bo + oil * bo_o
        so_g = oil * bo_g
        sg = 0.0
        sg_p = 0.0
        sg_o = 0.0
        sg_g = 0.0
        if saturated:
            sg = (gas - rs * oil) / e
            sg_p = (-rs_p * oil - sg * e_p) / e
            sg_o = -rs / e
            sg_g = 1.0 / e
        sw = 1.0 - so - sg
        work.saturation_slope[i, 0, 0] = -so_p - sg_p
        work.saturation_slope[i, 0, 1] = -so_o - sg_o
        work.saturation_slope[i, 0, 2] = -so_g - sg_g
        work.saturation_slope[i, 1, 0] = so_p
        work.saturation_slope[i, 1, 1] = so_o
        work.saturation_slope[i, 1, 2] = so_g
        work.saturation_slope[i, 2, 0] = sg_p
        work.saturation_slope[i, 2, 1] = sg_o
        work.saturation_slope[i, 2, 2] = sg_g
        work.saturation[i, 0] = sw
        work.saturation[i, 1] = so
        work.saturation[i, 2] = sg
        work.content[i, 0] = sw * bw
        work.content[i, 1] = oil
        work.content[i, 2] = gas
        work.water_slope[i, 0] = work.saturation_slope[i, 0, 0] * bw + sw * bw_p
        work.water_slope[i, 1] = work.saturation_slope[i, 0, 1] * bw
        work.water_slope[i, 2] = work.saturation_slope[i, 0, 2] * bw
        work.solution[i] = rs
        work.solution_slope[i, 0] = rs_p
        work.solution_slope[i, 1] = rs_o
        work.solution_slope[i, 2] = rs_g
        work.gas[i, 0] = psi
        work.gas[i, 1] = psi_p
        surface = fluids.density_oil + rs * fluids.density_gas
        work.density[i, 0] = fluids.density_water * bw
        work.density[i, 1] = surface / bo
        work.density[i, 2] = fluids.density_gas * e
        work.density_slope[i, 0, 0] = fluids.density_water * bw_p
        work.density_slope[i, 1, 0] = (rs_p * fluids.density_gas - surface / bo * bo_p) / bo
        work.density_slope[i, 1, 1] = (rs_o * fluids.density_gas - surface / bo * bo_o) / bo
        work.density_slope[i, 1, 2] = (rs_g * fluids.density_gas - surface / bo * bo_g) / bo
        work.density_slope[i, 2, 0] = fluids.density_gas * e_p
        if nodes.kind[i] == PIPE:
            work.mixture[i, 0] = sw * work.density[i, 0] + so * work.density[i, 1] + sg * work.density[i, 2]
            work.mixture[i, 1] = max(sw, 0.0) * mw + max(so, 0.0) * mo + max(sg, 0.0) * mg
            for k in range(3):
                value = 0.0
                for phase in range(3):
                    value += work.saturation_slope[i, phase, k] * work.density[i, phase]
                    value += work.saturation[i, phase] * work.density_slope[i, phase, k]
                work.mixture_slope[i, 0, k] = value
                value = 0.0
                if sw > 0.0:
                    value += work.saturation_slope[i, 0, k] * mw
                if so > 0.0:
                    value += work.saturation_slope[i, 1, k] * mo
                if sg > 0.0:
                    value += work.saturation_slope[i, 2, k] * mg
                work.mixture_slope[i, 1, k] = value
            work.mixture_slope[i, 1, 0] += max(sw, 0.0) * mw_p + max(so, 0.0) * mo_p + max(sg, 0.0) * mg_p
            work.mixture_slope[i, 1, 1] += max(so, 0.0) * mo_o
            work.mixture_slope[i, 1, 2] += max(so, 0.0) * mo_g
            continue
        viscous[0, 0] = bw / mw
        viscous[0, 1] = (bw_p - bw / mw * mw_p) / mw
        viscous[0, 2] = 0.0
        viscous[0, 3] = 0.0
        r = 1.0 / (bo * mo)
        viscous[1, 0] = r
        viscous[1, 1] = -r * (bo_p / bo + mo_p / mo)
        viscous[1, 2] = -r * (bo_o / bo + mo_o / mo)
        viscous[1, 3] = -r * (bo_g / bo + mo_g / mo)
        rock = nodes.rock[i]
        for phase in range(3):
            for k in range(3):
                slopes[phase, k] = work.saturation_slope[i, phase, k]
        _mobilities(rocks, rock, i, 0, sw, so, sg, slopes, viscous, work)
        krw_b = work.mobility[i, 0, 0]
        kro_b = work.mobility[i, 0, 1]
        krg = work.mobility[i, 0, 2]
        work.total[i] = krw_b / bw + kro_b * bo + krg / mg
        for k in range(3):
            work.total_slope[i, k] = (
                work.mobility_slope[i, 0, 0, k] / bw
                + work.mobility_slope[i, 0, 1, k] * bo
                + work.mobility_slope[i, 0, 2, k] / mg
            )
        work.total_slope[i, 0] += -krw_b / (bw * bw) * bw_p + kro_b * bo_p - krg / (mg * mg) * mg_p
        work.total_slope[i, 1] += kro_b * bo_o
        work.total_slope[i, 2] += kro_b * bo_g
        front = fronts.of_node[i]
        if front >= 0:
            low, high = fronts.low[front], fronts.high[front]
            if low < sw < high:
                # the front passes: the face sees both sides of it in turn, never the saturations in between
                _face(rocks, rock, i, fronts.ahead[front], 0.0, slopes, viscous, work)
                for phase in range(3):
                    work.passing[phase, 0] = work.mobility[i, 1, phase]
                    for k in range(3):
                        work.passing[phase, 1 + k] = work.mobility_slope[i, 1, phase, k]
                _face(rocks, rock, i, fronts.table[front, 0], 0.0, slopes, viscous, work)
                share = (sw - low) / (high - low)
                for phase in range(3):
                    rise = work.mobility[i, 1, phase] - work.passing[phase, 0]
                    work.mobility[i, 1, phase] = work.passing[phase, 0] + share * rise
                    for k in range(3):
                        behind = work.mobility_slope[i, 1, phase, k]
                        work.mobility_slope[i, 1, phase, k] = (
                            (1.0 - share) * work.passing[phase, 1 + k] + share * behind
                            + rise * work.saturation_slope[i, 0, k] / (high - low)
                        )  # fmt: skip
            else:
                face, face_w = face_saturation(fronts, front, sw)
                _face(rocks, rock, i, face, face_w, slopes, viscous, work)
