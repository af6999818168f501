"""Opens the tables that the program writes with other programs.

    open_tables.py workbook|document|latex|page RUN OUT [STUDY...]

workbook: openpyxl reads the workbook; each number must equal that of the CSV file to the bit, each text must
be the text, no cell may be a formula. document: LibreOffice turns the text document into plain text, which
must hold every cell, and shows each sheet of the workbook, whose cells must be the numbers of the CSV file at
the decimals shown; what "Copy table" puts on the clipboard must become a table of as many rows and cells. latex: pdflatex
must set the document, without shell escape. page: the HTML must be well nested and every text a cell of it. The invented hostile study
made here (food-science unit of an imagined college; names of foods that try to be formulas, markup and
commands) goes through the same. Exit status 77: the other program is not installed.
"""
import csv
import html.parser
import json
import pathlib
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree
import zipfile

# As tableAsHtml of ui/export/clipboard.cpp, which its test holds to these words.
CLIPBOARD_HEAD = '<html><head><meta charset="utf-8"></head><body><!--StartFragment-->'
CLIPBOARD_END = "<!--EndFragment--></body></html>"
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


def convert(sources, target, out):
    """All files at once: starting the office takes longer than the work."""
    profile = out / "profile"
    subprocess.run(["soffice", f"-env:UserInstallation=file://{profile.resolve()}", "--headless", "--norestore",
                    "--convert-to", target, "--outdir", str(out), *map(str, sources)],
                   check=True, capture_output=True, timeout=500)


def check_text(text, out, study):
    found = 0
    for path in sorted(out.glob("*.csv")):
        for row in csv_cells(path)[1:]:
            for cell in row:
                cell = re.sub(r"\s+", " ", plain(cell)).strip()
                if cell and not re.fullmatch(r"[-+0-9.e]+", cell):
                    if cell not in text:
                        sys.exit(f"{study}: {path.stem}: {cell!r} is not in the text document")
                    found += 1
    if found == 0 or "not for diagnosis" not in text:
        sys.exit(f"{study}: nothing was compared")
    return found


def shown_number(shown, exact):
    """Whether a spreadsheet shows this number: by the rule for p at both ends, else within half a last digit."""
    if shown == "< 0.001":
        return exact < 0.001
    if shown == "> 0.999":
        return exact > 0.999
    if not re.fullmatch(r"-?[0-9]+(\.[0-9]+)?(E[-+][0-9]+)?", shown):
        return False
    digits, _, power = shown.partition("E")
    half = 0.5 * 10.0 ** (int(power or 0) - len(digits.partition(".")[2]))
    # A spreadsheet program shows 15 digits at most.
    return abs(float(shown) - exact) <= max(half * (1 + 1e-9), 1e-14 * abs(exact))


def check_sheet(path, out, name, study):
    """One sheet as LibreOffice shows it, against the CSV file of the program."""
    shown, exact = csv_cells(path), csv_cells(out / f"{name}.csv")
    if len(shown) != len(exact):
        sys.exit(f"{study}: {name}: {len(shown)} rows in the spreadsheet program, CSV {len(exact)}")
    numbers = 0
    for r, (there, here) in enumerate(zip(shown[1:], exact[1:]), start=2):
        there += [""] * (len(here) - len(there))
        for key, cell, text in zip(exact[0], there, here):
            text = plain(text)
            # A text may look like a number: "01" is a subject, and shown as it is.
            if cell == text:
                continue
            if not re.fullmatch(r"[-+]?[0-9.]+(e[-+]?[0-9]+)?", text) or not shown_number(cell, float(text)):
                sys.exit(f"{study}: {name} row {r} {key}: {cell!r}, CSV {text!r}")
            numbers += 1
    return numbers


class Grid(html.parser.HTMLParser):
    """The tables of a page as rows of texts; every end must close the element that is open."""
    void = {"meta", "br", "link"}

    def __init__(self):
        super().__init__()
        self.open, self.tables, self.names = [], [], set()

    def handle_starttag(self, tag, attrs):
        self.names.add(tag)
        if tag in self.void:
            return
        self.open.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            sys.exit(f"</{tag}> closes nothing")

    def handle_data(self, data):
        if "sup" not in self.open and ("td" in self.open or "th" in self.open):
            self.tables[-1][-1][-1] += data


def grids(page):
    grid = Grid()
    grid.feed(page)
    grid.close()
    if grid.open:
        sys.exit(f"not closed: {grid.open}")
    return grid


