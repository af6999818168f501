#!/usr/bin/env python3
"""Writes ten kinds of files as laboratories send them, each in its own folder NN-kind/ of tests/data/intake: the file or
files; mapping.json where questions must be answered; questions.txt, the keys that must be asked (none: nothing); said.txt,
texts that the problems must hold; and expected/, the study folder that they must become, written from the same truth in
memory and not by the program. All data are invented: the food-science unit of an imagined Baltic college.

    /usr/bin/python3 tests/data/intake/make_messy.py

writes the same bytes each time (openpyxl 3.0.9, Debian's python3-openpyxl)."""

import datetime
import random
import shutil

import openpyxl
from openpyxl.styles import Alignment, Font
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from messy_study import HERE, INVENTED, SEED, Below, Study, columns, lines, mapping, number, save_book

TIMES = [0, 15, 30, 45, 60, 90, 120]
RISE = {-10: 0.0, -5: 0.02, 0: 0.0, 15: 0.45, 30: 1.0, 45: 0.85, 60: 0.6, 90: 0.25, 120: 0.05}


class Body:
    """Invented readings of one case; the seed and the case give them."""

    def __init__(self, case):
        self.rng = random.Random(f"{SEED}/{case}")

    def glucose(self, time, height=3.0):
        """mmol/L, one decimal"""
        return round(4.7 + height * RISE[time] + self.rng.uniform(-0.4, 0.4), 1)

    def insulin(self, time, height=250.0):
        """pmol/L, whole"""
        return float(round(35.0 + height * RISE[time] * self.rng.uniform(0.7, 1.3) + self.rng.uniform(-9, 9)))


def fresh(kind):
    folder = HERE / kind
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    return folder


def comma(value):
    return number(value).replace(".", ",")


def quoted(text):
    return '"' + text.replace('"', '""') + '"'


def semicolons():
    """Semicolons, decimal commas, Latin-1, two titles and a comment above a German header."""
    folder, body = fresh("01-semicolons-latin1"), Body(1)
    foods = [("referenz-glukose", "Referenz Glukose", "reference"), ("Gerstenbrei", "Gerstenbrei", "test"),
             ("gerstenbrei-mit-algen", "Gerstenbrei mit Algen", "test")]
    study = Study("Gerste und Algen", foods, [("glucose", "mmol/L")])
    text = ["Messreihe Kapillarblut, Frühjahr 2026;;;;;", f"Erfundene Daten / {INVENTED};;;;;",
            "# Gerät geprüft, Küvetten gewechselt", "Proband;Mahlzeit;Besuch;Zeit (min);Glukose (mmol/l);Bemerkung"]
    for s in range(1, 9):
        for visit, (food, label, _) in enumerate(foods, 1):
            for time in TIMES:
                value = body.glucose(time, 4.2 - visit)
                if (s, visit, time) in ((2, 1, 45), (7, 3, 90)):
                    value = None
                remark = {(2, 1, 45): "Röhrchen zerbrochen", (5, 2, 30): "leicht hämolytisch"}.get((s, visit, time), "")
                study.draw(f"P{s:02}", food, visit, time, {"glucose": value}, remark=remark)
                text.append(f"P{s:02};{label};{visit};{time};{'-' if value is None else comma(value)};{remark}")
    (folder / "kapillarblut.csv").write_bytes(("\r\n".join(text) + "\r\n").encode("latin-1"))
    study.write(folder / "expected")


