"""Writes invented study folders, odd and hostile ones, for the test of recompute.R.

    python3 recompute_studies.py FOLDER

Values are made by formulas and a seeded generator; no subject, food or number is real. The same seed gives the same files.
"""
import csv
import json
import math
import os
import random
import sys

import recompute_assays
import recompute_diary
import recompute_fibre

SEED = 20261125
MEASURES = ["area_net_incremental", "area_total", "area_until_return", "area_above_minimum", "peak", "peak_rise",
            "time_to_peak_min", "time_to_return_min"]
TIMES = [-10, 0, 15, 30, 45, 60, 90, 120]


def rise(t, height, top):
    return 0.0 if t <= 0 else height * (t / top) * math.exp(1 - t / top)


class Study:
    """One folder: foods, rows of samples, subjects and plan."""

    def __init__(self, name, foods, analytes=("glucose",), plan=None):
        self.name = name
        self.json = {
            "format": "aftercurve-study", "version": 2, "title": "Invented: " + name,
            "foods": [{"id": f, "role": role} for f, role in foods],
            "analytes": [{"id": a, "unit": "mmol/L" if a == "glucose" else "pmol/L"} for a in analytes],
            "samples": ["samples.csv"], "plan": dict(plan or {})}
        self.columns = ["subject", "food", "visit", "period", "time_min"]
        self.analytes = list(analytes)
        self.rows = []
        self.sequences = {}
        self.tables = {}

    def curve(self, subject, food, visit, values, period="", times=TIMES, extra=None):
        """values: by analyte, one a time; None is missing."""
        for i, t in enumerate(times):
            row = {"subject": subject, "food": food, "visit": visit, "period": period, "time_min": t}
            row.update({a: "" if values[a][i] is None else values[a][i] for a in self.analytes})
            row.update(extra(i) if extra else {})
            self.rows.append(row)

    def table(self, name, rows):
        """A CSV beside the samples; its columns are the keys of its rows."""
        self.tables[name] = (list(dict.fromkeys(c for row in rows for c in row)), rows)

    def assay(self, rows, settings):
        self.table("assays.csv", rows)
        self.json["assays"] = {"file": "assays.csv", **settings}

    def write(self, folder):
        path = os.path.join(folder, self.name)
        os.makedirs(path, exist_ok=True)
        if self.sequences:
            self.json["subjects"] = "subjects.csv"
            with open(os.path.join(path, "subjects.csv"), "w", newline="", encoding="utf-8") as file:
                out = csv.writer(file, lineterminator="\n")
                out.writerow(["subject", "sequence"])
                out.writerows([[protected(s), protected(q)] for s, q in self.sequences.items()])
        with open(os.path.join(path, "study.json"), "w", encoding="utf-8") as file:
            json.dump(self.json, file, ensure_ascii=False, indent=1)
        for name, (columns, rows) in self.tables.items():
            with open(os.path.join(path, name), "w", newline="", encoding="utf-8") as file:
                out = csv.writer(file, lineterminator="\n")
                out.writerow(columns)
                out.writerows([[protected(row.get(c, "")) for c in columns] for row in rows])
        columns = self.columns + [c for c in ("nominal_min", "replicate") if any(c in r for r in self.rows)]
        with open(os.path.join(path, "samples.csv"), "w", newline="", encoding="utf-8") as file:
            out = csv.writer(file, lineterminator="\n")
            out.writerow(columns + self.analytes)
            for row in self.rows:
                out.writerow([protected(row.get(c, "")) for c in columns + self.analytes])


def protected(cell):
    text = str(cell)
    number = isinstance(cell, (int, float))
    return "'" + text if not number and text[:1] in ("=", "+", "-", "@", "'") else text


def glucose(g, times=TIMES, height=3.0, decimals=1, scatter=0.3, base=4.8):
    return [round(max(0.0, base + rise(t, height, 35) - 0.006 * max(t, 0) + g.gauss(0, scatter)), decimals) for t in times]


def three_foods():
    return [("drink", "reference"), ("barley", "test"), ("kelp", "test")]


