"""Makes the invented study kelp-barley-crisps. Nothing in it was measured on anyone; generate.py writes the files.

Curves: shape, glucose and insulin as generate.py says. The rest, made for this purpose (all z independent):

  composition  of a crisp = parts of the dough / weight baked, all lost being water; a share of the barley flour (0, 0.1,
               0.2, 0.3) is replaced by as much fibre-rich starch
  digestion    glucose in the digest, mg = W/100 * (F + e*D(t)/0.9) + blank;  D(t) = T/100 * C*(1 - exp(-k*t)), g/100 g
               W = 500 mg + 4*z, F free glucose, T total starch, C end of the curve in % of T, k rate
               C * (1 + 0.010*z) and k * (1 + 0.05*z) by digestion, k * 0.97 in the second run, e = 1 + 0.010*z by
               reading; blank = 2.4 mg (2.9 mg in the second run) + 0.15*z
  fibre        mean of the method * (1 + cv*z), cv 0.012 for total fibre, 0.014 for resistant starch
  diary        score = base + slope*dose + subject (0.45*z) + food's period (0.20*z) + day (0.45*z), rounded, held in 0-3
               stool form = subject (3.6 + 0.5*z) + 0.035*dose + 0.6*z, rounded, held in 1-7; a day is missing with
               probability 0.03

The starch of a crisp is digested the more slowly the more of it is fibre-rich, and the areas of glucose and insulin fall
in the same order; symptoms rise with the dose. These orders were put in, and so cannot be found out from the data.
"""

import datetime
import math

from invented import GENERATOR, NOTE, UNIT, Numbers, glucose_at, rows_text, shape, shape_area, study_text, visit_area

SEED = 8161
STARCH = "fibre-rich barley starch"
FLOUR_G, BAKED_G, SERVING_G, SERVINGS_A_DAY = 700, 700, 30, 2
TIMES = [-5, 0, 15, 30, 45, 60, 90, 120]
DIGESTION_TIMES = [0, 20, 30, 60, 90, 120, 180, 240]
ORDERS = ["CLHM", "LMCH", "MHLC", "HCML"]  # each crisp once in each place, once after each other one

