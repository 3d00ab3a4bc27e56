#!/usr/bin/env python3
"""Second opinion for the chain in the front cage and for the landing of gears. Writes front_reference.json beside itself.

Needs numpy and scipy; run `python3 front_reference.py`. The Rust tests only read the JSON.

  passes    the two points where the run touches ring and cog are unknown polar angles; scipy.optimize.fsolve finds where
            the run is square to both radii. Chain edges are lines through points moved along normals; where an edge
            crosses the plate's circle is found by scipy.optimize.brentq on the way along it. Plates are lines through
            their corners, met with the station by numpy.linalg.solve. The least room is taken over many stations.
  landings  the travel curve is scipy.interpolate.PchipInterpolator; positions are running sums; the click at which a
            shift fails is found by brentq on the room.

Timing: whole maps of 2 x 11 pairs and whole sets of landings and windows of 11 gears, in milliseconds on the machine
that wrote the table.
"""
import json
import math
import pathlib
import time

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, fsolve

PITCH, ABOVE_PIN = 12.7, 3.8


def radius(teeth):
    return PITCH / 2 / math.sin(math.pi / teeth)


def tips(teeth):
    # Outside diameter: p (0.6 + cot(180 deg / N)).
    return PITCH * (0.6 + math.cos(math.pi / teeth) / math.sin(math.pi / teeth)) / 2


def tangent_points(r, q, stay):
    """Points of a line that touches a circle about (0, 0) and one about (stay, 0) from above."""
    def square(angles):
        a = r * np.array([math.cos(angles[0]), math.sin(angles[0])])
        b = np.array([stay, 0.0]) + q * np.array([math.cos(angles[1]), math.sin(angles[1])])
        run = (b - a) / stay
        return [run @ a / r, run @ (b - [stay, 0.0]) / q]

    # Begin to the right side of square: a solution within a quarter turn of straight up.
    angles, _, found, _ = fsolve(square, [1.5, 1.5], xtol=1e-15, full_output=True)
    a = r * np.array([math.cos(angles[0]), math.sin(angles[0])])
    b = np.array([stay, 0.0]) + q * np.array([math.cos(angles[1]), math.sin(angles[1])])
    assert a[1] > 0 and b[1] > 0
    return a, b


def on_line(p, q, x):
    """Second number of the line through two points at a first number."""
    solved = np.linalg.solve(np.array([[q[0] - p[0], 0.0], [q[1] - p[1], -1.0]]), np.array([x - p[0], -p[1]]))
    return solved[1]


