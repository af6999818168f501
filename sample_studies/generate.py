#!/usr/bin/env python3
"""Writes the four invented sample studies beside this file. Nothing in them was measured on anyone.

    python3 generate.py           writes the files
    python3 generate.py --check   makes them in memory and compares; exit 1 where a file differs

Only the standard library is used. Uniform numbers come from random.Random(SEED).random(), whose sequence
Python promises to keep; normal numbers are the sum of twelve of them minus six (z below), so that no library
method of drawing can change the files. A rerun gives the same bytes.

The formulas, made for this purpose (t in min, all z independent unless an index says otherwise):

  shape       g(t) = (t/tp)^a * exp(a*(1 - t/tp)) for t > 0, else 0; its maximum is 1 at t = tp.
  glucose     G(t) = G0 + H*g(t) - U*exp(-((t - tu)/w)^2) + S*g(t - ts) + 0.07*z
              G0   = subject's fasting level + 0.13*z of the visit
              H    = target area / area of g from 0 to the window's end (trapezoids of 1 min)
              U    = depth of the undershoot after the peak (0 for most subjects), tu = 88 min, w = 17 min
              S    = a second rise after eating at ts (0 but for the one visit that says so)
  insulin     I(t) = (I0 + K*g(t) + second rise) * (1 + 0.06*z), I0 and K by subject and food
  C-peptide   C(t) = (C0 + K*g(t)) * (1 + 0.04*z), with a later and broader g than insulin's: it is cleared slower
  target area of a subject's visit = subject's level * food's ratio of that subject * (1 + cv*z), never below
              a quarter of what it is without z; in the crossover also * (1 + period effect) in period 2
  rounding    glucose to 0.01 mmol/L, insulin to 0.1 pmol/L (1 pmol/L in seaweed-bread-breakfast), C-peptide to
              0.01 nmol/L

The seeds of barley-index and seaweed-bread-breakfast were picked among several so that the studies look as such studies
do (reference CV 18-25 %, spread of the index 15-20, in the second one outlier). Compositions and the indices of a meal's
parts are invented too. Conclusions about any food cannot be drawn from these studies. What kelp-barley-crisps has beyond
curves (digestion, fibre, diary) has its formulas in kelp_barley_crisps.py.
"""

import sys
from pathlib import Path

sys.dont_write_bytecode = True  # nothing but the studies is written here

from invented import GENERATOR, NOTE, UNIT, Numbers, glucose_at, rows_text, shape, shape_area, study_text, visit_area
from kelp_barley_crisps import kelp_barley_crisps

SEED_INDEX = 2957
SEED_CROSSOVER = 4201
SEED_BREAKFAST = 6172


# --- barley-index ----------------------------------------------------------------------------------------------


