#!/usr/bin/env python3
"""Writes the workbooks of this folder with openpyxl (3.0.9, Debian's python3-openpyxl), and beside each what its
cells must give, taken from the values given to the library. All data are invented: the food-science unit of an
imagined Baltic college; numbers come from the seed below.

    /usr/bin/python3 tests/data/intake/make_workbooks.py

writes the same bytes each time (the archive is packed again with a fixed time)."""

import datetime
import json
import pathlib
import random
import zipfile

import openpyxl
from openpyxl.styles import Font
from openpyxl.utils.datetime import CALENDAR_MAC_1904

SEED = 7
HERE = pathlib.Path(__file__).resolve().parent
FIXED = datetime.datetime(2026, 3, 2, 8, 0, 0)
INVENTED = f"Invented data, make_workbooks.py, seed {SEED}"


def expected(value):
    """[kind, text, number or None] as a cell must be read."""
    if value is None or value == "":
        return ["empty", "", None]
    if isinstance(value, bool):
        return ["truth", "TRUE" if value else "FALSE", None]
    if isinstance(value, (int, float)):
        return ["number", None, value]
    if isinstance(value, datetime.datetime):
        return ["date", value.isoformat() if value.time() != datetime.time() else value.date().isoformat(), None]
    if isinstance(value, datetime.date):
        return ["date", value.isoformat(), None]
    if isinstance(value, datetime.time):
        return ["clock", value.isoformat(), None]
    if isinstance(value, datetime.timedelta):
        seconds = round(value.total_seconds())
        return ["duration", f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}", None]
    if value.startswith("="):
        return ["error", "formula without stored value", None]
    if value.startswith("#"):
        return ["error", value, None]
    return ["text", value, None]


class Book:
    def __init__(self, name, epoch=None):
        self.name = name
        self.book = openpyxl.Workbook()
        if epoch is not None:
            self.book.epoch = epoch
        self.book.remove(self.book.active)
        self.sheets = []

    def sheet(self, title, rows, merged=(), hidden=False, formats=None):
        """`rows` by number; `merged` as (first row, first column, last row, last column), from 1."""
        sheet = self.book.create_sheet(title)
        sheet.sheet_state = "hidden" if hidden else "visible"
        cells = {}
        for row, values in rows.items():
            for column, value in enumerate(values, 1):
                cells[row, column] = expected(value)
                if value is not None:
                    cell = sheet.cell(row, column, value)
                    if row == 1:
                        cell.font = Font(bold=True)
                    if formats and column in formats and row != 1:
                        cell.number_format = formats[column]
        for top, left, bottom, right in merged:
            sheet.merge_cells(start_row=top, start_column=left, end_row=bottom, end_column=right)
            for row in range(top, bottom + 1):
                for column in range(left, right + 1):
                    cells[row, column] = cells[top, left]
        listed = []
        for row in sorted({row for row, _ in cells}):
            width = max(column for r, column in cells if r == row)
            values = [cells.get((row, column), ["empty", "", None]) for column in range(1, width + 1)]
            while values and values[-1][0] == "empty":
                values.pop()
            if values:
                listed.append({"row": row, "cells": values})
        self.sheets.append({"name": title, "hidden": hidden, "rows": listed})

    def write(self):
        self.book.properties.creator = "make_workbooks.py"
        self.book.properties.created = FIXED
        path = HERE / f"{self.name}.xlsx"
        self.book.save(path)
        with zipfile.ZipFile(path) as archive:
            # The library stamps the time of saving into this part.
            parts = [(entry.filename, archive.read(entry)) for entry in archive.infolist()
                     if entry.filename != "docProps/core.xml"]
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, data in parts:
                entry = zipfile.ZipInfo(name, (2026, 3, 2, 8, 0, 0))
                entry.compress_type = zipfile.ZIP_DEFLATED
                archive.writestr(entry, data)
        # One row a line, so that a change shows.
        lines = [f'{{"note": {json.dumps(INVENTED)}, "sheets": [']
        for index, sheet in enumerate(self.sheets):
            head = json.dumps({"name": sheet["name"], "hidden": sheet["hidden"]}, ensure_ascii=False)
            rows = ",\n".join("  " + json.dumps(row, ensure_ascii=False) for row in sheet["rows"])
            lines.append(f'{"," if index else ""}{head[:-1]}, "rows": [\n{rows}\n]}}')
        text = "\n".join(lines) + "\n]}\n"
        json.loads(text)
        (HERE / f"{self.name}.json").write_text(text, encoding="utf-8")


def long_table(rng):
    book = Book("readings_long")
    rows = {1: ["Meal study, spring", INVENTED],
            3: ["subject", "food", "day", "drawn", "after", "glucose", "insulin", "fasting", "remark", "sum"]}
    number = 4
    for subject in range(1, 7):
        for food in ("barley porridge", "dulse & pea soup", "Ölmüsli ½"):
            for minute in (-5, 0, 15, 30, 45, 60, 90, 120):
                day = datetime.date(2026, 3, subject * 3)
                drawn = (datetime.datetime(2026, 3, subject * 3, 8, 0) + datetime.timedelta(minutes=minute))
                remark = {15: "two\nlines", 30: "a <b> & \"c\"", 45: "  blanks  ", 60: "", 90: "#N/A"}.get(minute)
                rows[number] = [f"S{subject:02}", food, day, drawn, datetime.timedelta(minutes=max(minute, 0)),
                                round(rng.uniform(3.9, 9.9), 2), rng.randint(10, 400), minute <= 0, remark,
                                f"=F{number}*2" if minute == 0 else None]
                number += 1
        number += 2  # blank rows between subjects
    book.sheet("Readings µ", rows, formats={5: "[h]:mm:ss", 3: "dd.mm.yyyy", 4: "yyyy-mm-dd hh:mm"})
    book.sheet("Hidden notes", {2: [None, "kept for the record"]}, hidden=True)
    book.sheet("Empty", {})
    book.write()


def plate(rng):
    book = Book("plate_reader")
    rows = {1: ["Plate 1", None, None, INVENTED],
            2: [None] + [f"col {column}" for column in range(1, 13)]}
    for index, letter in enumerate("ABCDEFGH"):
        rows[3 + index] = [letter] + [round(rng.uniform(0.05, 1.5), 4) for _ in range(12)]
    rows[12] = ["Block", "free", "bound", 0.3125, 1e-7, 123456789012, -2.5]
    book.sheet("Plate", rows, merged=[(1, 1, 1, 3), (12, 1, 14, 1), (12, 2, 13, 3)])
    book.sheet("Times", {1: ["clock", "exact"], 2: [datetime.time(8, 30), 0.5], 3: [datetime.time(23, 59, 59), 1]})
    book.write()


def mac_dates():
    book = Book("dates_1904", CALENDAR_MAC_1904)
    book.sheet("Dates", {1: ["day", "moment"],
                         2: [datetime.date(2026, 3, 2), datetime.datetime(2026, 3, 2, 8, 30)],
                         3: [datetime.date(1999, 12, 31), datetime.datetime(2000, 2, 29, 23, 59, 58)]})
    book.write()


def main():
    rng = random.Random(SEED)
    long_table(rng)
    plate(rng)
    mac_dates()


main()
