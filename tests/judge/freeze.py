"""Solve a folder of instances into a CSV of reference values.

`python freeze.py FOLDER OUT.csv [--weeks WEEKS.jsonl] [--seconds 20] [--again 60]`

The CSV has `id,digest,status,objective,bound,seconds`, an id being the file's name without `.json`. A run that was
cut short goes on where it stopped: an id already there with the same digest is left out. `--again` makes a second
pass over what is not yet proved, starting from the best known week; better objectives and bounds are kept.
The weeks go into WEEKS.jsonl (OUT.jsonl by default), from where the second pass takes them.
"""

import argparse
import csv
import json
import os
import pathlib
import sys

import evaluate
from solve import digest, solve

FIELDS = ("id", "digest", "status", "objective", "bound", "seconds")


def read_rows(path):
    """The CSV's rows by id."""
    if not path.exists():
        return {}
    with open(path, encoding="utf-8", newline="") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


def read_weeks(path):
    """The best known week for each digest."""
    weeks = {}
    if path.exists():
        with open(path, encoding="utf-8") as file:
            for line in file:
                record = json.loads(line)
                best = weeks.get(record["digest"])
                if best is None or record["objective"] < best["objective"]:
                    weeks[record["digest"]] = record
    return weeks


def replace(path, write):
    """Write a file beside `path` and move it there, so that a cut leaves the old or the new, never half."""
    beside = path.with_name(path.name + ".part")
    with open(beside, "w", encoding="utf-8", newline="") as file:
        write(file)
    os.replace(beside, path)


def save(out, weeks_out, rows, weeks):
    """Write both files, in the order of the ids."""

    def write_rows(file):
        writer = csv.DictWriter(file, FIELDS, lineterminator="\n")
        writer.writeheader()
        for name in sorted(rows):
            writer.writerow(rows[name])

    def write_weeks(file):
        for record in sorted(weeks.values(), key=lambda record: (record["id"], record["digest"])):
            file.write(json.dumps(record, separators=(",", ":")) + "\n")

    replace(weeks_out, write_weeks)
    replace(out, write_rows)


def freeze_one(path, seconds, threads, rows, weeks, only_unproved):
    """Solve one file unless it is known; True when something changed."""
    name = path.stem
    instance = json.loads(path.read_text(encoding="utf-8"))
    mark = digest(instance)
    row = rows.get(name)
    if row is not None and row["digest"] == mark:
        if not only_unproved or row["status"] == "optimal":
            return False
    else:
        row = None
    known = weeks.get(mark)
    answer = solve(instance, seconds, known["week"] if known else None, threads)
    bound, spent = answer["bound"], answer["seconds"]
    if row is not None:
        spent = round(spent + float(row["seconds"]), 2)
        bound = max((b for b in (bound, int(row["bound"]) if row["bound"] else None) if b is not None), default=None)
    if bound is not None and bound > answer["objective"]:
        raise RuntimeError(f"{name}: an earlier bound of {bound} lies above the week's {answer['objective']}")
    rows[name] = {
        "id": name,
        "digest": mark,
        "status": "optimal" if bound == answer["objective"] else "feasible",
        "objective": answer["objective"],
        "bound": "" if bound is None else bound,
        "seconds": spent,
    }
    weeks[mark] = {"id": name, "digest": mark, "objective": answer["objective"], "week": answer["week"]}
    assert evaluate.score(instance, answer["week"]) == answer["objective"]
    return True


def main():
    """Command line; see the head of this file."""
    parser = argparse.ArgumentParser(description="Solve a folder of instances into a CSV.")
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("out", type=pathlib.Path)
    parser.add_argument("--weeks", type=pathlib.Path)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--again", type=float, help="seconds for each instance of the second pass")
    parser.add_argument("--threads", type=int, default=1)
    arguments = parser.parse_args()
    weeks_out = arguments.weeks or arguments.out.with_suffix(".jsonl")
    rows, weeks = read_rows(arguments.out), read_weeks(weeks_out)
    paths = sorted(arguments.folder.glob("*.json"))
    if not paths:
        sys.exit(f"no .json file in {arguments.folder}")
    passes = [(arguments.seconds, False)] + ([(arguments.again, True)] if arguments.again else [])
    for seconds, only_unproved in passes:
        for path in paths:
            if freeze_one(path, seconds, arguments.threads, rows, weeks, only_unproved):
                save(arguments.out, weeks_out, rows, weeks)
                row = rows[path.stem]
                print(*(row[field] for field in FIELDS if field != "digest"), flush=True)
    here = [rows[path.stem] for path in paths]
    proved = sum(row["status"] == "optimal" for row in here)
    print(f"{proved} of {len(here)} proved")


if __name__ == "__main__":
    main()