def plain(g, name, subjects, plan, foods=None, repeats=2, **how):
    study = Study(name, foods or three_foods(), plan=plan)
    for s in range(1, subjects + 1):
        own = g.gauss(0, 0.8)
        for k, (food, role) in enumerate(study_foods(study)):
            for visit in range(1, (repeats if role == "reference" else 1) + 1):
                study.curve("%02d" % s, food, visit,
                            {"glucose": glucose(g, **{"height": max(0.2, 3.2 - 0.7 * k + own), **how})})
    return study


def study_foods(study):
    return [(f["id"], f["role"]) for f in study.json["foods"]]


def missing(g):
    for rule in ("span", "exclude"):
        study = plain(g, "missing-" + rule, 9, {"missing_interior": rule, "secondary_measures": MEASURES,
                                                "sub_windows_min": [20, 75], "limits": {"glucose": 7.8}})
        for row in study.rows:
            if g.random() < 0.06:
                row["glucose"] = ""
        study.rows = [row for row in study.rows if g.random() > 0.02]
        g.shuffle(study.rows)
        yield study


def determinations(g):
    study = Study("determinations", three_foods(), ("glucose", "insulin"),
                  {"time_basis": "nominal", "below_loq": "loq/2", "whole_blood_to_plasma": True, "baseline": "time-zero",
                   "df_method": "kenward-roger"})
    study.json["analytes"][0]["specimen"] = "capillary whole blood"
    for s in range(1, 8):
        for food, role in study_foods(study):
            for visit in (1, 2) if role == "reference" else (1,):
                for replicate in (1, 2):
                    shift = [g.choice([0, 0, 1, -1]) for _ in TIMES]
                    insulin = [round(20 + rise(t, 200, 40) + g.gauss(0, 6), 1) for t in TIMES]
                    study.curve("S%d" % s, food, visit, {"glucose": glucose(g, decimals=2),
                                                         "insulin": ["<25" if v < 25 else v for v in insulin]},
                                times=[t + d for t, d in zip(TIMES, shift)],
                                extra=lambda i, r=replicate: {"replicate": r, "nominal_min": TIMES[i]})
    return study


def ties(g):
    study = plain(g, "ties", 11, {"secondary_measures": ["peak", "peak_rise", "time_to_peak_min", "time_to_return_min"],
                                  "multiplicity": "hochberg", "sub_windows_min": [30, 60, 90],
                                  "limits": {"glucose": 7}}, decimals=0, scatter=0.4)
    study.json["plan"]["measure"] = "peak"
    study.json["plan"]["secondary_measures"].remove("peak")
    return study


def degenerate(g):
    yield plain(g, "one-subject", 1, {})
    yield plain(g, "two-subjects", 2, {"index_outlier_rule": "2sd-once", "index_standard": "wst-652"})
    yield plain(g, "one-food", 5, {}, foods=[("drink", "reference")])
    study = Study("equal-differences", three_foods(), plan={"measure": "area_total", "secondary_measures": ["peak"]})
    for s in range(1, 7):
        for k, (food, _) in enumerate(study_foods(study)):
            study.curve("%02d" % s, food, 1, {"glucose": [round(4.5 + 0.1 * s + 0.3 * k + rise(t, 2, 30), 3) for t in TIMES]})
    yield study
    study = Study("all-equal", three_foods())
    for s in range(1, 6):
        for food, _ in study_foods(study):
            study.curve("%02d" % s, food, 1, {"glucose": [4.5] * 8})
    yield study
    study = Study("nothing-there", three_foods())
    for s in range(1, 5):
        for food, _ in study_foods(study):
            study.curve("%02d" % s, food, 1, {"glucose": [None] * 8})
    yield study
    study = plain(g, "food-without-samples", 6, {}, foods=three_foods() + [("rye", "test")])
    study.rows = [r for r in study.rows if r["food"] != "rye" and not (r["subject"] == "03" and r["food"] == "kelp")]
    study.json["foods"][0]["label"] = "=1+1"
    yield study
    study = plain(g, "late-and-short", 6, {"window_end_min": 100})
    for row in study.rows:
        if row["subject"] == "02" and row["time_min"] > 60:
            row["glucose"] = ""
        if row["subject"] == "04" and row["time_min"] <= 0:
            row["glucose"] = ""
        if row["subject"] == "05" and row["food"] == "kelp" and row["time_min"] == 30:
            row["glucose"] = "5,4"
    yield study
    yield plain(g, "large-values", 7, {"alpha": 0.1}, base=8e8, height=5e6, scatter=0.01, decimals=4)
    yield plain(g, "tiny-values", 7, {"alpha": 0.01}, base=0.0, height=1e-7, scatter=0.0, decimals=12)
    study = Study("perfect-fit", three_foods(), plan={"measure": "peak"})
    for s in range(1, 6):
        for k, (food, _) in enumerate(study_foods(study)):
            study.curve("%02d" % s, food, 1, {"glucose": [4, 4, 5 + s + k, 5, 5, 4, 4, 4]})
    yield study


