"""Invented symptom diaries for the test of recompute.R: what recompute_studies.py adds to its studies."""

ITEMS = [{"id": "bloating", "label": "Bloating", "least": 0, "most": 3, "threshold": 2},
         {"id": "cramps", "label": "=Cramps", "least": 1, "most": 5, "threshold": 4},
         {"id": "wind", "label": "Wind", "least": 0, "most": 30, "threshold": 20, "composite": False}]


def entry(g, subject, food, period, day, dose, more):
    top = [3, 4, 29]
    scores = [min(top[i], max(0, int(g.gauss(more * (i + 1), 1.2)))) for i in range(3)]
    return {"subject": "%02d" % subject, "food": food, "period": period, "day": day, "dose_g": dose, "bloating": scores[0],
            "cramps": scores[1] + 1, "wind": scores[2], "stool_form": min(7, max(1, int(g.gauss(4.3, 1.4)))),
            "stools": max(0, int(g.gauss(1.6, 0.8)))}


def event(subject, food, **more):
    return {"subject": subject, "food": food, "what": "headache", **more}


def attach(study, rows, items, **more):
    study.table("diary.csv", rows)
    study.json["diary"] = {"file": "diary.csv", "items": items, **more}


def doses(g, rows, subjects, plan):
    """plan: food, period, day, dose, height."""
    for s in range(1, subjects + 1):
        own = g.gauss(0, 0.5)
        for food, period, day, dose, height in plan:
            rows.append(entry(g, s, food, period, day, dose, height + own))


def diaries(make, g):
    """`make(name, foods)` gives a study with samples of blood of each food."""
    foods = [("drink", "reference"), ("control", "control"), ("barley", "test"), ("kelp", "test")]
    days = range(1, 6)
    # One arm of the control; a food whose dose rises within a period; two periods of another; days that are missing.
    study = make("diary", foods)
    study.json["plan"]["comparator"] = "control"
    rows = []
    doses(g, rows, 12, [("control", 1, d, "", 0.4) for d in days] + [("barley", 2, d, 5 if d < 3 else 10, 0.9) for d in days] +
          [("kelp", p, d, 3, 0.7) for p in (3, 4) for d in days])
    rows = [r for r in rows if g.random() > 0.04]
    rows = [r for r in rows if not (r["subject"] == "03" and r["food"] == "kelp")]
    rows = [r for r in rows if not (r["subject"] == "05" and r["period"] == 4)]
    for r in rows:
        if g.random() < 0.05:
            r["bloating"] = ""
        if (r["subject"], r["food"], r["day"]) == ("02", "kelp", 2):
            r["dose_g"] = ""
        if (r["subject"], r["food"], r["day"]) == ("04", "barley", 4):
            r["dose_g"] = ""
        if (r["subject"], r["food"], r["day"]) == ("06", "control", 3):
            r.update({k: "" for k in ("bloating", "cramps", "wind", "stool_form", "stools")})
    rows.append({**rows[0], "day": 9})
    g.shuffle(rows)
    attach(study, rows, ITEMS, planned_days=5, events=[
        event("04", "kelp", day=3, severity="mild"), event("04", "kelp", severity="mild", serious=True),
        event("+9", "soup", severity="fierce"), event("07", "soup"), event("07", "", severity="severe", day=1)])
    study.json["exclusions"] = [{"subject": "07", "food": "control", "reason": "fever", "by": "A", "on": "2026-01-02"},
                                {"subject": "08", "food": "kelp", "visit": 3, "reason": "moved", "by": "A", "on": "2026-01-02"},
                                {"subject": "09", "food": "barley", "visit": 1, "reason": "-", "by": "A", "on": "2026-01-02"},
                                {"subject": "09", "analyte": "glucose", "reason": "clot", "by": "A", "on": "2026-01-02"}]
    yield study

    # Scaled composite, doses of the control too, no planned days named; few subjects, Benjamini and Hochberg.
    study = make("diary-doses", foods)
    study.json["plan"].update(comparator="control", multiplicity="benjamini-hochberg", alpha=0.1)
    rows = []
    doses(g, rows, 7, [("control", 1, d, 2, 0.3) for d in (1, 2, 3)] + [("control", 2, d, 4, 0.5) for d in (1, 2, 3)] +
          [("barley", 3, d, 2, 0.6) for d in (1, 2, 3)] + [("barley", 4, d, 4, 1.2) for d in (1, 2, 3)] +
          [("kelp", 5, d, 8, 0.2) for d in (1, 2, 3)])
    for r in rows:
        if g.random() < 0.1:
            r["cramps"] = ""
    attach(study, rows, ITEMS, composite_missing="prorate")
    yield study

    # All scores the least of their scale; one day; one item.
    study = make("diary-zero", foods)
    study.json["plan"]["comparator"] = "control"
    rows = [{"subject": "%02d" % s, "food": f, "day": 1, "bloating": 0} for s in range(1, 5) for f in ("control", "barley")]
    attach(study, rows, ITEMS[:1], planned_days=1)
    yield study

    # One subject; then one arm without a comparator.
    study = make("diary-one-subject", foods)
    study.json["plan"]["comparator"] = "control"
    rows = []
    doses(g, rows, 1, [("control", 1, d, "", 0.4) for d in days] + [("barley", 2, d, 5, 1.5) for d in days])
    attach(study, rows, ITEMS)
    yield study
    study = make("diary-one-arm", foods)
    study.json["plan"]["comparator"] = "control"
    rows = []
    doses(g, rows, 5, [("barley", "", d, "", 0.9) for d in days])
    attach(study, rows, ITEMS[:2], planned_days=5)
    yield study