def analyser():
    """UTF-16, tabs, times of day, the start of the meal in its own column, and columns nobody needs."""
    folder, body = fresh("02-utf16-analyser"), Body(2)
    foods = [("glucose-drink", "Glucose drink", "reference"), ("pea-soup", "Pea soup", "test"),
             ("oat-bread", "Oat bread", "test")]
    study = Study("Pea soup and oat bread", foods, [("glucose", "mmol/L"), ("insulin", "µIU/mL")])
    text = [f"# {INVENTED}",
            "Position\tSubject ID\tMeal\tSession\tMeal start\tDraw time\tGlucose [mmol/L]\tInsulin [mU/L]\tFlag"]
    place = 0
    for s in range(1, 8):
        for visit, (food, label, _) in enumerate(foods, 1):
            start = 8 * 60 + 5 + 5 * body.rng.randrange(6)
            study.visits[f"AX-{s}", food, visit] = {"meal_start": f"{start // 60:02}:{start % 60:02}"}
            for time in [-5] + TIMES:
                late = body.rng.choice((0, 0, 1, 2)) if time > 0 else 0
                glucose = body.glucose(time, 3.6 - visit / 2)
                insulin = round(body.insulin(time) / 6, 1)
                if (s, visit, time) == (4, 2, 60):
                    insulin = None
                place += 1
                at = start + time + late
                study.draw(f"AX-{s}", food, visit, time + late, {"glucose": glucose, "insulin": insulin})
                text.append(f"{place}\tAX-{s}\t{label}\t{visit}\t{start // 60:02}:{start % 60:02}\t"
                            f"{at // 60:02}:{at % 60:02}\t{number(glucose)}\t"
                            f"{'' if insulin is None else number(insulin)}\t{'H' if glucose > 8 else ''}")
    (folder / "export.txt").write_bytes(b"\xff\xfe" + ("\r\n".join(text) + "\r\n").encode("utf-16-le"))
    study.write(folder / "expected")


def merged_wide():
    """A workbook with a row a visit, a two-row header whose cells are merged, and merged subjects."""
    folder, body = fresh("03-merged-wide-workbook"), Body(3)
    foods = [("glucose-drink", "Glucose drink", "reference"), ("barley-crackers", "Barley crackers", "test"),
             ("kelp-crackers", "Kelp crackers", "test")]
    study = Study("Crackers", foods, [("glucose", "mmol/L"), ("insulin", "pmol/L")])
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Plasma"
    sheet["A1"] = "Crackers of barley and kelp, plasma"
    sheet["A2"] = INVENTED
    bold, middle = Font(bold=True), Alignment(horizontal="center", vertical="center")
    for column, name in enumerate(("Subject", "Food", "Visit", "Date"), 1):
        sheet.cell(4, column, name)
        sheet.merge_cells(start_row=4, start_column=column, end_row=5, end_column=column)
    for first, name in ((5, "Glucose (mmol/L)"), (12, "Insulin (pmol/L)")):
        sheet.cell(4, first, name)
        sheet.merge_cells(start_row=4, start_column=first, end_row=4, end_column=first + 6)
        for k, time in enumerate(TIMES):
            sheet.cell(5, first + k, time)
    sheet.cell(4, 19, "Remarks")
    sheet.merge_cells(start_row=4, start_column=19, end_row=5, end_column=19)
    for cells in sheet["A4:S5"]:
        for cell in cells:
            cell.font, cell.alignment = bold, middle
    row = 6
    for s in range(1, 7):
        code = f"K{s:02}"
        sheet.cell(row, 1, code)
        sheet.merge_cells(start_row=row, start_column=1, end_row=row + 2, end_column=1)
        for visit, (food, label, _) in enumerate(foods, 1):
            day = datetime.date(2026, 2, 2) + datetime.timedelta(days=s + 7 * visit)
            remark = {(3, 2): "came by bicycle, rested 20 min", (6, 3): "cannula moved to the left arm"}.get((s, visit), "")
            study.visits[code, food, visit] = {"date": day.isoformat(), "remark": remark}
            sheet.cell(row, 2, label)
            sheet.cell(row, 3, visit)
            sheet.cell(row, 4, day).number_format = "dd.mm.yyyy"
            for k, time in enumerate(TIMES):
                glucose, insulin = body.glucose(time, 3.4 - visit / 2), body.insulin(time)
                if (s, visit, time) == (2, 3, 60):
                    glucose = None
                if (s, visit, time) == (5, 1, 90):
                    insulin = None
                study.draw(code, food, visit, time, {"glucose": glucose, "insulin": insulin})
                sheet.cell(row, 5 + k, glucose)
                sheet.cell(row, 12 + k, "NA" if insulin is None else insulin)
            sheet.cell(row, 19, remark or None)
            row += 1
    save_book(book, folder / "plasma.xlsx")
    study.write(folder / "expected")


