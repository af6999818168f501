"""Invented digestions in vitro for the test of recompute.R: what recompute_studies.py adds to its studies."""
import math


def digested(t, phases):
    return sum(c * (1 - math.exp(-k * t)) for c, k in phases)


def assay_rows(g, samples, runs, replicates, times, read):
    """read(sample, percent) gives the reading; a run moves all its readings a little."""
    rows = []
    for run in runs:
        shift = g.gauss(0, 0.8)
        for name, phases in samples:
            for replicate in range(1, replicates + 1):
                own = g.gauss(1, 0.02)
                for t in times:
                    percent = digested(t, phases) * own + (shift if t > 0 else 0) + g.gauss(0, 0.5)
                    rows.append({"sample": name, "run": run, "replicate": replicate, "time_min": t, "blank": "no",
                                 **read(name, percent)})
    return rows


def digestion(make, g):
    """`make(name, foods)` gives a study with samples of blood of each food."""
    foods = [("drink", "reference"), ("barley", "test"), ("kelp", "test"), ("pulse", "test"), ("rye", "test")]
    curves = {"white": [(88, 0.05)], "barley": [(70, 0.03)], "kelp": [(40, 0.02)], "pulse": [(30, 0.12), (40, 0.008)],
              "rye": [(76, 0.035)]}
    starch = {"white": 76.2, "barley": 61.5, "kelp": 12.5, "pulse": 45.9, "rye": 58.0}
    free = {"white": 0.4, "barley": 1.1, "kelp": 0.0, "pulse": 2.5, "rye": 0.9}

    def glucose_mg(name, percent):
        per_100_g = percent * starch[name] / 100 / 0.9 + free[name]
        mass = 480 + 10 * len(name)
        return {"sample_mass_mg": mass, "value": round(per_100_g * mass / 100 + 3, 2)}

    study = make("digestion", foods)
    times = [0, 5, 10, 20, 40, 60, 90, 120, 180]
    rows = assay_rows(g, list(curves.items()), ["A", "B", "C"], 2, times, glucose_mg)
    rows += [{"sample": "", "run": run, "replicate": r, "time_min": t, "blank": "yes", "value": round(3 + g.gauss(0, 0.1), 2)}
             for run in "ABC" for r in (1, 2) for t in times]
    study.assay(rows, {"samples": [
        {"id": name, "food": "drink" if name == "white" else name, "reference": name == "white",
         "total_starch_percent": starch[name], "free_glucose_percent": free[name], "moisture_percent": 8 + len(name),
         "total_starch_se_percent": 0.5, "free_glucose_se_percent": 0.05} for name in curves]})
    yield study

    # One digestion, a flat curve, a fast one, no free glucose, no readings; a missing value, blank and mass.
    study = make("digestion-odd", foods)
    curves = {"white": [(88, 0.05)], "barley": [(70, 0.03)], "kelp": [(0, 1)], "pulse": [(60, 2)], "rye": [(76, 0.0004)]}
    times = [5, 10, 30, 60, 90, 150]
    rows = assay_rows(g, list(curves.items()), ["1", "=2"], 2, times, glucose_mg)
    rows += [{"sample": "", "run": "=2", "replicate": 1, "time_min": t, "blank": "yes", "value": 3} for t in times if t != 60]
    rows = [r for r in rows if r["sample"] != "barley" or (r["run"], r["replicate"]) == ("1", 1)]
    for r in rows:
        if r["sample"] == "kelp":
            r["value"] = 10 if r["run"] == "1" else 13
        if (r["sample"], r["replicate"], r["time_min"]) == ("white", 2, 10):
            r["value"] = "NA"
        if (r["sample"], r["run"], r["time_min"]) == ("rye", "1", 5):
            r["sample_mass_mg"] = ""
    study.assay(rows, {"comparison": "dunnett", "basis": "as-is", "interpolate": True, "rapid_cut_min": 20, "slow_cut_min": 120, "samples": [
        {"id": "barley", "food": "barley", "total_starch_percent": 61.5, "moisture_percent": 9},
        {"id": "white", "food": "drink", "reference": True, "total_starch_percent": 76.2, "free_glucose_percent": 0.4},
        {"id": "kelp", "food": "kelp", "total_starch_percent": 12.5, "free_glucose_percent": 0.1},
        {"id": "pulse", "food": "pulse", "total_starch_percent": 45.9, "free_glucose_percent": 2.5, "moisture_percent": 20},
        {"id": "rye", "food": "rye", "total_starch_percent": 58, "free_glucose_percent": 0.9},
        {"id": "none", "food": "rye"}]})
    yield study

    # In percent, readings on the curve, one run and one digestion of some; pairs by themselves.
    study = make("digestion-percent", foods)
    times = [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120]
    exact = {"white": [(88, 0.05)], "barley": [(70, 0.03)], "pulse": [(30, 0.25), (40, 0.01)]}
    rows = [{"sample": name, "run": "1", "replicate": r, "time_min": t, "blank": "no", "value": digested(t, phases) + 5 * (r - 1)}
            for name, phases in exact.items() for r in (1, 2) for t in times]
    rows += [{"sample": "kelp", "run": "1", "replicate": 1, "time_min": t, "blank": "no", "value": 30 + 0.2 * t - 0.001 * t * t}
             for t in times[:4]]
    study.assay(rows, {"quantity": "starch-percent", "comparison": "none", "basis": "total-starch", "samples": [
        {"id": "white", "food": "drink", "reference": True, "total_starch_percent": 76.2, "total_starch_se_percent": 0.5},
        {"id": "barley", "food": "barley", "total_starch_percent": 61.5, "moisture_percent": 9},
        {"id": "pulse", "food": "pulse"}, {"id": "kelp", "food": "kelp"}]})
    yield study

    # Unequal numbers of digestions in one run, against the reference; and samples that no run joins.
    for name, runs in (("digestion-dunnett", ["1"]), ("digestion-apart", ["1", "2"])):
        study = make(name, foods)
        curves = [("white", [(88, 0.05)]), ("barley", [(70, 0.03)]), ("rye", [(76, 0.035)])]
        rows = assay_rows(g, curves, runs, 4, [0, 10, 20, 60, 90, 120], lambda n, percent: {"value": round(percent, 3)})
        if len(runs) == 1:
            rows = [r for r in rows if (r["sample"], r["replicate"]) != ("barley", 4)]
        else:
            rows = [r for r in rows if (r["sample"] == "white") == (r["run"] == "1")]
        study.assay(rows, {"quantity": "starch-percent", "comparison": "dunnett", "samples": [
            {"id": n, "food": "drink" if n == "white" else n, "reference": n == "white"} for n, _ in curves]})
        yield study

    # A run with its blanks, a digestion, a reading and a whole sample are excluded.
    study = make("digestion-excluded", foods)
    curves = [("white", [(88, 0.05)]), ("barley", [(70, 0.03)]), ("pulse", [(30, 0.12)]), ("rye", [(76, 0.035)])]
    times = [0, 5, 10, 20, 40, 60, 90, 120, 180]
    rows = assay_rows(g, curves, ["A", "B", "C"], 2, times, glucose_mg)
    rows += [{"sample": "", "run": run, "replicate": 1, "time_min": t, "blank": "yes", "value": 3} for run in "AC" for t in times]
    study.assay(rows, {"samples": [
        {"id": n, "food": "drink" if n == "white" else n, "reference": n == "white", "total_starch_percent": starch[n],
         "free_glucose_percent": free[n]} for n, _ in curves]})
    study.json["exclusions"] = [{"run": "C", "reason": "enzyme, \"old\""}, {"material": "pulse", "reason": "=wrong flour"},
                                {"material": "barley", "run": "A", "replicate": 1, "reason": "spilled"},
                                {"material": "rye", "run": "B", "replicate": 2, "time_min": 60, "reason": "late"}]
    yield study
