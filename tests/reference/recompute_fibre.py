"""Invented determinations of fibre and recipes for the test of recompute.R: what recompute_studies.py adds."""


def result(material, method, fraction, replicate, value, basis="as-is", moisture="", laboratory=""):
    return {"material": material, "method": method, "fraction": fraction, "replicate": replicate, "value": value,
            "basis": basis, "moisture_percent": moisture, "laboratory": laboratory}


def part(material, mass, fibre=None, carbohydrate=None, protein=None, fat=None, water=None):
    amounts = {"fibre_g": fibre, "available_carbohydrate_g": carbohydrate, "protein_g": protein, "fat_g": fat, "water_g": water}
    return {"material": material, "mass_g": mass, **{k: v for k, v in amounts.items() if v is not None}}


FOODS = [("drink", "reference"), ("barley", "test"), ("kelp", "test")]


def compose(study, food, **facts):
    next(f for f in study.json["foods"] if f["id"] == food).update(facts)


def fibre(make):
    """`make(name, foods)` gives a study with samples of blood of each food."""
    # Methods that disagree, dry bases, a missing moisture and value, an own s_r, a method that is in no table.
    study = make("fibre", FOODS)
    compose(study, "barley", label="Barley cake", portion_g=80, serving_g=30, available_carbohydrate_g=48, protein_g=7,
            fat_g=3, fibre_g=6)
    compose(study, "kelp", portion_g=60, serving_g=20, available_carbohydrate_g=20, energy_kj=700)
    study.table("fibre.csv", [
        result("Barley cake", "2009.01", "total", 1, 7.45, moisture=9.8, laboratory="north"),
        result("Barley cake", "AOAC 2009.01", "total", 2, 8.95, moisture=9.6, laboratory="north"),
        result("Barley cake", "2009.01", "total", 1, 9.95, moisture=9.7, laboratory="+south"),
        result("Barley cake", "991.43", "total", 1, 4.1, moisture=9.8, laboratory="north"),
        result("Barley cake", "991.43", "total", 2, 4.4, moisture=9.8, laboratory="north"),
        result("Barley cake", "991.43", "insoluble", 1, 2.1, moisture=9.8, laboratory="north"),
        result("Barley cake", "991.43", "soluble-high", 1, 0.9, moisture=9.8, laboratory="north"),
        result("Barley cake", "2002.02", "resistant-starch", 1, 3.1, "dry", 9.8, "north"),
        result("Barley cake", "2002.02", "resistant-starch", 2, 3.4, "dry", 9.9, "north"),
        result("kelp", "2017.16", "total", 1, 36.2, "dry", ""),
        result("kelp", "2017.16", "total", 2, 34.9, "dry", ""),
        result("kelp", "2009.01", "total", 1, 30.0, "dry", 12),
        result("kelp", "2009.01", "total", 2, "NA", "dry", 12),
        result("kelp", "own way", "total", 1, 33),
        result("kelp", "own way", "total", 2, 33),
        result("kelp", "995.16", "beta-glucan", 1, 0.0), result("kelp", "995.16", "beta-glucan", 2, 0.0),
        result("=bran", "2017.16", "total", 1, 41.3, moisture=8), result("=bran", "2017.16", "total", 2, 42.0, moisture=8),
        result("=bran", "2017.16", "total", 3, 41.9, moisture=8),
        result("=bran", "991.43", "total", 1, 30.1, moisture=100),
        result("=bran", "2011.25", "fructans", 1, 3.3)])
    study.json["fibre"] = {"file": "fibre.csv", "region": "eu", "target_g": 25, "repeatability_sd": {"own way": 0.3, "991.43": 0.15}}
    dough = [part("flour", 500, 9.5, 65, 10, 2.5, 12), part("=bran", 0, None, 20, 14, 4, 8),
             part("water", 280, 0, 0, 0, 0, 100), part("salt", 8.5, 0, 0, 0, 0, 0)]
    study.json["recipes"] = [
        {"id": "dough", "label": "+Dough", "food": "barley", "parts": dough, "baked_mass_g": 640, "serving_g": 45, "replace": "flour",
         "by": "=bran", "share": 0.3},
        {"id": "all", "parts": dough, "serving_g": 45, "replace": "flour", "by": "=bran", "share": 1},
        {"id": "plain", "parts": dough[:1] + dough[2:], "serving_g": 30}]
    yield study

    # A rule of the study with figures; recipes that lose more than water, weigh nothing, hold no fibre, name no serving.
    study = make("fibre-odd", FOODS)
    study.table("fibre.csv", [result("barley", "2022.01", "total", 1, 0.0, moisture=11), result("seed", "2022.01", "total", 1, 9.96),
                              result("seed", "2022.01", "total", 1, 12.0, laboratory="b"), result("husk", "985.29", "total", 1, "")])
    study.json["fibre"] = {"file": "fibre.csv", "region": "own"}
    study.json["fibre_rules"] = [
        {"key": "own", "title": "Own", "includes": ["insoluble", "soluble-high", "rs2"], "source": "made up", "label_per": "100 kcal",
         "statements": [{"words": "some", "any_of": [{"per": "serving", "at_least_g": 3}, {"per": "100 kcal", "at_least_g": 1}]},
                        {"words": "much", "any_of": [{"per": "100 g", "at_least_g": 9.96}]}],
         "rounding": [{"from_g": 0, "words": "=none"}, {"from_g": 0.05, "figures": 2}, {"from_g": 10, "above": True, "nearest_g": 0.25}]}]
    study.json["recipes"] = [
        {"id": "dry", "parts": [part("seed", 10, 9.9, 40, 20, 30, 5)], "baked_mass_g": 9, "serving_g": 5},
        {"id": "none", "parts": [part("seed", 0, 1, 1, 1, 1, 1)], "serving_g": 5},
        {"id": "bare", "parts": [part("oil", 3, 0, 0, 0, 100, 0), part("barley", 2.5, None, 60, 10, 2, 11)], "serving_g": 0},
        {"id": "astray", "parts": [part("seed", 100, None, 2, 3), part("barley", 2.5)], "serving_g": 10, "replace": "seed", "by": "oil",
         "share": 0.5}]
    yield study

    # One determination, no definition, servings for the plan's intake.
    study = make("fibre-one", FOODS)
    study.table("fibre.csv", [result("pea", "2017.16", "total", 1, 21.5, "dry", 9.8)])
    study.json["fibre"] = {"file": "fibre.csv"}
    study.json["plan"]["fibre_target_g"] = 30
    study.json["recipes"] = [{"id": "pea", "parts": [part("pea", 60, None, 30, 20, 1, 9.8)], "serving_g": 12.5}]
    yield study

    # One of two determinations excluded, all of another material, the first row of a third.
    study = make("fibre-excluded", FOODS)
    study.table("fibre.csv", [
        result("barley", "2017.16", "total", 1, 8.1, moisture=10), result("kelp", "2017.16", "total", 1, 30.2, moisture=9),
        result("barley", "2017.16", "total", 2, 9.9, moisture=10), result("kelp", "991.43", "total", 1, 21.5, moisture=9),
        result("barley", "2017.16", "total", 3, 8.3, moisture=10), result("kelp", "991.43", "total", 2, 22.0, moisture=9),
        result("kelp", "2017.16", "total", 2, 30.9, moisture=9)])
    study.json["fibre"] = {"file": "fibre.csv", "region": "us"}
    study.json["recipes"] = [{"id": "crisp", "parts": [part("kelp", 20, None, 6, 9, 2, 10), part("barley", 80, None, 60, 10, 2, 12)],
                              "serving_g": 30}]
    study.json["exclusions"] = [{"material": "barley", "method": "2017.16", "replicate": 2, "reason": "spilt"},
                                {"material": "kelp", "method": "991.43", "reason": "=blank"},
                                {"material": "kelp", "method": "2017.16", "replicate": 1, "reason": "filter torn"}]
    yield study