def sheet_per_food():
    """A workbook with a sheet a food, a column a subject, a sheet about the subjects and hidden notes."""
    folder, body = fresh("04-sheet-per-food"), Body(4)
    foods = [("glucose-drink", "Glucose drink", "reference"), ("rye-bread", "Rye bread", "test"),
             ("pea-porridge", "Pea porridge", "test"), ("dulse-soup", "Dulse soup", "test")]
    study = Study("One sheet a food", foods, [("glucose", "mmol/L")])
    codes = [f"S{s}" for s in range(1, 11)]
    book = openpyxl.Workbook()
    book.remove(book.active)
    for n, (food, label, _) in enumerate(foods):
        sheet = book.create_sheet(label)
        sheet["A1"] = "Capillary glucose (mmol/L)"
        sheet["A2"] = INVENTED
        sheet.append([])
        sheet.append(["Time (min)"] + codes)
        for time in TIMES:
            values = [body.glucose(time, 3.8 - n / 2) for _ in codes]
            if (n, time) == (1, 45):
                values[3] = None
            sheet.append([time] + values)
            for code, value in zip(codes, values):
                study.draw(code, food, 1, time, {"glucose": value})
    notes = book.create_sheet("Notes")
    notes.sheet_state = "hidden"
    notes["A1"] = INVENTED
    notes.append(["Time (min)", "S1", "S2"])
    notes.append([0, 99.9, 99.9])
    people = book.create_sheet("Subjects")
    people.append(["Code", "Sex", "Age (years)", "BMI (kg/m²)"])
    for code in codes:
        sex, age, bmi = body.rng.choice("fm"), body.rng.randrange(19, 60), round(body.rng.uniform(19, 28), 1)
        people.append([code, sex, age, bmi])
        study.facts[code] = {"sex": sex, "age_y": age, "bmi_kg_m2": number(bmi)}
    save_book(book, folder / "meals.xlsx")
    lines(folder, "said.txt", ["Notes]: the mapping leaves this table out"])
    study.write(folder / "expected")


def two_files():
    """Glucose in a text, insulin in a workbook; codes '1' and '01'; some draws in one of them only."""
    folder, body = fresh("05-two-files"), Body(5)
    foods = [("white-bread", "White bread", "reference"), ("lentil-bread", "Lentil bread", "test")]
    study = Study("Lentil bread", foods, [("glucose", "mmol/L"), ("insulin", "pmol/L")])
    text = [f"# {INVENTED}", "Participant,Product,Visit,Minutes,BG mmol/L"]
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Insulin"
    sheet.append(["Plate 3 and 4", INVENTED])
    sheet.append(["Subject", "Food", "Visit", "Time", "Insulin pmol/L"])
    for s in range(1, 13):
        for visit, (food, label, _) in enumerate(foods, 1):
            for time in TIMES:
                glucose, insulin = body.glucose(time), body.insulin(time)
                if (s, visit, time) in ((3, 1, 45), (9, 2, 120)):
                    glucose = None
                elif (s, visit, time) in ((1, 2, 15), (8, 1, 0), (12, 2, 120)):
                    insulin = None
                if glucose is not None:
                    text.append(f"{s},{label},{visit},{time},{number(glucose)}")
                if insulin is not None:
                    sheet.append([f"{s:02}", label, visit, time, insulin])
                study.draw(f"{s:02}", food, visit, time, {"glucose": glucose, "insulin": insulin})
    (folder / "glucose.csv").write_bytes(("\n".join(text) + "\n").encode("utf-8"))
    save_book(book, folder / "insulin.xlsx")
    mapping(folder, [
        {"source": 1, "file": "glucose.csv", "header_row": 2, "first_row": 3, "columns": columns(
            (1, "Participant", "subject"), (2, "Product", "food"), (3, "Visit", "visit"), (4, "Minutes", "time"),
            (5, "BG mmol/L", "analyte", {"analyte": "glucose", "unit": "mmol/L"}))},
        {"source": 2, "file": "insulin.xlsx", "sheet": "Insulin", "header_row": 2, "first_row": 3, "columns": columns(
            (1, "Subject", "subject"), (2, "Food", "food"), (3, "Visit", "visit"), (4, "Time", "time"),
            (5, "Insulin pmol/L", "analyte", {"analyte": "insulin", "unit": "pmol/L"}))}],
            [(i, label, role, [label]) for i, label, role in foods],
            [{"id": "glucose", "unit": "mmol/L"}, {"id": "insulin", "unit": "pmol/L"}], study.title, subject_digits=2)
    lines(folder, "questions.txt", ["subject_digits"])
    lines(folder, "said.txt", ["glucose.csv: 3 draws stand in this table only; insulin is missing there",
                               "insulin.xlsx [Insulin]: 2 draws stand in this table only; glucose is missing there"])
    study.write(folder / "expected")


