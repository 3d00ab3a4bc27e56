"""Percentiles of a base with scatter and of risks that fall independently, by numpy (BSD-3-Clause).

    python3 -m venv v && v/bin/pip install numpy && v/bin/python percentiles.py

writes `percentiles.json`. Two ways: the same convolution on a grid twenty times as fine, and two million draws with a
fixed seed. All inputs are invented, but for the first, which is the worked example of the test.
"""
import json
import math

import numpy as np

EXAMPLE = [(0.10, 58.5), (0.06, 58.0), (0.12, 36.0), (0.08, 32.0), (0.04, 49.5), (0.35, 8.0)]
DRAWS, CELLS = 2_000_000, 80_000


def folded(base, sigma, blows):
    """By convolution on a fine grid."""
    reach = sum(by for _, by in blows)
    low, high = base - 6 * sigma, base + 6 * sigma + reach
    step = (high - low) / CELLS
    edges = low + step * np.arange(CELLS + 1)
    below = np.array([0.5 * (1 + math.erf((x - base) / (sigma * math.sqrt(2)))) for x in edges])
    weights = np.diff(below)
    at = low + step * (np.arange(CELLS) + 0.5)
    for chance, by in blows:
        cells = by / step
        whole, rest = int(cells), cells - int(cells)
        kernel = np.zeros(whole + 2)
        kernel[0] += 1 - chance
        kernel[whole] += chance * (1 - rest)
        kernel[whole + 1] += chance * rest
        # A kernel of three cells: shifting is the convolution.
        moved = np.zeros_like(weights)
        for cell in {0, whole, whole + 1}:
            moved[cell:] += kernel[cell] * weights[: CELLS - cell]
        weights = moved
    total = np.cumsum(weights)
    return [float(np.interp(share, total, at + step / 2)) for share in (0.5, 0.8, 0.95)]


def drawn(base, sigma, blows, dice):
    """By drawing."""
    sums = base + sigma * dice.standard_normal(DRAWS)
    for chance, by in blows:
        sums = sums + by * (dice.random(DRAWS) < chance)
    return [float(value) for value in np.percentile(sums, [50, 80, 95])]


def main():
    """The example, and twenty invented jobs."""
    dice = np.random.default_rng(20261125)
    inputs = [(291.5, 0.07 * 291.5, EXAMPLE)]
    for n in range(20):
        base = float(dice.integers(30, 900))
        blows = [(round(float(dice.uniform(0.01, 0.6)), 3), float(dice.integers(1, 160))) for _ in range(n % 12)]
        inputs.append((base, round(float(dice.uniform(0.01, 0.2)) * base, 2), blows))
    rows = [
        {"base": base, "sigma": sigma, "blows": blows, "folded": folded(base, sigma, blows),
         "drawn": drawn(base, sigma, blows, dice)}
        for base, sigma, blows in inputs
    ]
    with open("percentiles.json", "w", encoding="utf-8") as out:
        out.write("[\n" + ",\n".join(json.dumps(row, separators=(",", ":")) for row in rows) + "\n]\n")


if __name__ == "__main__":
    main()
