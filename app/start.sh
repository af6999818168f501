#!/usr/bin/env bash
# Installs what is missing, builds Aftercurve and does its main job on a sample study:
#   with a display     opens the window on it
#   without a display  writes results, tables, figures and a report into results/, and says where
# Usage: bash app/start.sh [STUDY-FOLDER]
set -euo pipefail
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
study="${1:-$root/sample_studies/barley-index}"
. "$root/app/packages.sh"

if [ ! -d "$study" ]; then
    echo "There is no folder $study: give a study folder, or nothing for the sample." >&2
    exit 2
fi
study="$(cd "$study" && pwd)"

echo "1/3 Packages"
install_packages build
echo "2/3 Build (the first time takes a few minutes; log: build/start.log)"
mkdir -p "$root/build"
cd "$root"
if ! { cmake --preset program && cmake --build --preset program; } >build/start.log 2>&1; then
    tail -n 25 build/start.log >&2
    echo "The build failed; the whole log is in $root/build/start.log" >&2
    exit 1
fi
programs="$root/build/program/app"
if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
    echo "3/3 Opening $study"
    exec "$programs/aftercurve" "$study"
fi
out="$root/results/$(basename "$study")"
echo "3/3 No display here: analysing $study"
status=0
"$programs/aftercurve-run" analyse "$study" --out "$out" || status=$?
if [ "$status" -eq 0 ] || [ "$status" -eq 4 ]; then
    echo "Results are in $out"
    echo "  report.html    what was found, with figures and tables; open it in a browser"
    echo "  report.pdf     the same for print"
    echo "  results.json   every number at full precision"
    echo "  tables/        CSV files;  figures/  SVG, PDF and PNG"
fi
exit "$status"