def check_page(run, study, out):
    tables_of(run, study, out, "html,csv")
    grid = grids((out / "tables.html").read_text(encoding="utf-8"))
    if "script" in grid.names or "img" in grid.names or len(grid.tables) != len(list(out.glob("*.csv"))):
        sys.exit(f"{study}: {len(grid.tables)} tables, or a script, or a picture")
    texts = {re.sub(r"\s+", " ", cell).strip() for table in grid.tables for row in table for cell in row}
    found = 0
    for path in sorted(out.glob("*.csv")):
        for row in csv_cells(path)[1:]:
            for cell in row:
                cell = re.sub(r"\s+", " ", plain(cell)).strip()
                if cell and not re.fullmatch(r"[-+0-9.e]+", cell):
                    if cell not in texts:
                        sys.exit(f"{study}: {path.stem}: {cell!r} is no cell of the page")
                    found += 1
    print(f"{study}: {len(grid.tables)} tables, {found} texts are cells of the page")


def paste_file(page, path):
    """The first table of the page as the clipboard holds it."""
    table = re.search(r"<table.*?</table>\n", page, re.S).group(0)
    path.write_text(CLIPBOARD_HEAD + table + CLIPBOARD_END, encoding="utf-8")
    return grids(table).tables[0]


def check_paste(path, grid, study):
    with zipfile.ZipFile(path) as archive:
        root = xml.etree.ElementTree.fromstring(archive.read("content.xml"))
    space = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
    rows = [["".join(cell.itertext()).strip() for cell in row.iter(f"{space}table-cell")]
            for row in root.iter(f"{space}table-row")]
    if len(rows) != len(grid) or {len(row) for row in rows} != {len(grid[0])}:
        sys.exit(f"{study}: pasted {len(rows)} rows, the table has {len(grid)} of {len(grid[0])} cells")
    for here, there in zip(grid, rows):
        for text, cell in zip(here, there):
            # A mark of a note stands behind the text of its cell.
            if not cell.startswith(re.sub(r"\s+", " ", text).strip()):
                sys.exit(f"{study}: pasted {cell!r}, the table has {text!r}")


def check_documents(run, studies, out):
    grids_pasted = {}
    for study in studies:
        folder = tables_of(run, study, out / study.name, "odt,csv,xlsx,html")
        for kind in ("odt", "xlsx"):
            shutil.copy(folder / f"tables.{kind}", out / f"{study.name}.{kind}")
        grids_pasted[study.name] = paste_file((folder / "tables.html").read_text(encoding="utf-8"),
                                              out / f"{study.name}-paste.html")
    for old in [*out.glob("*.csv"), *out.glob("*.txt"), *out.glob("*-paste.odt")]:
        old.unlink()
    convert([out / f"{study.name}.odt" for study in studies], "txt:Text (encoded):UTF8", out)
    # Comma, quote, UTF-8, from the first line, cells as shown, no formulas, every sheet to its own file.
    convert([out / f"{study.name}.xlsx" for study in studies],
            "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1", out)
    convert([out / f"{study.name}-paste.html" for study in studies], "odt:writer8", out)
    for study in studies:
        folder = out / study.name
        text = re.sub(r"\s+", " ", (out / f"{study.name}.txt").read_text(encoding="utf-8-sig"))
        found = check_text(text, folder, study.name)
        sheets = sorted(path.stem for path in folder.glob("*.csv"))
        if len(list(out.glob(f"{study.name}-*.csv"))) != len(sheets) + 1:
            sys.exit(f"{study.name}: the spreadsheet program sees another number of sheets")
        numbers = sum(check_sheet(out / f"{study.name}-{name}.csv", folder, name, study.name) for name in sheets)
        check_paste(out / f"{study.name}-paste.odt", grids_pasted[study.name], study.name)
        if numbers == 0:
            sys.exit(f"{study.name}: no number was compared")
        print(f"{study.name}: {found} texts in the text document, {numbers} numbers as a spreadsheet shows them, "
              f"a table pasted")


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
    elif mode in ("document", "latex") and shutil.which("soffice" if mode == "document" else "pdflatex") is None:
        print("the program that opens this is not installed")
        sys.exit(77)
    studies = [pathlib.Path(study) for study in sys.argv[4:]] + [hostile_study(out / "studies" / "hostile")]
    if mode == "document":
        check_documents(run, studies, out)
        return
    check = {"workbook": check_workbook, "latex": check_latex, "page": check_page}[mode]
    for study in studies:
        check(run, study, out / study.name)


main()
