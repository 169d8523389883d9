"""Check plans against HiGHS: JSON lines `{"id","instance","week","points","bound"}` on standard input.

`python fresh.py [--seconds 20] < PLANS.jsonl`. For each plan:

- the week breaks no hard limit and its score equals `points`;
- `bound` is at most `points`, and at most the score of HiGHS's week;
- when HiGHS proves its week best: bound <= optimum <= points;
- otherwise: HiGHS's bound <= points, and bound <= HiGHS's week.

HiGHS never sees the plan's week. Prints a table; the exit code is 1 when a check fails or nothing was read.
"""

import argparse
import json
import sys

import evaluate
from solve import solve


def check(plan, seconds, threads):
    """HiGHS's answer and the list of what is wrong with the plan."""
    instance, week, points, bound = plan["instance"], plan["week"], plan["points"], plan["bound"]
    wrong = []
    try:
        for limit, where, value, most in evaluate.broken_limits(instance, week):
            wrong.append(f"breaks {limit} ({where}): {value} > {most}")
        scored = evaluate.score(instance, week)
        if scored != points:
            wrong.append(f"says {points} points, is {scored}")
    except ValueError as error:
        wrong.append(f"is no week: {error}")
    if bound > points:
        wrong.append(f"its bound {bound} lies above its points {points}")
    answer = solve(instance, seconds, threads=threads)
    if bound > answer["objective"]:
        wrong.append(f"its bound {bound} lies above a week of {answer['objective']}: {json.dumps(answer['week'])}")
    if answer["bound"] is not None and answer["bound"] > points:
        wrong.append(f"its points {points} lie below the judge's bound {answer['bound']}")
    return answer, wrong


def main():
    """Command line; see the head of this file."""
    parser = argparse.ArgumentParser(description="Check plans on standard input against HiGHS.")
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--threads", type=int, default=1)
    arguments = parser.parse_args()
    heads = ("points", "bound", "judge", "bound")
    print(f"{'id':<28} {' '.join(f'{head:>8}' for head in heads)} {'status':<9} {'above %':>8} {'s':>6}  verdict")
    checked = failed = 0
    for line in sys.stdin:
        if not line.strip():
            continue
        plan = json.loads(line)
        answer, wrong = check(plan, arguments.seconds, arguments.threads)
        checked += 1
        failed += bool(wrong)
        above = 100 * (plan["points"] - answer["objective"]) / max(1, abs(answer["objective"]))
        print(
            f"{plan['id']:<28} {plan['points']:>8} {plan['bound']:>8} {answer['objective']:>8} "
            f"{'-' if answer['bound'] is None else answer['bound']:>8} {answer['status']:<9} {above:>8.2f} "
            f"{answer['seconds']:>6.1f}  {'; '.join(wrong) or 'holds'}",
            flush=True,
        )
    print(f"{checked} checked, {failed} failed")
    sys.exit(1 if failed or not checked else 0)


if __name__ == "__main__":
    main()
