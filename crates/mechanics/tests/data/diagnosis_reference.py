#!/usr/bin/env python3
"""Second opinion for the diagnosis of a rear derailleur. Writes diagnosis_reference.json beside itself.

Needs numpy and scipy; run `python3 diagnosis_reference.py`. The Rust tests only read the JSON.

The hidden numbers of every cause and of every two causes of different kinds are columns of arrays, all weighed at
once. A shift's outcomes come straight from scipy.stats.norm.cdf instead of a table, the setting that is off by hand
is summed for every row instead of the likelier ones, and the sums are made in another order. Evidence is drawn at
random: grids of a random fault told with mistakes, checks that may say anything, histories.
"""
import itertools
import json
import pathlib

import numpy as np
from scipy.special import logsumexp
from scipy.stats import norm

CAUSES = ["Slack", "Tight", "Drag", "Mismatch", "Hanger", "Spacer", "HighLimitTight", "HighLimitOpen",
          "LowLimitTight", "LowLimitOpen", "GapSmall", "GapLarge", "WornCog", "Play", "StiffLink"]
USUAL = dict(Slack=.22, Tight=.10, Drag=.15, Mismatch=.05, Hanger=.10, Spacer=.05, HighLimitTight=.04,
             HighLimitOpen=.03, LowLimitTight=.04, LowLimitOpen=.03, GapSmall=.04, GapLarge=.04, WornCog=.06,
             Play=.04, StiffLink=.03)
KIND = dict(Slack="t", Tight="t", HighLimitTight="h", HighLimitOpen="h", LowLimitTight="l", LowLimitOpen="l",
            GapSmall="g", GapLarge="g")
MARKS = dict(new_housing=(.15, dict(Slack=.4)), fall=(.08, dict(Hanger=.6)),
             new_wheel=(.10, dict(Slack=.15, Tight=.2, Spacer=.6)),
             used_derailleur=(.08, dict(Play=.3, Mismatch=.3)), new_chain=(.12, dict(WornCog=.6)),
             marginal_index=(.06, dict(Mismatch=.6)), dragging_run=(.10, dict(Drag=.35)),
             drifted=(.10, dict(Slack=.45, Play=.25)),
             worse_on_road=(.06, dict(Play=.45, WornCog=.5, Hanger=.15)),
             changes_with_bars=(.04, dict(Drag=.35, Slack=.12)), since_wet=(.10, dict(Drag=.3, StiffLink=.4)))
SHIFTS = ["Clean", "Slow", "Refuses", "Over"]
SOUNDS = ["Quiet", "Tick", "Growl", "Rub", "Chatter", "Jump"]
REACH, BASE_DRAG, SCATTER, REFUSED, OVER, OVER_END, SLIP = .85, .15, .24, .7, 1.4, .65, .03
LAMBDA_SHIFT, LAMBDA_SOUND, STRAY = .85, .95, .01
PLAY = np.array([0., .7, 1.1])
COLUMNS = ["a", "b", "d", "m", "h", "high", "low", "gap", "touch", "play", "worn", "stiff", "lean", "pull"]
ZERO = dict.fromkeys(COLUMNS, 0.) | dict(high=-.3, low=.3)


def grid_of(cause, n):
    if cause in ("Slack", "Tight"):
        sign = -1 if cause == "Slack" else 1
        return [dict(a=sign * x) for x in (.55, .7, .85, 1., 1.2, 1.4, 1.6, 1.8, 2., 2.2, 2.4)]
    if cause == "Drag":
        return [dict(h=x) for x in (.5, .62, .75, .9, 1.05, 1.2, 1.35)]
    if cause == "Mismatch":
        return [dict(b=s * x, pull=1) for x in (.15, .2, .26, .33, .4, .48, .56, .65) for s in (-1, 1)]
    if cause == "Hanger":
        rows = []
        for deg in (.9, 1.15, 1.4, 1.65, 1.9, 2.15, 2.4, 2.65):
            for s in (-1, 1):
                sine = np.sin(np.radians(s * deg))
                rows += [dict(b=25 * sine / (n - 1), a=left * 72.5 * sine, lean=s * deg) for left in (1, .4, 0)]
        return rows
    if cause == "Spacer":
        return [dict(d=s * x, m=m, a=-s * x if 2 * (m - 1) < n else 0.)
                for m in range(3, n) for x in (.8, 1.05, 1.3, 1.6) for s in (-1, 1)]
    if cause in ("HighLimitTight", "LowLimitTight"):
        return [dict(high=x) if cause[0] == "H" else dict(low=-x) for x in (1.2, 1.6, 2.1)]
    if cause in ("HighLimitOpen", "LowLimitOpen"):
        return [dict(high=-x) if cause[0] == "H" else dict(low=x) for x in (1.6, 2.2)]
    return dict(GapSmall=[dict(touch=1)], GapLarge=[dict(gap=x) for x in (.6, .8, 1.)],
                WornCog=[dict(worn=k) for k in range(1, n + 1)], Play=[dict(play=1), dict(play=2)],
                StiffLink=[dict(stiff=1)])[cause]


