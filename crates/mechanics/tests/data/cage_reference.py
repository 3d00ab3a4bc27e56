#!/usr/bin/env python3
"""Second opinion for the cage of the rear derailleur. Writes cage_reference.json beside itself.

Needs numpy and scipy; run `python3 cage_reference.py`. The Rust tests only read the JSON.

Another formulation of the same plane geometry, with no formula for a tangent in it:
  tangents  the two points where a span leaves one circle and meets the next are unknown; scipy.optimize.fsolve finds the
            two polar angles at which the span is square to both radii
  arcs      the polar angle from the point where the chain meets a circle to the point where it leaves, in the sense in
            which that circle turns
  closure   scipy.optimize.brentq on the cage angle
  limits    brentq as well, after a scan for the first change of sign: back, where the lower run comes within a chain height of
            the guide pulley's pins, and where the tooth tips of guide pulley and cog meet; forward, where nothing of the
            tension pulley is wrapped any more
  fit       scipy.optimize.least_squares for the calibration by three readings
The frame is turned half over: x points backward and y up, the opposite of the crate's axes. Timing: whole solutions of 2 x 12 gears, in milliseconds on the machine that wrote the table.
"""
import json
import math
import pathlib
import time

import numpy as np
from scipy.optimize import brentq, fsolve, least_squares

PITCH = 12.7
CHAIN_HEIGHT = 8.5


def radius(teeth):
    return PITCH / (2 * math.sin(math.pi / teeth))


def tip(teeth):
    return PITCH / 2 * (0.6 + 1 / math.tan(math.pi / teeth))


def on(centre, r, polar):
    return centre + r * np.array([math.cos(polar), math.sin(polar)])


def span(c1, r1, s1, c2, r2, s2):
    """Polar angles of the two ends of the span; s is +1 for a circle that turns counterclockwise here."""
    across = c2 - c1
    line = math.atan2(across[1], across[0])

    def square(z):
        p, q = on(c1, r1, z[0]), on(c2, r2, z[1])
        run = q - p
        return [run @ (p - c1) / (r1 * 100), run @ (q - c2) / (r2 * 100)]

    # Start on the side from which a circle turning that way lets the chain go.
    lean = math.asin(max(-0.999, min(0.999, (s2 * r2 - s1 * r1) / math.hypot(*across))))
    start = [line - lean * 0.9 - s1 * math.pi / 2, line - lean * 0.9 - s2 * math.pi / 2]
    z, _, _, why = fsolve(square, start, xtol=1e-14, full_output=True)
    p, q = on(c1, r1, z[0]), on(c2, r2, z[1])
    run = q - p
    worst = max(abs(run @ (p - c1)) / r1, abs(run @ (q - c2)) / r2)
    assert worst < 1e-8, (worst, why)
    # The chain must leave the way the circle turns.
    forward = s1 * np.array([-math.sin(z[0]), math.cos(z[0])])
    assert forward @ run > 0
    return z[0], z[1], math.hypot(*run)


def arc(meets, leaves, sense, middle):
    turn = sense * (leaves - meets)
    return turn - 2 * math.pi * round((turn - middle) / (2 * math.pi))


class Gear:
    def __init__(self, case):
        self.__dict__.update(case)
        # Turned over: x backward, y up. A direction of d degrees (0 forward, 90 down) is polar 180 + d seen this way.
        polar = lambda size, deg: on(np.zeros(2), size, math.pi + math.radians(deg))
        self.pivot = (np.array([self.hanger_behind_mm, -self.hanger_drop_mm])
                      + polar(self.reach_mm, self.body_deg + self.screw_deg)
                      + polar(self.inward_mm * math.tan(math.radians(self.slant_deg)), self.slant_direction_deg + self.screw_deg))
        self.ring_at = np.array([-math.sqrt(self.chainstay_mm ** 2 - self.bracket_drop_mm ** 2), -self.bracket_drop_mm])

    def places(self, cage_deg):
        polar = lambda size, deg: on(np.zeros(2), size, math.pi + math.radians(deg))
        guide = self.pivot + polar(self.guide_offset_mm, cage_deg + self.guide_offset_deg)
        return guide, guide + polar(self.apart_mm, cage_deg)

    def length(self, cage_deg):
        """Chain in pitches."""
        guide, tension = self.places(cage_deg)
        wheels = [(self.ring_at, self.ring, 1, math.pi), (tension, self.tension, 1, math.pi / 2),
                  (guide, self.guide, -1, math.pi / 2), (np.zeros(2), self.cog, 1, math.pi)]
        spans = []
        for i in range(4):
            (c1, n1, s1, _), (c2, n2, s2, _) = wheels[i], wheels[(i + 1) % 4]
            spans.append(span(c1, radius(n1), s1, c2, radius(n2), s2))
        total = sum(s[2] for s in spans) / PITCH
        for i, (_, teeth, sense, middle) in enumerate(wheels):
            total += teeth * arc(spans[i - 1][1], spans[i][0], sense, middle) / (2 * math.pi)
        return total

    def solve(self, count, low, high):
        # Whole degrees only to bracket; the crate's own limits are not used.
        return brentq(lambda a: self.length(a) - count, low, high, xtol=1e-13, rtol=1e-14)

    def gap(self, cage_deg):
        guide, _ = self.places(cage_deg)
        return math.hypot(*guide) - tip(self.guide) - tip(self.cog)