def barley_index():
    numbers = Numbers(SEED_INDEX)
    times = [-5, 0, 15, 30, 45, 60, 90, 120]
    # ratio: mean and SD over subjects of the true area ratio; tp and a: of the food's shape
    foods = {
        "glucose-drink": {"ratio": (1.0, 0.0), "tp": (30.0, 39.0), "a": (1.9, 2.5)},
        "pearled-porridge": {"ratio": (0.60, 0.09), "tp": (34.0, 45.0), "a": (1.5, 2.0)},
        "high-fibre-porridge": {"ratio": (0.44, 0.08), "tp": (34.0, 47.0), "a": (1.3, 1.8)},
    }
    samples = [["subject", "food", "visit", "period", "time_min", "glucose"]]
    subjects = [["subject", "sequence", "sex", "age_y", "bmi_kg_m2"]]
    for number in range(1, 13):
        code = f"{number:02d}"
        pearled_first = number % 2 == 1
        subjects.append([code, "DPDHD" if pearled_first else "DHDPD", "F" if numbers.uniform(0, 1) < 0.55 else "M",
                         str(int(numbers.uniform(20, 46))), f"{numbers.uniform(19.6, 25.4):.1f}"])
        fasting = numbers.uniform(4.55, 5.25)
        level = 185.0 * (1.0 + 0.18 * numbers.z())
        ratio = {food: max(0.15, f["ratio"][0] + f["ratio"][1] * numbers.z()) for food, f in foods.items()}
        undershoot = 0.95 if number in (4, 9) else 0.0
        pearled, fibre = ("pearled-porridge", 1), ("high-fibre-porridge", 1)
        second, fourth = (pearled, fibre) if pearled_first else (fibre, pearled)
        days = [("glucose-drink", 1), second, ("glucose-drink", 2), fourth, ("glucose-drink", 3)]
        for period, (food, visit) in enumerate(days, start=1):
            f = foods[food]
            tp, a = numbers.uniform(*f["tp"]), numbers.uniform(*f["a"])
            drink = food == "glucose-drink"
            area = visit_area(numbers, level * ratio[food], 0.22 if drink else 0.18)
            curve = {"fasting": fasting + 0.13 * numbers.z(), "height": area / shape_area(tp, a, 120), "tp": tp, "a": a,
                     "undershoot": undershoot if drink else 0.0, "second": 0.0, "second_at": 0.0}
            for t in times:
                value = glucose_at(t, curve) + 0.07 * numbers.z()
                samples.append([code, food, str(visit), str(period), str(t), f"{value:.2f}"])
    study = {
        "format": "aftercurve-study",
        "version": 1,
        "title": f"Glycaemic index of two barley porridges, {UNIT}",
        "invented": {"note": NOTE, "generator": GENERATOR, "seed": SEED_INDEX},
        "design": ("Five mornings a subject: the drink on the first, third and fifth, the porridges between, in random "
                   "order. Sequence letters: D drink, P pearled, H high-fibre."),
        "foods": [
            {"id": "glucose-drink", "label": "Glucose drink", "role": "reference", "available_carbohydrate_g": 50,
             "portion_g": 250},
            {"id": "pearled-porridge", "label": "Pearled barley porridge", "role": "test",
             "available_carbohydrate_g": 50, "portion_g": 345},
            {"id": "high-fibre-porridge", "label": "High-fibre barley porridge", "role": "test",
             "available_carbohydrate_g": 50, "portion_g": 410},
        ],
        "analytes": [{"id": "glucose", "unit": "mmol/L", "specimen": "capillary plasma"}],
        "samples": ["samples.csv"],
        "subjects": "subjects.csv",
        "exclusions": [],
        "plan": {"window_end_min": 120, "baseline": "fasting-mean", "measure": "area_positive_incremental",
                 "comparator": "glucose-drink", "alpha": 0.05, "multiplicity": "holm", "index": True,
                 "index_outlier_rule": "none", "resamples": 10000, "seed": 1},
    }
    return {"study.json": study_text(study), "samples.csv": rows_text(samples), "subjects.csv": rows_text(subjects)}


# --- pulse-wafer-crossover -------------------------------------------------------------------------------------


