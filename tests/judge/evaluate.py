"""Score a week and list the hard limits it breaks, straight from docs/plan-model.md.

A week is a list of days; a day is a list of `[movement id, sets]`. Nothing here knows of a solver.
"""

import json
import sys

PAIR_CLASSES = ("push", "pull", "legs", "trunk")

TERMS = (
    "exposure_missing",
    "group_missing",
    "below_minimum",
    "below_target",
    "above_maximum",
    "day_missing",
    "near_muscle",
    "near_axial",
    "near_heavy",
    "push_pull",
    "sets",
    "sessions",
    "distinct",
    "few_movements",
    "no_carrying",
    "longest",
    "time",
)

LIMITS = (
    "time",
    "movements_max",
    "single_joint_max",
    "single_joint_not_above_compound",
    "third",
    "trunk_max",
    "pattern",
    "axial_three",
    "heavy",
    "axial_max",
    "fatigue_max",
    "grip_max",
    "session_cap",
    "exposures_max",
)


def above(value):
    """The positive part, written (z)+ on the page."""
    return max(value, 0)


def sets_by_day(instance, week):
    """Turn a week into one `{movement index: sets}` for each day; ValueError when it is no week."""
    index = {movement["id"]: i for i, movement in enumerate(instance["movements"])}
    if len(week) != len(instance["days"]):
        raise ValueError(f"the week has {len(week)} days, the instance {len(instance['days'])}")
    days = []
    for number, lines in enumerate(week):
        day = {}
        for name, sets in lines:
            if name not in index:
                raise ValueError(f"day {number}: unknown movement {name!r}")
            m = index[name]
            if m in day:
                raise ValueError(f"day {number}: {name} appears twice")
            movement = instance["movements"][m]
            if not movement["sets_min"] <= sets <= movement["sets_max"] or sets < 1 or sets != int(sets):
                raise ValueError(
                    f"day {number}: {name} has {sets} sets, "
                    f"allowed are {movement['sets_min']} to {movement['sets_max']}"
                )
            day[m] = int(sets)
        days.append(day)
    return days


def half_sets(instance, day):
    """h[g] of one day, by muscle."""
    totals = [0] * len(instance["muscles"])
    for m, sets in day.items():
        for share in instance["movements"][m]["trains"]:
            totals[share["muscle"]] += share["half_sets"] * sets
    return totals


