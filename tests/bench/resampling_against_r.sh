#!/usr/bin/env bash
# Times the bootstrap (10,000 resamples, percentile and BCa) and 10^6 random sign flips beside R's package boot, a vectorised sign
# flip in R and, where it is installed, NumPy, on the same pairs in one run, and prints the ratios.
#
# Usage: bash tests/bench/resampling_against_r.sh [-n RUNS] [-r RESAMPLES] [-f FLIPS] [-s "12 100 1000"]
# Needs Rscript (r-base-core, r-recommended for boot) and the release build:
#   cmake --preset release && cmake --build build/release --target aftercurve_resampling_time
# PROGRAM names another built program. CPU seconds of one thread, which other work disturbs least; the load is printed. Not a test.
set -euo pipefail
here="$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)"
root="$(cd "$here/../.." && pwd)"
program="${PROGRAM:-${BUILD:-$root/build/release}/tests/bench/aftercurve_resampling_time}"
runs=3 resamples=10000 flips=1000000 sizes="12 100 1000"
while getopts n:r:f:s: option; do
    case "$option" in
        n) runs="$OPTARG" ;;
        r) resamples="$OPTARG" ;;
        f) flips="$OPTARG" ;;
        s) sizes="$OPTARG" ;;
        *) sed -n '5p' "$0" >&2; exit 2 ;;
    esac
done
if [ ! -x "$program" ]; then
    echo "not built: $program" >&2
    exit 1
fi
command -v Rscript >/dev/null || { echo "Rscript is needed" >&2; exit 1; }
numpy=""
for candidate in ${PYTHON:-} python3 /usr/bin/python3; do
    if command -v "$candidate" >/dev/null && "$candidate" -c 'import numpy' 2>/dev/null; then
        numpy="$candidate"
        break
    fi
done
folder="$(mktemp -d)"
trap 'rm -rf "$folder"' EXIT
echo "load before: $(uptime | sed 's/.*average: //')"
for n in $sizes; do
    # Invented pairs, seeded.
    Rscript -e 'a <- commandArgs(TRUE); set.seed(7); n <- as.integer(a[1]); c0 <- 150 + 30 * rnorm(n)
        write.csv(data.frame(food = 0.9 * c0 + 18 * rnorm(n), comparator = c0), a[2], row.names = FALSE)' "$n" "$folder/pairs.csv"
    "$program" "$folder/pairs.csv" "$resamples" "$flips" "$runs" >>"$folder/own"
    Rscript "$here/resampling_against_r.R" "$folder/pairs.csv" "$resamples" "$flips" "$runs" >>"$folder/others"
    if [ -n "$numpy" ]; then
        "$numpy" "$here/resampling_against_numpy.py" "$folder/pairs.csv" "$resamples" "$flips" "$runs" >>"$folder/others"
    fi
done
echo "load after:  $(uptime | sed 's/.*average: //')"
[ -n "$numpy" ] || echo "missing: NumPy (python3-numpy)"
awk -F '\t' '
    BEGIN { printf "%-32s %6s %10s %10s %8s\n", "beside", "n", "CPU s", "own CPU s", "ratio" }
    NR == FNR { own[$1, $2] = $3; next }
    { split($1, name, ","); printf "%-32s %6d %10.4f %10.4f %8.1f\n", $1, $2, $3, own[name[1], $2], $3 / own[name[1], $2] }
' "$folder/own" "$folder/others"
