#!/usr/bin/env python3
"""Second opinion for the free housing loop. Writes elastica.json beside itself.

Needs numpy and scipy; run `python3 elastica_reference.py`. The Rust tests only read the JSON, so nobody needs Python to
run them.

A thin rod of length L between two clamped ends, with all lengths as a share of L:
  x' = cos t, y' = sin t, t' = k, k' = h sin t - v cos t      (h, v): force of the far clamp on the rod, times L^2 / EI
Two scipy solvers that share nothing with the Rust code, one after the other:
  solve_bvp   collocation from several smooth starts; the branch of least bending energy is kept
  solve_ivp   shooting (DOP853, 1e-13) with root() on the first curvature and both forces, to 1e-10 of L at the far end
Each case: ends (mm, degrees), length (mm), bending energy over EI (1/mm), greatest curvature, end curvatures (1/mm),
force over EI (1/mm^2), middle of the rod (mm), and how many branches of clearly different energy the starts found.
"""
import json
import math
import pathlib
from multiprocessing import Pool

import numpy as np
from scipy.integrate import solve_bvp, solve_ivp
from scipy.optimize import root

NODES = np.linspace(0, 1, 81)
FIFTEEN = [
    (150, -60, 0, -60, 1.05), (150, -60, 0, -60, 1.15), (150, -60, 0, -60, 1.35), (200, 0, 30, -30, 1.05),
    (200, 0, 30, -30, 1.2), (120, 120, 90, 0, 1.03), (120, 120, 90, 0, 1.10), (120, 120, 90, 0, 1.3),
    (0, 160, 0, 180, 1.6), (0, 160, 0, 180, 1.8), (100, 40, 0, 0, 1.03), (100, 40, 0, 0, 1.1),
    (60, -90, -10, -170, 1.4), (60, -90, -10, -170, 1.7), (300, -150, 20, -80, 1.1),
]


def shoot(first, start, dense=False):
    def slope(s, u):
        return [math.cos(u[2]), math.sin(u[2]), u[3], first[1] * math.sin(u[2]) - first[2] * math.cos(u[2]),
                0.5 * u[3] ** 2]
    return solve_ivp(slope, (0, 1), [0, 0, start, first[0], 0], method="DOP853", rtol=1e-13, atol=1e-14,
                     dense_output=dense)


def branches(x, y, start, end):
    """Energies and first values of every branch that the starts lead to, lengths as a share of the rod's."""
    def slope(s, u, p):
        return np.vstack([np.cos(u[2]), np.sin(u[2]), u[3], p[0] * np.sin(u[2]) - p[1] * np.cos(u[2])])

    def ends(a, b, p):
        return np.array([a[0], a[1], a[2] - start, b[0] - x, b[1] - y, b[2] - end])

    chord = math.atan2(y, x)
    arch = np.sin(math.pi * NODES)
    wave = np.sin(2 * math.pi * NODES)
    plain = start + (end - start) * NODES
    # To the chord and back: what a rod does whose ends do not point along the chord.
    turned = plain + (math.remainder(chord - plain[40], 2 * math.pi)) * arch
    found = []
    for angle in (plain, turned, plain + 1.2 * arch, plain - 1.2 * arch, plain + 1.2 * wave, plain - 1.2 * wave):
        step = NODES[1]
        along = np.concatenate([[0], np.cumsum((np.cos(angle[1:]) + np.cos(angle[:-1])) / 2 * step)])
        up = np.concatenate([[0], np.cumsum((np.sin(angle[1:]) + np.sin(angle[:-1])) / 2 * step)])
        guess = np.vstack([along, up, angle, np.gradient(angle, NODES)])
        for force in (0.0, -10.0):
            solved = solve_bvp(slope, ends, NODES, guess, p=[force * math.cos(chord), force * math.sin(chord)],
                               tol=1e-5, max_nodes=2000)
            if not solved.success:
                continue
            fine = solved.sol(np.linspace(0, 1, 2001))[3]
            energy = float(np.trapezoid(fine**2, dx=1 / 2000) / 2)
            found.append((energy, float(solved.y[3][0]), float(solved.p[0]), float(solved.p[1])))
    return sorted(found)


