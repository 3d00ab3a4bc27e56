#!/usr/bin/env python3
"""Second opinion for the ride: root finder, integrator and array sums of numpy and scipy. Writes ride_reference.json.

Needs numpy and scipy; run `python3 ride_reference.py`. The Rust tests only read the JSON.

  grid     70 states on a grid of power and grade, with headwinds, thin air, a heavy rider and a sprint; brentq on the
           largest root, found by scanning downward
  states   1,200 random states, all figures of the balance drawn anew; brentq
  rides    6 roads ridden with solve_ivp (DOP853, rtol 1e-11), one piece a stretch, work of each term integrated along
  sums     22 gears on 20,000 stretches, segment by segment; one efficiency, and each drivetrain with its own
"""
import json
import math
import pathlib

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

G = 9.80665


def crank_power(v, m, crr, cda, fw, rho, grade, wind, eta, around=0.0):
    through = v + wind
    theta = math.atan(grade)
    air = 0.5 * rho * (cda + fw) * (through * abs(through) + around ** 2 / 2)
    return v * (air + m * G * (crr * math.cos(theta) + math.sin(theta)) + 0.091 + 0.0087 * v) / eta


def largest_root(power, **k):
    f = lambda v: crank_power(v, **k) - power
    high = 60.0
    for i in range(5999, -1, -1):
        v = high * i / 6000
        if f(v) <= 0 < f(high * (i + 1) / 6000):
            return brentq(f, v, high * (i + 1) / 6000, xtol=1e-14, rtol=8.9e-16, maxiter=200)
    return None


def grid():
    base = dict(m=85.0, crr=0.004, cda=0.32, fw=0.0044, rho=1.2, wind=0.0, eta=0.976)
    cases = []
    for p in (0, 50, 100, 150, 200, 250, 300, 400):
        for grade in (-0.06, -0.02, 0.0, 0.02, 0.05, 0.08, 0.12, 0.20):
            if p > 0 or grade < 0:
                cases.append(dict(base, p=p, grade=grade))
    for wind in (-8.0, -3.0, 3.0, 8.0):
        for p in (100, 250):
            cases.append(dict(base, p=p, grade=0.0, wind=wind))
    cases.append(dict(base, p=200, grade=0.0, rho=0.95))
    cases.append(dict(base, p=200, grade=0.07, m=120.0))
    cases.append(dict(base, p=1200, grade=0.0, cda=0.25))
    cases.append(dict(base, p=255.0, grade=0.003, m=90.0, crr=0.0032, cda=0.2565, rho=1.2234, eta=0.97698))
    for c in cases:
        c["v"] = largest_root(c["p"], **{a: b for a, b in c.items() if a != "p"})
    return cases


def states():
    rng = np.random.default_rng(1998)
    rows = []
    while len(rows) < 1200:
        c = dict(m=rng.uniform(40, 250), crr=rng.uniform(0.002, 0.02), cda=rng.uniform(0.2, 0.8),
                 fw=rng.uniform(0, 0.008), rho=rng.uniform(0.85, 1.3), grade=rng.uniform(-0.12, 0.25),
                 wind=rng.uniform(-9, 9), eta=rng.uniform(0.9, 1.0), around=rng.uniform(0, 5))
        c = {a: float(b) for a, b in c.items()}
        p = float(rng.uniform(5, 900))
        # For a power above 0 the force form rises from below 0 to above it: one root, and this bracket holds it.
        f = lambda v: crank_power(v, **c) / v - p / v
        v = brentq(f, 1e-9, 200.0, xtol=1e-15, rtol=8.9e-16, maxiter=500)
        rows.append(dict(c, p=p, v=v))
    return rows


