#!/usr/bin/env python3
"""Compares two plan.json:  same_plan.py A B [--lengths METRES] [--prices SHARE] [--angles DEGREES] [--skip KEY]... [--outlet ID]

Prints what differs and ends with 1; with nothing to print it ends with 0. Without tolerances every number must be
equal. Texts for people and the keys named by --skip are not compared, nor are the lattice's own sums (`search`). With
--outlet one outlet alone is compared.
"""

import argparse
import json
import sys

TEXTS = {"text", "search", "why_not_shared"}


def parse():
    parser = argparse.ArgumentParser()
    parser.add_argument("files", nargs=2)
    parser.add_argument("--lengths", type=float, default=0)
    parser.add_argument("--prices", type=float, default=0)
    parser.add_argument("--angles", type=float)  # as lengths where not given
    parser.add_argument("--skip", action="append", default=[])
    parser.add_argument("--outlet")
    return parser.parse_args()


def is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def near(key, a, b, options):
    if key.endswith(("_cents", "_money")):
        return abs(a - b) <= options.prices * max(abs(a), abs(b))
    if key.endswith("_deg") and options.angles is not None:
        return abs(a - b) <= options.angles
    return abs(a - b) <= options.lengths


def differences(path, key, a, b, options):
    if key in TEXTS or key in options.skip:
        return
    if is_number(a) and is_number(b):
        if not near(key, a, b, options):
            yield f"{path}: {a} | {b}"
    elif isinstance(a, dict) and isinstance(b, dict) and a.keys() == b.keys():
        for name in a:
            yield from differences(f"{path}.{name}", name, a[name], b[name], options)
    elif isinstance(a, list) and isinstance(b, list) and len(a) == len(b):
        for i, (left, right) in enumerate(zip(a, b)):
            yield from differences(f"{path}[{i}]", key, left, right, options)
    elif a != b:
        yield f"{path}: {str(a)[:80]} | {str(b)[:80]}"


def main():
    options = parse()
    plans = []
    for name in options.files:
        with open(name, encoding="utf-8") as file:
            plan = json.load(file)
        if options.outlet:
            plan = [outlet for outlet in plan["outlets"] if outlet["id"] == options.outlet]
            assert plan, f"{name} has no outlet {options.outlet}"
        plans.append(plan)
    found = list(differences("", "", *plans, options))
    print("\n".join(found), end="\n" if found else "")
    sys.exit(1 if found else 0)


if __name__ == "__main__":
    main()
