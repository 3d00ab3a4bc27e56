#!/usr/bin/env python3
"""Second opinion for the monotone cubic curve. Writes monotone.json beside itself.

Needs numpy and scipy; run `python3 monotone_reference.py`. The Rust tests only read the JSON.

scipy.interpolate.PchipInterpolator on five fixed tables (a lever with a flat spot, a derailleur that bends, steps, ups
and downs, two points) and on drawn ones: slopes at the readings, values, slopes and the integral at even places, and
where a rising curve takes its middle value.
"""
import json
import pathlib

import numpy as np
from scipy.interpolate import PchipInterpolator

FIXED = {
    "lever": ([0, 5, 10, 16, 23, 31, 40], [0, 2.1, 4.4, 6.3, 8.9, 9.0, 13.2]),
    "derailleur": ([0, 2.7, 5.4, 8.1, 10.8, 13.5, 16.2, 18.9, 21.6, 24.3, 27.0],
                   [0, 3.6, 7.3, 11.2, 14.9, 18.9, 22.6, 26.5, 30.0, 33.8, 37.2]),
    "steps": ([0, 1, 2, 3, 4, 5], [0, 0, 0, 1, 1, 1]),
    "ups and downs": ([0, 500, 1200, 1300, 2500, 4000, 4100, 6000], [120, 131, 190, 188, 320, 260, 262, 255]),
    "two readings": ([0, 10], [3, 7]),
    "three readings": ([0, 12, 30], [0, 5, 9.5]),
}


def row(name, x, y):
    x, y = np.array(x, float), np.array(y, float)
    curve = PchipInterpolator(x, y)
    at = np.linspace(x[0], x[-1], 41)
    found = {
        "name": name, "x": x.tolist(), "y": y.tolist(), "slopes": curve.derivative()(x).tolist(), "at": at.tolist(),
        "value": curve(at).tolist(), "slope": curve.derivative()(at).tolist(),
        "integral": float(curve.integrate(x[0], x[-1])),
    }
    if (np.diff(y) > 0).all():
        middle = (y[0] + y[-1]) / 2
        found["middle"] = middle
        found["middle_at"] = float(curve.solve(middle, extrapolate=False)[0])
    return found


def main():
    rows = [row(name, x, y) for name, (x, y) in FIXED.items()]
    draw = np.random.default_rng(11)
    for index in range(40):
        count = int(draw.integers(2, 13))
        x = np.round(np.cumsum(draw.uniform(0.2, 6, count)), 3)
        y = np.round(np.cumsum(draw.uniform(-2 if index % 4 == 0 else 0.01, 5, count)), 3)
        rows.append(row(f"drawn {index}", x, y))
    text = '{"curves": [\n' + ",\n".join(json.dumps(row) for row in rows) + "\n]}\n"
    pathlib.Path(__file__).with_name("monotone.json").write_text(text)
    print(len(rows), "curves")


main()