def rides():
    rows = []
    rng = np.random.default_rng(276)
    for name, m, p, cda, crr, grades, spacing, start in [
        ("flat from 2 m/s", 85.0, 200.0, 0.4, 0.005, [0.0] * 60, 20.0, 2.0),
        ("a hill from 9 m/s", 85.0, 230.0, 0.36, 0.004, [0.0] * 10 + [0.08] * 60 + [0.0] * 20, 20.0, 9.0),
        ("into a wall", 95.0, 150.0, 0.5, 0.006, [0.02] * 10 + [0.18] * 15, 10.0, 6.0),
        ("down and up", 80.0, 180.0, 0.4, 0.005, [-0.05] * 30 + [0.06] * 60, 20.0, 8.0),
        ("rolling", 85.0, 200.0, 0.4, 0.005, [float(g) for g in 0.04 * np.sin(np.arange(400) / 15)], 10.0, 7.0),
        ("random", 78.0, 260.0, 0.33, 0.0045, [float(g) for g in rng.normal(0, 0.03, 300).round(4)], 10.0, 7.0),
    ]:
        eta, fw, rho, inertia = 0.976, 0.0044, 1.2, 1.45
        moved, v, time = m + inertia, start, 0.0
        work = np.zeros(5)
        for grade in grades:
            theta = math.atan(grade)
            road = spacing / math.cos(theta)

            def along(s, y):
                v = y[0]
                air = 0.5 * rho * (cda + fw) * v * v
                roll, hill, bear = m * G * crr * math.cos(theta), m * G * math.sin(theta), 0.091 + 0.0087 * v
                return [(p * eta / v - air - roll - hill - bear) / (moved * v), 1 / v, air, roll, bear, hill, p * eta / v]

            out = solve_ivp(along, (0, road), [v, 0, 0, 0, 0, 0, 0], method="DOP853", rtol=1e-11, atol=1e-11)
            v, time, work = out.y[0, -1], time + out.y[1, -1], work + out.y[2:, -1]
        rows.append(dict(name=name, m=m, p=p, cda=cda, crr=crr, fw=fw, rho=rho, eta=eta, inertia=inertia,
                         grades=grades, spacing=spacing, start=start, end=float(v), time=float(time),
                         air=float(work[0]), rolling=float(work[1]), bearings=float(work[2]),
                         climbing=float(work[3]), rider=float(work[4])))
    return rows


def sums():
    n, ds = 20000, 5.0
    s = (np.arange(n) + 0.5) * ds
    wave = lambda height, length, phase: height * np.sin(2 * np.pi * s / length + phase)
    grade = wave(0.03, 9300.0, 0.0) + wave(0.025, 2750.0, 1.0) + wave(0.015, 610.0, 2.0) + 0.002
    theta = np.arctan(grade)
    force = 85.0 * G * (0.004 * np.cos(theta) + np.sin(theta)) + 0.091
    a = 0.6 * (0.32 + 0.0044)

    def speeds(eta):
        low, high = np.full(n, 0.01), np.full(n, 60.0)
        for _ in range(70):  # halving: slow, and sure
            middle = (low + high) / 2
            over = ((a * middle + 0.0087) * middle + force) * middle > 200.0 * eta
            low, high = np.where(over, low, middle), np.where(over, middle, high)
        return (low + high) / 2

    def ratios(k):
        r1 = 46 + (k * 7) % 9
        r2, big = r1 - 16 + (k * 3) % 3, 25 + (k * 5) % 12
        cogs = np.round(11 * (big / 11) ** (np.arange(11) / 10))
        return np.concatenate([r1 / cogs, r2 / cogs])

    def off(v, gears):
        return np.abs(v[:, None] * 60.0 / 2.105 / gears[None] - 88.0).min(1).sum()

    shared = speeds(0.976)
    one = [float(off(shared, ratios(k))) for k in range(100)]
    own, hours = [], []
    for k in range(100):
        v = speeds(0.96 + 0.025 * k / 99)
        own.append(float(off(v, ratios(k))))
        hours.append(float((ds / v).sum() / 3600))
    return dict(hours=float((ds / shared).sum() / 3600), shared=one, own=own, own_hours=hours)


def main():
    tables = dict(grid=grid(), states=states(), rides=rides())
    rows = lambda items: "[\n" + ",\n".join(json.dumps(item) for item in items) + "\n]"
    text = "{" + ",\n".join(f'"{name}": {rows(items)}' for name, items in tables.items())
    text += ',\n"sums": ' + json.dumps(sums()) + "}\n"
    pathlib.Path(__file__).with_name("ride_reference.json").write_text(text)
    print({name: len(items) for name, items in tables.items()})


main()
