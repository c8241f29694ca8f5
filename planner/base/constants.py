"""Constants in SI, each with its source."""

STANDARD_PRESSURE = 101_325.0  # Pa, SPE metric standard and US field practice within 0.02 %
STANDARD_TEMPERATURE = 288.15  # K, 15 degC; 60 degF is 288.706 K: gas volumes differ by 0.19 %
STANDARD_GRAVITY = 9.80665  # m/s2, CGPM 1901, in the SI brochure (BIPM)
GAS_CONSTANT = 8.31446261815324  # J/(mol K), exact since the 2019 SI
AIR_MOLAR_MASS = 28.9647e-3  # kg/mol, dry air (US Standard Atmosphere 1976 gives 28.9644)
DAY = 86_400.0  # s
YEAR = 365.25 * DAY  # s, Julian year
