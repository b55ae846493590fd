"""The learning curve in unit form, three-point sums and the 80 % quantile, by Python's decimal, fractions and statistics."""

import random
from decimal import Decimal, getcontext
from fractions import Fraction
from pathlib import Path
from statistics import NormalDist

import table


def write(folder: Path) -> None:
    getcontext().prec = 40
    rows = []
    for rate in ("0.8", "0.85", "0.9", "0.95", "1"):
        exponent = Decimal(rate).ln() / Decimal(2).ln()
        for times in (0, 1, 2, 3, 4, 8, 12, 60, 240):
            total = sum((Decimal(n) ** exponent for n in range(1, times + 1)), Decimal(0))
            rows.append((rate, times, f"{total:.10f}"))
    table.write(folder / "learning.csv", "sum of n^log2(rate), unit form, by Python's decimal", "rate,times,sum", rows)

    # The first four are the path 1-3-5-7 of a worked example in a project management textbook: mean 24, variance 5.
    rng = random.Random(6)
    activities = [(5, 8, 17), (3, 5, 7), (4, 6, 8), (3, 4, 5), (3, 3, 3)]
    activities += [tuple(sorted(rng.randint(1, 90) for _ in range(3))) for _ in range(30)]
    rows = []
    for low, likely, high in activities:
        mean, variance = Fraction(low + 4 * likely + high, 6), Fraction(high - low, 6) ** 2
        rows.append((low, likely, high, table.number(float(mean)), table.number(float(variance))))
    table.write(folder / "three-point.csv", "exact sums by Python's fractions", "low,likely,high,mean,variance", rows)

    rows = [("0.8", table.number(NormalDist().inv_cdf(0.8)))]
    table.write(folder / "quantile.csv", "normal distribution, by Python's statistics", "share,deviations", rows)
