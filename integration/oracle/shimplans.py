#!/usr/bin/env python3
"""Random shim problems with their first ranks by an integer-programming solver, as data for the tests of service/shim.

Every rank is proven by GLPK (glpk-utils from Debian): the ranking is solved field by field, each field held at its best
before the next is taken, and every filling found is cut off before the next rank. Problems are small: on 40 sizes and
three pieces a side the solver does not prove one field within a minute. Lengths are hundredths of a millimetre, values
of specs ten-thousandths. Writes one problem a line.

With --uncertain the readings have a standard uncertainty and the caller asks for a probability. Pieces are exact, so the
probability of a spec hangs on its value alone and is a window of values; the width of a class enters the deviation and
the offset as whole numbers. How probable an option is that does not meet the demand is not linear: only those that meet
it are ranked.

    python3 integration/oracle/shimplans.py service/shim/testdata/glpk.jsonl
    python3 integration/oracle/shimplans.py --uncertain service/shim/testdata/glpk_uncertain.jsonl
    python3 integration/oracle/shimplans.py --time 20    # how long the solver takes for the first rank
    python3 integration/oracle/shimplans.py --growth service/shim/testdata/glpk_growth.jsonl
"""
import argparse
import json
import math
import os
import random
import subprocess
import tempfile
import time

SEED = 20261101
PROBLEMS = 500
UNCERTAIN = 180
RANKS = 3
SHAPES = ["one", "sides", "pack", "valves", "bevel", "engine"]
BIG = 100_000


