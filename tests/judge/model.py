"""The integer model of docs/plan-model.md as a mixed-integer linear program for HiGHS.

Choices, for each movement m and day d: `x` (binary, it is done) and `e` (its sets above `sets_min`), so that
the sets are `sets_min * x + e` with `0 <= e <= (sets_max - sets_min) * x`. Every other column follows from
them; it is integer only where rounding down is part of the model (day hits, pairs) or where branching on it
helps HiGHS (heavy days, movements used at all).

The positive parts are columns that the minimisation pushes down, which is right only while their prices are
not negative; `Model` refuses an instance where one is. No constant stands in for infinity anywhere.
"""

import highspy
import numpy as np

import evaluate

INFINITY = highspy.kHighsInf


class Program:
    """Columns and rows collected one by one, handed to HiGHS at once."""

    def __init__(self):
        self.cost, self.lower, self.upper, self.integer = [], [], [], []
        self.row_lower, self.row_upper = [], []
        self.start, self.index, self.value = [0], [], []
        self.offset = 0

    def column(self, lower, upper, cost=0, integer=False):
        """Add a column and give its number."""
        self.cost.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        self.integer.append(integer)
        return len(self.cost) - 1

    def row(self, lower, terms, upper):
        """Add `lower <= terms <= upper`; terms are `(coefficient, column)`, repeats are added up."""
        added = {}
        for coefficient, column in terms:
            added[column] = added.get(column, 0) + coefficient
        for column in sorted(added):
            if added[column] != 0:
                self.index.append(column)
                self.value.append(added[column])
        self.row_lower.append(lower)
        self.row_upper.append(upper)
        self.start.append(len(self.index))

    def at_most(self, terms, most):
        """Add `terms <= most`."""
        self.row(-INFINITY, terms, most)

    def at_least(self, terms, least):
        """Add `terms >= least`."""
        self.row(least, terms, INFINITY)

    def lp(self):
        """The program in HiGHS's own form."""
        lp = highspy.HighsLp()
        lp.num_col_ = len(self.cost)
        lp.num_row_ = len(self.row_lower)
        lp.col_cost_ = np.array(self.cost, dtype=float)
        lp.col_lower_ = np.array(self.lower, dtype=float)
        lp.col_upper_ = np.array(self.upper, dtype=float)
        lp.row_lower_ = np.array(self.row_lower, dtype=float)
        lp.row_upper_ = np.array(self.row_upper, dtype=float)
        lp.offset_ = float(self.offset)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array(self.start, dtype=np.int32)
        lp.a_matrix_.index_ = np.array(self.index, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(self.value, dtype=float)
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[integer] for integer in self.integer]
        return lp


def times(factor, terms):
    """The terms multiplied by a factor."""
    return [(factor * coefficient, column) for coefficient, column in terms]