def pulse_wafer_crossover():
    numbers = Numbers(SEED_CROSSOVER)
    times = [-10, 0, 15, 30, 45, 60, 90, 120, 180]
    wheat = {"ratio": (1.0, 0.0), "tp": (31.0, 42.0), "a": (1.8, 2.4), "insulin": (1.0, 0.0)}
    pulse = {"ratio": (0.64, 0.14), "tp": (32.0, 45.0), "a": (1.4, 1.9), "insulin": (0.60, 0.10)}
    foods = {"wheat-wafer": wheat, "pulse-wafer": pulse}
    ab = {1, 4, 5, 7, 10, 11, 14, 15, 18, 20}
    samples = [["subject", "food", "visit", "period", "time_min", "glucose", "insulin"]]
    subjects = [["subject", "sequence", "sex", "age_y", "bmi_kg_m2"]]
    for number in range(1, 21):
        code = f"{number:02d}"
        order = ["pulse-wafer", "wheat-wafer"] if number in ab else ["wheat-wafer", "pulse-wafer"]
        bmi = numbers.uniform(20.5, 28.9)
        subjects.append([code, "AB" if number in ab else "BA", "F" if numbers.uniform(0, 1) < 0.5 else "M",
                         str(int(numbers.uniform(24, 59))), f"{bmi:.1f}"])
        fasting = numbers.uniform(4.6, 5.35)
        level = 165.0 * (1.0 + 0.22 * numbers.z())
        insulin_fasting = 32.0 + 2.9 * (bmi - 20.5) + 3.5 * numbers.z()
        insulin_rise = 400.0 + 9.0 * (bmi - 24.5) + 45.0 * numbers.z()
        ratio = {food: max(0.2, f["ratio"][0] + f["ratio"][1] * numbers.z()) for food, f in foods.items()}
        insulin_ratio = {food: max(0.3, f["insulin"][0] + f["insulin"][1] * numbers.z()) for food, f in foods.items()}
        for period, food in enumerate(order, start=1):
            f = foods[food]
            tp, a = numbers.uniform(*f["tp"]), numbers.uniform(*f["a"])
            area = visit_area(numbers, level * ratio[food], 0.18) * (1.06 if period == 2 else 1.0)
            ate = number == 11 and food == "wheat-wafer"
            curve = {"fasting": fasting + 0.13 * numbers.z(), "height": area / shape_area(tp, a, 180), "tp": tp, "a": a,
                     "undershoot": 0.75 if number in (3, 16) and food == "wheat-wafer" else 0.0,
                     "second": 1.9 if ate else 0.0, "second_at": 70.0}
            itp, ia = tp + numbers.uniform(0.0, 5.0), a - numbers.uniform(0.1, 0.4)
            rise = insulin_rise * insulin_ratio[food] * (1.0 + 0.10 * numbers.z())
            fasting_now = insulin_fasting * (1.0 + 0.07 * numbers.z())
            for t in times:
                glucose = glucose_at(t, curve) + 0.07 * numbers.z()
                insulin = fasting_now + rise * shape(t, itp, ia)
                insulin += 260.0 * shape(t - 70.0, 32.0, 1.8) if ate else 0.0
                insulin *= 1.0 + 0.06 * numbers.z()
                if number == 9 and period == 2:
                    continue  # did not come to the second visit
                if number == 17 and period == 2 and t > 60:
                    continue  # left after 60 min
                haemolysed = number == 5 and food == "pulse-wafer" and t == 45
                samples.append([code, food, "1", str(period), str(t), f"{glucose:.2f}",
                                "NA" if haemolysed else f"{insulin:.1f}"])
    study = {
        "format": "aftercurve-study",
        "version": 1,
        "title": f"Pulse-flour wafer against wheat wafer, two-period crossover, {UNIT}",
        "invented": {"note": NOTE, "generator": GENERATOR, "seed": SEED_CROSSOVER},
        "design": ("Two mornings a subject, at least a week apart. Sequence letters: A pulse-flour wafer, B wheat wafer. "
                   "Subject 05: one insulin sample haemolysed (NA). Subject 09 did not come to the second visit. "
                   "Subject 17 left the second visit after the 60 min sample."),
        "foods": [
            {"id": "wheat-wafer", "label": "Wheat wafer", "role": "control", "available_carbohydrate_g": 40,
             "portion_g": 55},
            {"id": "pulse-wafer", "label": "Pulse-flour wafer", "role": "test", "available_carbohydrate_g": 40,
             "portion_g": 78},
        ],
        "analytes": [{"id": "glucose", "unit": "mmol/L", "specimen": "venous plasma"},
                     {"id": "insulin", "unit": "pmol/L", "specimen": "venous plasma"}],
        "samples": ["samples.csv"],
        "subjects": "subjects.csv",
        "exclusions": [
            {"subject": "11", "food": "wheat-wafer", "visit": 1, "reason": "ate a biscuit at about 70 min of the visit",
             "by": "study physician", "on": "2026-03-02"},
        ],
        "plan": {"window_end_min": 180, "baseline": "fasting-mean", "measure": "area_positive_incremental",
                 "secondary_measures": ["peak_rise"], "comparator": "wheat-wafer", "alpha": 0.05, "multiplicity": "holm",
                 "index": False, "index_outlier_rule": "none", "resamples": 10000, "seed": 1},
    }
    return {"study.json": study_text(study), "samples.csv": rows_text(samples), "subjects.csv": rows_text(subjects)}


# --- seaweed-bread-breakfast -----------------------------------------------------------------------------------