def problem(seed):
    r = random.Random(seed)
    shape = SHAPES[seed % len(SHAPES)]

    def spec(k):
        lower = r.randint(5, 20) * 100
        upper = lower + r.randint(3, 25) * 100
        aim = r.randint(lower // 100, upper // 100) * 100
        return {"key": k, "lower": lower, "upper": upper, "aim": aim, "now": r.randint(-5, 60) * 100,
                "policy": r.choice(["", "not_below", "not_above"])}

    def place(s, name, most, change):
        return {"set": s, "id": name, "min": 1, "max": most, "change": change,
                "old": sorted((r.randint(92, 126) for _ in range(r.randint(1, most))), reverse=True)}

    def ladder(most):
        return sorted({r.randint(90, 130) for _ in range(r.randint(1, most))})

    p = {"seed": seed, "shape": shape, "objective": r.choice(["closest", "fewest_new"]), "offset": []}
    if shape in ("one", "pack"):
        p["specs"], p["places"] = [spec("play")], [place("a", "p", 1 if shape == "one" else 3, {"play": -100})]
        p["ladder"] = {"a": ladder(8)}
    elif shape == "sides":
        p["specs"] = [spec("play")]
        p["places"] = [place("a", n, 2, {"play": -100}) for n in ("left", "right")]
        p["ladder"] = {"a": ladder(7)}
        p["offset"] = [{"set": "a", "first": 0, "second": 1, "now": r.randint(-6, 6), "limit": r.choice([-1, 10])}]
    elif shape == "valves":
        names = ["v1", "v2", "v3", "v4"]
        p["specs"], p["places"] = [spec(n) for n in names], [place("a", n, 1, {n: -100}) for n in names]
        p["ladder"] = {"a": ladder(6)}
    elif shape == "bevel":
        p["specs"] = [spec("float"), spec("lash")]
        p["places"] = [place("a", "pinion", 2, {"float": -100, "lash": 51}), place("a", "wheel", 1, {"float": -100, "lash": -33})]
        p["ladder"] = {"a": ladder(8)}
    else:
        p["specs"] = [spec("play"), spec("v1"), spec("v2")]
        p["places"] = [place("a", "left", 1, {"play": -100}), place("a", "right", 1, {"play": -100}),
                       place("b", "v1", 1, {"v1": -100}), place("b", "v2", 1, {"v2": -100})]
        p["ladder"] = {"a": ladder(5), "b": ladder(5)}
        p["offset"] = [{"set": "a", "first": 0, "second": 1, "now": 0, "limit": 10}]
    p["on_hand"] = sorted([r.randint(92, 126), r.randint(1, 2)] for _ in range(r.randint(0, 4)))
    if r.random() < 0.85:  # most have an option: readings that some filling would bring inside
        fillings = [[r.choice(p["ladder"][pl["set"]]) for _ in range(r.randint(pl["min"], pl["max"]))] for pl in p["places"]]
        for s in p["specs"]:
            moved = sum(pl["change"].get(s["key"], 0) * (sum(f) - sum(pl["old"])) for pl, f in zip(p["places"], fillings))
            s["now"] = r.randint(s["lower"] // 100, s["upper"] // 100) * 100 - moved
    return p


class Model:
    """Columns, rows and cuts of one problem."""

    def __init__(self, p, best=None):
        self.p, self.columns, self.rows, self.best_d = p, [], [], best
        self.index = {}
        self.y, self.bought = [], []
        held = {}
        for t, n in p["on_hand"]:
            held[t] = held.get(t, 0) + n
        for pl in p["places"]:
            for t in pl["old"]:
                held[t] = held.get(t, 0) + 1
        uses = {}
        for i, pl in enumerate(p["places"]):
            sizes = sorted(set(held) | set(p["ladder"][pl["set"]]), reverse=True)
            y, b = {}, {}
            for t in sizes:
                y[t] = [self.column(f"y{i}_{t}_{m}", 0, 1) for m in range(pl["max"])]
                for m in range(1, pl["max"]):
                    self.row({y[t][m]: 1, y[t][m - 1]: -1}, None, 0)
                terms = {v: 1 for v in y[t]}
                if t in p["ladder"][pl["set"]]:
                    b[t] = self.column(f"b{i}_{t}", 0, pl["max"])
                    terms[b[t]] = -1
                self.row(terms, 0, None)
                uses.setdefault(t, []).append(terms)
            every = {v: 1 for t in sizes for v in y[t]}
            self.row(every, pl["min"], pl["max"])
            self.y.append(y)
            self.bought.append(b)
        for t, lists in uses.items():
            self.row({v: c for terms in lists for v, c in terms.items()}, None, held.get(t, 0))
        self.fields()

    def column(self, name, low, high):
        self.index[name] = len(self.columns)
        self.columns.append((low, high))
        return len(self.columns) - 1

    def row(self, terms, low, high):
        self.rows.append((dict(terms), low, high))

    def total(self, i, factor=1):
        return {v: factor * t for t, ys in self.y[i].items() for v in ys}

    def fields(self):
        p = self.p
        past = self.column("past", 0, 1)
        d = {}
        for j, s in enumerate(p["specs"]):
            terms, const = {}, s["now"]
            for i, pl in enumerate(p["places"]):
                c = pl["change"].get(s["key"], 0)
                if c:
                    terms.update(self.total(i, c))
                    const -= c * sum(pl["old"])
            low, high = window(p, s)
            self.row(terms, low - const, high - const)
            dj = self.column(f"d{j}", 0, BIG)
            d[dj] = 1
            self.row({**terms, dj: -1}, None, s["aim"] - const)
            self.row({**terms, dj: 1}, s["aim"] - const, None)
            if s["policy"] == "not_below":
                self.row({**terms, past: BIG}, s["aim"] - const, None)
            if s["policy"] == "not_above":
                self.row({**terms, past: -BIG}, None, s["aim"] - const)
        off = {}
        for n, o in enumerate(p["offset"]):
            a, b = p["places"][o["first"]], p["places"][o["second"]]
            const = 2 * o["now"] - sum(a["old"]) + sum(b["old"])
            terms = {**self.total(o["first"]), **self.total(o["second"], -1)}
            if o["limit"] >= 0:
                self.row(terms, -2 * o["limit"] - const, 2 * o["limit"] - const)
            on = self.column(f"o{n}", 0, BIG)
            off[on] = 1
            self.row({**terms, on: -1}, None, -const)
            self.row({**terms, on: 1}, -const, None)
        g = p.get("u", 0)  # ten-thousandths; an offset class is as wide, and 0.01 mm at least
        width = 2 * max(100, g)
        step = self.column("step", 0, BIG)
        self.row({**{v: 100 * c for v, c in off.items()}, step: -width}, None, width - 1)
        new = {v: 1 for b in self.bought for v in b.values()}
        pieces = {v: 1 for y in self.y for ys in y.values() for v in ys}
        thick = {}
        for i in range(len(p["places"])):
            thick.update(self.total(i, -1))
        order = [{past: 1}]
        if self.best_d is None:
            order += [d]
        elif p["objective"] == "closest" and g:
            cls = self.column("class", 0, BIG)
            self.row({**d, cls: -g}, None, self.best_d + g)
            order += [{cls: 1}, {step: 1}, new, pieces, d]
        elif p["objective"] == "closest":
            order += [d, {step: 1}, new, pieces]
        else:
            order += [new, d, off, pieces]
        order.append(thick)
        for i, pl in enumerate(p["places"]):
            order.append(self.total(i, -1))
            if pl["max"] > 1:
                weights = {}
                for rank, t in enumerate(sorted(self.y[i])):
                    for v in self.y[i][t]:
                        weights[v] = -((pl["max"] + 1) ** rank)
                order.append(weights)
        self.order = [f for f in order if f]

    def cut(self, filling):
        terms, ones = {}, 0
        for i, pieces in enumerate(filling):
            for t, ys in self.y[i].items():
                for m, v in enumerate(ys):
                    on = pieces.count(t) > m
                    terms[v] = -1 if on else 1
                    ones += on
                if pieces.count(t) > len(ys):
                    return
            if any(t not in self.y[i] for t in pieces):
                return
        self.row(terms, 1 - ones, None)

    def mps(self, goal, fixed):
        rows = self.rows + fixed
        lines = ["NAME plan", "ROWS", " N cost"]
        by = [[] for _ in self.columns]
        rhs, ranges = [], []
        for n, (terms, low, high) in enumerate(rows):
            kind = "E" if low == high else "G" if high is None else "L"
            lines.append(f" {kind} r{n}")
            rhs.append(f" rhs r{n} {high if kind == 'L' else low}")
            if kind == "L" and low is not None:
                ranges.append(f" rng r{n} {high - low}")
            for v, c in terms.items():
                by[v].append((f"r{n}", c))
        for v, c in goal.items():
            by[v].append(("cost", c))
        lines.append("COLUMNS")
        lines.append(" m1 'MARKER' 'INTORG'")
        for v, entries in enumerate(by):
            lines += [f" c{v} {row} {c}" for row, c in entries] or [f" c{v} cost 0"]
        lines += [" m2 'MARKER' 'INTEND'", "RHS", *rhs, *(["RANGES", *ranges] if ranges else []), "BOUNDS"]
        for v, (low, high) in enumerate(self.columns):
            lines += [f" LO bnd c{v} {low}", f" UP bnd c{v} {high}"]
        return "\n".join([*lines, "ENDATA", ""])

    def solve(self, goal, fixed):
        with tempfile.TemporaryDirectory() as tmp:
            model, out = os.path.join(tmp, "m"), os.path.join(tmp, "o")
            with open(model, "w") as f:
                f.write(self.mps(goal, fixed))
            # Without cutting planes some of the smallest problems are not proven within a minute; with them, in milliseconds.
            said = subprocess.run(["glpsol", "--freemps", model, "-w", out, "--cuts", "--tmlim", str(self.p.get("seconds", 60))], check=True, capture_output=True, text=True).stdout
            values, status = {}, ""
            with open(out) as f:
                for line in f:
                    w = line.split()
                    if w[0] == "s":
                        status = w[4]
                    if w[0] == "j":
                        values[int(w[1]) - 1] = round(float(w[2]))
        if status == "n" or "NO PRIMAL FEASIBLE SOLUTION" in said or "NO INTEGER FEASIBLE SOLUTION" in said:
            return None
        if status != "o":
            raise RuntimeError("not proven: " + status)
        return values

    def best(self):
        fixed, values = [], None
        for goal in self.order:
            values = self.solve(goal, fixed)
            if values is None and fixed:
                raise RuntimeError("not proven: what was feasible is lost to rounding")
            if values is None:
                return None
            reached = sum(c * values[v] for v, c in goal.items())
            fixed.append((goal, reached, reached))
        return [sorted((t for t, ys in y.items() for v in ys if values[v]), reverse=True) for y in self.y]


def window(p, s):
    """The values of a spec that are in its band and meet the demand; an empty window where there are none."""
    if not p.get("u"):
        return s["lower"], s["upper"]

    def phi(z):
        return math.erfc(-z / math.sqrt(2)) / 2
    met = [x for x in range(s["lower"], s["upper"] + 1)
           if round((phi((s["upper"] - x) / p["u"]) - phi((s["lower"] - x) / p["u"])) * 1e12) >= round(p["demand"] * 1e12)]
    return (met[0], met[-1]) if met else (s["upper"] + 1, s["upper"])


def least(p):
    """The least deviation of all options, first of those not past an aim; no change is one of them."""
    m = Model(p)
    if any(low > high for low, high in (window(p, s) for s in p["specs"])):
        return None
    fixed, values = [], None
    for goal in m.order[:2]:
        values = m.solve(goal, fixed)
        if values is None:
            return None
        reached = sum(c * values[v] for v, c in goal.items())
        fixed.append((goal, reached, reached))
    return fixed[1][1]


def ranked(p):
    best = least(p) if p.get("u") else 0
    if best is None:
        return []
    m = Model(p, best)
    m.cut([pl["old"] for pl in p["places"]])
    out = []
    for _ in range(RANKS):
        filling = m.best()
        if filling is None:
            break
        out.append(filling)
        m.cut(filling)
    return out


def uncertain(seed):
    p = problem(seed)
    r = random.Random(-seed)
    p["seconds"] = 4
    p["u"], p["demand"] = r.choice([20, 50, 120, 250]), r.choice([0.6, 0.9, 0.977])
    return p


def grown(places, sizes, pieces, seed):
    """Valves of so many places (pieces 1), or stacks of so many places that take up to so many pieces each."""
    r = random.Random(f"{places} {sizes} {pieces} {seed}")
    ladder = list(range(90, 90 + 5 * sizes, 5))
    p = {"seed": seed, "shape": f"{places} places, {sizes} sizes, up to {pieces} pieces", "objective": "fewest_new" if pieces == 1 else "closest",
         "offset": [], "specs": [], "places": [], "ladder": {"a": ladder}, "on_hand": []}
    for i in range(places):
        key = f"v{i:02d}" if pieces == 1 else "play"
        old = sorted((r.choice(ladder) + r.randint(0, 4) for _ in range(pieces)), reverse=True)
        p["places"].append({"set": "a", "id": f"p{i:02d}", "min": 1, "max": pieces, "change": {key: -100}, "old": old})
        if pieces == 1 or i == 0:
            p["specs"].append({"key": key, "lower": 1000, "upper": 2000, "aim": 1500, "policy": ""})
    for s in p["specs"]:  # as if some filling had been right
        moved = sum(r.choice(ladder) - t for pl in p["places"] if s["key"] in pl["change"] for t in pl["old"])
        s["now"] = 1000 + 100 * r.randint(0, 10) + 100 * moved
    return p


GROWTH = [(1, 10, 1), (1, 20, 1), (1, 40, 1), (2, 20, 1), (4, 20, 1), (8, 20, 1), (16, 20, 1), (1, 10, 2), (1, 10, 3), (1, 20, 3), (2, 10, 2), (2, 20, 2),
          (2, 20, 3), (2, 40, 3)]


def growth(path):
    """Times the first rank of problems that grow, and gives a solver a minute for a field."""
    with open(path, "w") as f:
        for dims in GROWTH:
            p = grown(*dims, SEED)
            start = time.perf_counter()
            try:
                m = Model(p, 0)
                m.cut([pl["old"] for pl in p["places"]])
                filling = m.best()
                p["ranks"] = [filling] if filling else []
                p["solver_ms"] = round(1000 * (time.perf_counter() - start), 1)
            except RuntimeError:
                p["ranks"], p["solver_ms"] = [], 0
            print(p["shape"], p["solver_ms"] or "not proven", flush=True)
            f.write(json.dumps(p, separators=(",", ":")) + "\n")


def write(path, seeds, solve):
    """Writes the problems of some seeds with their ranks, each as soon as it is solved; solve returns None for none."""
    with open(path, "w") as f:
        for seed in seeds:
            p = solve(seed)
            if p:
                f.write(json.dumps(p, separators=(",", ":")) + "\n")
                f.flush()


def proven(seed):
    p = problem(seed)
    p["ranks"] = ranked(p)
    return p


def proven_uncertain(seed):
    p = uncertain(seed)
    try:
        p["ranks"] = ranked(p)
    except RuntimeError:
        return None  # a narrow window over several pieces is what the solver is worst at
    return p


def clock(n):
    for seed in range(SEED, SEED + n):
        p = problem(seed)
        start, said = time.perf_counter(), "ms"
        try:
            m = Model(p, 0)
            m.cut([pl["old"] for pl in p["places"]])
            m.best()
        except RuntimeError:
            said = "ms, not proven"
        print(seed, p["shape"], f"{1000 * (time.perf_counter() - start):.0f}", said, flush=True)


def main():
    args = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    what = args.add_mutually_exclusive_group(required=True)
    what.add_argument("file", nargs="?", help="where the problems go that have no uncertainty")
    what.add_argument("--uncertain", metavar="FILE", help="problems whose readings have one")
    what.add_argument("--growth", metavar="FILE", help="problems that grow, with the time of the solver")
    what.add_argument("--time", metavar="N", type=int, help="how long the solver takes for the first rank of N problems")
    asked = args.parse_args()
    if asked.growth:
        growth(asked.growth)
    elif asked.uncertain:
        write(asked.uncertain, range(SEED + PROBLEMS, SEED + PROBLEMS + UNCERTAIN), proven_uncertain)
    elif asked.time is not None:
        clock(asked.time)
    else:
        write(asked.file, range(SEED, SEED + PROBLEMS), proven)


if __name__ == "__main__":
    main()