def first_fall(f, start, end, step):
    """Where f first falls to 0 on the way from start to end; None if it does not."""
    at, value = start, f(start)
    if not value > 0:
        return None
    while (end - at) * step > 0:
        nxt = at + step
        try:
            new = f(nxt)
        except (AssertionError, ValueError):
            return None
        if new <= 0:
            return brentq(f, at, nxt, xtol=1e-13, rtol=1e-14)
        at, value = nxt, new
    return None


def clearance(gear, cage_deg):
    """Guide pulley's centre above the lower run, less its radius and a chain."""
    guide, tension = gear.places(cage_deg)
    a, b, _ = span(gear.ring_at, radius(gear.ring), 1, tension, radius(gear.tension), 1)
    p, q = on(gear.ring_at, radius(gear.ring), a), on(tension, radius(gear.tension), b)
    run = (q - p) / math.hypot(*(q - p))
    return run[0] * (guide - p)[1] - run[1] * (guide - p)[0] - radius(gear.guide) - CHAIN_HEIGHT


def tension_wrap(gear, cage_deg):
    guide, tension = gear.places(cage_deg)
    _, meets, _ = span(gear.ring_at, radius(gear.ring), 1, tension, radius(gear.tension), 1)
    leaves, _, _ = span(tension, radius(gear.tension), 1, guide, radius(gear.guide), -1)
    return arc(meets, leaves, 1, math.pi / 2)


def random_case(rng):
    u = rng.uniform
    wide = rng.random() < 0.4
    return dict(
        ring=int(rng.integers(22, 56)), cog=int(rng.integers(10, 52 if wide else 37)),
        chainstay_mm=u(390, 470), bracket_drop_mm=u(-25, 85), hanger_drop_mm=u(24, 34), hanger_behind_mm=u(4, 14),
        inward_mm=u(0, 40), guide=int(rng.integers(10, 15)), tension=int(rng.integers(10, 15)), apart_mm=u(54, 95),
        guide_offset_mm=u(3, 20) if wide else 0.0, guide_offset_deg=u(40, 100) if wide else 0.0,
        reach_mm=u(45, 65), body_deg=u(40, 60), slant_deg=u(30, 52), slant_direction_deg=u(70, 95), screw_deg=u(0, 10),
    )


FRAME = dict(chainstay_mm=410.0, bracket_drop_mm=70.0, hanger_drop_mm=28.0, hanger_behind_mm=9.0)
SHORT = dict(guide=11, tension=11, apart_mm=56.0, guide_offset_mm=0.0, guide_offset_deg=0.0, reach_mm=45.0, body_deg=50.0,
             slant_deg=34.0, slant_direction_deg=80.0, screw_deg=6.6)
TOLERANCES = dict(apart_mm=2.0, reach_mm=3.0, body_deg=4.0, slant_deg=2.0, slant_direction_deg=8.0)


