"""Solve one instance with HiGHS: `python solve.py INSTANCE.json [--seconds 20] [--start WEEK.json] [--threads 1]`.

Prints JSON. `objective` is the integer score that evaluate.py gives the rounded week; `bound` is HiGHS's bound
rounded up, since every cost is an integer; the status is `optimal` when the two meet and `feasible` otherwise.
"""

import argparse
import hashlib
import json
import math
import os
import sys
import time

import highspy

import evaluate
from model import Model

# Slack, relative to the bound, that rounding up forgives HiGHS's floating-point sums.
TOLERANCE = 1e-6
# All costs are integers: a gap below one leaves no room for a better week.
ABSOLUTE_GAP = 0.9
# Fields that say what an instance was made from: no part of what is solved.
VERSIONS = ("catalogue_version", "weights_version")


def digest(instance):
    """SHA-256 of the canonical JSON: sorted keys, no spaces, UTF-8; without the versions, which are labels."""
    solved = {name: value for name, value in instance.items() if name not in VERSIONS}
    text = json.dumps(solved, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def round_up(bound):
    """The least integer not below the bound, forgiving the tolerance."""
    return math.ceil(bound - TOLERANCE * max(1.0, abs(bound)))


def new_highs(log):
    """A HiGHS that is silent unless asked; its banner, printed past Python, goes to standard error."""
    sys.stdout.flush()
    kept = os.dup(1)
    try:
        os.dup2(2, 1)
        highs = highspy.Highs()
    finally:
        os.dup2(kept, 1)
        os.close(kept)
    highs.setOptionValue("output_flag", log)
    return highs


def solve(instance, seconds=20.0, start=None, threads=1, log=False, options=None):
    """Solve an instance; gives status, objective, bound, week and the seconds it took.

    Raises RuntimeError when HiGHS's answer breaks a limit, or its bound lies above its own week: then either
    this model or HiGHS is wrong, and nothing it says should be believed.
    """
    began = time.monotonic()
    model = Model(instance)
    highs = new_highs(log)
    highs.setOptionValue("threads", threads)
    highs.setOptionValue("time_limit", float(seconds))
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", ABSOLUTE_GAP)
    for name, value in (options or {}).items():
        highs.setOptionValue(name, value)
    if highs.passModel(model.program.lp()) != highspy.HighsStatus.kOk:
        raise RuntimeError("HiGHS did not take the model")
    empty = [[] for _ in instance["days"]]
    known = [empty]
    if start is not None:
        broken = evaluate.broken_limits(instance, start)
        if broken:
            raise ValueError(f"the start breaks hard limits: {broken}")
        known.append(start)
        columns, values = model.start(start)
        highs.setSolution(len(columns), columns, values)
    highs.run()
    status = highs.getModelStatus()
    if status not in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kTimeLimit):
        raise RuntimeError(f"HiGHS ended with {highs.modelStatusToString(status)}; the empty week is always allowed")
    info = highs.getInfo()
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        known.append(model.week(highs.getSolution().col_value))
        broken = evaluate.broken_limits(instance, known[-1])
        if broken:
            raise RuntimeError(f"HiGHS's week breaks hard limits: {broken}")
        points = evaluate.score(instance, known[-1])
        if points > info.objective_function_value + 0.5:
            raise RuntimeError(f"HiGHS counts {info.objective_function_value}, the evaluator {points}")
    week = min(known, key=lambda week: evaluate.score(instance, week))
    objective = evaluate.score(instance, week)
    bound = round_up(info.mip_dual_bound) if math.isfinite(info.mip_dual_bound) else None
    if bound is not None and bound > objective:
        raise RuntimeError(f"the bound {bound} lies above the week's {objective}")
    return {
        "status": "optimal" if bound == objective else "feasible",
        "objective": objective,
        "bound": bound,
        "week": week,
        "seconds": round(time.monotonic() - began, 2),
    }


def main():
    """Command line; see the head of this file."""
    parser = argparse.ArgumentParser(description="Solve one instance with HiGHS.")
    parser.add_argument("instance")
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--start", help="a week to begin from: a JSON list of days of [movement id, sets]")
    parser.add_argument("--threads", type=int, default=1)
    parser.add_argument("--log", action="store_true", help="show HiGHS's own log")
    arguments = parser.parse_args()
    with open(arguments.instance, encoding="utf-8") as file:
        instance = json.load(file)
    start = None
    if arguments.start:
        with open(arguments.start, encoding="utf-8") as file:
            start = json.load(file)
    print(json.dumps(solve(instance, arguments.seconds, start, arguments.threads, arguments.log)))


if __name__ == "__main__":
    main()