def odd_codes(g):
    foods = [("=cmd|' /C calc'!A0", "reference"), ("bread, \"rye\"; 'x'", "test"), ("麦 µ\u00e4 \\n $(x) `y`", "test")]
    study = Study("odd-codes", foods, plan={"secondary_measures": MEASURES})
    codes = ["=1+2", "'=1", "''", "a,b", "q\"q", "\\", "é\u0301", "NA x", "TRUE", "1e5", "-7", "@x", "'; quit(\"yes\") #",
             " ".join(["long"] * 19)]
    for n, code in enumerate(codes):
        study.sequences[code] = ["=AB", "B,A", "ä"][n % 3]
        for k, (food, _) in enumerate(foods):
            study.curve(code, food, 1, {"glucose": glucose(g)}, period=(k + n) % 3 + 1)
    study.json["exclusions"] = [{"subject": "a,b", "reason": "=HYPERLINK(\"x\"), said \"no\""}]
    return study


def crossover(g):
    for name, lose in (("crossover", 0.0), ("crossover-incomplete", 0.12)):
        study = Study(name, [("oats", "test"), ("bread", "control")], ("glucose", "insulin"),
                      {"secondary_measures": ["peak_rise", "time_to_return_min"], "index": False,
                       "multiplicity": "benjamini-hochberg"})
        for s in range(1, 14):
            order = ["oats", "bread"] if s % 2 else ["bread", "oats"]
            study.sequences["%02d" % s] = "AB" if s % 2 else "BA"
            own = g.gauss(0, 0.7)
            for period, food in enumerate(order, 1):
                if g.random() < lose:
                    continue
                study.curve("%02d" % s, food, 1,
                            {"glucose": glucose(g, height=2.5 + own - 0.5 * (food == "oats") + 0.2 * period),
                             "insulin": [round(30 + rise(t, 250 + 40 * own, 40) + g.gauss(0, 8), 1) for t in TIMES]},
                            period=period)
        yield study


def designs(g):
    study = Study("own-periods", three_foods(), plan={"multiplicity": "none"})
    for s in range(1, 9):
        for k, (food, _) in enumerate(study_foods(study)):
            study.curve("%02d" % s, food, 1, {"glucose": glucose(g, height=3 - 0.5 * k)}, period=k + 1)
    yield study
    foods = [("f%d" % k, "control" if k == 0 else "test") for k in range(5)]
    for method in ("satterthwaite", "kenward-roger"):
        study = Study("blocks-" + method, foods, plan={"df_method": method, "comparator": "f0", "index": False,
                                                       "secondary_measures": ["peak", "area_total"]})
        for s in range(1, 13):
            own = g.gauss(0, 1.0)
            eaten = g.sample(range(5), 3)
            study.sequences["%02d" % s] = g.choice(["p", "q", "r"])
            for period, k in enumerate(eaten, 1):
                study.curve("%02d" % s, "f%d" % k, 1, {"glucose": glucose(g, height=max(0.3, 3 + own - 0.4 * k))}, period=period)
        yield study
    study = Study("unrelated-visits", three_foods(), plan={"measure": "area_total"})
    for s in range(1, 9):
        for k, (food, _) in enumerate(study_foods(study)):
            level = 5 + (0.3, -0.1, -0.2)[(k + s) % 3]
            study.curve("%02d" % s, food, 1, {"glucose": [round(level + g.gauss(0, 0.05), 2) for _ in TIMES]}, period=(k + s) % 3 + 1)
    yield study


