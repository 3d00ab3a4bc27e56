#!/usr/bin/env python3
"""200 seeded problems, other ones than seeded.json has, by a general constraint solver and by frontier in one run:
same optimum, same front, same infeasibility, and the seconds of both.

usage: python3 beside.py PATH_OF_THE_EXAMPLE_beside      needs OR-tools (ortools 9.15.6755 was used)

cargo build --release -p frontier --example beside makes the example. The solver gets one worker; the optimum is one
solve, the front is what no other beats among all sets that it lists.
"""
import statistics
import subprocess
import sys
import time

from seeded import Every, instance, PAIRS
from ortools.sat.python import cp_model
import json


def laid_out(price, weight, ring, cog, allowed, n):
    model = cp_model.CpModel()
    on = [[model.new_bool_var("") for _ in range(n)] for _ in range(9)]
    for options in on:
        model.add_exactly_one(options)
    for (a, b), table in zip(PAIRS, allowed):
        pairs = set(table)
        for i in range(n):
            model.add_bool_or([~on[a][i]] + [on[b][j] for j in range(n) if (i, j) in pairs])
    return model, on


def solve(problem, n):
    price, weight, ring, cog, allowed = problem
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    begun = time.perf_counter()
    model, on = laid_out(*problem, n)
    model.minimize(sum(price[s][o] * on[s][o] for s in range(9) for o in range(n)))
    holds = solver.solve(model) == cp_model.OPTIMAL
    least = round(solver.objective_value) if holds else None
    least_s = time.perf_counter() - begun
    if not holds:
        return least, [], least_s, least_s
    begun = time.perf_counter()
    model, on = laid_out(*problem, n)
    every = Every(on, lambda set_: (sum(price[s][o] for s, o in enumerate(set_)),
                                    sum(weight[s][o] for s, o in enumerate(set_)),
                                    round(1e6 * ring[set_[3]] / cog[set_[5]])))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    solver.solve(model, every)
    beats = lambda a, b: a != b and all(x <= y for x, y in zip(a, b))
    kept = []
    for point in sorted(every.points):
        if not any(beats(other, point) for other in kept):
            kept.append(point)
    return least, [list(point) for point in kept], least_s, time.perf_counter() - begun


def main():
    recipes = [(seed, 6 + seed % 3, [0.25, 0.3, 0.35][seed % 3], seed % 5 != 0) for seed in range(1001, 1201)]
    lines = "".join(f"{seed} {n} {density} {str(planted).lower()}\n" for seed, n, density, planted in recipes)
    run = subprocess.run([sys.argv[1]], input=lines, capture_output=True, text=True, check=True)
    ours = [json.loads(line) for line in run.stdout.splitlines()]
    assert len(ours) == len(recipes)
    other, without, points, wrong = [], 0, 0, 0
    for (seed, n, density, planted), own in zip(recipes, ours):
        least, front, least_s, front_s = solve(instance(seed, n, density, planted), n)
        if (least, front) != (own["least"], own["front"]):
            wrong += 1
            print("differs:", seed, n, density, planted)
        other.append((least_s, front_s))
        without += least is None
        points += len(front)
    print(f"{len(recipes)} problems, {without} without a set, {points} points on fronts; {wrong} differ")
    for what, theirs, mine in [("optimum", [t[0] for t in other], [o["least_s"] for o in ours]),
                               ("front", [t[1] for t in other], [o["front_s"] for o in ours])]:
        ratio = statistics.median(t / m for t, m in zip(theirs, mine))
        print(f"{what:8} solver: sum {sum(theirs):8.3f} s, median {1e3 * statistics.median(theirs):8.2f} ms;"
              f" ours: sum {sum(mine):8.4f} s, median {1e3 * statistics.median(mine):8.4f} ms; median ratio {ratio:.0f}")
    sys.exit(wrong > 0)


main()
