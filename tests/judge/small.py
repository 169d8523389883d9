"""Small random instances, and their best week by trying every one. Used by the tests."""

import itertools
import random

import evaluate

CLASSES = ("none", "push", "pull", "legs", "trunk")


def small_instance(seed):
    """An instance small enough to enumerate, with every kind of limit and price within reach.

    Numbers are drawn tight, and each price is now and then 0, so that over some dozens of seeds every limit
    decides an optimum and every term is paid in one. Its values mean nothing.
    """
    draw = random.Random(seed)
    days = 3 if seed % 8 == 7 else 2
    movements = 3 if days == 3 else draw.choice((4, 5, 5))
    muscles, patterns, groups = draw.choice((2, 3)), 2, 2
    # Some seeds have full days of many pair classes, where half of all sets limits the pairs.
    turns = seed % 5 == 0

    def price(low, high):
        return 0 if draw.random() < 0.15 else draw.randint(low, high)

    def muscle(g):
        minimum = draw.randint(0, 6)
        target = minimum + draw.randint(0, 5)
        return {
            "id": f"muscle{g}",
            "minimum": minimum,
            "target": target,
            "maximum": target + draw.choice((0, 0, 2)),
            "below_minimum": price(20, 300),
            "below_target": price(20, 300),
            "above_maximum": price(20, 200),
            "days_wanted": draw.randint(0, days),
            "day_threshold": draw.randint(1, 5),
            "session_cap": 20 if turns else draw.choice((4, 8, 12, 20)),
        }

    def movement(m):
        least = draw.choice((1, 1, 2, 3))
        trained = draw.sample(range(muscles), draw.randint(1, muscles))
        kind = draw.choice(("compound", "trunk") if turns else ("single", "compound", "compound", "trunk"))
        return {
            "id": f"movement{m}",
            "set_s": draw.randint(20, 90),
            "fixed_s": draw.randint(0, 80),
            "sets_min": least,
            "sets_max": least + (draw.choice((0, 1)) if movements == 5 else draw.choice((0, 1, 2))),
            "pattern": draw.randrange(patterns),
            "group": draw.choice((None, 0, 1)),
            "single_joint": kind == "single",
            "counts_to_third": kind == "single" and draw.random() < 0.8,
            "compound": kind == "compound",
            "trunk": kind == "trunk",
            "axial": draw.choice((0, 1, 2, 2, 3)),
            "fatigue": draw.randint(0, 3),
            "grip": draw.randint(0, 2),
            "heavy": draw.choice(("none", "none" if turns else "squat", "floor_pull")),
            "pair_class": CLASSES[1 + m % 4] if turns else draw.choice(CLASSES),
            "side": draw.choice(("none", "push", "pull")),
            "carrying": draw.random() < 0.4,
            "set_price": draw.randint(-5, 30),
            "session_price": draw.randint(-20, 60),
            "use_price": draw.randint(-30, 80),
            "exposures_max": draw.choice((1, 2, 2, 3)),
            "exposures_wanted": draw.choice((0, 1, 2)),
            "exposure_price": price(50, 400),
            "trains": [{"muscle": g, "half_sets": draw.choice((1, 2))} for g in trained],
        }

    def day(d):
        loose = turns or draw.random() < 0.3
        return {
            "weekday": d,
            "warm_up_s": 300,
            "time_s": 5000 if loose else draw.randint(200, 600),
            "movements_max": 4 if turns else draw.randint(1, 4),
            "movements_wanted": 4 if turns else draw.randint(0, 4),
            "single_joint_max": draw.randint(0, 3),
            "trunk_max": 3 if turns else draw.randint(0, 3),
            "axial_max": 40 if turns else draw.choice((6, 10, 20, 20)),
            "fatigue_max": 40 if turns else draw.choice((6, 10, 20, 20)),
            "grip_max": 40 if turns else draw.choice((2, 4, 20, 20)),
        }

    return {
        "format": "plinth.instance/1",
        "catalogue_version": "invented",
        "weights_version": "invented",
        "days": [day(d) for d in range(days)],
        "near": [
            {"first": d, "second": e} for d, e in itertools.combinations(range(days), 2) if draw.random() < 0.7
        ],
        "muscles": [muscle(g) for g in range(muscles)],
        "patterns": [
            {"id": f"pattern{p}", "per_session_max": draw.choice((2, 3) if turns else (1, 2, 2, 3))}
            for p in range(patterns)
        ],
        "groups": [{"id": f"group{k}", "exposures_wanted": draw.randint(0, 3)} for k in range(groups)],
        "movements": [movement(m) for m in range(movements)],
        "prices": {
            "group_missing": price(50, 400),
            "day_missing": price(50, 400),
            "near_muscle_free": draw.randint(1, 8),
            "near_muscle": price(5, 80),
            "near_axial_free": draw.randint(0, 10),
            "near_axial": price(5, 60),
            "near_heavy": price(20, 150),
            "longest": price(1, 3),
            "few_movements": 200 if turns else price(20, 200),
            "no_carrying": price(50, 300),
            "push_pull": price(10, 100),
            "pair_saves_s": 30 if turns else price(5, 30),
        },
    }


def best_by_trying_all(instance):
    """The least score of a week that breaks no limit, and for each limit the least score without it.

    Gives `(score, week, {limit: score when only this limit is ignored})`. All limits but `exposures_max` are
    limits of a day, so a day that breaks two of them alone is left out at once.
    """
    options = []
    for d in range(len(instance["days"])):
        choices = []
        for movement in instance["movements"]:
            sets = range(movement["sets_min"], movement["sets_max"] + 1)
            choices.append([None] + [[movement["id"], s] for s in sets])
        plans = []
        for lines in itertools.product(*choices):
            plan = [line for line in lines if line is not None]
            alone = [plan if other == d else [] for other in range(len(instance["days"]))]
            broken = {limit for limit, *_ in evaluate.broken_limits(instance, alone)}
            if len(broken) <= 1:
                plans.append((plan, broken))
        options.append(plans)

    best = {}
    exposures_max = {movement["id"]: movement["exposures_max"] for movement in instance["movements"]}
    for combination in itertools.product(*options):
        broken = set().union(*(broken for _, broken in combination))
        if len(broken) > 1:
            continue
        week = [plan for plan, _ in combination]
        used = [name for plan in week for name, _ in plan]
        if any(used.count(name) > exposures_max[name] for name in used):
            broken = broken | {"exposures_max"}
            if len(broken) > 1:
                continue
        points = evaluate.score(instance, week)
        key = next(iter(broken), None)
        if key not in best or points < best[key][0]:
            best[key] = (points, week)
    points, week = best[None]
    without = {limit: min(points, best[limit][0]) if limit in best else points for limit in evaluate.LIMITS}
    return points, week, without