def hypotheses(n, history):
    weight = dict(USUAL)
    for mark, said in history.items():
        others, shares = MARKS[mark]
        for cause in CAUSES:
            p = shares.get(cause, others)
            weight[cause] *= p / others if said else (1 - p) / (1 - others)
    grids = {cause: grid_of(cause, n) for cause in CAUSES}
    pairs = [(x, y) for x, y in itertools.combinations(CAUSES, 2) if KIND.get(x, x) != KIND.get(y, y)]
    all_singles = sum(weight.values())
    all_pairs = sum(weight[x] * weight[y] for x, y in pairs)
    rows, prior, names = [ZERO], [.01], [()]
    for x in CAUSES:
        for point in grids[x]:
            rows.append(ZERO | point)
            prior.append(.84 * weight[x] / all_singles / len(grids[x]))
            names.append((x,))
    for x, y in pairs:
        share = .15 * weight[x] * weight[y] / all_pairs / len(grids[x]) / len(grids[y])
        for p, q in itertools.product(grids[x], grids[y]):
            row = ZERO | p
            for key, value in q.items():
                row[key] = row[key] + value if key in ("a", "b") else value
            rows.append(row)
            prior.append(share)
            names.append((x, y))
    columns = {key: np.array([row[key] for row in rows], dtype=float) for key in COLUMNS}
    member = np.array([[cause in name for cause in CAUSES] for name in names], dtype=float)
    return columns, np.log(prior), member, np.array([len(name) == 2 for name in names])


def shift_p(x, play, outcome):
    s = np.hypot(SCATTER, PLAY[play.astype(int)])
    refused, slow, clean = (norm.cdf((edge - x) / s) for edge in (-REACH - REFUSED, -REACH, OVER))
    p = dict(Clean=clean - slow, Slow=slow - refused, Refuses=refused, Over=1 - clean)[outcome]
    return (1 - SLIP) * p + SLIP / 4


def grid_log(c, case, grid, off):
    n, click = case["gears"], case["ratio"] * case["detent_mm"]
    shifts, sounds = np.zeros(len(c["a"])), np.zeros(len(c["a"]))
    high = np.full_like(c["high"], -.3) if grid["high_set"] else c["high"]
    low = np.full_like(c["low"], .3) if grid["low_set"] else c["low"]
    drag = BASE_DRAG + c["h"]
    for k, row in enumerate(grid["rows"], 1):
        e = c["a"] + off + grid["clicks"] * click + c["b"] * (k - (n + 1) / 2) + c["d"] * ((c["m"] > 0) & (k >= c["m"]))
        lost = c["gap"] * (1 - .5 * (k - 1) / (n - 1))
        for way, end, stop, said in ((1, n, low, row["to_larger"]), (-1, 1, -high, row["to_smaller"])):
            if said is None:
                continue
            x = way * e - drag
            if k == end:
                x = np.minimum(x, stop)
            p = shift_p(x - lost, c["play"], said)
            if k == end:
                p = np.where(stop > OVER, (1 - OVER_END) * p + OVER_END * (said == "Over"), p)
            shifts += np.log(p)
        if row["sound"] is not None:
            said = row["sound"]
            p = np.full(len(e), 1 - 5 * STRAY if said == "Quiet" else STRAY)
            growl = .85 if k == n else .4 if k == n - 1 else 0.
            for its, q in (("Chatter", np.clip((abs(e) - .7) / .8, 0, 1) * .6), ("Growl", c["touch"] * growl),
                           ("Jump", .85 * (c["worn"] == k)), ("Tick", .7 * c["stiff"]),
                           ("Rub", np.minimum(.15 * abs(c["lean"]), .45)), ("Chatter", .25 * (c["play"] > 0))):
                p = (1 - q) * p + q * (said == its)
            sounds += np.log(p)
    return LAMBDA_SHIFT * shifts + LAMBDA_SOUND * sounds