def duplicates():
    """Two determinations a draw, '<12.0' and 'n.d.', a dilution that is still to be applied, remarks."""
    folder, body = fresh("06-insulin-duplicates"), Body(6)
    foods = [("white-bread", "White bread", "reference"), ("barley-bread", "Barley bread", "test")]
    study = Study("Insulin in duplicate", foods, [("glucose", "mmol/L"), ("insulin", "pmol/L")])
    header = "Subject,Food,Visit,Time (min),Glucose (mmol/L),Ins 1 (pmol/L),Ins 2 (pmol/L),Insulin dilution,Remarks"
    text = [f"# {INVENTED}", header]
    for s in range(1, 8):
        for visit, (food, label, _) in enumerate(foods, 1):
            for time in TIMES:
                dilution = {(2, 30): 2, (5, 45): 4, (6, 0): 2}.get((s, time), 1)
                remark = f"insulin diluted 1:{dilution}" if dilution != 1 else ""
                glucose, first = body.glucose(time), body.insulin(time)
                second = first + body.rng.choice((-3.0, -1.0, 0.0, 1.0, 4.0))
                cells, values = [number(first), number(second)], [first * dilution, second * dilution]
                if time == 0 and s in (3, 6):
                    cells, values = ["<12.0", "< 12.0"], [Below(12.0 * dilution)] * 2
                if (s, visit, time) in ((4, 1, 0), (7, 2, 0)):
                    cells[1], values[1] = "n.d.", Below(12.0)
                if (s, visit, time) == (1, 1, 120):
                    cells[1], values[1] = "", None
                    remark = 'second tube lost, "see book"'
                study.draw(f"D{s}", food, visit, time, {"glucose": glucose, "insulin": values[0]}, replicate=1, remark=remark)
                study.draw(f"D{s}", food, visit, time, {"insulin": values[1]}, replicate=2, remark=remark)
                shown = quoted(remark) if '"' in remark or "," in remark else remark
                text.append(f"D{s},{label},{visit},{time},{number(glucose)},{cells[0]},{cells[1]},{dilution},{shown}")
    (folder / "assay.csv").write_bytes(("\n".join(text) + "\n").encode("utf-8"))
    insulin = {"analyte": "insulin", "unit": "pmol/L"}
    mapping(folder, [
        {"source": 1, "file": "assay.csv", "header_row": 2, "first_row": 3, "columns": columns(
            (1, "Subject", "subject"), (2, "Food", "food"), (3, "Visit", "visit"), (4, "Time (min)", "time"),
            (5, "Glucose (mmol/L)", "analyte", {"analyte": "glucose", "unit": "mmol/L"}),
            (6, "Ins 1 (pmol/L)", "analyte", {**insulin, "replicate": 1}),
            (7, "Ins 2 (pmol/L)", "analyte", {**insulin, "replicate": 2}),
            (8, "Insulin dilution", "dilution", {"analyte": "insulin"}), (9, "Remarks", "remark"))}],
            [(i, label, role, [label]) for i, label, role in foods],
            [{"id": "glucose", "unit": "mmol/L"}, {"id": "insulin", "unit": "pmol/L"}], study.title,
            limit_texts=[{"text": "n.d.", "analyte": "insulin", "limit": 12.0}], dilution="multiply")
    lines(folder, "questions.txt", ["dilution", "limit_texts[0].limit"])
    lines(folder, "said.txt", ["values were multiplied by the dilution in 6 rows",
                               "a word of limit_texts stands for 'below the limit' in 2 cells"])
    study.write(folder / "expected")


