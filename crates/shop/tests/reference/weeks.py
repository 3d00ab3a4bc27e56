"""Fifty invented weeks of an invented workshop, each planned by the CP-SAT solver of OR-Tools (Apache-2.0).

    python3 -m venv v && v/bin/pip install ortools==9.* && v/bin/python weeks.py

writes `weeks.json`: the weeks, and for each the cost that CP-SAT found within the time limit and the bound that it
proved. Time runs in slots of five minutes over the hours in which the shop is open; a slot of night lies between two
days. A job is chunks of work that are not interrupted, each by one person of enough skill and on one stand, one after
the other, and a last chunk by a person who worked on none of the others. The cost of a plan is the sum of the slots at
which the jobs end and ten for each slot that one ends after its promise.
"""
import json
import random
import sys

from ortools.sat.python import cp_model

DAYS, OPEN, LATE, SECONDS = 30, 109, 10, 25.0


def week(seed):
    """One week: people with hours, stands, and from 5 to 40 jobs."""
    dice = random.Random(seed)
    people = []
    for at in range(4):
        start, level = dice.choice([0, 0, 6, 12]), [2, 1, 1, 0][at]
        free = []
        for day in range(DAYS):
            if dice.random() < 0.08:
                continue
            begin = day * OPEN + start
            # Forty-eight slots, six of lunch, then what is left of the day less the hours kept for who walks in.
            free.append([begin, begin + 44])
            free.append([begin + 50, day * OPEN + 88])
        people.append({"level": level, "checks": at != 3, "free": free})
    jobs = []
    for _ in range(5 + 35 * seed // 49):
        chunks = [[dice.choice([0, 1, 1, 1, 2]), dice.randint(6, 36)] for _ in range(dice.choice([1, 2, 2, 3]))]
        release = dice.choice([0, 0, dice.randint(0, 6 * OPEN)])
        due = release + dice.randint(2, 9) * OPEN if dice.random() < 0.5 else None
        jobs.append({"release": release, "due": due, "chunks": chunks, "check": dice.randint(4, 9)})
    return {"slots": DAYS * OPEN, "stands": 3, "people": people, "jobs": jobs}


def first_plan(week):
    """A plain plan to begin from: job after job by release and length, each piece by whoever can begin first."""
    slots = week["slots"]
    free = [[False] * slots for _ in week["people"]]
    for at, person in enumerate(week["people"]):
        for begin, end in person["free"]:
            for slot in range(begin, end):
                free[at][slot] = True
    stands = [0] * slots

    def begin_of(at, after, length):
        run = 0
        for slot in range(after, slots):
            run = run + 1 if free[at][slot] and stands[slot] < week["stands"] else 0
            if run == length:
                return slot - length + 1
        return None

    def size(at):
        job = week["jobs"][at]
        return job["release"] + 2 * (sum(length for _, length in job["chunks"]) + job["check"])

    places = {}
    for at in sorted(range(len(week["jobs"])), key=size):
        job, after, hands = week["jobs"][at], week["jobs"][at]["release"], set()
        for piece, (level, length) in enumerate(job["chunks"] + [[None, job["check"]]]):
            able = [
                (begin, who)
                for who, person in enumerate(week["people"])
                if (person["checks"] and who not in hands if level is None else person["level"] >= level)
                for begin in [begin_of(who, after, length)]
                if begin is not None
            ]
            if not able:
                return {}
            # Who may do the least, among those who can begin first, and one person for the whole work if possible.
            begin, who = min(able, key=lambda one: (one[0], one[1] not in hands, week["people"][one[1]]["level"]))
            hands.add(who)
            places[at, piece] = (begin, who)
            for slot in range(begin, begin + length):
                free[who][slot] = False
                stands[slot] += 1
            after = begin + length
    return places


def plan(week):
    """The cost that CP-SAT finds, and the bound that it proves."""
    first = first_plan(week)
    model, slots = cp_model.CpModel(), week["slots"]
    of_person, on_stand, cost = [[] for _ in week["people"]], [], []
    for at, person in enumerate(week["people"]):
        busy, last = [], 0
        for begin, end in person["free"] + [[slots, slots]]:
            if begin > last:
                busy.append((last, begin))
            last = end
        for begin, end in busy:
            of_person[at].append(model.new_fixed_size_interval_var(begin, end - begin, ""))
    for number, job in enumerate(week["jobs"]):
        earlier, hands = None, [[] for _ in week["people"]]
        for piece, (level, length) in enumerate(job["chunks"] + [[None, job["check"]]]):
            start = model.new_int_var(job["release"], slots - length, "")
            if (number, piece) in first:
                model.add_hint(start, first[number, piece][0])
            if earlier is not None:
                model.add(start >= earlier)
            earlier = start + length
            on_stand.append(model.new_fixed_size_interval_var(start, length, ""))
            does = []
            for at, person in enumerate(week["people"]):
                if not (person["checks"] if level is None else person["level"] >= level):
                    continue
                is_it = model.new_bool_var("")
                if (number, piece) in first:
                    model.add_hint(is_it, first[number, piece][1] == at)
                of_person[at].append(model.new_optional_fixed_size_interval_var(start, length, is_it, ""))
                does.append(is_it)
                if level is None:
                    for other in hands[at]:
                        model.add(is_it + other <= 1)
                else:
                    hands[at].append(is_it)
            model.add_exactly_one(does)
        end = model.new_int_var(0, slots, "")
        model.add(end == earlier)
        cost.append(end)
        if job["due"] is not None:
            late = model.new_int_var(0, slots, "")
            model.add(late >= end - job["due"])
            cost.append(LATE * late)
    for intervals in of_person:
        model.add_no_overlap(intervals)
    model.add_cumulative(on_stand, [1] * len(on_stand), week["stands"])
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = SECONDS
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    return {
        "status": solver.status_name(status),
        "cost": int(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None,
        "bound": int(solver.best_objective_bound),
    }


def main():
    """All weeks, one a line."""
    lines = []
    for seed in range(50):
        found = week(seed)
        found["cp_sat"] = plan(found)
        print(seed, len(found["jobs"]), found["cp_sat"], file=sys.stderr, flush=True)
        lines.append(json.dumps(found, separators=(",", ":")))
        with open("weeks.json", "w", encoding="utf-8") as out:
            out.write("[\n" + ",\n".join(lines) + "\n]\n")


if __name__ == "__main__":
    main()