def pairs(instance, day):
    """Number of pairs of sets that can be done in turn on one day."""
    by_class = dict.fromkeys(PAIR_CLASSES, 0)
    for m, sets in day.items():
        pair_class = instance["movements"][m]["pair_class"]
        if pair_class != "none":
            by_class[pair_class] += sets
    total = sum(by_class.values())
    return min(total // 2, total - max(by_class.values()))


def seconds(instance, day):
    """T[d]: seconds of one day's lines."""
    spent = 0
    for m, sets in day.items():
        movement = instance["movements"][m]
        spent += movement["fixed_s"] + movement["set_s"] * sets
    return spent - instance["prices"]["pair_saves_s"] * pairs(instance, day)


def weighted(instance, day, field):
    """Sum of a movement's field times its sets."""
    return sum(instance["movements"][m][field] * sets for m, sets in day.items())


def count(instance, day, wanted):
    """Number of the day's movements for which `wanted(movement)` holds."""
    return sum(1 for m in day if wanted(instance["movements"][m]))


def score_terms(instance, week):
    """Every term of the objective by name, in points."""
    days = sets_by_day(instance, week)
    movements, muscles, prices = instance["movements"], instance["muscles"], instance["prices"]
    h = [half_sets(instance, day) for day in days]
    spent = [seconds(instance, day) for day in days]
    axial = [weighted(instance, day, "axial") for day in days]
    sessions = [sum(1 for day in days if m in day) for m in range(len(movements))]
    squat = [count(instance, day, lambda v: v["heavy"] == "squat") > 0 for day in days]
    floor = [count(instance, day, lambda v: v["heavy"] == "floor_pull") > 0 for day in days]

    terms = dict.fromkeys(TERMS, 0)
    for m, movement in enumerate(movements):
        terms["exposure_missing"] += movement["exposure_price"] * above(movement["exposures_wanted"] - sessions[m])
        terms["sessions"] += movement["session_price"] * sessions[m]
        terms["distinct"] += movement["use_price"] * (sessions[m] > 0)
    for k, group in enumerate(instance["groups"]):
        exposures = sum(n for n, movement in zip(sessions, movements) if movement["group"] == k)
        terms["group_missing"] += prices["group_missing"] * above(group["exposures_wanted"] - exposures)
    for g, muscle in enumerate(muscles):
        total = sum(day[g] for day in h)
        hits = sum(1 for day in h if day[g] >= muscle["day_threshold"])
        terms["below_minimum"] += muscle["below_minimum"] * above(muscle["minimum"] - total)
        terms["below_target"] += muscle["below_target"] * above(muscle["target"] - total)
        terms["above_maximum"] += muscle["above_maximum"] * above(total - muscle["maximum"])
        terms["day_missing"] += prices["day_missing"] * above(muscle["days_wanted"] - hits)
    for near in instance["near"]:
        d, e = near["first"], near["second"]
        for g in range(len(muscles)):
            terms["near_muscle"] += prices["near_muscle"] * above(h[d][g] + h[e][g] - prices["near_muscle_free"])
        terms["near_axial"] += prices["near_axial"] * above(axial[d] + axial[e] - prices["near_axial_free"])
        if (squat[d] and floor[e]) or (floor[d] and squat[e]):
            terms["near_heavy"] += prices["near_heavy"]
    side = {"push": 0, "pull": 0, "none": 0}
    for day in days:
        for m, sets in day.items():
            side[movements[m]["side"]] += sets
    push, pull = side["push"], side["pull"]
    terms["push_pull"] = prices["push_pull"] * max(2 * push - 3 * pull, 2 * pull - 3 * push, 0)
    for limits, day in zip(instance["days"], days):
        terms["sets"] += weighted(instance, day, "set_price")
        terms["few_movements"] += prices["few_movements"] * above(limits["movements_wanted"] - len(day))
        terms["no_carrying"] += prices["no_carrying"] * (count(instance, day, lambda v: v["carrying"]) == 0)
    terms["longest"] = prices["longest"] * max(spent, default=0)
    terms["time"] = sum(spent)
    return terms


def score(instance, week):
    """The objective, in points."""
    return sum(score_terms(instance, week).values())


def broken_limits(instance, week):
    """The hard limits that the week breaks, each as `(limit, where, value, most)`."""
    days = sets_by_day(instance, week)
    movements = instance["movements"]
    broken = []

    def at_most(limit, where, value, most):
        if value > most:
            broken.append((limit, where, value, most))

    for d, (limits, day) in enumerate(zip(instance["days"], days)):
        where = f"day {d}"
        single = count(instance, day, lambda v: v["single_joint"])
        third = sum(sets for m, sets in day.items() if movements[m]["counts_to_third"])
        at_most("time", where, seconds(instance, day), limits["time_s"])
        at_most("movements_max", where, len(day), limits["movements_max"])
        at_most("single_joint_max", where, single, limits["single_joint_max"])
        at_most("single_joint_not_above_compound", where, single, count(instance, day, lambda v: v["compound"]))
        at_most("third", where, 3 * third, sum(day.values()))
        at_most("trunk_max", where, count(instance, day, lambda v: v["trunk"]), limits["trunk_max"])
        for p, pattern in enumerate(instance["patterns"]):
            used = count(instance, day, lambda v, p=p: v["pattern"] == p)
            at_most("pattern", f"{where}, {pattern['id']}", used, pattern["per_session_max"])
        at_most("axial_three", where, count(instance, day, lambda v: v["axial"] == 3), 1)
        classes = {movements[m]["heavy"] for m in day} - {"none"}
        at_most("heavy", where, len(classes), 1)
        for field in ("axial", "fatigue", "grip"):
            at_most(f"{field}_max", where, weighted(instance, day, field), limits[f"{field}_max"])
        for muscle, value in zip(instance["muscles"], half_sets(instance, day)):
            at_most("session_cap", f"{where}, {muscle['id']}", value, muscle["session_cap"])
    for m, movement in enumerate(movements):
        used = sum(1 for day in days if m in day)
        at_most("exposures_max", movement["id"], used, movement["exposures_max"])
    return broken


def main():
    """`python evaluate.py INSTANCE.json WEEK.json` prints the points by term and the broken limits."""
    if len(sys.argv) != 3:
        sys.exit("usage: python evaluate.py INSTANCE.json WEEK.json")
    with open(sys.argv[1], encoding="utf-8") as file:
        instance = json.load(file)
    with open(sys.argv[2], encoding="utf-8") as file:
        week = json.load(file)
    terms = score_terms(instance, week)
    answer = {"points": sum(terms.values()), "terms": terms, "broken": broken_limits(instance, week)}
    print(json.dumps(answer, indent=1))


if __name__ == "__main__":
    main()
