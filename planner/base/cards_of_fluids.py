"""Method cards of gas, oil, water and relative permeability."""

from __future__ import annotations

from planner.base.card import Card

_PSI = 6894.757293168361
_RATIO = 0.3048**3 / 0.158987294928  # sm3/sm3 in one scf/stb


def _f(low: float, high: float) -> tuple[float, float]:
    return ((low + 459.67) / 1.8, (high + 459.67) / 1.8)


def _psia(low: float, high: float) -> tuple[float, float]:
    return (low * _PSI, high * _PSI)


def _scf(low: float, high: float) -> tuple[float, float]:
    return (low * _RATIO, high * _RATIO)


def _api(low: float, high: float) -> tuple[float, float]:
    return (141.5 / (131.5 + high), 141.5 / (131.5 + low))


FLUID_CARDS: dict[str, Card] = {
    "sutton_1985": Card(
        "gas pseudo-critical point",
        "Sutton 1985, Compressibility factors for high-molecular-weight reservoir gases, SPE 14265",
        "Tpc and Ppc quadratic in the gravity of the hydrocarbon part",
        {"gas_gravity": (0.57, 1.68)},
        "Rich gases and condensates weigh in the fit; for lean gas it is within a few per cent.",
    ),
    "wichert_aziz_1972": Card(
        "sour-gas correction",
        "Wichert and Aziz 1972, Calculate Z's for sour gases, Hydrocarbon Processing 51(5)",
        "shift of the pseudo-critical temperature by 120 (A^0.9 - A^1.6) + 15 (B^0.5 - B^4) degR",
        {"co2": (0.0, 0.544), "h2s": (0.0, 0.738), "pressure": _psia(154.0, 7026.0), "temperature": _f(40.0, 300.0)},
        "Nitrogen enters by mole-weighted critical point only.",
    ),
    "dranchuk_abou_kassem_1975": Card(
        "gas deviation factor",
        "Dranchuk and Abou-Kassem 1975, Calculation of Z factors for natural gases using equations of state, "
        "J. Can. Pet. Tech. 14(3)",
        "eleven-constant density series fitted to the Standing and Katz chart",
        {"reduced_pressure": (0.2, 30.0), "reduced_temperature": (1.0, 3.0)},
        "Tends to 1 at low pressure, so values below the lower limit of pressure are safe; poor next to the critical "
        "isotherm (reduced temperature 1.0 to 1.05).",
    ),
    "lee_gonzalez_eakin_1966": Card(
        "gas viscosity",
        "Lee, Gonzalez and Eakin 1966, The viscosity of natural gases, J. Pet. Tech. 18(8)",
        "K exp(X rho^Y), K, X, Y of temperature and molar mass",
        {"temperature": _f(100.0, 340.0), "pressure": _psia(100.0, 8000.0), "gas_gravity": (0.55, 1.55)},
        "Fitted to gases without hydrogen sulphide and with little carbon dioxide.",
    ),
    "standing_1947": Card(
        "oil bubble point and volume factor correlation",
        "Standing 1947, A pressure-volume-temperature correlation for mixtures of California oils and gases, Drilling "
        "and Production Practice (API); equations of Standing 1977, Volumetric and phase behavior of oil field "
        "hydrocarbon systems",
        "pb = 18.2 ((Rs/gg)^0.83 10^(0.00091 T - 0.0125 API) - 1.4) psia; Bo = 0.9759 + 0.00012 (..)^1.2",
        {
            "pressure": _psia(130.0, 7000.0),
            "temperature": _f(100.0, 258.0),
            "solution_gas_ratio": _scf(20.0, 1425.0),
            "oil_gravity": _api(16.5, 63.8),
            "gas_gravity": (0.59, 0.95),
            "volume_factor": (1.024, 2.15),
        },
        "105 points of 22 crudes with next to no nitrogen or carbon dioxide.",
    ),
    "vasquez_beggs_1980": Card(
        "oil dissolved gas, volume factor and compressibility correlation",
        "Vasquez and Beggs 1980, Correlations for fluid physical property prediction, J. Pet. Tech. 32(6)",
        "Rs = C1 gg p^C2 exp(C3 API/(T + 460)), split at 30 degAPI; gg at 100 psig separation",
        {
            "pressure": _psia(64.7, 5264.7),
            "temperature": _f(70.0, 295.0),
            "solution_gas_ratio": _scf(20.0, 2070.0),
            "oil_gravity": _api(16.0, 58.0),
            "gas_gravity": (0.56, 1.18),
        },
        "The gas gravity must first be brought to 100 psig separation. Jumps at 30 degAPI.",
    ),
    "vasquez_beggs_1980_viscosity": Card(
        "undersaturated oil viscosity correlation",
        "Vasquez and Beggs 1980, Correlations for fluid physical property prediction, J. Pet. Tech. 32(6)",
        "mu = mu_b (p/pb)^m, m = 2.6 p^1.187 exp(-11.513 - 8.98e-5 p)",
        {
            "pressure": _psia(141.0, 9515.0),
            "solution_gas_ratio": _scf(9.3, 2199.0),
            "viscosity": (0.117e-3, 148.0e-3),
            "oil_gravity": _api(15.3, 59.5),
            "gas_gravity": (0.511, 1.351),
        },
        "",
    ),
    "glaso_1980": Card(
        "oil bubble point and volume factor correlation",
        "Glaso 1980, Generalized pressure-volume-temperature correlations, J. Pet. Tech. 32(5)",
        "log pb and log(Bo - 1) quadratic in the log of a correlating number",
        {
            "pressure": _psia(165.0, 7142.0),
            "temperature": _f(80.0, 280.0),
            "solution_gas_ratio": _scf(90.0, 2637.0),
            "oil_gravity": _api(22.3, 48.1),
            "gas_gravity": (0.65, 1.276),
            "volume_factor": (1.025, 2.588),
        },
        "Black oils, mostly from the North Sea; the exponent for volatile oil is not used.",
    ),
    "al_marhoun_1988": Card(
        "oil bubble point and volume factor correlation",
        "Al-Marhoun 1988, PVT correlations for Middle East crude oils, J. Pet. Tech. 40(5)",
        "pb a product of powers; Bo quadratic in F = Rs^0.74239 gg^0.323294 go^-1.20204",
        {
            "pressure": _psia(130.0, 3573.0),
            "temperature": _f(74.0, 240.0),
            "solution_gas_ratio": _scf(26.0, 1602.0),
            "oil_gravity": _api(19.4, 44.6),
            "gas_gravity": (0.752, 1.367),
            "volume_factor": (1.032, 1.997),
        },
        "160 points of 69 Middle East crudes.",
    ),
    "beggs_robinson_1975": Card(
        "oil viscosity correlation",
        "Beggs and Robinson 1975, Estimating the viscosity of crude oil systems, J. Pet. Tech. 27(9)",
        "dead: 10^(10^(3.0324 - 0.02023 API) T^-1.163) - 1 cP; saturated: A dead^B",
        {
            "pressure": _psia(14.7, 5264.7),
            "temperature": _f(70.0, 295.0),
            "solution_gas_ratio": _scf(20.0, 2070.0),
            "oil_gravity": _api(16.0, 58.0),
        },
        "Dead-oil viscosity of heavy or cold oil can be wrong by a factor; measured values are better.",
    ),
    "glaso_1980_viscosity": Card(
        "dead oil viscosity correlation",
        "Glaso 1980, Generalized pressure-volume-temperature correlations, J. Pet. Tech. 32(5)",
        "3.141e10 T^-3.444 (log API)^(10.313 log T - 36.447) cP",
        {"temperature": _f(50.0, 300.0), "oil_gravity": _api(20.1, 48.1), "viscosity": (0.616e-3, 39.1e-3)},
        "26 crudes.",
    ),
    "iapws_if97": Card(
        "water density",
        "IAPWS R7-97 (2012), Industrial formulation 1997 for water and steam, region 1",
        "34-term Gibbs energy of the liquid",
        {"temperature": (273.15, 623.15), "pressure": (611.2, 100.0e6)},
        "Below the saturation pressure the liquid is extrapolated.",
    ),
    "iapws_viscosity_2008": Card(
        "water viscosity",
        "IAPWS R12-08 (2008), Formulation 2008 for the viscosity of ordinary water substance",
        "product of a dilute-gas and a density term; critical enhancement left out",
        {"temperature": (273.15, 623.15), "pressure": (611.2, 100.0e6)},
        "",
    ),
    "mccain_1990_brine": Card(
        "brine density and viscosity ratio",
        "McCain 1990, The properties of petroleum fluids, 2nd edition, chapter 16; McCain 1991, SPE Res. Eng. 6(2)",
        "density quadratic, viscosity A T^B in the weight per cent of dissolved solids",
        {"salinity": (0.0, 0.26), "temperature": _f(60.0, 400.0)},
        "Ratios to pure water of the same temperature; the viscosity ratio was fitted from 100 to 400 degF.",
    ),
    "corey_1954": Card(
        "relative permeability",
        "Corey 1954, The interrelation between gas and oil relative permeabilities, Producers Monthly 19; Brooks and "
        "Corey 1964, Hydraulic properties of porous media",
        "power of the normalised saturation",
        {},
        "Exponents and end points are inputs, from core.",
    ),
    "let_2005": Card(
        "relative permeability",
        "Lomeland, Ebeltoft and Thomas 2005, A new versatile relative permeability correlation, SCA2005-32",
        "x^L / (x^L + E (1 - x)^T)",
        {},
        "With E = 1 and L = T it is symmetric; it is never exactly a power law unless T = 0 and E = 0.",
    ),
    "stone_1973": Card(
        "three-phase oil relative permeability",
        "Stone 1973, Estimation of three-phase relative permeability and residual oil data, J. Can. Pet. Tech. 12(4)",
        "kro_max ((krow/kro_max + krw)(krog/kro_max + krg) - krw - krg)",
        {},
        "Gives no oil mobility at low oil saturation where measurements still show some.",
    ),
    "baker_1988": Card(
        "three-phase oil relative permeability",
        "Baker 1988, Three-phase relative permeability correlations, SPE 17369",
        "mean of the two-phase values, weighted by mobile water and gas",
        {},
        "",
    ),
    "brooks_corey_1964": Card(
        "capillary pressure",
        "Brooks and Corey 1964, Hydraulic properties of porous media, Colorado State University, Hydrology Paper 3",
        "pc = entry (normalised saturation)^(-1/lambda)",
        {},
        "Unbounded at the lowest saturation; held at the value of a normalised saturation of 0.001.",
    ),
}