def wrong_unit():
    """Glucose in mg/dL under a header that says mmol/L."""
    folder, body = fresh("07-wrong-unit"), Body(7)
    foods = [("glucose-drink", "Glucose drink", "reference"), ("oat-porridge", "Oat porridge", "test"),
             ("oat-porridge-peas", "Oat porridge with peas", "test")]
    study = Study("Oat porridge", foods, [("glucose", "mmol/L")])
    text = [f"# {INVENTED}", "Subject,Food,Visit,Time (min),Glucose (mmol/L)"]
    for s in range(1, 10):
        for visit, (food, label, _) in enumerate(foods, 1):
            for time in [-5] + TIMES:
                value = float(round(body.glucose(time, 4.0 - visit / 2) * 18))
                # 1 mmol/L = 18.016 mg/dL (molar mass 180.16 g/mol)
                study.draw(f"{s:02}", food, visit, time, {"glucose": value / 18.016})
                text.append(f"{s:02},{label},{visit},{time},{number(value)}")
    (folder / "readings.csv").write_bytes(("\n".join(text) + "\n").encode("utf-8"))
    mapping(folder, [
        {"source": 1, "file": "readings.csv", "header_row": 2, "first_row": 3, "columns": columns(
            (1, "Subject", "subject"), (2, "Food", "food"), (3, "Visit", "visit"), (4, "Time (min)", "time"),
            (5, "Glucose (mmol/L)", "analyte", {"analyte": "glucose"}))}],
            [(i, label, role, [label]) for i, label, role in foods],
            [{"id": "glucose", "unit": "mmol/L", "file_unit": "mg/dL"}], study.title)
    lines(folder, "questions.txt", ["analytes[0].file_unit"])
    lines(folder, "said.txt", ["readings.csv: glucose was converted from mg/dL to mmol/L: × 0.0555"])
    study.write(folder / "expected")


