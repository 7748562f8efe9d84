#!/usr/bin/env python3
"""traced.py ESTIMATE.csv PLAN.json [--steered]: every quantity of the estimate (US units) is the trenches' own, and the
stretches a digging line names are as long as the trench is dug that way. With --steered the likely price of all that
the route was chosen by is the price that the route's own rates give, but for the rounding of each line."""

import csv
import json
import sys

YD3 = 0.764554857984  # 27 cubic feet of 0.3048 m
FT2 = 0.3048**2
FT = 0.3048


def near(said, measured, what):
    assert abs(said - measured) <= 2e-3 * max(1, abs(measured)), (what, said, measured)


def stretch(text):
    spans = [part.split("-") for part in text.split()]
    return sum(float(span[1]) - float(span[0]) for span in spans if len(span) == 2)


STEERS = ("machine_dig", "machine_length", "hand_dig", "hand_length", "expose", "pipe", "bedding", "bend_", "junction",
          "restore.")


def check_steered(own, trenches):
    likely = next(key for key in own[0] if key.startswith("likely"))
    lines = [row for row in own if row["key"].startswith(STEERS)]
    printed = sum(round(float(row[likely]) * 100) for row in lines)
    minimised = sum(trench["price"]["total_cents"] for trench in trenches)
    rounded = len(lines) + sum(len(trench["price"]["items"]) for trench in trenches)
    assert abs(printed - minimised) <= rounded / 2 + 1, (printed, minimised)


def main():
    with open(sys.argv[1], newline="", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        lines = [row for row in rows if row["row"] == "line" and not row["item"].startswith("Least charge")]
    with open(sys.argv[2], encoding="utf-8") as file:
        plan = json.load(file)
    checked = 0
    for outlet in plan["outlets"]:
        if not outlet["works"]:
            continue
        own = [row for row in lines if row["outlet"] == outlet["id"]]
        said = lambda key, unit: unit * sum(float(row["quantity"]) for row in own if row["key"] == key)
        trenches = [by["plan"] for by in outlet["by_source"]]
        summed = lambda key: sum(trench["quantities"][key] for trench in trenches)
        for method in ("machine", "hand"):
            near(said(f"{method}_dig", YD3), summed(f"{method}_cut_m3"), method)
            length = sum(stretch(row["stations m"]) for row in own if row["key"] == f"{method}_dig")
            assert abs(length - summed(f"{method}_length_m")) < 0.3, (method, length, summed(f"{method}_length_m"))
        near(said("haul", YD3), summed("haul_loose_m3"), "haul")
        near(said("bedding", YD3), summed("bedding_m3"), "bedding")
        near(said("pipe", FT), summed("length_m"), "pipe")
        assert said("expose", 1) == sum(len(trench["crossings"]) for trench in trenches)
        assert said("cleanout", 1) == sum(len(trench["cleanouts"]) for trench in trenches)
        fittings = sum(len(bend["fittings_deg"]) for trench in trenches for bend in trench["bends"])
        assert sum(said(f"bend_{angle}", 1) for angle in ("11", "22", "45", "90")) == fittings
        areas = {}
        for trench in trenches:
            for kind, area in trench["quantities"]["restore_m2"].items():
                areas[kind] = areas.get(kind, 0) + area
        for kind, area in areas.items():
            near(said(f"restore.{kind}", FT2), area, kind)
        if "--steered" in sys.argv:
            check_steered(own, trenches)
        checked += 1
    assert checked > 1, checked


main()
