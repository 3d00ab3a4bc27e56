#!/usr/bin/env python3
"""Optimum, front and infeasibility of 210 seeded problems by a general constraint solver, for tests/fronts.rs.

usage: python3 seeded.py > seeded.json      needs OR-tools (ortools 9.15.6755 was used)

The problems are those of tests/fronts/generator.rs; both are written from the same description of the stream.
The optimum is one solve; the front is what no other beats among all sets that the solver lists.
"""
import json
from ortools.sat.python import cp_model

ALL = (1 << 64) - 1
PAIRS = [(0, 1), (0, 2), (0, 8), (0, 5), (1, 5), (1, 6), (1, 3), (2, 3), (3, 4), (3, 6), (5, 6), (5, 7), (7, 8)]
PRICE = [(8000, 45000), (3000, 30000), (2000, 16000), (6000, 45000), (1500, 9000), (2500, 25000), (1200, 6000),
         (9000, 60000), (3000, 25000)]
WEIGHT = [(330, 520), (180, 330), (75, 130), (560, 900), (60, 130), (200, 420), (230, 290), (800, 1300), (280, 420)]
RINGS = [24, 26, 28, 30, 32, 33, 34, 36, 38, 39]
COGS = [23, 25, 27, 28, 30, 32, 34, 36]


def stream(seed):
    z = (seed + 0x9E3779B97F4A7C15) & ALL
    z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & ALL
    z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & ALL
    x = (z ^ (z >> 31)) or 1
    while True:
        x ^= x >> 12
        x = (x ^ (x << 25)) & ALL
        x ^= x >> 27
        yield ((x * 0x2545F4914F6CDD1D) & ALL) >> 11


def instance(seed, n, density, planted):
    bits = stream(seed)
    unit = lambda: next(bits) / 9007199254740992.0
    below = lambda most: next(bits) * most >> 53
    price, weight, ring, cog = [], [], [], []
    for slot in range(9):
        prices, weights = [], []
        for _ in range(n):
            q = unit()
            low, high = PRICE[slot]
            prices.append(int(low + (high - low) * q * q))
            low, high = WEIGHT[slot]
            weights.append(int(high - (high - low) * (0.65 * q + 0.35 * unit())))
            if slot == 3:
                ring.append(RINGS[below(len(RINGS))])
            if slot == 5:
                cog.append(COGS[below(len(COGS))])
        price.append(prices)
        weight.append(weights)
    plant = [below(n) for _ in range(9)] if planted else None
    allowed = []
    for a, b in PAIRS:
        table = []
        for i in range(n):
            for j in range(n):
                chance = unit() < density
                if chance or plant and plant[a] == i and plant[b] == j:
                    table.append((i, j))
        allowed.append(table)
    return price, weight, ring, cog, allowed


def solve(price, weight, ring, cog, allowed, n):
    model = cp_model.CpModel()
    on = [[model.new_bool_var("") for _ in range(n)] for _ in range(9)]
    for options in on:
        model.add_exactly_one(options)
    for (a, b), table in zip(PAIRS, allowed):
        pairs = set(table)
        for i in range(n):
            model.add_bool_or([~on[a][i]] + [on[b][j] for j in range(n) if (i, j) in pairs])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    model.minimize(sum(price[s][o] * on[s][o] for s in range(9) for o in range(n)))
    if solver.solve(model) != cp_model.OPTIMAL:
        return None, []
    least = round(solver.objective_value)
    model.clear_objective()
    every = Every(on, lambda set_: (sum(price[s][o] for s, o in enumerate(set_)),
                                    sum(weight[s][o] for s, o in enumerate(set_)),
                                    round(1e6 * ring[set_[3]] / cog[set_[5]])))
    solver.parameters.enumerate_all_solutions = True
    solver.solve(model, every)
    beats = lambda a, b: a != b and all(x <= y for x, y in zip(a, b))
    kept = []
    for point in sorted(every.points):
        if not any(beats(other, point) for other in kept):
            kept.append(point)
    return least, [list(point) for point in kept]


class Every(cp_model.CpSolverSolutionCallback):
    """Takes down the values of every set that the solver lists."""

    def __init__(self, on, values):
        super().__init__()
        self.on, self.values, self.points = on, values, set()

    def on_solution_callback(self):
        set_ = [next(o for o, var in enumerate(options) if self.boolean_value(var)) for options in self.on]
        self.points.add(self.values(set_))


def main():
    for seed in range(1, 211):
        n = 3 + seed % 3
        density = [0.3, 0.45, 0.55][seed % 3]
        planted = seed % 4 != 0
        least, front = solve(*instance(seed, n, density, planted), n)
        problem = {"seed": seed, "options": n, "density": density, "planted": planted, "least": least, "front": front}
        print("[" if seed == 1 else ",", json.dumps(problem, separators=(",", ":")), flush=True)
    print("]")


if __name__ == "__main__":
    main()