def fits(rng):
    """The short family, moved, read in 50x25 and 34x13, and fitted back from its middle."""
    out = []
    while len(out) < 12:
        truth = {**FRAME, **SHORT}
        for key, tolerance in TOLERANCES.items():
            truth[key] += rng.uniform(-0.8, 0.8) * tolerance
        gears = [(50, 25, 9), (34, 13, 2)]
        gear = lambda base, g: Gear({**base, "ring": g[0], "cog": g[1], "inward_mm": 3.74 * g[2]})
        angles = [gear(truth, g).solve(106.0, 5.0, 160.0) for g in gears]
        gap = gear(truth, gears[0]).gap(angles[0])
        level, feel = 0.5, 0.5
        keys = list(TOLERANCES)

        def off(z):
            base = {**FRAME, **SHORT}
            for key, share in zip(keys, z):
                base[key] += share * TOLERANCES[key]
            found = [(gear(base, g).solve(106.0, -15.0, 175.0) - a) / level for g, a in zip(gears, angles)]
            return np.array(found + [(gear(base, gears[0]).gap(90.0) - gap) / feel] + list(z))

        fit = least_squares(off, np.zeros(len(keys)), jac="3-point", xtol=1e-14, ftol=1e-14, gtol=1e-14)
        out.append(dict(angles_deg=angles, gap_mm=gap, truth=[truth[k] for k in keys], shares=list(fit.x)))
    return out


def timing():
    """A whole solution of 2 x 12 gears: by this script, and with closed tangents under brentq as a fair opponent."""
    cogs = [11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 27, 28]
    gears = [Gear({**FRAME, **SHORT, "ring": r, "cog": c, "inward_mm": 3.4 * i}) for r in (50, 34) for i, c in enumerate(cogs)]

    def closed(gear, cage_deg):
        guide, tension = gear.places(cage_deg)
        wheels = [(gear.ring_at, gear.ring, 1, math.pi), (tension, gear.tension, 1, math.pi / 2),
                  (guide, gear.guide, -1, math.pi / 2), (np.zeros(2), gear.cog, 1, math.pi)]
        headings, total = [], 0.0
        for i in range(4):
            (c1, n1, s1, _), (c2, n2, s2, _) = wheels[i], wheels[(i + 1) % 4]
            x, y = c2 - c1
            apart, q = math.hypot(x, y), s2 * radius(n2) - s1 * radius(n1)
            headings.append(math.atan2(y, x) - math.asin(q / apart))
            total += math.sqrt(apart * apart - q * q) / PITCH
        for i, (_, teeth, sense, middle) in enumerate(wheels):
            total += teeth * arc(headings[i - 1], headings[i], sense, middle) / (2 * math.pi)
        return total

    def run(length, rounds):
        best = math.inf
        for _ in range(rounds):
            start = time.perf_counter()
            for gear in gears:
                f = lambda a: length(gear, a) - 106.0
                low, high = (-5.0, 170.0)
                if f(low) < 0 < f(high):
                    brentq(f, low, high, xtol=1e-9)
            best = min(best, time.perf_counter() - start)
        return best * 1e3

    return dict(closed_tangents_brentq_ms=run(closed, 20), this_formulation_ms=run(lambda g, a: g.length(a), 3))


def main():
    rng = np.random.default_rng(20260)
    cases, tried = [], 0
    while len(cases) < 320:
        tried += 1
        case = random_case(rng)
        gear = Gear(case)
        cage = rng.uniform(5, 150)
        try:
            at = [gear.length(a) for a in (cage - 12, cage, cage + 12)]
        except (AssertionError, ValueError):
            continue
        if not (at[0] < at[1] < at[2]) or gear.gap(cage) < 1:
            continue
        count = round(at[1], 1)
        if not at[0] < count < at[2]:
            continue
        angle = gear.solve(count, cage - 12, cage + 12)
        guide, tension = gear.places(angle)
        case.update(touching_deg=first_fall(lambda a: clearance(gear, a), 90.0, 199.0, 2.0),
                    meshing_deg=first_fall(gear.gap, angle, 199.0, 2.0) if gear.guide_offset_mm else None,
                    straight_deg=first_fall(lambda a: tension_wrap(gear, a), angle, -78.0, -2.0))
        case.update(cage_deg=cage, length_pitches=at[1], count=count, angle_deg=angle,
                    guide_mm=[-guide[0], -guide[1]], tension_mm=[-tension[0], -tension[1]], gap_mm=gear.gap(angle))
        cases.append(case)
    fitted = fits(rng)
    head = dict(pitch_mm=PITCH, tried=tried, timing=timing())
    rows = lambda items: "[\n" + ",\n".join(json.dumps(item) for item in items) + "\n]"
    text = json.dumps(head)[:-1] + ',\n"fits": ' + rows(fitted) + ',\n"cases": ' + rows(cases) + "}\n"
    pathlib.Path(__file__).with_name("cage_reference.json").write_text(text)
    print(len(cases), "cases of", tried, head["timing"])


main()