def breakfast_foods():
    """Grams and kJ of a portion. starch_g holds the resistant starch; fibre_g too."""
    return [
        {"id": "glucose-drink", "label": "Glucose drink", "role": "reference", "available_carbohydrate_g": 50,
         "portion_g": 250, "serving_g": 250, "energy_kj": 850, "protein_g": 0, "fat_g": 0, "sugars_g": 50, "starch_g": 0,
         "resistant_starch_g": 0, "slowly_digestible_starch_g": 0, "fibre_g": 0},
        {"id": "wheat-toast", "label": "Wheat toast", "role": "control", "available_carbohydrate_g": 50,
         "portion_g": 105, "serving_g": 35, "energy_kj": 1160, "protein_g": 9.5, "fat_g": 3.1, "sugars_g": 4,
         "starch_g": 46.8, "resistant_starch_g": 0.9, "slowly_digestible_starch_g": 3, "fibre_g": 3.5},
        {"id": "seaweed-toast", "label": "Seaweed-fibre toast", "role": "test", "available_carbohydrate_g": 50,
         "portion_g": 128, "serving_g": 40, "energy_kj": 1290, "protein_g": 11.2, "fat_g": 4, "sugars_g": 3.8,
         "starch_g": 48.1, "resistant_starch_g": 2.1, "slowly_digestible_starch_g": 7, "fibre_g": 12.8},
        {"id": "toast-breakfast", "label": "Toast breakfast", "role": "test", "available_carbohydrate_g": 50,
         "portion_g": 280, "serving_g": 280, "energy_kj": 1360, "protein_g": 17.5, "fat_g": 5, "sugars_g": 21.6,
         "starch_g": 28.6, "resistant_starch_g": 0.5, "slowly_digestible_starch_g": 2.1, "fibre_g": 2.9,
         "parts": [
             {"label": "Wheat toast", "carbohydrate_g": 25, "index": 72, "scale": "glucose", "source": "invented"},
             {"label": "Berry jam", "carbohydrate_g": 11, "index": 48, "scale": "glucose", "source": "invented"},
             {"label": "Whey milk", "carbohydrate_g": 9, "index": 30, "scale": "glucose", "source": "invented"},
             {"label": "Barley flakes", "carbohydrate_g": 5, "index": 38, "scale": "glucose", "source": "invented"}]},
    ]


def breakfast_days(number):
    """The drink first, in the middle and last; odd numbers have a second morning with the wheat toast."""
    order = {1: "WSB", 2: "SBW", 0: "BWS"}[number % 3]
    return "D" + order[:2] + "D" + order[2] + ("WD" if number % 2 == 1 else "D")