def passage(row):
    r, q = radius(row["ring"]), radius(row["cog"])
    a, b = tangent_points(r, q, row["stay_mm"])
    along = (b - a) / np.linalg.norm(b - a)
    normal = a / np.linalg.norm(a)
    tail, nose = row["tail_mm"], row["tail_mm"] - row["length_mm"]
    plan_a, plan_b = np.array([a[0], row["ring_at_mm"]]), np.array([b[0], row["cog_at_mm"]])
    askew = (plan_b - plan_a) / np.linalg.norm(plan_b - plan_a)
    aside = np.array([-askew[1], askew[0]]) * row["chain_mm"] / 2

    def chain(x, free):
        """Inner edge, middle and outer edge."""
        if not free:
            return [row["ring_at_mm"] + s * row["chain_mm"] / 2 for s in (-1, 0, 1)]
        return [on_line(plan_a + s * aside, plan_b + s * aside, x) for s in (-1, 0, 1)]

    shift = row["length_mm"] * math.sin(math.radians(row["yaw_deg"])) / math.cos(math.radians(row["yaw_deg"]))
    outer = [np.array([nose, row["nose_mm"] / 2]), np.array([tail, shift + row["tail_width_mm"] / 2])]
    inner = [np.array([nose, -row["nose_mm"] / 2]), np.array([tail, shift - row["tail_width_mm"] / 2])]
    room_out = lambda x, free: on_line(*outer, x) - chain(x, free)[2]
    room_in = lambda x, free: chain(x, free)[0] - on_line(*inner, x)

    def begins(edge):
        """Where the free run comes beside a plate: its upper edge on the way along it against the plate's circle."""
        upper = a + ABOVE_PIN * normal
        away = lambda s: np.linalg.norm(upper + s * along) - edge
        if away(0.0) >= 0:
            return a[0]
        s = brentq(away, 0.0, 2 * np.linalg.norm(b - a) + edge, xtol=1e-13, rtol=1e-15)
        return max(a[0], (upper + s * along)[0])

    def front(edge, room):
        """Least room on the ring and where the free run comes beside the plate; and the least over the whole stretch."""
        rooms, all_along = [], [room(tail, tail > a[0])]
        if edge <= r + ABOVE_PIN and nose < a[0]:
            rooms += [room(x, False) for x in np.linspace(nose, min(a[0], tail), 9)]
        start = max(begins(edge), nose)
        if start < tail:
            rooms.append(room(start, True))
            all_along += [room(x, True) for x in np.linspace(start, tail, 9)]
        return (min(rooms) if rooms else None), min(rooms + all_along)

    edge = tips(row["outer_ring"]) + row["height_mm"]
    lower = a - ABOVE_PIN * normal
    if tail >= lower[0]:
        low = on_line(lower, lower + along, tail)
    else:
        low = brentq(lambda z: math.hypot(tail, z) - (r - ABOVE_PIN), 0.0, 2 * r, xtol=1e-14)
    plate_low = brentq(lambda z: math.hypot(tail, z) - edge, 0.0, 2 * edge, xtol=1e-14)
    is_free = tail > a[0]
    (inner_front, inner_least), (outer_front, outer_least) = front(edge - row["depth_mm"], room_in), front(edge, room_out)
    tails = room_in(tail, is_free), room_out(tail, is_free)
    return {
        "at_nose_mm": chain(nose, nose > a[0])[1], "at_tail_mm": chain(tail, is_free)[1], "leaves_mm": a[0],
        "over_bridge_mm": low - (plate_low - row["bridge_mm"]),
        "inner_front_mm": inner_front, "outer_front_mm": outer_front, "inner_tail_mm": tails[0],
        "outer_tail_mm": tails[1], "least_mm": -outer_least, "most_mm": inner_least,
    }


def drawn_pass(chance):
    outer = int(chance.integers(36, 56))
    inner = int(chance.integers(22, outer - 5))
    ring = outer if chance.random() < 0.5 else inner
    line = chance.uniform(42, 52)
    return {
        "ring": ring, "outer_ring": outer, "ring_at_mm": line + (3.7 if ring == outer else -3.7),
        "cog": int(chance.integers(9, 52)), "cog_at_mm": chance.uniform(20, 68), "stay_mm": chance.uniform(390, 480),
        "chain_mm": chance.uniform(4.8, 7.8), "nose_mm": chance.uniform(7, 16), "tail_width_mm": chance.uniform(8, 20),
        "length_mm": chance.uniform(70, 110), "tail_mm": chance.uniform(-5, 0) if chance.random() < 0.1
        else chance.uniform(30, min(95, 0.9 * tips(outer))),
        "yaw_deg": chance.uniform(-3, 3), "height_mm": chance.uniform(0.5, 5), "depth_mm": chance.uniform(0, 35),
        "bridge_mm": chance.uniform(5, 45),
    }


