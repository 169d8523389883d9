"""Tests of the judge: `python -m unittest` in this folder."""

import copy
import unittest

import highspy

import evaluate
import fresh
from model import Model
from small import best_by_trying_all, small_instance
from solve import digest, new_highs, round_up, solve

SEEDS = range(160)


class TriedAll(unittest.TestCase):
    """The program against trying every week."""

    @classmethod
    def setUpClass(cls):
        cls.tried = {}
        for seed in SEEDS:
            instance = small_instance(seed)
            cls.tried[seed] = (instance, *best_by_trying_all(instance))

    def test_optimum_equals_the_best_of_all_weeks(self):
        for seed, (instance, points, _, _) in self.tried.items():
            with self.subTest(seed=seed):
                answer = solve(instance, 60)
                self.assertEqual(answer["status"], "optimal")
                self.assertEqual(answer["objective"], points)
                self.assertEqual(answer["bound"], points)
                self.assertEqual(evaluate.broken_limits(instance, answer["week"]), [])
                self.assertEqual(evaluate.score(instance, answer["week"]), points)

    def test_every_term_is_paid_in_some_optimum(self):
        paid = {name: 0 for name in evaluate.TERMS}
        for instance, _, week, _ in self.tried.values():
            for name, points in evaluate.score_terms(instance, week).items():
                paid[name] += points != 0
        for name, times in paid.items():
            self.assertGreaterEqual(times, 3, name)

    def test_pairs_are_limited_both_ways(self):
        halves = odd = others = 0
        for instance, _, week, _ in self.tried.values():
            for day in evaluate.sets_by_day(instance, week):
                by_class = dict.fromkeys(evaluate.PAIR_CLASSES, 0)
                for m, sets in day.items():
                    pair_class = instance["movements"][m]["pair_class"]
                    if pair_class != "none":
                        by_class[pair_class] += sets
                total, most = sum(by_class.values()), max(by_class.values())
                if instance["prices"]["pair_saves_s"]:
                    halves += total // 2 < total - most
                    odd += total // 2 < total - most and total % 2
                    others += 0 < total - most < total // 2
        self.assertGreaterEqual(min(halves, odd, others), 3, (halves, odd, others))

    def test_every_limit_decides_some_optimum(self):
        decided = {name: 0 for name in evaluate.LIMITS}
        for _, points, _, without in self.tried.values():
            for name, free in without.items():
                decided[name] += free < points
        for name, times in decided.items():
            self.assertGreaterEqual(times, 2, name)

    def test_program_counts_every_week_as_the_evaluator_does(self):
        """Fix the integer columns to weeks that are not best: the program's cost is the score."""
        for seed in list(SEEDS)[:40]:
            instance, _, _, _ = self.tried[seed]
            other = self.tried[seed + 40][2]
            for week in some_weeks(instance, other):
                with self.subTest(seed=seed, week=week):
                    model = Model(instance)
                    for column, value in zip(*model.start(week)):
                        model.program.lower[column] = model.program.upper[column] = value
                    highs = new_highs(False)
                    highs.passModel(model.program.lp())
                    highs.run()
                    allowed = not evaluate.broken_limits(instance, week)
                    self.assertEqual(highs.getModelStatus() == highspy.HighsModelStatus.kOptimal, allowed)
                    if allowed:
                        cost = highs.getInfo().objective_function_value
                        self.assertAlmostEqual(cost, evaluate.score(instance, week), places=4)


def some_weeks(instance, other):
    """The empty week, each movement alone on each day, and another instance's week where the names fit."""
    days = len(instance["days"])
    yield [[] for _ in range(days)]
    for movement in instance["movements"]:
        for d in range(days):
            yield [[[movement["id"], movement["sets_max"]]] if e == d else [] for e in range(days)]
        yield [[[movement["id"], movement["sets_min"]]] for _ in range(days)]
    sets = {movement["id"]: movement["sets_min"] for movement in instance["movements"]}
    yield [[[name, sets[name]] for name, _ in day if name in sets] for day in (other + [[]])[:days]]