def check_p(c, case, kind, said):
    yes = lambda there: np.where(there, .95, .03)
    either = lambda p: p if said else 1 - p
    if kind == "limits":
        p = 1.
        for past, seen in ((-c["high"], said[0]), (c["low"], said[1])):
            stands = np.where(past < 0, 0, np.where(past > OVER, 2, 1))
            p = p * np.where(stands == ["Tight", "Right", "Open"].index(seen), .97, .015)
        return p
    if kind == "anchor":
        return either(np.where(c["pull"] > 0, .3 * .95, .01))
    if kind == "gap":
        stands = np.where(c["touch"] > 0, 0, np.where(c["gap"] > 0, 2, 1))
        return np.where(stands == ["Small", "Right", "Large"].index(said), .95, .025)
    if kind == "stack":
        p = yes(c["m"] > 0)
        if said is None:
            return 1 - p
        return np.where(c["m"] == said, .9 * p, p * np.where(c["m"] > 0, .1, 1.) / (case["gears"] - 2))
    if kind == "windows":
        click, log = case["ratio"] * case["detent_mm"], 0.
        for k, centre, width in said:
            e = c["a"] + c["b"] * (k - (case["gears"] + 1) / 2) + c["d"] * ((c["m"] > 0) & (k >= c["m"]))
            wide = 2 * (REACH - BASE_DRAG - c["h"] - .75 * c["gap"]) / click
            for miss in (centre + e / click, width - wide):
                log = log - .5 * np.clip(miss / .8, -4, 4) ** 2
        return np.exp(log)
    there = dict(hanger=c["lean"] != 0, drag=c["h"] > 0, pull=c["pull"] > 0, teeth=c["worn"] > 0,
                 play=c["play"] > 0, link=c["stiff"] > 0)[kind]
    return either(yes(there))


def solve(case):
    c, log, member, two = hypotheses(case["gears"], case["history"])
    for kind, said in case["checks"]:
        log = log + np.log(np.maximum(check_p(c, case, kind, said), 1e-30))
    ways = [sum(grid_log(c, case, grid, off) for grid in case["grids"]) for off in (-.2, 0., .2)]
    log = log + logsumexp(np.array(ways), axis=0, b=np.array([.25, .5, .25])[:, None])
    p = np.exp(log - logsumexp(log))
    return [float(x) for x in p @ member], float(p[two].sum())


def draw(rng):
    n = int(rng.integers(8, 13))
    case = dict(gears=n, ratio=float(rng.choice([1.1, 1.4, 1.7])), detent_mm=.2, history={}, grids=[], checks=[])
    for mark in MARKS:
        if rng.random() < .5:
            case["history"][mark] = bool(rng.random() < .25)
    c, prior, _, _ = hypotheses(n, case["history"])
    at = rng.choice(len(prior), p=np.exp(prior) / np.exp(prior).sum())
    truth = {key: column[at:at + 1] for key, column in c.items()}
    is_set = False
    for turn in range(int(rng.integers(1, 4))):
        clicks = 0 if turn == 0 else int(rng.integers(-6, 7))
        is_set = is_set or (turn > 0 and bool(rng.random() < .2))
        grid = dict(clicks=clicks, high_set=is_set, low_set=is_set, rows=[])
        for k in range(1, n + 1):
            row = dict(to_larger=None, to_smaller=None, sound=None)
            for key, outcomes in (("to_larger", SHIFTS), ("to_smaller", SHIFTS), ("sound", SOUNDS)):
                if rng.random() < .1 or (key, k) in (("to_larger", 1), ("to_smaller", n)):
                    continue
                logs = []
                for outcome in outcomes:
                    one = dict(clicks=clicks, high_set=is_set, low_set=is_set,
                               rows=[dict(to_larger=None, to_smaller=None, sound=None) for _ in range(n)])
                    one["rows"][k - 1][key] = outcome
                    logs.append(grid_log(truth, case, one, 0.)[0] / (LAMBDA_SOUND if key == "sound" else LAMBDA_SHIFT))
                p = np.exp(logs)
                row[key] = outcomes[int(rng.choice(len(outcomes), p=p / p.sum()))]
            grid["rows"].append(row)
        case["grids"].append(grid)
    for kind in ("limits", "anchor", "hanger", "drag", "pull", "stack", "gap", "teeth", "play", "link", "windows"):
        if rng.random() > .2:
            continue
        if kind == "limits":
            said = [str(x) for x in rng.choice(["Tight", "Right", "Open"], 2, p=[.15, .7, .15])]
        elif kind == "gap":
            said = str(rng.choice(["Small", "Right", "Large"], p=[.15, .7, .15]))
        elif kind == "stack":
            said = int(rng.integers(2, n + 1)) if rng.random() < .2 else None
        elif kind == "windows":
            said = [[k, round(float(rng.normal(0, 2)), 1), round(float(rng.normal(4.5, 1.5)), 1)] for k in (2, n - 1)]
        else:
            said = bool(rng.random() < .2)
        case["checks"].append([kind, said])
    return case


def main():
    rng = np.random.default_rng(42)
    cases = []
    for _ in range(100):
        case = draw(rng)
        case["probabilities"], case["two_at_once"] = solve(case)
        cases.append(case)
    out = dict(causes=CAUSES, cases=cases)
    path = pathlib.Path(__file__).with_name("diagnosis_reference.json")
    path.write_text(json.dumps(out, separators=(",", ":")) + "\n")


if __name__ == "__main__":
    main()
