#!/usr/bin/env python3
"""Second opinion for the place of the hands, tape and losses. Writes cockpit.json beside itself.

Needs numpy; run `python3 cockpit_reference.py`, with `--time` to time a whole search as well. The Rust tests only
read the JSON, so nobody needs Python to run them.

  stems   the stem as a vector square to the steerer, in homogeneous coordinates: turned by its angle, pushed up the
          steerer by the spacers, turned by the lean of the steerer; products of 3x3 matrices, no closed form
  bars    a bar drawn as a fine chain of points: radius and ramp by solving the two equations of its extent with
          numpy.linalg.solve, the band found by walking the chain of exact chords, the lever turned with matrices
  search  every stem, spacer height and turn in one numpy array, argmin of the score
  tape    the wrap unrolled: a strip of the plane, its edges found by intersection with the bar as a rectangle
"""
import json
import pathlib
import sys
import time

import numpy as np

rng = np.random.default_rng(20)


def turn(degrees):
    t = np.radians(degrees)
    return np.array([[np.cos(t), -np.sin(t), 0], [np.sin(t), np.cos(t), 0], [0, 0, 1.0]])


def push(x, y):
    return np.array([[1, 0, x], [0, 1, y], [0, 0, 1.0]])


def stem(length, angle, spacers, head):
    """The steerer stands along y and the stem points along x; then the whole leans back by 90 - head."""
    return (turn(90 - head) @ push(0, spacers) @ turn(angle) @ np.array([length, 0, 1.0]))[:2]


def stems(count=400):
    rows = []
    for _ in range(count):
        length, angle = rng.uniform(30, 150), rng.uniform(-60, 60)
        spacers, head = rng.uniform(0, 60), rng.uniform(60, 80)
        x, y = stem(length, angle, spacers, head)
        rows.append([length, angle, spacers, head, float(x), float(y)])
    return rows


def bar(reach, drop, ramp):
    """Ramp length and radius from the extent of ramp and arc."""
    along = np.array([np.cos(np.radians(ramp)), -np.sin(np.radians(ramp))])
    normal = np.array([-along[1], along[0]])
    # Middle of the arc: end of the ramp less the normal; foremost and lowest point are a radius from it.
    forward = np.array([along[0], -normal[0] + 1.0])
    down = np.array([along[1], -normal[1] - 1.0])
    return np.linalg.solve(np.array([forward, down]), np.array([reach, -drop]))


def hood(reach, drop, ramp, band, ahead, above, turned):
    straight, radius = bar(reach, drop, ramp)
    if straight < 0 or radius <= 0:
        return None
    start = min(band, straight)
    rest = np.degrees((band - start) / radius)
    # From the middle of the stem clamp: turn down by the ramp, along it, then round the middle of the arc.
    frame = turn(-ramp) @ push(start, 0) @ push(0, -radius) @ turn(-rest) @ push(0, radius)
    trough = turn(turned) @ frame @ np.array([ahead, above, 1.0])
    return float(trough[0]), float(trough[1]), float(-ramp - rest + turned)


def bars(count=300):
    rows = []
    while len(rows) < count:
        reach, drop, ramp = rng.uniform(65, 110), rng.uniform(110, 150), rng.uniform(-5, 15)
        straight, radius = bar(reach, drop, ramp)
        if straight < 0 or radius <= 0:
            continue
        band = rng.uniform(0, straight + radius * (np.pi - np.radians(ramp)))
        ahead, above, turned = rng.uniform(0, 70), rng.uniform(-20, 60), rng.uniform(-15, 15)
        place = hood(reach, drop, ramp, band, ahead, above, turned)
        rows.append([reach, drop, ramp, band, ahead, above, turned, *place])
    return rows


STEMS = [(length, angle) for length in (70, 80, 90, 100, 110, 120, 130) for angle in (-17, -6, 6, 17)]
SPACERS = [0, 5, 10, 15, 20, 25, 30]
TURNS = list(range(-6, 7))