class Evaluator(unittest.TestCase):
    """What the evaluator refuses, and one week counted by hand."""

    def test_refuses_what_is_no_week(self):
        instance = small_instance(0)
        name, most = instance["movements"][0]["id"], instance["movements"][0]["sets_max"]
        for week in ([[]], [[["nothing", 1]], []], [[[name, most], [name, most]], []], [[[name, most + 1]], []]):
            with self.assertRaises(ValueError):
                evaluate.score(instance, week)

    def test_pairs_by_hand(self):
        instance = small_instance(0)
        for movement, pair_class in zip(instance["movements"], ("push", "push", "pull", "none")):
            movement["pair_class"] = pair_class
        self.assertEqual(evaluate.pairs(instance, {0: 3, 1: 2, 2: 1}), 1)
        self.assertEqual(evaluate.pairs(instance, {0: 2, 1: 1, 2: 4}), 3)
        self.assertEqual(evaluate.pairs(instance, {0: 4, 3: 4}), 0)

    def test_push_pull_by_hand(self):
        instance = small_instance(0)
        for movement, side in zip(instance["movements"], ("push", "pull")):
            movement.update(side=side, sets_min=1, sets_max=9)
        instance["prices"]["push_pull"] = 7
        names = [movement["id"] for movement in instance["movements"]]
        for push, pull, points in ((6, 4, 0), (7, 4, 14), (4, 6, 0), (4, 7, 14), (5, 5, 0)):
            week = [[[names[0], push], [names[1], pull]], []]
            self.assertEqual(evaluate.score_terms(instance, week)["push_pull"], points)


class Commands(unittest.TestCase):
    """The parts around the program."""

    def test_bounds_round_up_with_care(self):
        self.assertEqual(round_up(10.0000001), 10)
        self.assertEqual(round_up(9.2), 10)
        self.assertEqual(round_up(10.01), 11)
        self.assertEqual(round_up(-3.5), -3)

    def test_digest_does_not_depend_on_the_order_of_keys(self):
        instance = small_instance(1)
        turned = dict(reversed(instance.items()))
        self.assertEqual(digest(instance), digest(turned))
        turned["catalogue_version"] = "another"
        self.assertEqual(digest(instance), digest(turned), "a version is a label")
        turned["prices"] = dict(turned["prices"], longest=99)
        self.assertNotEqual(digest(instance), digest(turned))

    def test_a_start_is_kept_when_there_is_no_time(self):
        instance = small_instance(3)
        _, week, _ = best_by_trying_all(instance)
        answer = solve(instance, 0.0, start=week)
        self.assertLessEqual(answer["objective"], evaluate.score(instance, week))

    def test_negative_prices_are_refused(self):
        instance = small_instance(4)
        instance["prices"]["longest"] = -1
        with self.assertRaisesRegex(ValueError, "prices.longest"):
            Model(instance)

    def test_fresh_finds_each_kind_of_fault(self):
        instance = small_instance(5)
        points, week, _ = best_by_trying_all(instance)
        plan = {"id": "small", "instance": instance, "week": week, "points": points, "bound": points - 3}
        self.assertEqual(fresh.check(plan, 20, 1)[1], [])
        empty = [[] for _ in instance["days"]]
        worse = evaluate.score(instance, empty)
        self.assertEqual(fresh.check(dict(plan, week=empty, points=worse), 20, 1)[1], [])
        faults = {
            "lies above a week": dict(plan, week=empty, points=worse, bound=points + 1),
            "lies above its points": dict(plan, bound=points + 1),
            "lie below the judge's bound": dict(plan, points=points - 1),
            "points, is": dict(plan, points=points + 1),
            "is no week": dict(plan, week=[[]]),
        }
        for words, fault in faults.items():
            self.assertIn(words, "; ".join(fresh.check(fault, 20, 1)[1]))
        tight = copy.deepcopy(instance)
        for day in tight["days"]:
            day["movements_max"] = 0
        self.assertIn("breaks movements_max", "; ".join(fresh.check(dict(plan, instance=tight), 20, 1)[1]))


if __name__ == "__main__":
    unittest.main()
