#!/usr/bin/env python3
"""exact_sums.py ESTIMATE.csv [--above OTHER.csv]: adds the lines of an estimate in whole cents and fails where a sum is
not theirs; with --above where a total is not above the other file's."""

import csv
import sys

TOTAL = "total, all rates low / high"


def cents(text):
    whole, _, part = text.partition(".")
    assert len(part) == 2, text
    return int(whole) * 100 + int(part)


def totals_of(name):
    """By outlet: the totals low, likely and high, after every sum was checked."""
    with open(name, newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    columns = [key for key in rows[0] if key.split()[0] in ("low", "likely", "high")]
    assert len(columns) == 3, columns
    totals = {}
    for outlet in dict.fromkeys(row["outlet"] for row in rows if row["row"] == "line"):
        own = [row for row in rows if row["outlet"] == outlet]
        lines = [row for row in own if row["row"] == "line"]
        added = lambda some: [sum(cents(row[key]) for row in some) for key in columns]
        said = {(row["name"], row["trench"]): [cents(row[key]) for key in columns]
                for row in own if row["row"] == "sum"}
        assert said[TOTAL, ""] == added(lines), (outlet, said, added(lines))
        for trench in {row["trench"] for row in lines}:
            name = "trench" if trench else "job as a whole"
            assert said[name, trench] == added([row for row in lines if row["trench"] == trench]), (outlet, trench)
        totals[outlet] = said[TOTAL, ""]
    assert totals
    return totals


def main():
    totals = totals_of(sys.argv[1])
    if "--above" in sys.argv:
        other = totals_of(sys.argv[3])
        for outlet, total in totals.items():
            assert all(a > b for a, b in zip(total, other[outlet])), (outlet, total, other[outlet])


main()
