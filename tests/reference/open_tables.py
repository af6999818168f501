"""Opens the tables that the program writes with other programs.

    open_tables.py workbook|document|latex RUN OUT [STUDY...]

workbook: openpyxl reads the workbook; each number must equal that of the CSV file to the bit, each text must
be the text, no cell may be a formula. document: LibreOffice turns the text document into plain text, which
must hold every cell. latex: pdflatex must set the document, without shell escape. The invented hostile study
made here (food-science unit of an imagined college; names of foods that try to be formulas, markup and
commands) goes through the same. Exit status 77: the other program is not installed.
"""
import csv
import json
import pathlib
import re
import shutil
import subprocess
import sys
import zipfile

HOSTILE = [
    "=cmd|' /C calc'!A0", "@SUM(A1:A9)", "<script>alert(1)</script>", "\\input{/etc/hostname}", "a|b & c",
    "Rääbis ½ – µ", "[1] $x$ % # ~ ^ {}", "_x0041_ -- `x`"]


def hostile_study(folder):
    folder.mkdir(parents=True, exist_ok=True)
    foods = [{"id": f"food{i}", "label": label, "role": "reference" if i == 0 else "test"}
             for i, label in enumerate(HOSTILE)]
    study = {"format": "aftercurve-study", "version": 2, "title": "Hostile </title> \\write18{x} =1+1, invented",
             "foods": foods, "analytes": [{"id": "glucose", "unit": "mmol/L"}], "samples": ["samples.csv"],
             "plan": {"resamples": 0, "sensitivity": False}}
    (folder / "study.json").write_text(json.dumps(study), encoding="utf-8")
    rows = ["subject,food,time_min,glucose"]
    for subject in range(1, 7):
        for i in range(len(HOSTILE)):
            # Rises that differ by subject and food; the last food lacks most subjects.
            if i == len(HOSTILE) - 1 and subject > 1:
                continue
            rise = 2 + ((subject * 7 + i * 5) % 11) / 10
            for time, share in ((0, 0), (30, 1), (60, 0.8), (120, 0.1)):
                rows.append(f"{subject:02},food{i},{time},{5 + rise * share:.3f}")
    (folder / "samples.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


def tables_of(run, study, out, formats):
    shutil.rmtree(out, ignore_errors=True)
    result = subprocess.run([run, "tables", str(study), "--out", str(out), "--format", formats],
                            capture_output=True, text=True)
    if result.returncode not in (0, 4):
        sys.exit(f"{study}: {result.returncode}: {result.stderr}")
    return out


def csv_cells(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def plain(text):
    """Without the apostrophe that protects a CSV cell, and with what the other formats show for signs."""
    if text[:1] == "'" and text[1:2] in ("=", "+", "-", "@", "\t", "\r"):
        text = text[1:]
    return text.replace("\u202e", "\ufffd")


def check_workbook(run, study, out):
    import openpyxl
    tables_of(run, study, out, "xlsx,csv")
    name = out / "tables.xlsx"
    book = openpyxl.load_workbook(name)
    numbers = texts = 0
    for path in sorted(out.glob("*.csv")):
        sheet = book[path.stem]
        if sheet.freeze_panes != "A2" or not sheet["A1"].font.b:
            sys.exit(f"{path.stem}: header not frozen or not bold")
        rows = csv_cells(path)
        if sheet.max_row != len(rows):
            sys.exit(f"{path.stem}: {sheet.max_row} rows, CSV {len(rows)}")
        for r, row in enumerate(rows[1:], start=2):
            for c, text in enumerate(row, start=1):
                cell = sheet.cell(r, c)
                if cell.data_type == "f":
                    sys.exit(f"{path.stem} {cell.coordinate}: a formula")
                if cell.value is None:
                    same = text == ""
                elif cell.data_type == "n":
                    # Equal numbers are equal bits, but for the sign of 0, which openpyxl drops.
                    same = float(text) == cell.value
                    numbers += 1
                else:
                    # openpyxl 3.0 leaves the escapes of ECMA-376 part 1, 22.9.2.19 as they stand.
                    same = plain(text) == cell.value.replace("_x005F_", "_")
                    texts += 1
                if not same:
                    sys.exit(f"{path.stem} {cell.coordinate}: {cell.value!r}, CSV {text!r}")
    if numbers == 0 or texts == 0 or book.sheetnames[-1] != "notes":
        sys.exit("nothing was compared")
    print(f"{study}: {numbers} numbers equal to the bit, {texts} texts")


def convert(source, target, out):
    profile = out / "profile"
    subprocess.run(["soffice", f"-env:UserInstallation=file://{profile.resolve()}", "--headless", "--norestore",
                    "--convert-to", target, "--outdir", str(out), str(source)],
                   check=True, capture_output=True, timeout=240)


def check_document(run, study, out):
    tables_of(run, study, out, "odt,csv,xlsx")
    convert(out / "tables.odt", "txt:Text (encoded):UTF8", out)
    text = re.sub(r"\s+", " ", (out / "tables.txt").read_text(encoding="utf-8-sig"))
    found = 0
    for path in sorted(out.glob("*.csv")):
        for row in csv_cells(path)[1:]:
            for cell in row:
                cell = re.sub(r"\s+", " ", plain(cell)).strip()
                if cell and not re.fullmatch(r"[-+0-9.e]+", cell):
                    if cell not in text:
                        sys.exit(f"{path.stem}: {cell!r} is not in the text document")
                    found += 1
    if found == 0 or "not for diagnosis" not in text:
        sys.exit("nothing was compared")
    # A spreadsheet program opens the workbook too.
    convert(out / "tables.xlsx", "ods", out)
    with zipfile.ZipFile(out / "tables.ods") as archive:
        content = archive.read("content.xml").decode()
    if "table:formula" in content or content.count("<table:table ") != len(list(out.glob("*.csv"))) + 1:
        sys.exit("the spreadsheet program sees a formula, or another number of sheets")
    print(f"{study}: {found} texts in the text document; workbook opened")


def check_latex(run, study, out):
    tables_of(run, study, out, "tex")
    result = subprocess.run(["pdflatex", "-no-shell-escape", "-interaction=nonstopmode", "-halt-on-error", "tables.tex"],
                            cwd=out, capture_output=True, timeout=240)
    if result.returncode != 0 or not (out / "tables.pdf").exists():
        sys.exit(f"{study}: pdflatex: {result.stdout.decode(errors='replace')[-1500:]}")
    print(f"{study}: {(out / 'tables.pdf').stat().st_size} bytes of PDF")


def main():
    mode, run, out = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    out.mkdir(parents=True, exist_ok=True)
    if mode == "workbook":
        try:
            import openpyxl  # noqa: F401
        except ImportError:
            sys.exit(77)
    elif shutil.which("soffice" if mode == "document" else "pdflatex") is None:
        sys.exit(77)
    check = {"workbook": check_workbook, "document": check_document, "latex": check_latex}[mode]
    studies = [pathlib.Path(study) for study in sys.argv[4:]] + [hostile_study(out / "studies" / "hostile")]
    for study in studies:
        check(run, study, out / study.name)


main()
