"""Opens the figures and the report that the program writes with other programs.

    open_figures.py svg|pdf|report RUN OUT STUDY...

svg: librsvg draws each SVG at a quarter of the size of the PNG of the same figure, which Qt drew; the mean absolute
difference of the grey values (0 to 255) must be below `most`, and any other figure of the study must differ by more.
pdf: poppler must find one page of the size of the SVG in millimetres and every font embedded, and the page drawn must
be the PNG within the same bound. report: Chromium prints report.html; it must log nothing to the console, and the
pages must hold the caution, the title and every figure's title. Exit status 77: the other program is not installed.
The bounds are common practice, no source: they are checked to tell one figure from another.
"""
import pathlib
import re
import shutil
import subprocess
import sys

most = 2.5  # of 255, over the whole figure; measured: 0.3 to 1.3 for the same figure, 5.9 and more for others
millimetres = 25.4 / 72  # in a point


def run_program(run, study, out):
    shutil.rmtree(out, ignore_errors=True)
    result = subprocess.run([run, "analyse", str(study), "--out", str(out)], capture_output=True, text=True)
    if result.returncode not in (0, 4):
        sys.exit(f"{study}: {result.returncode}: {result.stderr}")
    return out


def one_of_each_kind(figures):
    """The names without ending; of figures that differ in the food only, the first."""
    names, kinds = [], set()
    for path in sorted(figures.glob("*.png")):
        kind = re.sub(r"_(glucose|insulin|c-peptide).*", "", path.stem)
        if kind not in kinds:
            kinds.add(kind)
            names.append(path.stem)
    return names