def printout():
    """A printout caught in a file: pages with their own header, blank lines, a row of means, times as drawn and as planned."""
    folder, body = fresh("08-printout"), Body(8)
    foods = [("reference", "reference", "reference"), ("pea-wafer", "pea wafer", "test")]
    study = Study("Pea wafer", foods, [("glucose", "mmol/L"), ("insulin", "pmol/L")])
    header = "Subject | Food | Visit | Nominal time (min) | Actual time (min) | Glucose (mmol/L) | Insulin (pmol/L)"
    text = [f"# {INVENTED}", "", header, ""]
    total = []
    for s in range(1, 9):
        for visit, (food, label, _) in enumerate(foods, 1):
            for time in [-10, -5] + TIMES:
                actual = time + (body.rng.choice((0, 0, 0, 1, -1, 2)) if time != 0 else 0)
                planned, written = time, str(time)
                if time == -5 and s % 2 == 0:
                    written = "fasting"
                drawn = str(actual)
                if (s, visit, time) == (3, 2, 90):
                    actual, drawn = time, ""
                glucose, insulin = body.glucose(time), body.insulin(time)
                total.append(glucose)
                study.draw(f"W{s}", food, visit, actual, {"glucose": glucose, "insulin": insulin}, nominal=planned)
                text.append(f"W{s} | {label} | {visit} | {written} | {drawn} | {number(glucose)} | {number(insulin)}")
            text.append("")
        if s % 3 == 0:
            text += ["", header, ""]
    text.append(f"Mean | | | | | {sum(total) / len(total):.2f} | ")
    (folder / "printout.txt").write_bytes(("\n".join(text) + "\n").encode("utf-8"))
    mapping(folder, [
        {"source": 1, "file": "printout.txt", "delimiter": "|", "header_row": 3, "first_row": 4, "columns": columns(
            (1, "Subject", "subject"), (2, "Food", "food"), (3, "Visit", "visit"),
            (4, "Nominal time (min)", "nominal-time"), (5, "Actual time (min)", "time"),
            (6, "Glucose (mmol/L)", "analyte", {"analyte": "glucose", "unit": "mmol/L"}),
            (7, "Insulin (pmol/L)", "analyte", {"analyte": "insulin", "unit": "pmol/L"}))}],
            [(i, label, role, [label]) for i, label, role in foods],
            [{"id": "glucose", "unit": "mmol/L"}, {"id": "insulin", "unit": "pmol/L"}], study.title,
            time_texts=[{"text": "fasting", "minutes": -5}], skip_rows_named=["Mean"])
    lines(folder, "questions.txt", ["time_texts[0].minutes"])
    lines(folder, "said.txt", ["left out, since they repeat the header: 2 rows",
                               "left out, since skip_rows_named names them: 1 row",
                               "a word of time_texts stands for the time in 8 rows",
                               "no actual time is given and the nominal one stands for it in 1 row"])
    study.write(folder / "expected")


def dates_1904():
    """A workbook of the 1904 date system: serial numbers as dates, formulas with stored values, numbers as text, '#N/A',
    no-break spaces, and columns that tell who somebody is (placeholders here)."""
    folder, body = fresh("09-dates-1904"), Body(9)
    foods = [("control-wafer", "Control wafer", "control"), ("dulse-wafer", "Dulse wafer", "test"),
             ("kelp-wafer", "Kelp wafer", "test")]
    study = Study("Seaweed wafers", foods, [("glucose", "mmol/L")])
    book = openpyxl.Workbook()
    book.epoch = CALENDAR_MAC_1904
    sheet = book.active
    sheet.title = "Sheet1"
    sheet["A1"] = INVENTED
    sheet.append([])
    sheet.append(["Code", "Name", "Date of birth", "Date", "Food", "Visit", "Time (min)", "Raw (mg/dL)", "Glucose (mmol/L)"])
    cached = {}
    row = 4
    for s in range(1, 7):
        for visit, (food, label, _) in enumerate(foods, 1):
            day = datetime.date(2026, 1, 12) + datetime.timedelta(days=2 * s + 7 * visit)
            study.visits[f"U{s}", food, visit] = {"date": day.isoformat()}
            for k, time in enumerate(TIMES):
                raw = round(body.glucose(time) * 18)
                value = round(raw / 18.016, 2)
                code = f"\u00a0U{s} " if k == 2 else f"U{s}"
                name = label.replace(" ", "\u00a0") if k == 3 else label + "  " if k == 4 else label
                cells = [code, f"Subject {'ABCDEF'[s - 1]}", "withheld", day, name, visit, time, raw]
                for column, cell in enumerate(cells, 1):
                    sheet.cell(row, column, cell)
                sheet.cell(row, 4).number_format = "yyyy-mm-dd"
                cell = sheet.cell(row, 9)
                if (s, visit, time) in ((2, 2, 60), (5, 1, 15)):
                    value = None
                    cell.value = "#N/A"
                elif k == 1:
                    cell.value = number(value)
                elif k == 5:
                    cell.value = f"\u00a0{number(value)}\u00a0"
                elif k == 6:
                    cell.value = value
                else:
                    cell.value = f"=ROUND(H{row}/18.016,2)"
                    cached[f"I{row}"] = value
                study.draw(f"U{s}", food, visit, time, {"glucose": value})
                row += 1
    save_book(book, folder / "wafers.xlsx", cached)
    mapping(folder, [
        {"source": 1, "file": "wafers.xlsx", "sheet": "Sheet1", "header_row": 3, "first_row": 4, "columns": columns(
            (1, "Code", "subject"), (4, "Date", "date"), (5, "Food", "food"), (6, "Visit", "visit"),
            (7, "Time (min)", "time"), (9, "Glucose (mmol/L)", "analyte", {"analyte": "glucose", "unit": "mmol/L"}))}],
            [(i, label, role, [label, label.replace(" ", "\u00a0")]) for i, label, role in foods],
            [{"id": "glucose", "unit": "mmol/L"}], study.title, missing_words=["NA", "#N/A"])
    lines(folder, "questions.txt", ["missing_words"])
    lines(folder, "said.txt", ["'Name'", "'Date of birth'"])
    study.write(folder / "expected")


