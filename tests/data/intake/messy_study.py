"""What make_messy.py shares: a study in memory, how it is written as a study folder, and workbooks with fixed bytes."""

import csv
import datetime
import io
import json
import pathlib
import re
import zipfile

SEED = 26
INVENTED = f"Invented data, make_messy.py, seed {SEED}"
FIXED = datetime.datetime(2026, 3, 2, 8, 0, 0)
HERE = pathlib.Path(__file__).resolve().parent


def number(value):
    """The shortest text that reads back to the same number."""
    text = repr(float(value))
    return text[:-2] if text.endswith(".0") else text


def safe(text):
    """As a study folder protects texts that a spreadsheet might run."""
    return "'" + text if text[:1] in ("=", "+", "-", "@", "'") else text


class Below:
    """A value below the limit of quantification."""

    def __init__(self, limit):
        self.limit = limit


class Study:
    """The truth: what the files of a case must become. Subjects and foods stand in the order in which the files name
    them; draws come in the order of subject, visit, food, time (nominal where given) and replicate."""

    def __init__(self, title, foods, analytes):
        self.title = title
        self.foods = foods  # (id, label, role)
        self.analytes = analytes  # (id, unit)
        self.subjects = []
        self.facts = {}  # by subject: sequence, sex, age_y, bmi_kg_m2
        self.visits = {}  # by (subject, food, visit): period, date, meal_start, remark
        self.draws = []

    def draw(self, subject, food, visit, time, values, nominal=None, replicate=None, remark="", period=None):
        if subject not in self.subjects:
            self.subjects.append(subject)
        self.draws.append({"subject": subject, "food": food, "visit": visit, "period": period, "time_min": time,
                           "nominal_min": nominal, "replicate": replicate, "remark": remark, "values": values})

    def sorted_draws(self):
        order = [food[0] for food in self.foods]
        return sorted(self.draws, key=lambda d: (
            self.subjects.index(d["subject"]), d["visit"], order.index(d["food"]),
            d["time_min"] if d["nominal_min"] is None else d["nominal_min"], d["replicate"] or 1))

    def cell(self, value):
        if value is None:
            return ""
        return "<" + number(value.limit) if isinstance(value, Below) else number(value)

    def write(self, folder):
        folder.mkdir(parents=True, exist_ok=True)
        study = {"format": "aftercurve-study", "version": 2, "note": INVENTED, "title": self.title,
                 "foods": [{"id": i, "label": label, "role": role} for i, label, role in self.foods],
                 "analytes": [{"id": i, "unit": unit} for i, unit in self.analytes], "samples": ["samples.csv"]}
        if self.facts:
            study["subjects"] = "subjects.csv"
            keys = ["sequence", "sex", "age_y", "bmi_kg_m2"]
            self.table(folder / "subjects.csv", ["subject"] + keys, [
                [safe(subject)] + [self.facts.get(subject, {}).get(key, "") for key in keys]
                for subject in self.subjects])
        if self.visits:
            study["visits"] = "visits.csv"
            order = [food[0] for food in self.foods]
            keys = sorted(self.visits, key=lambda k: (self.subjects.index(k[0]), order.index(k[1]), k[2]))
            names = ["period", "date", "meal_start", "remark"]
            self.table(folder / "visits.csv", ["subject", "food", "visit"] + names, [
                [safe(subject), food, visit] + [safe(str(self.visits[subject, food, visit].get(n, ""))) for n in names]
                for subject, food, visit in keys])
        draws = self.sorted_draws()
        optional = [key for key in ("period", "nominal_min", "replicate", "remark")
                    if any(draw[key] not in (None, "") for draw in draws)]
        header = ["subject", "food", "visit", "time_min"] + optional + [i for i, _ in self.analytes]
        rows = []
        for draw in draws:
            row = [safe(draw["subject"]), draw["food"], draw["visit"], number(draw["time_min"])]
            for key in optional:
                value = draw[key]
                row.append("" if value is None else safe(value) if key == "remark" else number(value))
            rows.append(row + [self.cell(draw["values"].get(i)) for i, _ in self.analytes])
        self.table(folder / "samples.csv", header, rows)
        (folder / "study.json").write_text(json.dumps(study, ensure_ascii=False, indent=2) + "\n", encoding="utf-8")

    @staticmethod
    def table(path, header, rows):
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)
        path.write_text(text.getvalue(), encoding="utf-8")


def save_book(book, path, cached=None):
    """Saves a workbook with the same bytes each time. `cached`: stored values of formulas by cell ("F5"), which the
    library cannot write."""
    book.properties.creator = "make_messy.py"
    book.properties.created = FIXED
    book.save(path)
    with zipfile.ZipFile(path) as archive:
        # The library stamps the time of saving into this part.
        parts = [(entry.filename, archive.read(entry)) for entry in archive.infolist()
                 if entry.filename != "docProps/core.xml"]
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts:
            if name.startswith("xl/worksheets/sheet") and cached:
                text = data.decode("utf-8")
                for cell, value in cached.items():
                    text, times = re.subn(rf'(<c r="{cell}"[^>]*><f>[^<]*</f>)<v ?/?>(</v>)?',
                                          rf"\g<1><v>{number(value)}</v>", text)
                    assert times == 1, (cell, times)
                data = text.encode("utf-8")
            entry = zipfile.ZipInfo(name, (2026, 3, 2, 8, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, data)


def mapping(folder, tables, foods, analytes, title, **others):
    """Writes mapping.json: what a person answered, in full."""
    text = {"format": "aftercurve-mapping", "version": 1, "title": title,
            "foods": [{"id": i, "label": label, "role": role, "texts": texts} for i, label, role, texts in foods],
            "analytes": analytes, **others, "tables": tables}
    (folder / "mapping.json").write_text(json.dumps(text, ensure_ascii=False, indent=2) + "\n", encoding="utf-8")


def columns(*entries):
    """(position, header, role, other keys)"""
    return [{"column": place, "header": header, "role": role, **(more[0] if more else {})}
            for place, header, role, *more in entries]


def lines(folder, name, entries):
    if entries:
        (folder / name).write_text("".join(entry + "\n" for entry in entries), encoding="utf-8")