def excluded(g):
    study = plain(g, "exclusions", 12, {"index_outlier_rule": "2sd-once", "index_standard": "as-4694", "secondary_measures": ["time_to_return_min"]}, repeats=3)
    study.json["exclusions"] = [
        {"subject": "02", "reason": "fever"}, {"subject": "05", "food": "kelp", "reason": "vomited"},
        {"subject": "07", "food": "drink", "visit": 2, "reason": "drank coffee"},
        {"subject": "08", "food": "barley", "time_min": 30, "reason": "clotted"},
        {"subject": "09", "time_min": 0, "reason": "late"}, {"food": "kelp", "visit": 1, "subject": "11", "time_min": 120, "reason": "lost"}]
    return study


def choices(g):
    """One design under the choices that the plan has for models."""
    foods = [("f%d" % k, "control" if k == 0 else "test") for k in range(4)]
    plans = {"tukey": {"model_multiplicity": "tukey", "time_course": "independent"},
             "dunnett": {"model_multiplicity": "dunnett", "time_course_value": "concentration", "df_method": "kenward-roger"},
             "carry-over": {"carry_over": True, "model_family": "all-pairs", "time_course": "none"},
             "unstructured": {"model_multiplicity": "none", "time_course": "unstructured"}}
    for name, plan in plans.items():
        study = Study("choices-" + name, foods, plan={**plan, "index": False, "resamples": 500, "sensitivity": False})
        for s in range(1, 13):
            own = g.gauss(0, 1.0)
            order = [(s + j) % 4 for j in (0, 1, 3, 2)]
            for period, k in enumerate(order, 1):
                if name == "carry-over" and g.random() < 0.05:
                    continue
                study.curve("%02d" % s, "f%d" % k, 1, {"glucose": glucose(g, height=max(0.3, 3 + own - 0.4 * k))}, period=period)
        yield study


def margins(g):
    plan = {"equivalence_difference_low": -30, "equivalence_difference_high": 25, "equivalence_ratio_low": 0.8,
            "equivalence_ratio_high": 1.25, "non_inferiority_margin": 20, "better": "lower", "trim": 0.1,
            "seed": 18446744073709551557, "resamples": 2000}
    yield plain(g, "margins", 14, plan)
    # A comparator near 0: ratios without bounds, values without a logarithm.
    yield plain(g, "margins-of-nothing", 8, {**plan, "measure": "area_net_incremental", "better": "higher", "resamples": 0,
                                             "alpha": 0.2}, height=0.3, scatter=0.5)


def portions(g):
    """What a portion holds: on the limit of the match, missing, 0, and too large to divide."""
    held = {
        "drink": {"available_carbohydrate_g": 0.3, "portion_g": 250, "energy_kj": 5.1, "protein_g": 0, "fat_g": 0, "fibre_g": 0,
                  "serving_g": 250},
        "control": {"available_carbohydrate_g": 0.3, "portion_g": 70, "protein_g": 2, "fat_g": 1, "fibre_g": 0.7, "serving_g": 70,
                    "starch_g": 0, "resistant_starch_g": 0},
        "limit": {"available_carbohydrate_g": 0.33, "portion_g": 21, "energy_kj": 60, "fibre_g": 2.1, "serving_g": 7, "starch_g": 5,
                  "resistant_starch_g": 0.7, "slowly_digestible_starch_g": 1, "sugars_g": 0.2},
        "short": {"available_carbohydrate_g": 0.2699, "portion_g": 30, "energy_kj": 100, "protein_g": 1, "fat_g": 1, "fibre_g": 3},
        "nothing": {},
        "empty": {"available_carbohydrate_g": 0, "portion_g": 0, "energy_kj": 0, "protein_g": 0, "fat_g": 0, "fibre_g": 1,
                  "serving_g": 10},
        "huge": {"available_carbohydrate_g": 1e300, "portion_g": 1e-300, "energy_kj": 1e308, "protein_g": 1e308, "fat_g": 1e308,
                 "fibre_g": 1e300, "serving_g": 1e300},
    }
    roles = {"drink": "reference", "control": "control"}
    study = plain(g, "portions", 4, {"resamples": 0, "sensitivity": False, "time_course": "none", "fibre_target_g": 2.1,
                                     "comparator": "control"}, [(food, roles.get(food, "test")) for food in held])
    for food in study.json["foods"]:
        food.update(held[food["id"]])
    return study


