#!/usr/bin/env python3
"""Random checks with the answers of general-purpose libraries, as data for the tests of service/judge.

Verdicts come from exact fractions, probabilities from scipy.stats, uncertainties of clearances from the package
uncertainties. Needs python3-scipy and python3-uncertainties from Debian. Writes two CSV files into the directory named.

    /usr/bin/python3 integration/oracle/judging.py service/judge/testdata
"""
import csv
import random
import sys
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from math import sqrt

from scipy.stats import norm
from uncertainties import ufloat

SEED = 20261101
ROWS = 8000
CLEARANCES = 2000


def thousandths(n):
    return f"{Decimal(n) / 1000:.3f}"


def rounded(x):
    """A fraction at nine places, half-even, as a Decimal."""
    n = x * 10**9
    whole = n.numerator // n.denominator
    rest = n - whole
    if rest > Fraction(1, 2) or (rest == Fraction(1, 2) and whole % 2):
        whole += 1
    return Fraction(whole, 10**9)


def decimal(x):
    return str((Decimal(x.numerator) / Decimal(x.denominator)).quantize(Decimal("1e-9"), ROUND_HALF_EVEN))


def probability(lower, upper, low, high, u):
    a, b = float(lower - low), float(upper - high)
    if a > b:
        return 0.0
    if u == 0:
        return 1.0 if a <= 0 <= b else 0.0
    if a > 0:
        return norm.sf(a / u) - norm.sf(b / u)
    return norm.cdf(b / u) - norm.cdf(a / u)


def check(rnd):
    lower = rnd.randint(-200, 500)
    upper = lower + rnd.randint(1, 400)
    values = [rnd.randint(lower - 150, upper + 150) for _ in range(rnd.randint(1, 6))]
    combine = rnd.choice(["mean", "mean", "min", "max"])
    guard = rnd.choice(["U", "1.65u"])
    kind = rnd.choice(["standard", "accuracy"])
    figure = rnd.choice([0, rnd.randint(1, 60), rnd.randint(1, 400)])  # ten-thousandths
    f = Fraction(figure, 10000)
    u = float(f) if kind == "standard" else float(f) / sqrt(3)
    big = 2 * u if kind == "standard" else min(2 * u, float(f))
    half = big if guard == "U" else min(1.65 * u, big)
    half = Fraction(round(half * 10**12), 10**12)
    v = [Fraction(x, 1000) for x in values]
    held = {"mean": sum(v) / len(v), "min": min(v), "max": max(v)}[combine]
    lo, hi = Fraction(lower, 1000), Fraction(upper, 1000)
    end_lo, end_hi = rounded(held - half), rounded(held + half)
    if end_hi < lo or end_lo > hi:
        verdict = "fail"
    elif lo <= end_lo and end_hi <= hi:
        verdict = "pass"
    elif held < lo or held > hi:
        verdict = "conditional_fail"
    else:
        verdict = "conditional_pass"
    if combine == "mean" and verdict == "pass" and any(x < lo or x > hi for x in v):
        verdict = "conditional_pass"
    p = probability(lo, hi, held, held, u)
    return [thousandths(lower), thousandths(upper), combine, guard, kind, f"{Decimal(figure) / 10000:.4f}",
            " ".join(thousandths(x) for x in values), verdict, decimal(end_lo), decimal(end_hi), f"{p:.12f}"]


def clearance(rnd):
    parts, total = [], 0
    shared = ufloat(0, 1)
    for i in range(rnd.randint(2, 4)):
        sign = 1 if i == 0 else rnd.choice([1, -1])
        size, u = rnd.randint(1000, 60000), rnd.randint(0, 30)
        same = rnd.random() < 0.4
        error = (u / 1000) * shared if same else ufloat(0, u / 1000)
        total = total + sign * (size / 1000 + error)
        parts.append(f"{sign}:{thousandths(size)}:{thousandths(u)}:{'m1' if same else ''}")
    exact = sum(int(p.split(":")[0]) * Decimal(p.split(":")[1]) for p in parts)
    return [" ".join(parts), f"{exact:.3f}", f"{total.std_dev:.12f}"]


def write(path, header, rows):
    with open(path, "w", newline="") as f:
        w = csv.writer(f, lineterminator="\n")
        w.writerow(header)
        w.writerows(rows)


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    rnd = random.Random(SEED)
    write(sys.argv[1] + "/random_checks.csv",
          ["lower", "upper", "combine", "guard", "kind", "figure", "values", "verdict", "interval_lower", "interval_upper", "probability"],
          [check(rnd) for _ in range(ROWS)])
    write(sys.argv[1] + "/random_clearances.csv", ["parts", "value", "standard_uncertainty"],
          [clearance(rnd) for _ in range(CLEARANCES)])


if __name__ == "__main__":
    main()
