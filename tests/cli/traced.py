#!/usr/bin/env python3
"""traced.py ESTIMATE.csv PLAN.json [--steered]: every quantity of the estimate (US units) is the trenches' own, and the
stretches a digging line names are as long as the trench is dug that way. With --steered the likely price of all that
the route was chosen by is the price that the rules in PLAN.json give, but for the rounding of each line."""

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


RULES = {"machine_dig": "rates.machine_volume", "machine_length": "rates.machine_length",
         "hand_dig": "rates.hand_volume", "hand_length": "rates.hand_length", "expose": "rates.crossing",
         "pipe": "rates.pipe", "pipe_3in": "rates.pipe", "pipe_4in": "rates.pipe", "pipe_6in": "rates.pipe",
         "bend_11": "fittings.price_11", "bend_22": "fittings.price_22", "bend_45": "fittings.price_45",
         "bend_90": "fittings.price_90", "wye": "wye.price"}


def rule_of(item):
    return "ground_cover." + item.removeprefix("restore.") + ".restore" if item.startswith("restore.") else RULES.get(item)


def check_steered(own, rules):
    likely = next(key for key in own[0] if key.startswith("likely"))
    printed = minimised = 0
    lines = [row for row in own if rule_of(row["item"]) or row["item"] == "bedding"]  # bedding is in the rule's pipe
    for row in lines:
        printed += float(row[likely])
        rate = float(rules[rule_of(row["item"])].split()[0]) if row["item"] != "bedding" else 0
        minimised += float(row["quantity"]) * rate
    assert abs(printed - minimised) <= 0.02 * len(lines), (printed, minimised)


def main():
    with open(sys.argv[1], newline="", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        lines = [row for row in rows if row["row"] == "line" and row["item"].split(".")[0] != "minimum"]
    with open(sys.argv[2], encoding="utf-8") as file:
        plan = json.load(file)
    checked = 0
    for outlet in plan["outlets"]:
        if not outlet["works"]:
            continue
        own = [row for row in lines if row["outlet"] == outlet["id"]]
        said = lambda key, unit: unit * sum(float(row["quantity"]) for row in own if row["item"] == key)
        trenches = [by["plan"] for by in outlet["by_source"]]
        summed = lambda key: sum(trench["quantities"][key] for trench in trenches)
        for method in ("machine", "hand"):
            near(said(f"{method}_dig", YD3), summed(f"{method}_cut_m3"), method)
            length = sum(FT * stretch(row["stations ft"]) for row in own if row["item"] == f"{method}_dig")
            assert abs(length - summed(f"{method}_length_m")) < 0.3, (method, length, summed(f"{method}_length_m"))
        near(said("haul", YD3), summed("haul_loose_m3"), "haul")
        near(said("bedding", YD3), summed("bedding_m3"), "bedding")
        pipes = sum(said(item, FT) for item in RULES if item.startswith("pipe"))
        near(pipes, summed("length_m"), "pipe")
        assert said("expose", 1) == sum(len(trench["crossings"]) for trench in trenches)
        assert said("cleanout", 1) == sum(len(trench["cleanouts"]) for trench in trenches)
        bends = [bend for trench in trenches
                 for bend in trench["bends"] + [one["bend"] for one in trench["vertical_bends"]]]
        fittings = sum(len(bend["fittings_deg"]) for bend in bends)
        assert sum(said(f"bend_{angle}", 1) for angle in ("11", "22", "45", "90")) == fittings
        areas = {}
        for trench in trenches:
            for kind, area in trench["quantities"]["restore_m2"].items():
                areas[kind] = areas.get(kind, 0) + area
        for kind, area in areas.items():
            near(said(f"restore.{kind}", FT2), area, kind)
        if "--steered" in sys.argv:
            check_steered(own, plan["rules"])
        checked += 1
    assert checked > 1, checked


main()
