#!/usr/bin/env python3
"""Second opinion for the open belt and the chain around two sprockets. Writes open_belt.json beside itself.

Needs numpy and scipy; run `python3 open_belt.py`. The Rust tests only read the JSON, so nobody needs Python to run them.

Each case: teeth, centres in mm, belt length (mm), chain length (pitches), the next even chain, its centres.
  belt    two straight spans and two arcs on the pitch radii
  chain   the same spans, and on each sprocket its teeth times the share of the turn that is wrapped
  centres scipy.optimize.brentq on the chain length
Two checks that share no formula with the above, on every case:
  hull    perimeter of the convex hull of both circles, sampled (agrees to 1e-7)
  spans   the two longest edges of that hull are the straight spans; their direction gives the wrap (agrees to 1e-3)
"""
import json
import math
import pathlib

import numpy as np
from scipy.optimize import brentq
from scipy.spatial import ConvexHull

PITCH = 12.7
SAMPLES = 6000


def radius(teeth):
    return PITCH / (2 * math.sin(math.pi / teeth))


def belt(ring, cog, centres):
    big, small = radius(ring), radius(cog)
    slope = math.asin((big - small) / centres)
    return 2 * centres * math.cos(slope) + (math.pi + 2 * slope) * big + (math.pi - 2 * slope) * small


def chain(ring, cog, centres):
    slope = math.asin((radius(ring) - radius(cog)) / centres)
    wrapped = ring * (math.pi + 2 * slope) + cog * (math.pi - 2 * slope)
    return 2 * centres / PITCH * math.cos(slope) + wrapped / (2 * math.pi)


def hull(ring, cog, centres):
    """Perimeter of the hull, and the chain length from its two longest edges."""
    turn = np.linspace(0, 2 * np.pi, SAMPLES, endpoint=False)
    big, small = radius(ring), radius(cog)
    points = np.r_[
        np.c_[big * np.cos(turn), big * np.sin(turn)],
        np.c_[centres + small * np.cos(turn), small * np.sin(turn)],
    ]
    found = ConvexHull(points)
    around = points[found.vertices]
    edges = np.roll(around, -1, axis=0) - around
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    spans = edges[np.argsort(lengths)[-2:]]
    # The upper span falls toward the cog when the ring is larger: its direction is the slope of the spans.
    slopes = [math.atan2(abs(e[1]), abs(e[0])) for e in spans]
    slope = math.copysign(sum(slopes) / 2, big - small)
    straight = np.hypot(spans[:, 0], spans[:, 1]).sum() / PITCH
    wrapped = ring * (0.5 + slope / math.pi) + cog * (0.5 - slope / math.pi)
    return found.area, straight + wrapped


def main():
    rings = [9, 13, 20, 22, 28, 34, 39, 46, 50, 53, 60]
    cogs = [9, 11, 17, 25, 34, 50]
    cases, refused, worst_hull, worst_spans = [], [], 0.0, 0.0
    for centres in [130.0, 250.0, 395.0, 405.0, 410.0, 417.3, 460.0, 1000.0]:
        for ring in rings:
            for cog in cogs:
                least = radius(ring) + radius(cog)
                if centres < least:
                    refused.append({"ring": ring, "cog": cog, "centres_mm": centres})
                    continue
                length = chain(ring, cog, centres)
                even = 2 * math.ceil(length / 2)
                apart = brentq(lambda c: chain(ring, cog, c) - even, least, even * PITCH, xtol=1e-12, rtol=9e-16)
                perimeter, from_spans = hull(ring, cog, centres)
                worst_hull = max(worst_hull, abs(perimeter / belt(ring, cog, centres) - 1))
                worst_spans = max(worst_spans, abs(from_spans / length - 1))
                cases.append({
                    "ring": ring, "cog": cog, "centres_mm": centres,
                    "belt_mm": belt(ring, cog, centres), "chain_pitches": length,
                    "even_pitches": even, "centres_for_even_mm": apart, "hull_mm": perimeter,
                })
    assert worst_hull < 1e-7, worst_hull
    assert worst_spans < 1e-3, worst_spans
    head = {"pitch_mm": PITCH, "worst_hull": worst_hull, "worst_spans": worst_spans}
    rows = lambda items: "[\n" + ",\n".join(json.dumps(item) for item in items) + "\n]"
    text = json.dumps(head)[:-1] + ',\n"refused": ' + rows(refused) + ',\n"cases": ' + rows(cases) + "}\n"
    pathlib.Path(__file__).with_name("open_belt.json").write_text(text)
    print(len(cases), "cases,", len(refused), "refused", worst_hull, worst_spans)


main()
