"""Relative permeability of two and three phases, clipped to the end points.

Saturations are fractions of pore volume. Names: swc connate water, sor oil left by water, sorg oil left by gas,
sgc critical gas; *_max is the relative permeability at the end point of that phase.
"""

from __future__ import annotations

import numpy as np

from planner.physics.arrays import Array, Numbers, doubles


def normalised_saturation(s: Numbers, lowest: Numbers, highest: Numbers) -> Array:
    """Share of the mobile range [0..1], clipped; raises ValueError if the range is empty."""
    span = doubles(highest) - doubles(lowest)
    if bool(np.any(span <= 0.0)):
        raise ValueError(f"no mobile saturation between {lowest} and {highest}")
    return np.clip((doubles(s) - lowest) / span, 0.0, 1.0)


def _power(x: Array, top: Numbers, exponent: Numbers) -> Array:
    result: Array = top * x**exponent
    return result


def _let(x: Array, top: Numbers, low: Numbers, elevation: Numbers, high: Numbers) -> Array:
    """LET curve of Lomeland, Ebeltoft and Thomas 2005: x^L / (x^L + E (1-x)^T) times the end point."""
    rising = x**low
    result: Array = top * rising / (rising + elevation * (1.0 - x) ** high)
    return result


# ---- oil and water ---------------------------------------------------------------------------------------------


def corey_water(sw: Numbers, swc: Numbers, sor: Numbers, krw_max: Numbers, n_w: Numbers) -> Array:
    """Water relative permeability, power law (Corey 1954; Brooks and Corey 1964). All dimensionless, broadcast."""
    return _power(normalised_saturation(sw, swc, 1.0 - doubles(sor)), krw_max, n_w)


def corey_oil(sw: Numbers, swc: Numbers, sor: Numbers, kro_max: Numbers, n_o: Numbers) -> Array:
    """Oil relative permeability against water, power law (Corey 1954). All dimensionless, broadcast."""
    return _power(1.0 - normalised_saturation(sw, swc, 1.0 - doubles(sor)), kro_max, n_o)


def let_water(
    sw: Numbers, swc: Numbers, sor: Numbers, krw_max: Numbers, l_w: Numbers, e_w: Numbers, t_w: Numbers
) -> Array:
    """Water relative permeability, LET form (Lomeland, Ebeltoft and Thomas 2005). All dimensionless, broadcast."""
    return _let(normalised_saturation(sw, swc, 1.0 - doubles(sor)), krw_max, l_w, e_w, t_w)


def let_oil(
    sw: Numbers, swc: Numbers, sor: Numbers, kro_max: Numbers, l_o: Numbers, e_o: Numbers, t_o: Numbers
) -> Array:
    """Oil relative permeability against water, LET form (Lomeland, Ebeltoft and Thomas 2005)."""
    return _let(1.0 - normalised_saturation(sw, swc, 1.0 - doubles(sor)), kro_max, l_o, e_o, t_o)


# ---- oil and gas, connate water present ------------------------------------------------------------------------


def corey_gas(sg: Numbers, sgc: Numbers, swc: Numbers, sorg: Numbers, krg_max: Numbers, n_g: Numbers) -> Array:
    """Gas relative permeability, power law (Corey 1954): 0 at sgc, krg_max at sg = 1 - swc - sorg."""
    return _power(normalised_saturation(sg, sgc, 1.0 - doubles(swc) - sorg), krg_max, n_g)


def corey_oil_gas(sg: Numbers, swc: Numbers, sorg: Numbers, krog_max: Numbers, n_og: Numbers) -> Array:
    """Oil relative permeability against gas, power law: krog_max at sg = 0, 0 at sg = 1 - swc - sorg."""
    return _power(1.0 - normalised_saturation(sg, 0.0, 1.0 - doubles(swc) - sorg), krog_max, n_og)


def let_gas(
    sg: Numbers, sgc: Numbers, swc: Numbers, sorg: Numbers, krg_max: Numbers, l_g: Numbers, e_g: Numbers, t_g: Numbers
) -> Array:
    """Gas relative permeability, LET form (Lomeland, Ebeltoft and Thomas 2005), end points as in corey_gas."""
    return _let(normalised_saturation(sg, sgc, 1.0 - doubles(swc) - sorg), krg_max, l_g, e_g, t_g)


def let_oil_gas(
    sg: Numbers, swc: Numbers, sorg: Numbers, krog_max: Numbers, l_og: Numbers, e_og: Numbers, t_og: Numbers
) -> Array:
    """Oil relative permeability against gas, LET form, end points as in corey_oil_gas."""
    return _let(1.0 - normalised_saturation(sg, 0.0, 1.0 - doubles(swc) - sorg), krog_max, l_og, e_og, t_og)


# ---- three phases ----------------------------------------------------------------------------------------------


def stone_1973_oil(krow: Numbers, krog: Numbers, krw: Numbers, krg: Numbers, kro_max: Numbers) -> Array:
    """Oil relative permeability with water and gas both moving, second model of Stone 1973, normalised by kro_max.

    krow, krw at the water saturation, krog, krg at the gas saturation; negative values of the formula are 0.
    """
    oil = (krow / doubles(kro_max) + krw) * (krog / doubles(kro_max) + krg) - krw - krg
    return np.maximum(kro_max * oil, 0.0)


def baker_1988_oil(
    sw: Numbers, sg: Numbers, swc: Numbers, sgr: Numbers, krow_at_so: Numbers, krog_at_so: Numbers
) -> Array:
    """Oil relative permeability with water and gas both moving, saturation-weighted mean of Baker 1988.

    krow_at_so and krog_at_so are the two-phase values at the same oil saturation. Where neither water nor gas is
    above its lowest value the two agree at the end point and the first is returned.
    """
    water = np.maximum(doubles(sw) - swc, 0.0)
    gas = np.maximum(doubles(sg) - sgr, 0.0)
    both = water + gas
    share = np.where(both > 0.0, water / np.where(both > 0.0, both, 1.0), 1.0)
    return share * krow_at_so + (1.0 - share) * krog_at_so