def quoted_cr():
    """CR line ends and a byte order mark; remarks with line breaks and quotes; codes that a spreadsheet would run; a food
    spelled three ways; dates that read both ways; an evening meal, so that midnight is crossed."""
    folder, body = fresh("10-quoted-cr"), Body(10)
    foods = [("wheat-bread-control", "Wheat bread (control)", "control"), ("barley-bread", "Barley bread", "test")]
    study = Study("Late bread", foods, [("glucose", "mmol/L")])
    text = [f"# {INVENTED}", "Subject,Date,Food,Visit,Meal start,Clock,Glucose (mmol/L),Remark"]
    spellings = ["Barley bread", "BARLEY-BREAD", "barley  bread"]
    remarks = {(1, 1, 15): 'said "too sweet"', (3, 2, 30): "=1+1", (4, 2, 60): "slept;\rwoken, twice", (5, 1, 0): "-",
               (6, 2, 120): "line one\nline two\n\nline four"}
    for s, code in enumerate(["=1", "+01", "-2", "@3", "'s4", "N5"], 1):
        for visit, (food, label, _) in enumerate(foods, 1):
            day = datetime.date(2026, 3 + visit, s + 1)
            start = 21 * 60 + 40 + 20 * s
            meal = f"{start // 60:02}:{start % 60:02}"
            study.visits[code, food, visit] = {"date": day.isoformat(), "meal_start": meal}
            for time in TIMES:
                value = body.glucose(time, 3.5 - visit)
                remark = remarks.get((s, visit, time), "")
                at = (start + time) % 1440
                name = spellings[s % 3] if visit == 2 else label
                study.draw(code, food, visit, time, {"glucose": value}, remark=" ".join(remark.split()))
                text.append(f"{code},{day:%d/%m/%Y},{quoted(name)},Visit {visit},{meal},{at // 60:02}:{at % 60:02},"
                            f"{quoted(number(value))},{quoted(remark) if remark else ''}")
    (folder / "evening.csv").write_bytes(b"\xef\xbb\xbf" + ("\r".join(text) + "\r").encode("utf-8"))
    mapping(folder, [
        {"source": 1, "file": "evening.csv", "header_row": 2, "first_row": 3, "columns": columns(
            (1, "Subject", "subject"), (2, "Date", "date"), (3, "Food", "food"), (4, "Visit", "visit"),
            (5, "Meal start", "meal-start"), (6, "Clock", "clock-time"),
            (7, "Glucose (mmol/L)", "analyte", {"analyte": "glucose", "unit": "mmol/L"}), (8, "Remark", "remark"))}],
            [(foods[0][0], foods[0][1], "control", [foods[0][1]]), (foods[1][0], foods[1][1], "test", spellings)],
            [{"id": "glucose", "unit": "mmol/L"}], study.title, date_order="day-month")
    lines(folder, "questions.txt", ["date_order"])
    lines(folder, "said.txt", ["line breaks of a remark became blanks in 2 rows"])
    study.write(folder / "expected")


semicolons()
analyser()
merged_wide()
sheet_per_food()
two_files()
duplicates()
wrong_unit()
printout()
dates_1904()
quoted_cr()