def landings(row):
    travel = np.array(row["travel_mm"])
    curve = PchipInterpolator(travel[:, 0], travel[:, 1])
    cable = np.concatenate([[0.0], np.cumsum(row["pulls_mm"])])
    cogs = np.concatenate([[0.0], np.cumsum(row["pitches_mm"])])
    drop = row["drop_mm"][0] + (row["drop_mm"][1] - row["drop_mm"][0]) * cogs / cogs[-1]
    hanger = drop * math.sin(math.radians(row["roll_deg"])) + row["behind_mm"] * math.sin(math.radians(row["toe_deg"]))
    lag = row["lost_mm"] / 2
    error = lambda gear, sign, adjuster: float(curve(adjuster + cable[gear] - sign * lag) + hanger[gear] - cogs[gear])
    errors, rooms = [], []
    for gear in range(len(cogs)):
        larger = error(gear, 1, row["adjuster_mm"]) if gear > 0 else None
        smaller = error(gear, -1, row["adjuster_mm"]) if gear + 1 < len(cogs) else None
        errors.append([larger, smaller])
        add = off = None
        if smaller is not None:
            fails = lambda clicks: row["reach_mm"] - row["float_mm"] - error(gear, -1, row["adjuster_mm"] + 0.2 * clicks)
            add = brentq(fails, -40, 40, xtol=1e-13)
        if larger is not None:
            fails = lambda clicks: row["reach_mm"] - row["float_mm"] + error(gear, 1, row["adjuster_mm"] - 0.2 * clicks)
            off = brentq(fails, -40, 40, xtol=1e-13)
        rooms.append([add, off])
    return {"errors_mm": errors, "clicks": rooms}


def drawn_landing(chance):
    gears = int(chance.integers(5, 13))
    ratio = chance.uniform(1.1, 1.7)
    steps = chance.uniform(3.3, 5.0)
    places = np.array([-20.0, -8.0, 0.0, 8.0, 16.0, 24.0, 34.0, 50.0, 75.0])
    travel = ratio * places * (1 + 0.002 * chance.uniform(-1, 1) * places)
    return {
        "pulls_mm": list(steps / ratio * chance.uniform(0.93, 1.07, gears - 1)),
        "pitches_mm": list(steps * chance.uniform(0.98, 1.02, gears - 1)),
        "travel_mm": [list(pair) for pair in zip(places, travel)], "roll_deg": chance.uniform(-2, 2),
        "toe_deg": chance.uniform(-2, 2), "drop_mm": [chance.uniform(50, 65), chance.uniform(70, 90)],
        "behind_mm": chance.uniform(-10, 30), "lost_mm": chance.uniform(0, 0.6), "float_mm": chance.uniform(0, 0.3),
        "reach_mm": chance.uniform(0.6, 1.2), "adjuster_mm": chance.uniform(-1, 1),
    }


def milliseconds(work, times):
    began = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - began) / times * 1000


def timing():
    base = {"outer_ring": 50, "stay_mm": 410.0, "chain_mm": 5.6, "nose_mm": 9.5, "tail_width_mm": 12.5, "length_mm": 95.0,
            "tail_mm": 85.0, "yaw_deg": 0.0, "height_mm": 2.0, "depth_mm": 14.0, "bridge_mm": 28.0}
    cogs = [11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28]
    pairs = [{**base, "ring": ring, "ring_at_mm": at, "cog": cog, "cog_at_mm": 61.2 - 3.74 * i}
             for ring, at in [(50, 47.15), (34, 39.85)] for i, cog in enumerate(cogs)]
    row = drawn_landing(np.random.default_rng(5))
    row.update({"pulls_mm": [2.7] * 10, "pitches_mm": [3.74] * 10})
    return {"map_ms": milliseconds(lambda: [passage(pair) for pair in pairs], 10),
            "landing_ms": milliseconds(lambda: landings(row), 20)}


def main():
    chance = np.random.default_rng(20)
    passes = [row | passage(row) for row in (drawn_pass(chance) for _ in range(300))]
    landed = [row | landings(row) for row in (drawn_landing(chance) for _ in range(200))]
    rows = lambda items: "[\n" + ",\n".join(json.dumps(item) for item in items) + "\n]"
    took = timing()
    text = f'{{"passes": {rows(passes)},\n"landings": {rows(landed)},\n"timing": {json.dumps(took)}}}\n'
    pathlib.Path(__file__).with_name("front_reference.json").write_text(text)
    print(len(passes), len(landed), took)


main()
