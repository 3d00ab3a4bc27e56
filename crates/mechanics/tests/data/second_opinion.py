#!/usr/bin/env python3
"""Second opinion for spokes, threads and press fits, from points in space. Writes second_opinion.json beside itself.

Needs numpy; run `python3 second_opinion.py`. The Rust tests only read the JSON, so nobody needs Python to run them.

  spokes   both ends of a spoke as points in space, one turned about the axle by a rotation matrix, and the length of
           the vector between them, less half a hole; the crossings are counted on a drawn wheel, not put in a formula
  threads  the two flanks of the groove as straight lines from the flats of the basic profile (an eighth of the pitch
           at the major diameter, a quarter at the minor); where they are a quarter apart from the next is the bore
  fits     out-of-round bores as points; the room across in a direction is the extent of all points in it
"""
import json
import pathlib

import numpy as np


def turned(point, degrees):
    t = np.radians(degrees)
    return np.array([[np.cos(t), -np.sin(t), 0], [np.sin(t), np.cos(t), 0], [0, 0, 1]]) @ point


def cross(p, q, r, s):
    """Whether the segments p-q and r-s cross, seen along the axle."""
    side = lambda a, b, c: np.sign((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    return side(p, q, r) != side(p, q, s) and side(r, s, p) != side(r, s, q)


def steps_for(crossings, a_side, hub, rim):
    """Holes of the rim that a spoke must move on so that it crosses so many of its side."""
    place = lambda radius, step: turned(np.array([radius, 0, 0]), 360 / a_side * step)
    for steps in range(a_side // 2):
        leading = (place(hub, 0), place(rim, steps))
        trailing = [(place(hub, hole), place(rim, hole - steps)) for hole in range(1, a_side, 2)]
        if sum(cross(*leading, *other) for other in trailing) == crossings:
            return steps
    return None


def spokes():
    rows = []
    for a_side in [8, 10, 12, 14, 16, 18, 20]:
        for crossings in [0, 1, 2, 3, 4]:
            for offset, circle, diameter, hole in [
                (39.0, 58.0, 555.0, 2.6), (17.5, 45.0, 600.0, 2.5), (36.2, 38.0, 600.0, 2.4), (0.0, 90.0, 400.0, 2.6),
                (21.0, 102.0, 539.0, 3.0),
            ]:
                steps = steps_for(crossings, a_side, circle / 2, diameter / 2)
                if steps is None:
                    continue
                at_hub = np.array([circle / 2, 0, offset])
                at_rim = turned(np.array([diameter / 2, 0, 0]), 360 / a_side * steps)
                spoke = at_rim - at_hub
                span = float(np.linalg.norm(spoke))
                rows.append({
                    "a_side": a_side, "crossings": crossings, "offset_mm": offset, "circle_mm": circle,
                    "diameter_mm": diameter, "hole_mm": hole, "length_mm": span - hole / 2,
                    "bracing_deg": float(90 - np.degrees(np.arccos(abs(spoke[2]) / span))),
                })
    return rows


def threads():
    rows = []
    for name, major, pitch in [
        ("1.37 in x 24", 1.37 * 25.4, 25.4 / 24), ("35 x 1", 35.0, 1.0), ("36 x 24", 36.0, 25.4 / 24),
        ("47 x 1", 47.0, 1.0), ("M5 x 0.8", 5.0, 0.8), ("M6 x 1", 6.0, 1.0), ("M10 x 1", 10.0, 1.0),
    ]:
        # Along the axis x and inward depth y; the groove is centred on 0. Its right flank starts at the edge of the flat
        # and opens at 30 degrees to the radius; the crest of the bore is centred on half a pitch, a quarter wide.
        flank = np.array([np.sin(np.radians(30)), np.cos(np.radians(30))])
        start, edge = np.array([pitch / 16, 0]), pitch / 2 - pitch / 8
        # start + t * flank = (edge, depth)
        t, depth = np.linalg.solve(np.array([[flank[0], 0.0], [flank[1], -1.0]]), np.array([edge, 0.0]) - start)
        rows.append({"name": name, "major_mm": major, "pitch_mm": pitch, "minor_mm": float(major - 2 * depth)})
    return rows


def fits():
    rows = []
    around = np.radians(np.arange(0, 360, 0.25))
    for cup, diameter, oval, axis in [
        (41.0, 40.97, 0.00, 0), (41.0, 40.97, 0.02, 30), (41.0, 40.98, 0.06, 75), (46.012, 46.0, 0.01, 45),
        (42.0, 41.96, 0.03, 120), (37.0, 37.02, 0.05, 15), (41.05, 41.0, 0.0, 0),
    ]:
        # An ellipse whose axes differ by `oval`.
        long, short = (diameter + oval / 2) / 2, (diameter - oval / 2) / 2
        points = np.c_[long * np.cos(around), short * np.sin(around)]
        t = np.radians(axis)
        points = points @ np.array([[np.cos(t), np.sin(t)], [-np.sin(t), np.cos(t)]])
        across = lambda degrees: float(np.ptp(points @ [np.cos(np.radians(degrees)), np.sin(np.radians(degrees))]))
        every = [across(degrees) for degrees in np.arange(0, 180, 0.5)]
        rows.append({
            "cup_mm": cup, "readings_mm": [across(degrees) for degrees in range(0, 180, 15)],
            "least_mm": cup - max(every), "most_mm": cup - min(every), "ovality_mm": oval,
        })
    return rows


def main():
    tables = {"spokes": spokes(), "threads": threads(), "fits": fits()}
    rows = lambda items: "[\n" + ",\n".join(json.dumps(item) for item in items) + "\n]"
    text = "{" + ",\n".join(f'"{name}": {rows(items)}' for name, items in tables.items()) + "}\n"
    pathlib.Path(__file__).with_name("second_opinion.json").write_text(text)
    print({name: len(items) for name, items in tables.items()})


main()