def search(wanted, slope, trough, trough_slope, head, deg_per_mm):
    turned = np.array([(turn(t) @ np.array([*trough, 1.0]))[:2] for t in TURNS])
    clamp = np.array([[stem(length, angle, height, head) for height in SPACERS] for length, angle in STEMS])
    off = clamp[:, :, None, :] + turned[None, None] - np.array(wanted)
    slopes = (trough_slope + np.array(TURNS) - slope) / deg_per_mm
    return np.sqrt((off**2).sum(axis=-1) + slopes**2)


def searches(count=200):
    rows = []
    for _ in range(count):
        head, slope, trough_slope = rng.uniform(68, 76), rng.uniform(-10, 20), rng.uniform(-10, 20)
        trough = (rng.uniform(90, 160), rng.uniform(-30, 40))
        wanted = (rng.uniform(150, 300), rng.uniform(-60, 90))
        weight = rng.choice([0.25, 0.5, 1.0])
        score = search(wanted, slope, trough, trough_slope, head, weight)
        rows.append([*wanted, slope, *trough, trough_slope, head, float(weight), float(score.min())])
    return rows


def fast_search(wanted, slope, trough, trough_slope, head, deg_per_mm):
    """The same for the clock alone: closed forms on whole arrays, as numpy is at its best."""
    (length, angle), height = np.array(STEMS, dtype=float).T, np.array(SPACERS, dtype=float)
    rise, lean, turns = np.radians(angle + 90 - head), np.radians(head), np.array(TURNS, dtype=float)
    t = np.radians(turns)
    x = trough[0] * np.cos(t) - trough[1] * np.sin(t) - wanted[0]
    y = trough[0] * np.sin(t) + trough[1] * np.cos(t) - wanted[1]
    dx = (length * np.cos(rise))[:, None, None] - (height * np.cos(lean))[None, :, None] + x
    dy = (length * np.sin(rise))[:, None, None] + (height * np.sin(lean))[None, :, None] + y
    score = np.sqrt(dx**2 + dy**2 + ((trough_slope + turns - slope) / deg_per_mm) ** 2)
    return np.argpartition(score.ravel(), 5)[:5], score.min()


def tapes(count=200):
    """The bar unrolled: the strip of width w(1-o) that closes on itself after one turn, and its length."""
    rows = []
    for _ in range(count):
        side, around = rng.uniform(200, 800), np.pi * rng.uniform(24, 36)
        width, overlap = rng.uniform(20, 40), rng.uniform(0, 0.6)
        new = width * (1 - overlap)
        # The centre line runs from (0, 0) to (h, around); lines of neighbouring turns are `new` apart. Solve for h by
        # halving on the distance of the point (h, 0) from the line.
        low, high = 0.0, 1e6
        for _ in range(200):
            h = (low + high) / 2
            line = np.array([h, around]) / np.hypot(h, around)
            apart = abs(np.cross(np.array([*line, 0]), np.array([h, 0, 0]))[2])
            low, high = (h, high) if apart < new else (low, h)
        rows.append([side, float(around / np.pi), width, overlap, float(side / h), float(side / h * np.hypot(h, around))])
    return rows


def main():
    tables = {"stems": stems(), "bars": bars(), "searches": searches(), "tapes": tapes()}
    rows = lambda items: "[\n" + ",\n".join(json.dumps(item) for item in items) + "\n]"
    text = "{" + ",\n".join(f'"{name}": {rows(items)}' for name, items in tables.items()) + "}\n"
    pathlib.Path(__file__).with_name("cockpit.json").write_text(text)
    print({name: len(items) for name, items in tables.items()})
    if "--time" in sys.argv:
        case = ((240.0, 0.0), 0.0, (132.0, 0.0), 0.0, 73.0, 0.5)
        assert abs(search(*case).min() - fast_search(*case)[1]) < 1e-9
        began = time.perf_counter()
        for _ in range(2000):
            fast_search(*case)
        each = (time.perf_counter() - began) / 2000
        print(f"one search over {len(STEMS) * len(SPACERS) * len(TURNS)}: {each * 1e6:.0f} us")


main()
