#!/usr/bin/env python3
"""Random wrench settings and joints with answers found another way, as data for the tests of service/torque.

A setting is searched among all multiples of the step in exact fractions, with cosines from mpmath to 40 digits. A joint
is solved for the force at which tension and torsion together reach the share of the yield, with the polar section
modulus of a bar that yields throughout (pi d^3 / 12) or in its outermost fibre (pi d^3 / 16). Needs python3-mpmath from
Debian. Writes two CSV files into the directory named.

    /usr/bin/python3 integration/oracle/torque.py service/torque/testdata
"""
import csv
import random
import sys
from fractions import Fraction
from pathlib import Path

import mpmath as mp

SEED = 20261101
SETTINGS = 1500
JOINTS = 400
mp.mp.dps = 40


def cosine(degrees):
    known = {0: 1, 60: Fraction(1, 2), 90: 0, 120: Fraction(-1, 2), 180: -1}
    if degrees in known:
        return Fraction(known[degrees])
    return Fraction(mp.nstr(mp.cos(mp.radians(degrees)), 40))


def decimal(x, places):
    """A fraction that has at most so many decimals, as text."""
    n = x * 10**places
    assert n.denominator == 1
    sign, n = ("-" if n < 0 else ""), abs(n.numerator)
    return f"{sign}{n // 10**places}.{n % 10**places:0{places}d}" if places else f"{sign}{n}"


def setting(r):
    lower = Fraction(r.randrange(10, 1200), 10)
    upper = lower + Fraction(r.randrange(0, 300), 10)
    aim = lower + Fraction(r.randrange(0, int((upper - lower) * 10) + 1), 10)
    running = Fraction(r.choice([0, 0, 0, 5, 21, 40]), 10)
    lever, extension = r.randrange(150, 600), r.choice([0, 0, 25, 50, 75, 100, 130])
    angle = r.choice([0, 0, 30, 45, 60, 90, 120, 135, 180, 17])
    step, accuracy = Fraction(r.choice([1, 2, 5, 10, 25]), 10), Fraction(r.choice([0, 10, 20, 30, 40, 60]), 10)
    factor = lever / (lever + extension * cosine(angle))
    exact = (aim + running) * factor

    def holds(n):
        total = n * step / factor
        return lower + running <= total * (1 - accuracy / 100) and total * (1 + accuracy / 100) <= upper + running

    near = range(1, int(2 * (upper + running) * factor / step) + 3)
    ranked = sorted(near, key=lambda n: (abs(n * step - exact), n))
    good = [n for n in ranked if holds(n)]
    chosen = good[0] if good else ranked[0]
    return [decimal(lower, 1), decimal(upper, 1), decimal(aim, 1), decimal(running, 1), lever, extension, angle, decimal(step, 1), decimal(accuracy, 1),
            mp.nstr(mp.mpf(exact.numerator) / exact.denominator, 15), decimal(chosen * step, 1), "true" if good else "false"]


THREADS = {"M3": (3, "0.5"), "M4": (4, "0.7"), "M5": (5, "0.8"), "M6": (6, "1"), "M8": (8, "1.25"), "M8x1": (8, "1"), "M10": (10, "1.5"),
           "M12x1.25": (12, "1.25"), "M14": (14, "2"), "M16": (16, "2"), "M18": (18, "2.5"), "M20x1.5": (20, "1.5"), "M24": (24, "3")}
YIELDS = {"4.6": 240, "5.8": 420, "8.8": (640, 660), "10.9": 940, "12.9": 1100, "A2-70": 450}


def joint(r):
    name = r.choice(sorted(THREADS))
    d, pitch = mp.mpf(THREADS[name][0]), mp.mpf(THREADS[name][1])
    grade = r.choice(sorted(YIELDS))
    strength = YIELDS[grade]
    if isinstance(strength, tuple):
        strength = strength[d > 16]
    thread, head = (mp.mpf(r.randrange(4, 30)) / 100 for _ in range(2))
    use = mp.mpf(r.randrange(30, 101)) / 100
    outer = d * mp.mpf(r.randrange(130, 190)) / 100
    hole = d * mp.mpf(r.randrange(100, 120)) / 100
    model = r.choice(["vdi_2230", "elastic_torsion"])
    d2, d3 = d - mp.mpf("0.6495191") * pitch, d - mp.mpf("1.2268693") * pitch
    d0 = (d2 + d3) / 2
    area = mp.pi * d0**2 / 4
    modulus = mp.pi * d0**3 / (12 if model == "vdi_2230" else 16)
    lead, rub = mp.atan(pitch / (mp.pi * d2)), mp.atan(thread / mp.cos(mp.pi / 6))

    def missing(force):
        tau = force * d2 / 2 * mp.tan(lead + rub) / modulus
        return mp.sqrt((force / area) ** 2 + 3 * tau**2) - use * strength

    force = mp.findroot(missing, (use * strength * area / 2, use * strength * area), solver="anderson")
    moment = force * (d2 / 2 * mp.tan(lead + rub) + head * (outer + hole) / 4)
    return [name, grade, mp.nstr(thread, 4), mp.nstr(head, 4), mp.nstr(use, 4), mp.nstr(outer, 8), mp.nstr(hole, 8), model,
            mp.nstr(force, 14), mp.nstr(moment / 1000, 14)]


def write(path, head, rows):
    with open(path, "w", newline="", encoding="utf-8") as f:
        w = csv.writer(f, lineterminator="\n")
        w.writerow(head)
        w.writerows(rows)


def main():
    place, r = Path(sys.argv[1]), random.Random(SEED)
    write(place / "settings.csv", "lower upper aim running lever extension angle step accuracy exact set in_band".split(), (setting(r) for _ in range(SETTINGS)))
    write(place / "joints.csv", "thread class mu_thread mu_head utilisation outer hole model force torque".split(), (joint(r) for _ in range(JOINTS)))


main()
