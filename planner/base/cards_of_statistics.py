"""Method cards of ranges: draws, correlation, percentiles with bands, what drives a figure."""

from __future__ import annotations

from planner.base.card import Card

STATISTICS_CARDS: dict[str, Card] = {
    "latin_hypercube_1979": Card(
        "draws that cover every range evenly",
        "McKay, Beckman and Conover 1979, A comparison of three methods for selecting values of input variables, "
        "Technometrics 21(2)",
        "one draw in each of N strata of equal probability, in random order",
    ),
    "iman_conover_1982": Card(
        "rank correlation between draws",
        "Iman and Conover 1982, A distribution-free approach to inducing rank correlation among input variables, "
        "Comm. Stat. B11(3)",
        "columns take the order of van der Waerden scores with the wanted correlation, 2 sin(pi r / 6) for a rank r",
        note="Each input keeps its draws. With Sobol numbers a Gaussian copula takes its place.",
    ),
    "weibull_1951": Card(
        "time to failure",
        "Weibull 1951, A statistical distribution function of wide applicability, J. Appl. Mech. 18",
        "t = scale (-ln(1 - u))^(1/shape); exponential with shape 1",
    ),
    "hazen_1914": Card(
        "percentiles of members",
        "Hazen 1914, Storage to be provided in impounding reservoirs, Trans. ASCE 77",
        "the k-th of n sorted values stands for the probability (k - 1/2)/n of being below",
        note="P90 is the low case, exceeded with 90 %.",
    ),
    "order_statistics_1999": Card(
        "bands of percentiles",
        "Conover 1999, Practical nonparametric statistics, section 3.2",
        "the number of random members below a percentile is binomial",
        note="Latin hypercube and Sobol members usually do better than the band says.",
    ),
    "wilson_1927": Card(
        "band of a probability",
        "Wilson 1927, Probable inference, the law of succession, and statistical inference, JASA 22",
        "score interval of a share of n random members",
    ),
    "kelley_1935": Card(
        "shares of the variance from the members",
        "Kelley 1935, An unbiased correlation ratio measure, PNAS 21; as Sobol indices from given data: Plischke, "
        "Borgonovo and Smith 2013, Eur. J. Oper. Res. 226",
        "1 - (n - 1)/(n - m) SSW/SST over m classes of an input",
        note="Each input by itself; correlated inputs share one another's variance.",
    ),
    "saltelli_2010": Card(
        "shares of the variance from a design of their own",
        "Saltelli and others 2010, Comp. Phys. Comm. 181, table 2 (b) for the first share; Jansen 1999, Comp. Phys. "
        "Comm. 117, for the total",
        "mean of f(B)(f(AB) - f(A))/V; mean of (f(A) - f(AB))^2/(2V)",
        note="Inputs independent of each other.",
    ),
    "mann_whitney_1947": Card(
        "inputs that flip a decision",
        "Mann and Whitney 1947, Ann. Math. Stat. 18; threshold by the Gini measure of Breiman and others 1984, "
        "Classification and regression trees",
        "strength = |2 U/(n1 n2) - 1| of the draws where one what-if wins against the rest",
    ),
}
