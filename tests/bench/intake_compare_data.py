#!/usr/bin/env python3
"""Writes a long table of a feeding study as CSV or as a workbook, of about a given size.

All values are invented: an imagined Baltic college feeds barley, pulse and seaweed foods. Seed 20261125: the
same size gives the same rows. A subject eats each of three foods twice; ten draws a visit. Rows stand by
subject, food, visit and time, which is not the order in which a study keeps them, so that sorting is measured.

Usage: intake_compare_data.py csv|xlsx FILE MEGABYTES   (a workbook needs openpyxl)
"""
import math
import os
import random
import sys

HEADER = ("subject", "food", "visit", "time (min)", "glucose (mmol/L)", "insulin (pmol/L)")
FOODS = (("reference drink", 1.0), ("barley porridge", 0.6), ("pulse wafer", 0.45))
TIMES = (-5, 0, 15, 30, 45, 60, 90, 120, 150, 180)
SHEET_ROWS = 1_048_576


def rows():
    draw = random.Random(20261125)
    subject = 0
    while True:
        subject += 1
        code = f"S{subject:05d}"
        fasting = 4.4 + 1.2 * draw.random()
        for food, height in FOODS:
            for visit in (1, 2):
                for time in TIMES:
                    rise = height * max(time, 0) / 40.0 * math.exp(1.0 - max(time, 0) / 40.0)
                    glucose = fasting + 3.0 * rise + 0.4 * draw.random()
                    insulin = 25.0 + 300.0 * rise + 30.0 * draw.random()
                    yield code, food, visit, time, round(glucose, 2), round(insulin, 1)


def write_csv(path, megabytes):
    left = megabytes * 1_000_000
    with open(path, "w", encoding="utf-8", newline="") as file:
        left -= file.write(",".join(HEADER) + "\n")
        for row in rows():
            if left <= 0:
                break
            left -= file.write("%s,%s,%d,%d,%.2f,%.1f\n" % row)


def write_workbook(path, count):
    import openpyxl

    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("Readings")
    sheet.append(HEADER)
    for _, row in zip(range(count), rows()):
        sheet.append(row)
    book.save(path)


def write_xlsx(path, megabytes):
    probe = 20_000
    write_workbook(path, probe)
    count = int(probe * megabytes * 1_000_000 / os.path.getsize(path))
    write_workbook(path, min(count, SHEET_ROWS - 1))


def main():
    if len(sys.argv) != 4 or sys.argv[1] not in ("csv", "xlsx"):
        sys.exit(__doc__)
    kind, path, megabytes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    unfinished = f"{path}.part.{kind}"
    (write_csv if kind == "csv" else write_xlsx)(unfinished, megabytes)
    os.replace(unfinished, path)


main()
