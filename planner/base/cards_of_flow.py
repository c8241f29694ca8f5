"""Method cards of pipe flow, inflow, skin, aquifers, displacement and well path."""

from __future__ import annotations

from math import inf, pi

from planner.base.card import Card

FLOW_CARDS: dict[str, Card] = {
    "colebrook_1939": Card(
        "pipe friction factor",
        "Colebrook 1939, Turbulent flow in pipes, J. Inst. Civil Eng. 11",
        "1/sqrt(f) = -2 log10(e/3.7 + 2.51/(Re sqrt(f))), solved by Newton",
        {"reynolds": (4000.0, 1.0e8), "relative_roughness": (0.0, 0.05)},
        "Laminar below Re 2000; between 2000 and 4000 the product blends, as no law holds there.",
    ),
    "haaland_1983": Card(
        "pipe friction factor",
        "Haaland 1983, Simple and explicit formulas for the friction factor in turbulent pipe flow, J. Fluids Eng. 105",
        "1/sqrt(f) = -1.8 log10((e/3.7)^1.11 + 6.9/Re)",
        {"reynolds": (4000.0, 1.0e8), "relative_roughness": (0.0, 0.05)},
        "Within 2 % of Colebrook.",
    ),
    "churchill_1977": Card(
        "pipe friction factor",
        "Churchill 1977, Friction-factor equation spans all fluid-flow regimes, Chem. Eng. 84(24)",
        "8 ((8/Re)^12 + (A + B)^-1.5)^(1/12)",
        {"reynolds": (1.0e-3, 1.0e8), "relative_roughness": (0.0, 0.05)},
        "Within about 3 % of Colebrook when turbulent.",
    ),
    "jones_leung_1981": Card(
        "annulus friction factor",
        "Jones and Leung 1981, An improvement in the calculation of turbulent friction in smooth concentric annuli, "
        "J. Fluids Eng. 103; laminar: Lamb 1932, Hydrodynamics",
        "pipe law at the laminar-equivalent Reynolds number",
        {"reynolds": (0.0, 1.0e6)},
        "Concentric annulus; an eccentric one loses up to 60 % less when laminar.",
    ),
    "ouyang_arbabi_aziz_1998": Card(
        "wall-inflow friction multiplier",
        "Ouyang, Arbabi and Aziz 1998, A single-phase wellbore-flow model for horizontal, vertical and slanted wells, "
        "SPE J. 3(2)",
        "laminar 1 + 0.04304 Rew^0.6142; turbulent 1 - 29.03 (Rew/Re)^0.8003, perforated 1 - 0.0153 Rew^0.3978",
        {"inflow_reynolds": (-4.6, inf)},
        "Turbulent coefficients from memory; laminar ones checked against the exact porous-pipe solution. The lower "
        "limit is that of laminar flow alone.",
    ),
    "erosional_velocity_rp14e": Card(
        "erosional velocity",
        "API RP 14E 1991, Recommended practice for design and installation of offshore production platform piping "
        "systems, section 2.5",
        "constant / sqrt(mixture density)",
        {},
        "A screening form: sand, material and geometry are not in it. The constant is an input.",
    ),
    "darcy_radial": Card(
        "radial inflow",
        "Darcy 1856; Dake 1978, Fundamentals of reservoir engineering, chapter 6",
        "2 pi k h / (mu B (ln(re/rw) - c + S)), c = 0 steady, 3/4 from the average pressure, 1/2 from the edge",
        {},
        "Vertical well in the middle of a circle.",
    ),
    "vogel_1968": Card(
        "inflow of oil with gas coming out",
        "Vogel 1968, Inflow performance relationships for solution-gas drive wells, J. Pet. Tech. 20(1)",
        "q/qmax = 1 - 0.2 r - 0.8 r^2, r = pwf/pr",
        {},
        "Pressure at or below the bubble point, no damage, water cut low.",
    ),
    "fetkovich_1973": Card(
        "inflow by the back-pressure equation",
        "Fetkovich 1973, The isochronal testing of oil wells, SPE 4529",
        "q = C (pr^2 - pwf^2)^n",
        {},
        "C and n come from a test of the well.",
    ),
    "joshi_1988": Card(
        "inflow of a horizontal well",
        "Joshi 1988, Augmentation of well productivity with slant and horizontal wells, J. Pet. Tech. 40(6); wellbore "
        "term of Economides et al 1991, Comprehensive simulation of horizontal-well performance, SPE Form. Eval. 6(4)",
        "ellipse of drainage in plan, well midway in an anisotropic layer",
        {"length_ratio": (1.0, inf)},
        "length_ratio: length over anisotropy times thickness. Half the length at most 0.9 drainage radii. "
        "Steady. Its wellbore term is (h/L) ln(pi) above that of an exact line between two planes.",
    ),
    "babu_odeh_1989": Card(
        "inflow of a horizontal well in a closed box",
        "Babu and Odeh 1989, Productivity of a horizontal well, SPE Res. Eng. 4(4)",
        "ln(sqrt(a h)/rw) + ln CH - 3/4 + sR, from the average pressure of the box",
        {},
        "Uniform inflow, pressure at the middle of the well. Partial length within about 2 % of the exact series in "
        "the middle of the box, 6 % away from it; in anisotropic rock the round hole is not made elliptic.",
    ),
    "theis_1935": Card(
        "line-source pressure drop",
        "Theis 1935, The relation between the lowering of the piezometric surface and the rate and duration of "
        "discharge of a well using ground-water storage, Trans. Am. Geophys. Union 16",
        "q mu / (4 pi k h) E1(x)",
        {},
        "Unbounded layer, constant rate; at the well itself once dimensionless time passes about 25.",
    ),
    "hawkins_1956": Card(
        "damage skin", "Hawkins 1956, A note on the skin effect, Trans. AIME 207", "(k/ks - 1) ln(rs/rw)", {}, ""
    ),
    "cinco_ley_1975": Card(
        "skin of a slanted well",
        "Cinco-Ley, Ramey and Miller 1975, Pseudo-skin factors for partially-penetrating directionally-drilled wells, "
        "SPE 5589",
        "-(t/41)^2.06 - (t/56)^1.865 log10(hD/100)",
        {"inclination": (0.0, 75.0 * pi / 180.0), "length_ratio": (40.0, inf)},
        "length_ratio: thickness over well radius times sqrt(kh/kv). Well crosses the whole layer.",
    ),
    "brons_marting_1961": Card(
        "partial-entry skin",
        "Brons and Marting 1961, The effect of restricted fluid entry on well productivity, J. Pet. Tech. 13(2)",
        "(1/b - 1)(ln hD - G(b))",
        {"penetration": (0.1, 1.0)},
        "Up to 0.7 below the exact series for short intervals; the exact series is the one to use.",
    ),
    "papatzacos_1987": Card(
        "partial-entry skin",
        "Papatzacos 1987, Approximate partial-penetration pseudoskin for infinite-conductivity wells, "
        "SPE Res. Eng. 2(2)",
        "(1/b - 1) ln(pi hD/2) + (1/b) ln(b/(2 + b) sqrt((A - 1)/(B - 1)))",
        {"penetration": (0.1, 1.0)},
        "Close to the exact series for an interval at the top or bottom, 0.4 to 1.4 above it for one in the middle.",
    ),
    "partial_entry_series": Card(
        "partial-entry skin",
        "Exact cosine series of a well in a closed slab (after Muskat 1937, The flow of homogeneous fluids through "
        "porous media, and Streltsova-Adams 1979), equal pressure along the open part",
        "K0/K1 series on the wall of the hole, fluxes by a linear system",
        {},
        "Pseudo-steady part only: holds once flow has reached top and base of the layer.",
    ),
    "karakas_tariq_1991": Card(
        "perforation skin",
        "Karakas and Tariq 1991, Semianalytical productivity models for perforated completions, SPE Prod. Eng. 6(1)",
        "plane flow + vertical convergence + wellbore + crushed zone",
        {"perforation_phasing": (0.0, pi)},
        "Tabulated for 0, 45, 60, 90, 120 and 180 degrees only.",
    ),
    "gravel_darcy": Card(
        "gravel skin",
        "Darcy's law, exact for the geometry",
        "(k/kg) ln(rw/rs); tunnels 8 k L / (kg n d^2)",
        {},
        "No inertia: gas and fast wells lose more in tunnels.",
    ),
    "geertsma_1974": Card(
        "Forchheimer coefficient of rock",
        "Geertsma 1974, Estimating the coefficient of inertial resistance in fluid flow through porous media, "
        "SPE J. 14(5)",
        "beta = 0.005 / (sqrt(k) porosity^5.5), k in cm2, beta in 1/cm",
        {},
        "Dry rock, consolidated and unconsolidated sand: a factor of several either way.",
    ),
    "firoozabadi_katz_1979": Card(
        "Forchheimer coefficient of rock",
        "Firoozabadi and Katz 1979, An analysis of high-velocity gas flow through porous media, J. Pet. Tech. 31(2)",
        "beta = 2.6e10 / k^1.2, k in md, beta in 1/ft",
        {},
        "From memory. A factor of several either way.",
    ),
    "forchheimer_1901": Card(
        "flow beyond Darcy's law",
        "Forchheimer 1901, Wasserbewegung durch Boden, Z. Ver. Deutsch. Ing. 45",
        "dp/dl = mu u / k + beta rho u^2, integrated for radial flow, flow along a pack and flow through tunnels",
        {},
        "beta of the rock is that of dry rock; at a perforated interval the skin is that of the hole wall, without the "
        "convergence to the tunnels.",
    ),
    "screen_loss": Card(
        "screen loss",
        "Coefficients of the user, for 1 cP and 1000 kg/m3 over the outer area; Forchheimer's form of 1901",
        "dp = (linear + plugging V/A) (mu / 1 cP) u + quadratic (rho / 1000 kg/m3) u^2",
        {},
        "V/A: volume that has passed per screen area.",
    ),
    "orifice": Card(
        "nozzle loss",
        "Bernoulli's equation, exact for no loss; a discharge coefficient for the rest",
        "dp = rho q^2 / (2 (Cd A)^2)",
        {},
        "Incompressible: for gas below about a tenth of the pressure. The default coefficient is common practice, "
        "no source.",
    ),
    "van_everdingen_hurst_1949": Card(
        "aquifer influx",
        "van Everdingen and Hurst 1949, The application of the Laplace transformation to flow problems in reservoirs, "
        "Trans. AIME 186; inverted after Abate and Valko 2004, Int. J. Numer. Meth. Eng. 60",
        "Bessel functions in the Laplace domain, fixed Talbot contour",
        {"dimensionless_time": (1.0e-3, 1.0e7)},
        "",
    ),
    "edwardson_1962": Card(
        "dimensionless aquifer pressure",
        "Edwardson, Girner, Parkison, Williams and Matthews 1962, Calculation of formation temperature disturbances "
        "caused by mud circulation, J. Pet. Tech. 14(4)",
        "rational function of sqrt(tD)",
        {"dimensionless_time": (0.01, inf)},
        "Within 0.1 % of the exact function from a dimensionless time of 0.01.",
    ),
    "carter_tracy_1960": Card(
        "aquifer influx",
        "Carter and Tracy 1960, An improved method for calculating water influx, Trans. AIME 219",
        "influx in steps of constant rate, without superposition",
        {},
        "Approximate: 7 to 8 % below the exact superposition for a boundary pressure that falls in a straight line up "
        "to a dimensionless time of 50.",
    ),
    "fetkovich_1971": Card(
        "aquifer influx",
        "Fetkovich 1971, A simplified approach to water influx calculations - finite aquifer systems, J. Pet. Tech. "
        "23(7)",
        "tank of encroachable water behind a productivity index",
        {"dimensionless_radius": (1.0, 25.0)},
        "Skips the early transient, so large aquifers answer too late. The index here is exact for small ones too.",
    ),
    "buckley_leverett_1942": Card(
        "displacement",
        "Buckley and Leverett 1942, Mechanism of fluid displacement in sands, Trans. AIME 146; Welge 1952, A "
        "simplified method for computing oil recovery by gas or water drive, Trans. AIME 195",
        "concave hull of the fractional-flow curve",
        {},
        "One dimension, incompressible, no capillary pressure.",
    ),
    "minimum_curvature": Card(
        "well path",
        "Taylor and Mason 1972, A systematic approach to well surveying calculations, SPE J. 12(6); Sawaryn and "
        "Thorogood 2005, A compendium of directional calculations, SPE Drill. Compl. 20(1)",
        "circular arc between stations",
        {},
        "",
    ),
}