def small(path, size=None):
    """Grey values of a picture, at a quarter of its size or at `size`."""
    from PIL import Image
    with Image.open(path) as image:
        flat = Image.new("RGB", image.size, "white")
        flat.paste(image, mask=image.getchannel("A") if "A" in image.getbands() else None)
    size = size or (flat.width // 4, flat.height // 4)
    return flat.convert("L").resize(size, Image.BOX)


def difference(one, other):
    from PIL import ImageChops, ImageStat
    return ImageStat.Stat(ImageChops.difference(one, other)).mean[0]


def compare(drawn, painted, study):
    """Each picture against Qt's of the same figure, and against the one of the next figure of the same size."""
    worst = 0.0
    for name, picture in drawn.items():
        apart = difference(picture, painted[name])
        worst = max(worst, apart)
        if apart > most:
            sys.exit(f"{study}: {name}: differs by {apart:.2f} of 255 from Qt's picture, allowed {most}")
    told = 0
    names = list(drawn)
    for name, other in zip(names, names[1:] + names[:1]):
        if name != other and drawn[name].size == painted[other].size:
            if difference(drawn[name], painted[other]) <= most:
                sys.exit(f"{study}: the check does not tell {name} from {other}")
            told += 1
    if not drawn or told == 0:
        sys.exit(f"{study}: nothing was compared")
    return worst


def check_svg(study, out):
    figures = out / "figures"
    drawn, painted = {}, {}
    for name in one_of_each_kind(figures):
        painted[name] = small(figures / f"{name}.png")
        size = painted[name].size
        target = out / f"{name}.png"
        # Drawn at full size, then made small in the same way.
        subprocess.run(["rsvg-convert", "-w", str(size[0] * 4), "-h", str(size[1] * 4), "-b", "white", "-o", str(target),
                        str(figures / f"{name}.svg")], check=True, timeout=60)
        drawn[name] = small(target, size)
    worst = compare(drawn, painted, study)
    print(f"{study}: {len(drawn)} figures by librsvg, largest mean difference {worst:.2f} of 255")


def check_pdf(study, out):
    figures = out / "figures"
    drawn, painted = {}, {}
    for name in one_of_each_kind(figures):
        pdf = figures / f"{name}.pdf"
        fonts = subprocess.run(["pdffonts", str(pdf)], check=True, capture_output=True, text=True).stdout.splitlines()[2:]
        # The last columns: embedded, subset, with Unicode map, and the two numbers of the object.
        if not fonts or not all(re.search(r" yes +(yes|no) +(yes|no) +\d+ +\d+$", line) for line in fonts):
            sys.exit(f"{study}: {name}: fonts not embedded: {fonts}")
        info = subprocess.run(["pdfinfo", str(pdf)], check=True, capture_output=True, text=True).stdout
        pages = int(re.search(r"^Pages:\s+(\d+)", info, re.M).group(1))
        page = [float(x) * millimetres for x in re.search(r"^Page size:\s+([\d.]+) x ([\d.]+) pts", info, re.M).groups()]
        svg = (figures / f"{name}.svg").read_text(encoding="utf-8")
        wanted = [float(x) for x in re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', svg).groups()]
        if pages != 1 or any(abs(a - b) > 0.5 for a, b in zip(page, wanted)):
            sys.exit(f"{study}: {name}: {pages} pages of {page} mm, the SVG has {wanted}")
        painted[name] = small(figures / f"{name}.png")
        size = painted[name].size
        subprocess.run(["pdftoppm", "-png", "-singlefile", "-scale-to-x", str(size[0] * 4), "-scale-to-y",
                        str(size[1] * 4), str(pdf), str(out / f"{name}-pdf")], check=True, timeout=60)
        drawn[name] = small(out / f"{name}-pdf.png", size)
    worst = compare(drawn, painted, study)
    print(f"{study}: {len(drawn)} PDF figures, fonts embedded, largest mean difference {worst:.2f} of 255")


def check_report(study, out):
    report = out / "report.html"
    pdf = out / "report.pdf"
    result = subprocess.run(["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
                             f"--user-data-dir={(out / 'browser').resolve()}", "--enable-logging=stderr", "--no-first-run",
                             "--disable-background-networking", "--disable-component-update",
                             f"--print-to-pdf={pdf.resolve()}", report.resolve().as_uri()],
                            capture_output=True, text=True, timeout=500)
    console = [line for line in result.stderr.splitlines() if ":CONSOLE" in line]
    if result.returncode != 0 or not pdf.exists() or console:
        sys.exit(f"{study}: {result.returncode}: {console or result.stderr[-1500:]}")
    text = re.sub(r"\s+", " ", subprocess.run(["pdftotext", str(pdf), "-"], check=True, capture_output=True,
                                              text=True).stdout)
    html = report.read_text(encoding="utf-8")
    titles = re.findall(r"<figcaption><strong>Figure \d+\.</strong> <strong>([^<&]*)</strong>", html)
    if not titles or "not for diagnosis" not in text:
        sys.exit(f"{study}: no figure, or no caution, in the printed report")
    for title in titles:
        if re.sub(r"\s+", " ", title) not in text:
            sys.exit(f"{study}: the printed report lacks {title!r}")
    info = subprocess.run(["pdfinfo", str(pdf)], check=True, capture_output=True, text=True).stdout
    print(f"{study}: {re.search(r'Pages:.*', info).group(0)}, {len(titles)} figures, nothing on the console")


def main():
    mode, run, out = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    try:
        import PIL  # noqa: F401
    except ImportError:
        print("python3-pil is not installed")
        sys.exit(77)
    needed = {"svg": ["rsvg-convert"], "pdf": ["pdffonts", "pdfinfo", "pdftoppm"],
              "report": ["chromium", "pdftotext", "pdfinfo"]}[mode]
    for program in needed:
        if shutil.which(program) is None:
            print(f"{program} is not installed")
            sys.exit(77)
    check = {"svg": check_svg, "pdf": check_pdf, "report": check_report}[mode]
    for study in map(pathlib.Path, sys.argv[4:]):
        check(study.name, run_program(run, study, out / study.name))


main()