class Model:
    """The program of one instance, and the way from its columns to a week and back."""

    def __init__(self, instance):
        refuse_what_the_model_cannot_hold(instance)
        self.instance = instance
        self.program = Program()
        self.movements = range(len(instance["movements"]))
        self.days = range(len(instance["days"]))
        self.muscles = range(len(instance["muscles"]))
        self.choices()
        self.sums()
        self.day_limits()
        self.terms_of_movements()
        self.terms_of_muscles()
        self.terms_of_near_days()
        self.terms_of_the_week()

    def of(self, d, wanted):
        """`x` of the day's movements for which `wanted(movement)` holds, as terms."""
        return [(1, self.x[m, d]) for m in self.movements if wanted(self.instance["movements"][m])]

    def sets(self, m, d, factor=1):
        """`factor` times the sets of a movement on a day, as terms."""
        least = self.instance["movements"][m]["sets_min"]
        return [(factor * least, self.x[m, d]), (factor, self.e[m, d])]

    def weighted(self, d, weight):
        """Sum of `weight(movement)` times sets on a day, as terms."""
        terms = []
        for m in self.movements:
            factor = weight(self.instance["movements"][m])
            if factor:
                terms += self.sets(m, d, factor)
        return terms

    def choices(self):
        """x and e, with the prices that hang on them alone; limit 11."""
        self.x, self.e = {}, {}
        for m, movement in enumerate(self.instance["movements"]):
            spread = movement["sets_max"] - movement["sets_min"]
            for d in self.days:
                self.x[m, d] = self.program.column(
                    0, 1, movement["session_price"] + movement["set_price"] * movement["sets_min"], True
                )
                self.e[m, d] = self.program.column(0, spread, movement["set_price"], True)
                self.program.at_most([(1, self.e[m, d]), (-spread, self.x[m, d])], 0)
            if movement["exposures_max"] < len(self.days):
                self.program.at_most([(1, self.x[m, d]) for d in self.days], movement["exposures_max"])

    def sums(self):
        """T, pairs, h and A as columns; limits 1, 10 and the axial part of 9 are their upper bounds."""
        instance, program = self.instance, self.program
        saves = instance["prices"]["pair_saves_s"]
        self.seconds, self.pairs, self.axial, self.h = {}, {}, {}, {}
        for d, limits in enumerate(instance["days"]):
            self.seconds[d] = program.column(-INFINITY, limits["time_s"], 1)
            terms = self.weighted(d, lambda v: v["set_s"])
            terms += [(movement["fixed_s"], self.x[m, d]) for m, movement in enumerate(instance["movements"])]
            if saves:
                self.pairs[d] = program.column(0, INFINITY, 0, True)
                terms.append((-saves, self.pairs[d]))
                self.pair_rows(d)
                # Implied by the time limit and pairs <= S / 2, but a knapsack of the choices alone, from
                # which HiGHS derives far stronger cuts.
                knapsack = self.weighted(d, lambda v: 2 * v["set_s"] - saves * (v["pair_class"] != "none"))
                knapsack += [(2 * instance["movements"][m]["fixed_s"], self.x[m, d]) for m in self.movements]
                program.at_most(knapsack, 2 * limits["time_s"])
            program.row(0, terms + [(-1, self.seconds[d])], 0)

            self.axial[d] = program.column(0, limits["axial_max"])
            program.row(0, self.weighted(d, lambda v: v["axial"]) + [(-1, self.axial[d])], 0)

            for g, muscle in enumerate(instance["muscles"]):
                self.h[g, d] = program.column(0, muscle["session_cap"])
                terms = self.weighted(d, lambda v, g=g: half_sets_of(v, g))
                program.row(0, terms + [(-1, self.h[g, d])], 0)

    def pair_rows(self, d):
        """pairs <= S / 2 and pairs <= S - S_c for each class c; it is an integer, so the floor follows."""
        every = self.weighted(d, lambda v: v["pair_class"] != "none")
        self.program.at_most([(2, self.pairs[d])] + times(-1, every), 0)
        for one in evaluate.PAIR_CLASSES:
            others = self.weighted(d, lambda v, one=one: v["pair_class"] not in ("none", one))
            self.program.at_most([(1, self.pairs[d])] + times(-1, others), 0)

    def day_limits(self):
        """Limits 2 to 9."""
        program = self.program
        self.squat, self.floor = {}, {}
        for d, limits in enumerate(self.instance["days"]):
            single = self.of(d, lambda v: v["single_joint"])
            program.at_most(self.of(d, lambda v: True), limits["movements_max"])
            program.at_most(single, limits["single_joint_max"])
            program.at_most(single + times(-1, self.of(d, lambda v: v["compound"])), 0)
            program.at_most(self.weighted(d, lambda v: 3 * v["counts_to_third"] - 1), 0)
            program.at_most(self.of(d, lambda v: v["trunk"]), limits["trunk_max"])
            for p, pattern in enumerate(self.instance["patterns"]):
                program.at_most(self.of(d, lambda v, p=p: v["pattern"] == p), pattern["per_session_max"])
            program.at_most(self.of(d, lambda v: v["axial"] == 3), 1)
            program.at_most(self.weighted(d, lambda v: v["fatigue"]), limits["fatigue_max"])
            program.at_most(self.weighted(d, lambda v: v["grip"]), limits["grip_max"])
            self.squat[d] = self.any_of(self.of(d, lambda v: v["heavy"] == "squat"))
            self.floor[d] = self.any_of(self.of(d, lambda v: v["heavy"] == "floor_pull"))
            program.at_most([(1, self.squat[d]), (1, self.floor[d])], 1)

    def any_of(self, terms):
        """A binary column that is 1 when any of the terms is (nothing rewards it for being 1 otherwise)."""
        column = self.program.column(0, 1, 0, True)
        for _, x in terms:
            self.program.at_least([(1, column), (-1, x)], 0)
        return column

    def shortfall(self, wanted, terms, price):
        """Price `(wanted - terms)+`; the terms are never negative."""
        if price and wanted > 0:
            lacking = self.program.column(0, wanted, price)
            self.program.at_least([(1, lacking)] + terms, wanted)

    def excess(self, terms, free, price):
        """Price `(terms - free)+`."""
        if price:
            over = self.program.column(0, INFINITY, price)
            self.program.at_least([(1, over)] + times(-1, terms), -free)

    def terms_of_movements(self):
        """exposure_missing, group_missing, distinct, few_movements, no_carrying."""
        instance, program, prices = self.instance, self.program, self.instance["prices"]
        self.used = {}
        for m, movement in enumerate(instance["movements"]):
            used_days = [(1, self.x[m, d]) for d in self.days]
            self.shortfall(movement["exposures_wanted"], used_days, movement["exposure_price"])
            if movement["use_price"]:
                # Its rows alone make it 0 or 1; as an integer HiGHS branches on it, which settles all days at once.
                self.used[m] = used = program.column(0, 1, movement["use_price"], True)
                for d in self.days:
                    program.at_least([(1, used), (-1, self.x[m, d])], 0)
                program.at_most([(1, used)] + times(-1, used_days), 0)
        for k, group in enumerate(instance["groups"]):
            terms = [t for d in self.days for t in self.of(d, lambda v, k=k: v["group"] == k)]
            self.shortfall(group["exposures_wanted"], terms, prices["group_missing"])
        for d, limits in enumerate(instance["days"]):
            self.shortfall(limits["movements_wanted"], self.of(d, lambda v: True), prices["few_movements"])
            self.shortfall(1, self.of(d, lambda v: v["carrying"]), prices["no_carrying"])

    def terms_of_muscles(self):
        """below_minimum, below_target, above_maximum, day_missing."""
        prices = self.instance["prices"]
        self.hit = {}
        for g, muscle in enumerate(self.instance["muscles"]):
            total = [(1, self.h[g, d]) for d in self.days]
            self.shortfall(muscle["minimum"], total, muscle["below_minimum"])
            self.shortfall(muscle["target"], total, muscle["below_target"])
            self.excess(total, muscle["maximum"], muscle["above_maximum"])
            if prices["day_missing"] and muscle["days_wanted"] > 0:
                hits = [(1, self.hit_column(g, d)) for d in self.days]
                self.shortfall(muscle["days_wanted"], hits, prices["day_missing"])

    def hit_column(self, g, d):
        """A binary column that can be 1 only when `h[g,d]` reaches the muscle's threshold.

        `threshold * hit <= h` holds as well when each movement's first sets are counted as the threshold at
        most, since one that gives more makes the hit alone; the relaxation is tighter so.
        """
        threshold = self.instance["muscles"][g]["day_threshold"]
        self.hit[g, d] = hit = self.program.column(0, 1, 0, True)
        if threshold > 0:
            terms, any_use = [(threshold, hit)], [(1, hit)]
            for m in self.movements:
                movement = self.instance["movements"][m]
                each = half_sets_of(movement, g)
                if each:
                    first = min(each * movement["sets_min"], threshold)
                    terms += [(-first, self.x[m, d]), (-min(each, threshold), self.e[m, d])]
                    any_use.append((-1, self.x[m, d]))
            self.program.at_most(terms, 0)
            self.program.at_most(any_use, 0)
        return hit

    def terms_of_near_days(self):
        """near_muscle, near_axial, near_heavy."""
        prices = self.instance["prices"]
        for near in self.instance["near"]:
            d, e = near["first"], near["second"]
            for g in self.muscles:
                both = [(1, self.h[g, d]), (1, self.h[g, e])]
                self.excess(both, prices["near_muscle_free"], prices["near_muscle"])
            self.excess([(1, self.axial[d]), (1, self.axial[e])], prices["near_axial_free"], prices["near_axial"])
            if prices["near_heavy"]:
                # One column for both orders: limit 8 keeps them from happening at once.
                met = self.program.column(0, 1, prices["near_heavy"])
                self.program.at_most([(1, self.squat[d]), (1, self.floor[e]), (-1, met)], 1)
                self.program.at_most([(1, self.floor[d]), (1, self.squat[e]), (-1, met)], 1)

    def terms_of_the_week(self):
        """push_pull and longest (sets, sessions and time are prices of x, e and T)."""
        program, prices = self.program, self.instance["prices"]
        side = {"push": [], "pull": []}
        for d in self.days:
            for name, terms in side.items():
                terms += self.weighted(d, lambda v, name=name: v["side"] == name)
        if prices["push_pull"]:
            uneven = program.column(0, INFINITY, prices["push_pull"])
            for more, less in (("push", "pull"), ("pull", "push")):
                program.at_least([(1, uneven)] + times(-2, side[more]) + times(3, side[less]), 0)
        if prices["longest"] and len(self.days):
            longest = program.column(-INFINITY, INFINITY, prices["longest"])
            for d in self.days:
                program.at_least([(1, longest), (-1, self.seconds[d])], 0)

    def week(self, values):
        """The week that the columns' values stand for, rounded to integers."""
        days = []
        for d in self.days:
            day = []
            for m, movement in enumerate(self.instance["movements"]):
                if round(values[self.x[m, d]]):
                    day.append([movement["id"], movement["sets_min"] + round(values[self.e[m, d]])])
            days.append(day)
        return days

    def start(self, week):
        """`(columns, values)` of every integer column for a week that breaks no limit."""
        instance = self.instance
        days = evaluate.sets_by_day(instance, week)
        fixed = {column: int(any(m in day for day in days)) for m, column in self.used.items()}
        for d, day in enumerate(days):
            for m, movement in enumerate(instance["movements"]):
                fixed[self.x[m, d]] = int(m in day)
                fixed[self.e[m, d]] = day[m] - movement["sets_min"] if m in day else 0
            if d in self.pairs:
                fixed[self.pairs[d]] = evaluate.pairs(instance, day)
            for g, value in enumerate(evaluate.half_sets(instance, day)):
                if (g, d) in self.hit:
                    fixed[self.hit[g, d]] = int(value >= instance["muscles"][g]["day_threshold"])
            heavy = {instance["movements"][m]["heavy"] for m in day}
            fixed[self.squat[d]] = int("squat" in heavy)
            fixed[self.floor[d]] = int("floor_pull" in heavy)
        columns = sorted(fixed)
        return np.array(columns, dtype=np.int32), np.array([fixed[c] for c in columns], dtype=float)


def half_sets_of(movement, g):
    """Half-sets that one set of a movement gives to muscle `g`."""
    return sum(share["half_sets"] for share in movement["trains"] if share["muscle"] == g)


def refuse_what_the_model_cannot_hold(instance):
    """Raise ValueError where a number would make the program differ from the page."""
    prices = instance["prices"]
    where = [(f"prices.{name}", value) for name, value in prices.items()]
    for muscle in instance["muscles"]:
        for name in ("below_minimum", "below_target", "above_maximum"):
            where.append((f"muscle {muscle['id']}: {name}", muscle[name]))
    for movement in instance["movements"]:
        where.append((f"movement {movement['id']}: exposure_price", movement["exposure_price"]))
        for share in movement["trains"]:
            where.append((f"movement {movement['id']}: half_sets", share["half_sets"]))
        for name in ("axial", "fatigue", "grip"):
            where.append((f"movement {movement['id']}: {name}", movement[name]))
        if not 1 <= movement["sets_min"] <= movement["sets_max"]:
            raise ValueError(f"movement {movement['id']}: needs 1 <= sets_min <= sets_max")
    for name, value in where:
        if value < 0:
            raise ValueError(f"{name} is {value}, must not be negative")