# Of a part of the dough, g in 100 g: fibre, available carbohydrate, protein, fat, water.
DOUGH = {
    "barley flour": (FLOUR_G, 9.5, 65.0, 10.0, 2.5, 12.0),
    STARCH: (0.0, 58.0, 28.0, 1.0, 0.5, 12.0),
    "kelp meal": (25.0, 36.0, 6.0, 9.0, 2.0, 10.0),
    "rapeseed oil": (20.0, 0.0, 0.0, 0.0, 100.0, 0.0),
    "salt": (10.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    "water": (300.0, 0.0, 0.0, 0.0, 0.0, 100.0),
}

# share: of the flour that is replaced; portion_g: with about 50 g of available carbohydrate; starch, resistant, sugars:
# g in 100 g; end, k: of the digestion; ratio, insulin: mean and SD over subjects, against the drink; tp, a: shape.
CRISPS = {
    "control-crisp": {"label": "Control crisp", "letter": "C", "share": 0.0, "portion_g": 77, "starch": 64.8,
                      "resistant": 1.6, "sugars": 2.0, "end": 95.0, "k": 0.042, "ratio": (0.74, 0.08),
                      "insulin": (0.78, 0.08), "tp": (33.0, 43.0), "a": (1.7, 2.2)},
    "low-dose-crisp": {"label": "Low-dose crisp", "letter": "L", "share": 0.1, "portion_g": 81, "starch": 65.5,
                       "resistant": 5.9, "sugars": 1.9, "end": 90.0, "k": 0.035, "ratio": (0.65, 0.08),
                       "insulin": (0.68, 0.07), "tp": (34.0, 45.0), "a": (1.5, 2.0)},
    "mid-dose-crisp": {"label": "Mid-dose crisp", "letter": "M", "share": 0.2, "portion_g": 87, "starch": 66.3,
                       "resistant": 10.3, "sugars": 1.8, "end": 84.0, "k": 0.029, "ratio": (0.55, 0.07),
                       "insulin": (0.58, 0.07), "tp": (36.0, 47.0), "a": (1.3, 1.8)},
    "high-dose-crisp": {"label": "High-dose crisp", "letter": "H", "share": 0.3, "portion_g": 92, "starch": 67.0,
                        "resistant": 14.6, "sugars": 1.7, "end": 78.0, "k": 0.024,
                        "ratio": (0.47, 0.07), "insulin": (0.49, 0.06), "tp": (37.0, 49.0), "a": (1.2, 1.6)},
}
DRINK = {"ratio": (1.0, 0.0), "insulin": (1.0, 0.0), "tp": (31.0, 40.0), "a": (1.9, 2.5)}

# base and slope of a score; label
SYMPTOMS = {"bloating": (0.10, 0.048, "Bloating"), "flatulence": (0.25, 0.062, "Flatulence"),
            "cramps": (-0.15, 0.030, "Cramps"), "nausea": (-0.45, 0.010, "Nausea")}


def per_100_g(share, column):
    """Of a crisp in whose dough this share of the flour is replaced; column 1 fibre ... 4 fat."""
    total = sum(part[0] * part[column] for part in DOUGH.values())
    total += share * FLOUR_G * (DOUGH[STARCH][column] - DOUGH["barley flour"][column])
    return total / BAKED_G


def crisp_food(name, crisp):
    portion = crisp["portion_g"] / 100.0
    fibre, carbohydrate, protein, fat = (per_100_g(crisp["share"], column) for column in (1, 2, 3, 4))
    # between 20 and 120 min, as the digestion below has it
    slow = crisp["starch"] * crisp["end"] / 100.0 * (math.exp(-20.0 * crisp["k"]) - math.exp(-120.0 * crisp["k"]))
    energy = 17.0 * carbohydrate + 17.0 * protein + 37.0 * fat + 8.0 * fibre
    return {"id": name, "label": crisp["label"], "role": "control" if crisp["share"] == 0.0 else "test",
            "available_carbohydrate_g": round(carbohydrate * portion, 1), "portion_g": crisp["portion_g"],
            "serving_g": SERVING_G, "energy_kj": round(energy * portion), "protein_g": round(protein * portion, 1),
            "fat_g": round(fat * portion, 1), "sugars_g": round(crisp["sugars"] * portion, 1),
            "starch_g": round(crisp["starch"] * portion, 1),
            "resistant_starch_g": round(crisp["resistant"] * portion, 1),
            "slowly_digestible_starch_g": round(slow * portion, 1), "fibre_g": round(fibre * portion, 1)}


def days_of(numbers, count):
    """The order of the crisps of each subject: blocks of four subjects, in each block every order once."""
    days = []
    while len(days) < count:
        block = list(ORDERS)
        for last in range(len(block) - 1, 0, -1):
            other = int(numbers.uniform(0, last + 1))
            block[last], block[other] = block[other], block[last]
        days += block
    return [with_drinks(order, number) for number, order in enumerate(days[:count])]


def with_drinks(order, number):
    """The drink twice, with two crisps between: from the first, second or third morning on."""
    first = number % 3
    return order[:first] + "D" + order[first:first + 2] + "D" + order[first + 2:]


def feeding(numbers):
    letters = {crisp["letter"]: name for name, crisp in CRISPS.items()} | {"D": "glucose-drink"}
    foods = {"glucose-drink": DRINK} | CRISPS
    samples = [["subject", "food", "visit", "period", "time_min", "glucose", "insulin"]]
    subjects = [["subject", "sequence", "sex", "age_y", "bmi_kg_m2"]]
    visits = [["subject", "food", "visit", "period", "date", "meal_start"]]
    for number, days in enumerate(days_of(numbers, 16), start=1):
        code = f"{number:02d}"
        bmi = numbers.uniform(19.9, 27.2)
        subjects.append([code, days, "F" if numbers.uniform(0, 1) < 0.5 else "M", str(int(numbers.uniform(20, 56))),
                         f"{bmi:.1f}"])
        fasting = numbers.uniform(4.6, 5.25)
        level = 170.0 * (1.0 + 0.16 * numbers.z())
        insulin_fasting = 36.0 + 2.2 * (bmi - 20.0) + 2.5 * numbers.z()
        insulin_rise = 370.0 + 6.0 * (bmi - 23.0) + 30.0 * numbers.z()
        ratio = {food: max(0.2, f["ratio"][0] + f["ratio"][1] * numbers.z()) for food, f in foods.items()}
        insulin_ratio = {food: max(0.3, f["insulin"][0] + f["insulin"][1] * numbers.z()) for food, f in foods.items()}
        date = datetime.date(2026, 2, 2) + datetime.timedelta(days=7 * ((number - 1) // 8) + (number - 1) % 4)
        for period, letter in enumerate(days, start=1):
            food = letters[letter]
            f = foods[food]
            visit = days[:period].count(letter)
            tp, a = numbers.uniform(*f["tp"]), numbers.uniform(*f["a"])
            left_over = 0.62 if number == 9 and letter == "M" else 1.0
            area = visit_area(numbers, level * ratio[food] * left_over, 0.20 if letter == "D" else 0.15)
            curve = {"fasting": fasting + 0.12 * numbers.z(), "height": area / shape_area(tp, a, 120), "tp": tp, "a": a,
                     "undershoot": 0.6 if number in (4, 13) and letter == "D" else 0.0, "second": 0.0,
                     "second_at": 0.0}
            itp, ia = tp + numbers.uniform(2.0, 7.0), a - numbers.uniform(0.1, 0.3)
            rise = insulin_rise * insulin_ratio[food] * left_over * (1.0 + 0.10 * numbers.z())
            insulin_now = insulin_fasting * (1.0 + 0.07 * numbers.z())
            start = 8 * 60 + int(numbers.uniform(0, 10)) * 5
            visits.append([code, food, str(visit), str(period), date.isoformat(), f"{start // 60:02d}:{start % 60:02d}"])
            for t in TIMES:
                glucose = glucose_at(t, curve) + 0.06 * numbers.z()
                insulin = (insulin_now + rise * shape(t, itp, ia)) * (1.0 + 0.06 * numbers.z())
                samples.append([code, food, str(visit), str(period), str(t), f"{glucose:.2f}", f"{insulin:.1f}"])
            date += datetime.timedelta(days=21 if numbers.uniform(0, 1) < 0.15 else 14)
    return {"samples.csv": samples, "subjects.csv": subjects, "visits.csv": visits}


def digested_samples():
    crisps = [{"id": name, "label": crisp["label"], "food": name, "total_starch_percent": crisp["starch"],
               "total_starch_se_percent": 0.5, "free_glucose_percent": 0.4, "free_glucose_se_percent": 0.03,
               "moisture_percent": 4.5} for name, crisp in CRISPS.items()]
    bread = {"id": "wheat-bread", "label": "White wheat bread", "reference": True, "total_starch_percent": 43.5,
             "total_starch_se_percent": 0.5, "free_glucose_percent": 0.6, "free_glucose_se_percent": 0.03,
             "moisture_percent": 38.0}
    return [bread] + crisps


def assays(numbers):
    rows = [["sample", "run", "replicate", "time_min", "value", "sample_mass_mg", "blank"]]
    curves = {name: (crisp["end"], crisp["k"]) for name, crisp in CRISPS.items()} | {"wheat-bread": (97.0, 0.058)}
    for run, blank, pace in (("A", 2.4, 1.0), ("B", 2.9, 0.97)):
        for replicate in (1, 2):
            for t in DIGESTION_TIMES:
                rows.append(["", run, str(replicate), str(t), f"{blank + 0.15 * numbers.z():.2f}", "", "yes"])
        for sample in digested_samples():
            for replicate in (1, 2, 3):
                mass = 500.0 + 4.0 * numbers.z()
                end, k = curves[sample["id"]]
                end *= 1.0 + 0.010 * numbers.z()
                k *= pace * (1.0 + 0.05 * numbers.z())
                for t in DIGESTION_TIMES:
                    digested = sample["total_starch_percent"] / 100.0 * end * (1.0 - math.exp(-k * t))
                    glucose = sample["free_glucose_percent"] + digested / 0.9 * (1.0 + 0.010 * numbers.z())
                    value = mass / 100.0 * glucose + blank + 0.15 * numbers.z()
                    rows.append([sample["id"], run, str(replicate), str(t), f"{value:.2f}", f"{mass:.1f}", "no"])
    return rows


def fibre(numbers):
    """Total fibre by two methods, of which the older one digests most of the resistant starch, and that starch."""
    rows = [["material", "method", "fraction", "replicate", "value", "basis", "moisture_percent"]]
    control, high = CRISPS["control-crisp"], CRISPS["high-dose-crisp"]
    materials = [("Control crisp", 4.5, per_100_g(0.0, 1), 9.6, control["resistant"]),
                 ("High-dose crisp", 4.5, per_100_g(high["share"], 1), 14.9, high["resistant"]),
                 (STARCH, 12.0, DOUGH[STARCH][1], 26.0, 46.0)]
    for material, moisture, total, boiled, resistant in materials:
        for method, fraction, mean, cv in (("2017.16", "total", total, 0.012), ("991.43", "total", boiled, 0.012),
                                           ("2002.02", "resistant-starch", resistant, 0.014)):
            dry = fraction == "resistant-starch"
            for replicate in (1, 2):
                value = mean * (1.0 + cv * numbers.z()) / ((1.0 - moisture / 100.0) if dry else 1.0)
                rows.append([material, method, fraction, str(replicate), f"{value:.2f}", "dry" if dry else "as-is",
                             f"{moisture + 0.05 * numbers.z():.1f}"])
    return rows


def dose_g(crisp, day):
    """Fibre-rich starch of a day; the high dose is built up: one serving a day to the third day."""
    servings = 1 if crisp["letter"] == "H" and day <= 3 else SERVINGS_A_DAY
    return crisp["share"] * FLOUR_G / BAKED_G * SERVING_G * servings


def diary(numbers, subjects):
    rows = [["subject", "food", "period", "day", "dose_g", *SYMPTOMS, "stool_form", "stools"]]
    letters = {crisp["letter"]: (name, crisp) for name, crisp in CRISPS.items()}
    for code, days, *_ in subjects[1:]:
        tendency = {item: 0.45 * numbers.z() for item in SYMPTOMS}
        form, often = 3.6 + 0.5 * numbers.z(), 1.1 + 0.25 * numbers.z()
        for period, letter in enumerate(days, start=1):
            if letter == "D":
                continue
            food, crisp = letters[letter]
            this_time = {item: 0.20 * numbers.z() for item in SYMPTOMS}
            for day in range(1, 8):
                dose = dose_g(crisp, day)
                cells = []
                for item, (base, slope, _) in SYMPTOMS.items():
                    score = base + slope * dose + tendency[item] + this_time[item] + 0.45 * numbers.z()
                    cells.append(str(min(3, max(0, round(score)))))
                cells.append(str(min(7, max(1, round(form + 0.035 * dose + 0.6 * numbers.z())))))
                cells.append(str(max(0, round(often + 0.02 * dose + 0.5 * numbers.z()))))
                if numbers.uniform(0, 1) < 0.03:
                    cells = [""] * len(cells)
                rows.append([code, food, str(period), str(day), f"{dose:g}", *cells])
    return rows


def dough():
    parts = []
    for material, (mass, fibre_g, carbohydrate, protein, fat, water) in DOUGH.items():
        part = {"material": material, "mass_g": mass, "fibre_g": fibre_g, "available_carbohydrate_g": carbohydrate,
                "protein_g": protein, "fat_g": fat, "water_g": water}
        if material == STARCH:
            del part["fibre_g"]  # taken from fibre.csv
        parts.append(part)
    return parts


def figures():
    return [
        {"id": "curves", "title": "Glucose and insulin after the drink and four crisps", "columns": 2,
         "panels": [{"kind": "curves_mean", "analyte": "glucose", "title": "Glucose"},
                    {"kind": "curves_mean", "analyte": "insulin", "title": "Insulin", "show_key": False}],
         "style": {"width_mm": 175, "height_mm": 85}},
        {"id": "digestion-and-index", "title": "Digestion of the starch in vitro and glycaemic index", "columns": 2,
         "panels": [{"kind": "digestion_curves", "title": "Digestion in vitro"},
                    {"kind": "index", "analyte": "glucose", "title": "Glycaemic index"}],
         "style": {"width_mm": 175, "height_mm": 95}},
        {"id": "symptoms", "title": "Symptoms in seven days of each crisp", "columns": 2,
         "panels": [{"kind": "symptoms_diverging", "measure": "bloating", "title": "Bloating"},
                    {"kind": "symptoms_diverging", "measure": "flatulence", "title": "Flatulence"}],
         "style": {"width_mm": 175, "height_mm": 80}},
    ]


def left_over_on(visits):
    return next(row[4] for row in visits if row[:2] == ["09", "mid-dose-crisp"])


def study(visits):
    return {
        "format": "aftercurve-study",
        "version": 2,
        "title": f"Kelp-barley crisps with a fibre-rich starch at three doses, {UNIT}",
        "invented": {"note": NOTE, "generator": GENERATOR, "seed": SEED},
        "design": ("Six mornings a subject: the four crisps in the order of a balanced Latin square, in blocks of four "
                   "subjects, and the drink twice, with two crisps between. From its morning on each crisp was eaten "
                   "for seven days, two servings a day (the high dose one serving on days 1 to 3), with a diary; then "
                   "a week or more without. Sequence letters: D drink, C control crisp, L low, M mid, H high dose."),
        "foods": [{"id": "glucose-drink", "label": "Glucose drink", "role": "reference", "available_carbohydrate_g": 50,
                   "portion_g": 250, "serving_g": 250, "energy_kj": 850, "protein_g": 0, "fat_g": 0, "sugars_g": 50,
                   "starch_g": 0, "resistant_starch_g": 0, "slowly_digestible_starch_g": 0, "fibre_g": 0}]
                 + [crisp_food(name, crisp) for name, crisp in CRISPS.items()],
        "analytes": [{"id": "glucose", "unit": "mmol/L", "specimen": "capillary plasma"},
                     {"id": "insulin", "unit": "pmol/L", "specimen": "capillary plasma"}],
        "samples": ["samples.csv"],
        "subjects": "subjects.csv",
        "visits": "visits.csv",
        "conduct": {
            "population": "healthy adults of 20 to 55 years (invented)",
            "health_criteria": "diabetes, diseases of the gut, pregnancy, medicines that alter digestion or glucose",
            "randomised": True,
            "blinding": "subjects, laboratory and statistician knew the crisps by a letter",
            "comparator_reason": "the same crisp without the fibre-rich starch, with equal available carbohydrate",
            "compliance": "eating was watched on the mornings, empty bags were counted on the other days",
            "conditions_of_use": "60 g of crisps with 6, 12 or 18 g of fibre-rich starch a day",
            "duration": "seven days of each crisp for the symptoms; glucose and insulin on the first morning only",
            "ethics": "approval 2026-05 of the imagined college's committee",
            "registration": "imagined register, entry 26-0113",
            "fast_hours": 11, "eating_minutes": 12, "analyser_cv_percent": 1.9,
        },
        "assays": {"file": "assays.csv", "quantity": "glucose-mg", "basis": "total-starch", "rapid_cut_min": 20,
                   "slow_cut_min": 120, "last_min": 180, "comparison": "tukey", "samples": digested_samples()},
        "fibre": {"file": "fibre.csv", "region": "eu"},
        "recipes": [{"id": "high-dose-dough", "label": "Crisp dough", "food": "control-crisp", "parts": dough(),
                     "baked_mass_g": BAKED_G, "serving_g": SERVING_G, "replace": "barley flour", "by": STARCH,
                     "share": CRISPS["high-dose-crisp"]["share"]}],
        "diary": {
            "file": "diary.csv", "planned_days": 7,
            "items": [{"id": item, "label": label, "least": 0, "most": 3, "threshold": 2}
                      for item, (_, _, label) in SYMPTOMS.items()],
            "events": [
                {"subject": "04", "food": "low-dose-crisp", "day": 3, "what": "headache", "severity": "mild",
                 "related": "unlikely", "outcome": "gone the same day", "serious": False},
                {"subject": "12", "food": "high-dose-crisp", "day": 5, "what": "abdominal cramps", "severity": "moderate",
                 "related": "possible", "outcome": "gone after two days", "serious": False}]},
        "exclusions": [{"subject": "09", "food": "mid-dose-crisp", "visit": 1,
                        "reason": "a third of the portion was left", "by": "study physician",
                        "on": left_over_on(visits)}],
        "plan": {"window_end_min": 120, "baseline": "fasting-mean", "measure": "area_positive_incremental",
                 "secondary_measures": ["peak_rise"], "comparator": "control-crisp", "washout_days": 7, "alpha": 0.05,
                 "multiplicity": "holm", "index": True, "index_outlier_rule": "none", "fibre_target_g": 25,
                 "resamples": 10000, "seed": 1},
        "figures": figures(),
    }


def kelp_barley_crisps():
    numbers = Numbers(SEED)
    tables = feeding(numbers)
    tables["assays.csv"] = assays(numbers)
    tables["fibre.csv"] = fibre(numbers)
    tables["diary.csv"] = diary(numbers, tables["subjects.csv"])
    files = {name: rows_text(rows) for name, rows in tables.items()}
    return {"study.json": study_text(study(tables["visits.csv"]))} | files