def solve(case):
    x_mm, y_mm, start_deg, end_deg, length_mm = case
    x, y = x_mm / length_mm, y_mm / length_mm
    start, end = math.radians(start_deg), math.radians(end_deg)
    found = branches(x, y, start, end)
    levels = []
    for energy, *_ in found:
        if not levels or energy > levels[-1] * (1 + 1e-3):
            levels.append(energy)
    for energy, *first in found:
        def miss(z):
            u = shoot(z, start).y[:, -1]
            return [u[0] - x, u[1] - y, u[2] - end]
        polished = root(miss, first, method="hybr", tol=1e-13)
        if np.abs(polished.fun).max() > 1e-10:
            continue
        rod = shoot(polished.x, start, True)
        u = rod.sol(np.linspace(0, 1, 20001))
        exact = float(u[4][-1])
        if abs(exact / energy - 1) > 1e-3:
            continue
        curvature = np.abs(u[3])
        top = int(np.argmax(curvature))
        most = float(curvature[top])
        if 0 < top < 20000:  # vertex of the parabola through the three samples around the top
            a, b, c = curvature[top - 1:top + 2]
            most = float(b + (a - c) ** 2 / (8 * (2 * b - a - c)))
        middle = rod.sol(0.5)
        return {
            "x_mm": x_mm, "y_mm": y_mm, "from_deg": start_deg, "to_deg": end_deg, "length_mm": length_mm,
            "energy": exact / length_mm, "curvature_most": most / length_mm,
            "curvature_from": float(u[3][0]) / length_mm, "curvature_to": float(u[3][-1]) / length_mm,
            "force_x": float(polished.x[1]) / length_mm**2, "force_y": float(polished.x[2]) / length_mm**2,
            "middle_x_mm": float(middle[0]) * length_mm, "middle_y_mm": float(middle[1]) * length_mm,
            "branches": len(levels),
        }
    return {"x_mm": x_mm, "y_mm": y_mm, "from_deg": start_deg, "to_deg": end_deg, "length_mm": length_mm,
            "unsolved": True}


def geometries():
    cases = [(x, y, a, b, math.hypot(x, y) * f) for x, y, a, b, f in FIFTEEN]
    cases.append((100, 100, 0, 90, 100 * math.pi / 2))  # a quarter of a circle
    cases.append((0, 200, 0, 180, 100 * math.pi))  # half of a circle
    # Loops as bicycles have them, then ends that point anywhere, from all but taut to very slack.
    for seed, count, start_deg, end_deg, longer in [(20, 230, 80, 120, (1.03, 1.9)), (77, 300, 170, 170, (1.005, 2.6))]:
        draw = np.random.default_rng(seed)
        for _ in range(count):
            gap, along = draw.uniform(60, 320), draw.uniform(-math.pi, math.pi)
            x, y = round(gap * math.cos(along), 1), round(gap * math.sin(along), 1)
            start = round(math.degrees(along) + draw.uniform(-start_deg, start_deg), 1)
            end = round(math.degrees(along) + draw.uniform(-end_deg, end_deg), 1)
            cases.append((x, y, start, end, round(gap * draw.uniform(*longer), 2)))
    return cases


def main():
    with Pool(2) as pool:
        rows = pool.map(solve, geometries(), chunksize=4)
    solved = [row for row in rows if "unsolved" not in row]
    text = '{"cases": [\n' + ",\n".join(json.dumps(row) for row in solved) + "\n]}\n"
    pathlib.Path(__file__).with_name("elastica.json").write_text(text)
    print(len(solved), "cases,", len(rows) - len(solved), "unsolved,",
          sum(row["branches"] > 1 for row in solved), "with several branches")


if __name__ == "__main__":
    main()