def seaweed_bread_breakfast():
    numbers = Numbers(SEED_BREAKFAST)
    times = [-5, 0, 15, 30, 45, 60, 90, 120, 150, 180]
    letters = {"D": "glucose-drink", "W": "wheat-toast", "S": "seaweed-toast", "B": "toast-breakfast"}
    # as above; insulin: mean and SD over subjects of the rise as a share of that after the drink
    foods = {
        "glucose-drink": {"ratio": (1.0, 0.0), "tp": (31.0, 40.0), "a": (1.9, 2.5), "insulin": (1.0, 0.0)},
        "wheat-toast": {"ratio": (0.73, 0.09), "tp": (34.0, 44.0), "a": (1.6, 2.1), "insulin": (0.82, 0.08)},
        "seaweed-toast": {"ratio": (0.49, 0.07), "tp": (36.0, 47.0), "a": (1.3, 1.7), "insulin": (0.58, 0.07)},
        "toast-breakfast": {"ratio": (0.55, 0.08), "tp": (32.0, 43.0), "a": (1.4, 1.9), "insulin": (0.88, 0.09)},
    }
    samples = [["subject", "food", "visit", "period", "time_min", "glucose", "insulin", "c-peptide"]]
    subjects = [["subject", "sequence", "sex", "age_y", "bmi_kg_m2"]]
    for number in range(1, 15):
        code = f"{number:02d}"
        days = breakfast_days(number)
        bmi = numbers.uniform(19.8, 26.4)
        subjects.append([code, days, "F" if numbers.uniform(0, 1) < 0.5 else "M", str(int(numbers.uniform(21, 46))),
                         f"{bmi:.1f}"])
        fasting = numbers.uniform(4.6, 5.25)
        level = 165.0 * (1.0 + 0.15 * numbers.z())
        insulin_fasting = 36.0 + 2.2 * (bmi - 20.0) + 2.5 * numbers.z()
        insulin_rise = 360.0 + 6.0 * (bmi - 23.0) + 28.0 * numbers.z()
        c_peptide_fasting = 0.42 + 0.012 * (bmi - 23.0) + 0.025 * numbers.z()
        ratio = {food: max(0.2, f["ratio"][0] + f["ratio"][1] * numbers.z()) for food, f in foods.items()}
        insulin_ratio = {food: max(0.3, f["insulin"][0] + f["insulin"][1] * numbers.z()) for food, f in foods.items()}
        if number == 8:
            ratio["seaweed-toast"] = 1.15  # answers to this toast as hardly anyone does: an outlier of the index
        visits = dict.fromkeys(foods, 0)
        for period, letter in enumerate(days, start=1):
            food = letters[letter]
            f = foods[food]
            visits[food] += 1
            tp, a = numbers.uniform(*f["tp"]), numbers.uniform(*f["a"])
            area = visit_area(numbers, level * ratio[food], 0.17)
            undershoot = 0.6 if number in (3, 10) and letter == "D" else 0.0
            curve = {"fasting": fasting + 0.12 * numbers.z(), "height": area / shape_area(tp, a, 120), "tp": tp, "a": a,
                     "undershoot": undershoot, "second": 0.0, "second_at": 0.0}
            itp, ia = tp + numbers.uniform(2.0, 7.0), a - numbers.uniform(0.1, 0.3)
            rise = insulin_rise * insulin_ratio[food] * (1.0 + 0.10 * numbers.z())
            insulin_now = insulin_fasting * (1.0 + 0.07 * numbers.z())
            c_now = c_peptide_fasting * (1.0 + 0.05 * numbers.z())
            for t in times:
                glucose = glucose_at(t, curve) + 0.06 * numbers.z()
                insulin = (insulin_now + rise * shape(t, itp, ia)) * (1.0 + 0.06 * numbers.z())
                c_peptide = (c_now + rise / 230.0 * shape(t, itp + 14.0, 0.85 * ia)) * (1.0 + 0.04 * numbers.z())
                samples.append([code, food, str(visits[food]), str(period), str(t), f"{glucose:.2f}", f"{insulin:.0f}",
                                f"{c_peptide:.2f}"])
    study = {
        "format": "aftercurve-study",
        "version": 2,
        "title": f"Seaweed-fibre toast and a toast breakfast, {UNIT}",
        "invented": {"note": NOTE, "generator": GENERATOR, "seed": SEED_BREAKFAST},
        "design": ("Six or seven mornings a subject: the drink on the first, the fourth and the last, the foods between in "
                   "rotated order, the wheat toast a second time for the subjects with odd numbers. Sequence letters: "
                   "D drink, W wheat toast, S seaweed-fibre toast, B toast breakfast. Public registration and the effect "
                   "when eaten daily are left out of conduct, so that what is not stated can be seen."),
        "foods": breakfast_foods(),
        "analytes": [{"id": "glucose", "unit": "mmol/L", "specimen": "venous plasma"},
                     {"id": "insulin", "unit": "pmol/L", "specimen": "venous plasma"},
                     {"id": "c-peptide", "unit": "nmol/L", "specimen": "venous plasma"}],
        "samples": ["samples.csv"],
        "subjects": "subjects.csv",
        "conduct": {
            "population": "healthy adults of 21 to 45 years (invented)",
            "health_criteria": "diabetes, pregnancy, medicines that alter digestion or glucose",
            "randomised": True,
            "blinding": "laboratory and statistician did not know the foods; subjects could see them",
            "comparator_reason": "the same toast without the seaweed fibre, with equal available carbohydrate",
            "compliance": "eating was watched, rests were weighed",
            "conditions_of_use": "128 g of toast with 12.8 g of fibre in place of wheat toast, at breakfast",
            "ethics": "approval 2026-17 of the imagined college's committee",
            "fast_hours": 11, "eating_minutes": 12, "analyser_cv_percent": 1.8,
        },
        "exclusions": [],
        "plan": {"window_end_min": 120, "baseline": "fasting-mean", "measure": "area_positive_incremental",
                 "secondary_measures": ["peak", "time_to_peak_min"], "comparator": "wheat-toast", "alpha": 0.05,
                 "multiplicity": "holm", "index": True, "index_outlier_rule": "2sd-once", "fibre_target_g": 30,
                 "sub_windows_min": [30, 60], "limits": {"glucose": 7.8}, "resamples": 10000, "seed": 1},
    }
    return {"study.json": study_text(study), "samples.csv": rows_text(samples), "subjects.csv": rows_text(subjects)}


def main(arguments):
    if arguments not in ([], ["--check"]):
        print("usage: generate.py [--check]", file=sys.stderr)
        return 2
    here = Path(__file__).resolve().parent
    different = 0
    studies = {"barley-index": barley_index(), "pulse-wafer-crossover": pulse_wafer_crossover(),
               "seaweed-bread-breakfast": seaweed_bread_breakfast(), "kelp-barley-crisps": kelp_barley_crisps()}
    for folder, files in studies.items():
        for name, text in files.items():
            path = here / folder / name
            data = text.encode("utf-8")
            if arguments:
                if not path.is_file() or path.read_bytes() != data:
                    print(f"{folder}/{name}: differs from what generate.py makes", file=sys.stderr)
                    different += 1
            else:
                path.parent.mkdir(exist_ok=True)
                path.write_bytes(data)
    return 1 if different else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
