"""Method cards of grain size and rock strength."""

from __future__ import annotations

from planner.base.card import Card

SAND_CARDS: dict[str, Card] = {
    "coberly_1937": Card(
        "slot that a sand bridges",
        "Coberly 1937, Selection of screen openings for unconsolidated sands, API Drilling and Production Practice",
        "slot not above 2 D10",
        {},
        "From memory. A bridge can break; an opening of D10 or less stops the sand itself.",
    ),
    "saucier_1974": Card(
        "gravel for a sand",
        "Saucier 1974, Considerations in gravel pack design, J. Pet. Tech. 26(2)",
        "gravel D50 5 to 6 times sand D50",
        {},
        "Numbers from memory. Above, sand invades the gravel and its permeability falls; far above, sand passes.",
    ),
    "schwartz_1969": Card(
        "gravel for a sand, by its uniformity",
        "Schwartz 1969, Successful sand control design for high-rate oil and water wells, J. Pet. Tech. 21(9)",
        "six times D10 for D40/D90 below 5, D40 below 10, D70 from 10 on",
        {},
        "From memory; the paper also limits the velocity of flow, which is not judged here.",
    ),
    "tiffin_1998": Card(
        "completion by sorting and fines",
        "Tiffin, King, Larese and Britt 1998, New criteria for gravel and screen selection for sand control, SPE 39437",
        "limits on D10/D95, D40/D90 and the share below 44 micron, five classes",
        {},
        "Limits from memory. Written for stand-alone screens and gravel packs, not for conforming screens.",
    ),
    "mcnally_1987": Card(
        "strength of sandstone from sonic slowness",
        "McNally 1987, Estimation of coal measures rock strength using sonic and neutron logs, Geoexploration 24; in "
        "Chang, Zoback and Khaksar 2006, J. Pet. Sci. Eng. 51",
        "1200 exp(-0.036 dt) MPa, dt in us/ft",
        {},
        "From memory. Fine-grained sandstones of one basin: calibrate with core before use.",
    ),
    "vernik_1993": Card(
        "strength of sandstone from porosity",
        "Vernik, Bruno and Bovberg 1993, Empirical relations between compressive strength and porosity of "
        "siliciclastic rocks, Int. J. Rock Mech. Min. Sci. 30",
        "254 (1 - 2.7 phi)^2 MPa",
        {"porosity": (0.0, 0.30)},
        "Clean, well consolidated sandstone; weak sands are weaker than it says. Calibrate with core before use.",
    ),
    "kirsch_1898": Card(
        "breakout of a hole on drawdown",
        "Kirsch 1898, Die Theorie der Elastizitaet und die Beduerfnisse der Festigkeitslehre, Z. VDI 42; steady flow: "
        "Fjaer et al. 2008, Petroleum related rock mechanics, chapter 4",
        "s1' - q s3' at the worst place of the wall against unconfined strength (Mohr-Coulomb)",
        {},
        "Linear elastic: the first failure at the wall. A weak rock that has yielded may still stand, and one that has "
        "failed need not give sand.",
    ),
    "willson_2002": Card(
        "critical flowing pressure of a cavity",
        "Willson, Moschovidis, Cameron and Palmer 2002, New model for predicting the rate of sand production, "
        "SPE 78168",
        "(3 s1 - s2 - U - A p)/(2 - A), A = biot (1 - 2 nu)/(1 - nu)",
        {},
        "From memory; equals the elastic solution for a cavity along a principal stress (tested).",
    ),
}
