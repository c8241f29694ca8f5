"""Method cards of lift: multiphase gradients, surface tension, temperature along the well, liquid loading."""

from __future__ import annotations

from math import pi

from planner.base.card import Card

_INCH = 0.0254

LIFT_CARDS: dict[str, Card] = {
    "beggs_brill_1973": Card(
        "multiphase pressure gradient",
        "Beggs and Brill 1973, A study of two-phase flow in inclined pipes, J. Pet. Tech. 25(5); pattern limits and "
        "optional holdup factors of Payne, Palmer, Brill and Beggs 1979, J. Pet. Tech. 31(9)",
        "holdup a power of input share and Froude number by horizontal pattern, times 1 + C (sin 1.8a - sin^3 1.8a/3)",
        {"diameter": (1.0 * _INCH, 1.5 * _INCH), "inclination": (-pi / 2.0, pi / 2.0)},
        "Air and water in smooth 1 and 1.5 inch pipe of 27 m; widely used in larger tubing, where it tends to give "
        "too much holdup in vertical flow. Not for gas with a trace of liquid: its friction multiplier grows as liquid "
        "vanishes. Friction factor here: Colebrook with the pipe's roughness. Ours: the jump of holdup at the limit of "
        "distributed flow is bridged within 20 % of its Froude number, the multiplier within y = 0.8 to 1; both up to "
        "four times wider below 1 % of liquid.",
    ),
    "hagedorn_brown_1965": Card(
        "multiphase pressure gradient, vertical",
        "Hagedorn and Brown 1965, Experimental study of pressure gradients occurring during continuous two-phase flow "
        "in small-diameter vertical conduits, J. Pet. Tech. 17(4); fits of the charts after Brown 1977 and Trina 1986",
        "holdup/psi by chart of NLV (p/pa)^0.1 CNL / (NGV^0.575 ND)",
        {"diameter": (1.0 * _INCH, 2.5 * _INCH), "liquid_viscosity": (0.86e-3, 110.0e-3)},
        "Bubble flow is replaced by Griffith 1962 and the holdup is never below that without slip (common practice); "
        "the two join over 0.2 of gas share (ours). "
        "Fits recalled from memory; two independent fits agree within some per cent of holdup. Inclined pipe takes "
        "the vertical holdup; flow downward is taken without slip.",
    ),
    "griffith_1962": Card(
        "holdup of bubble flow",
        "Griffith 1962, Two-phase flow in pipes (summer course, Massachusetts Institute of Technology); limit of "
        "Orkiszewski 1967, Predicting two-phase pressure drops in vertical pipe, J. Pet. Tech. 19(6)",
        "bubbles rise at 0.8 ft/s; gas share below 1.071 - 0.2218 vm^2/d (ft), at least 0.13",
        {},
        "Used within Hagedorn and Brown.",
    ),
    "gray_1974": Card(
        "multiphase pressure gradient of gas wells, vertical",
        "Gray 1974, Vertical flow correlation in gas wells, in API User's manual for the surface controlled subsurface "
        "safety valve sizing program, 14B, appendix B",
        "1 - (1 - exp(-2.314 (Nv (1 + 205/Nd))^B))/(R + 1); liquid film as roughness",
        {"diameter": (0.0, 3.5 * _INCH), "velocity": (0.0, 15.24)},
        "Condensate below 50 bbl/MMscf and water below 5 bbl/MMscf behind it; used beyond with care. Friction factor "
        "here: Colebrook, so that dry gas is met; holdup fades out below 1e-5 of liquid in place (ours).",
    ),
    "shi_2005": Card(
        "holdup by drift flux",
        "Shi, Holmes, Durlofsky, Aziz, Diaz, Alkaya and Oddie 2005, Drift-flux modeling of two-phase flow in "
        "wellbores, SPE J. 10(1)",
        "vg = C0 vm + m(deviation) vd; water-gas parameters A 1.0, a1 0.06, a2 0.21, m0 1.85, n1 0.21, n2 0.95",
        {"diameter": (0.0, 0.152), "inclination": (2.0 * pi / 180.0, 88.0 * pi / 180.0)},
        "inclination: deviation from vertical. Fitted in 152 mm pipe; parameters from memory. The multiplier runs "
        "straight from 1 when vertical to its fit at 2 degrees (ours). Friction of the mixture in place (ours).",
    ),
    "harmathy_1960": Card(
        "rise of bubbles",
        "Harmathy 1960, Velocity of large drops and bubbles in media of infinite or restricted extent, AIChE J. 6(2)",
        "1.53 (g sigma (rho_l - rho_g)/rho_l^2)^(1/4)",
        {},
        "Within the drift-flux model.",
    ),
    "baker_swerdloff_1956": Card(
        "surface tension of oil",
        "Baker and Swerdloff 1956, Finding surface tension of hydrocarbon liquids, Oil and Gas J. 54 (2 January)",
        "39 - 0.2571 API at 68 degF, 37.5 - 0.2571 API at 100 degF, times 1 - 0.024 p^0.45",
        {"temperature": ((68.0 + 459.67) / 1.8, (100.0 + 459.67) / 1.8)},
        "Held outside the two temperatures and above 1 mN/m; gas factor is a later fit of their chart, from memory.",
    ),
    "hough_1951": Card(
        "surface tension of water",
        "Hough, Rzasa and Wood 1951, Interfacial tensions at reservoir pressures and temperatures, Trans. AIME 192",
        "75 - 1.108 p^0.349 at 74 degF, 53 - 0.1048 p^0.637 at 280 degF, linear between",
        {"temperature": ((74.0 + 459.67) / 1.8, (280.0 + 459.67) / 1.8), "pressure": (0.0, 1.0e8)},
        "Fits of the measured curves as printed by Beggs and Brill, from memory. Pure water against methane.",
    ),
    "ramey_1962": Card(
        "temperature along the well",
        "Ramey 1962, Wellbore heat transmission, J. Pet. Tech. 14(4)",
        "dT/ds = (rock - T)/A, A = w c / (pi d U)",
        {},
        "The coefficient U reaches to undisturbed rock and is held constant in time. No heating or cooling by "
        "expansion. Heat capacities of water, oil and gas: common practice.",
    ),
    "turner_1969": Card(
        "least velocity against liquid loading",
        "Turner, Hubbard and Dukler 1969, Analysis and prediction of minimum flow rate for the continuous removal of "
        "liquids from gas wells, J. Pet. Tech. 21(11)",
        "1.593 (sigma (rho_l - rho_g))^(1/4)/rho_g^(1/2) ft/s, times 1.2",
        {},
        "Vertical wells; wellhead pressure mostly above 34 bar (500 psi).",
    ),
    "coleman_1991": Card(
        "least velocity against liquid loading",
        "Coleman, Clay, McCurdy and Norris 1991, A new look at predicting gas-well load-up, J. Pet. Tech. 43(3)",
        "Turner's without the 20 % adjustment",
        {"pressure": (0.0, 500.0 * 6894.757)},
        "Wellhead pressures below 34 bar (500 psi).",
    ),
}