def insulin(g):
    """Glucose, insulin and C-peptide in other units, with missing samples, fasting values at the edges, and an exclusion."""
    for name, plan in (("insulin-units", {"washout_days": 3}), ("insulin-odd", {"multiplicity": "none", "baseline": "time-zero"})):
        study = Study(name, three_foods(), ("glucose", "insulin", "c-peptide"), {**plan, "resamples": 0, "sensitivity": False})
        study.json["foods"][0]["available_carbohydrate_g"] = 75 if name == "insulin-units" else 50
        odd = name == "insulin-odd"
        if not odd:
            for analyte, unit in zip(study.json["analytes"], ("mg/dL", "uIU/mL", "ng/mL")):
                analyte["unit"] = unit
            study.json["analytes"][1]["pmol_per_uiu"] = 6.945
        else:
            study.json["analytes"][2]["unit"] = "nmol/L"
        for s in range(1, 10):
            own = g.gauss(0, 0.5)
            for k, (food, role) in enumerate(study_foods(study)):
                for visit in (1, 2) if role == "reference" else (1,):
                    sugar = glucose(g, height=max(0.3, 3 + own - 0.5 * k), base=3.9 if odd else 4.8)
                    hormone = [round(max(0.0, 40 + rise(t, 220 - 40 * k, 40) + g.gauss(0, 9)), 1) for t in TIMES]
                    peptide = [round(0.4 + rise(t, 1.4, 50) + g.gauss(0, 0.04), 3) for t in TIMES]
                    if odd and s == 2:
                        hormone[1] = 0
                    if odd and s == 3:
                        sugar[1] = 3.5
                    if odd and s == 4:
                        sugar[3] = sugar[1]
                    if odd and s == 5:
                        hormone = [round(v / 100, 2) for v in hormone]
                    if not odd:
                        sugar = [round(18 * v) for v in sugar]
                        hormone = [round(v / 7, 2) for v in hormone]
                        peptide = [round(3 * v, 2) for v in peptide]
                    values = {"glucose": sugar, "insulin": hormone, "c-peptide": peptide}
                    for analyte in values:
                        if g.random() < 0.15:
                            values[analyte][g.choice([2, 3, 4, 6])] = None
                    study.curve("%02d" % s, food, visit, values)
        study.json["exclusions"] = [{"subject": "06", "food": "drink", "visit": 1, "reason": "ate before", "by": "unit", "on": "2026-01-01"},
                                    {"subject": "07", "analyte": "insulin", "reason": "haemolysed", "by": "unit", "on": "2026-01-01"}]
        yield study


def few(g, name, foods):
    """A small study of blood for what stands beside it."""
    return plain(g, name, 5, {"resamples": 0, "sensitivity": False}, foods=foods)


def main():
    folder = sys.argv[1]
    g = random.Random(SEED)
    studies = [*missing(g), determinations(g), ties(g), *degenerate(g), odd_codes(g), *crossover(g), *designs(g), excluded(g), *margins(g), *choices(g),
               plain(g, "many-subjects", 60, {"secondary_measures": ["peak_rise"]}), portions(g), *insulin(g), *recompute_assays.digestion(lambda name, foods: few(g, name, foods), g),
               *recompute_fibre.fibre(lambda name, foods: few(g, name, foods)),
               *recompute_diary.diaries(lambda name, foods: few(g, name, foods), g)]
    for study in studies:
        study.write(folder)
    print("\n".join(study.name for study in studies))


main()
