#!/usr/bin/env bash
# Times the intake beside general-purpose readers on the same files, one after the other, the best of N runs.
# The files are made once (invented, seeded: intake_compare_data.py): a long CSV and a workbook.
#
# Usage: bash tests/bench/intake_compare.sh [-n RUNS] [-d FOLDER] [-c CSV_MB] [-x XLSX_MB]
#   RUNS 5, FOLDER /tmp/aftercurve_intake_compare, CSV 100 MB, workbook 20 MB
# Needs python3, and the release build:
#   cmake --preset release && cmake --build build/release --target aftercurve_intake_time aftercurve-run
# Compares with what is installed: python3-pandas, python3-openpyxl, r-cran-data.table, r-cran-readxl.
# PYTHON names another python3. Not a test: times on a busy machine say little, so its load is printed.
set -euo pipefail
here="$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)"
root="$(cd "$here/../.." && pwd)"
build="${BUILD:-$root/build/release}"
runs=5 folder=/tmp/aftercurve_intake_compare csv_mb=100 xlsx_mb=20
while getopts n:d:c:x: option; do
    case "$option" in
        n) runs="$OPTARG" ;;
        d) folder="$OPTARG" ;;
        c) csv_mb="$OPTARG" ;;
        x) xlsx_mb="$OPTARG" ;;
        *) sed -n '5,6p' "$0" >&2; exit 2 ;;
    esac
done

missing=()
say_missing() { missing+=("$1"); }

python=""
for candidate in ${PYTHON:-} python3 /usr/bin/python3; do
    if command -v "$candidate" >/dev/null; then
        python="${python:-$candidate}"
        if "$candidate" -c 'import pandas, openpyxl' 2>/dev/null; then
            python="$candidate"
            break
        fi
    fi
done
if [ -z "$python" ]; then
    echo "python3 is needed to make the files" >&2
    exit 1
fi
has_python() { "$python" -c "import $1" 2>/dev/null; }
has_r() { command -v Rscript >/dev/null && Rscript -e "quit(status = !requireNamespace('$1', quietly = TRUE))" >/dev/null 2>&1; }
time_program="$build/tests/bench/aftercurve_intake_time"
run_program="$build/app/aftercurve-run"
if [ ! -x "$time_program" ]; then
    echo "not built: $time_program" >&2
    echo "cmake --preset release && cmake --build build/release --target aftercurve_intake_time aftercurve-run" >&2
    exit 1
fi
[ -x "$run_program" ] || say_missing "aftercurve-run is not built: no times of the whole import"
has_python pandas || say_missing "no pandas (python3-pandas)"
has_python openpyxl || say_missing "no openpyxl (python3-openpyxl): no workbook"
has_r data.table || say_missing "no data.table (r-cran-data.table)"
has_r readxl || say_missing "no readxl (r-cran-readxl)"

mkdir -p "$folder"
csv="$folder/readings_${csv_mb}.csv"
xlsx="$folder/readings_${xlsx_mb}.xlsx"
[ -f "$csv" ] || "$python" "$here/intake_compare_data.py" csv "$csv" "$csv_mb"
if has_python openpyxl && [ ! -f "$xlsx" ]; then
    echo "making $xlsx, which takes a minute" >&2
    "$python" "$here/intake_compare_data.py" xlsx "$xlsx" "$xlsx_mb"
fi

results="$(mktemp -d "$folder/run.XXXXXX")"
trap 'rm -rf "$results"' EXIT
# Of several runs the quickest by CPU time, which other programs disturb least.
best() {
    local file="$1" i
    shift
    for ((i = 0; i < runs; ++i)); do
        if ! "$@" >>"$results/times" 2>"$results/errors"; then
            say_missing "failed: $* ($(tail -n 1 "$results/errors"))"
            rm -f "$results/times"
            return
        fi
    done
    sort -t $'\t' -k 3,3n "$results/times" | head -n 1 | sed "s|^|$(basename "$file")\t$(stat -c %s "$file")\t|" >>"$results/table"
    rm -f "$results/times"
}
# The whole of aftercurve-run import: guess, taking in, writing the study and reading it back.
whole_import() {
    rm -rf "$results/study"
    "$python" - "$run_program" "$1" "$results/study" <<'PYTHON'
import resource, subprocess, sys, time
begin = time.perf_counter()
subprocess.run([sys.argv[1], "import", sys.argv[2], "--out", sys.argv[3]], check=True, stdout=subprocess.DEVNULL)
seconds = time.perf_counter() - begin
usage = resource.getrusage(resource.RUSAGE_CHILDREN)
print(f"aftercurve-run import, study written\t{seconds:.3f}\t{usage.ru_utime + usage.ru_stime:.3f}\t"
      f"{usage.ru_maxrss * 1024 / 1e6:.0f}\t")
PYTHON
}

echo "load before: $(uptime | sed 's/.*average: //')"
for file in "$csv" "$xlsx"; do
    [ -f "$file" ] || continue
    best "$file" "$time_program" visit "$file"
    best "$file" "$time_program" take "$file"
    if [ -x "$run_program" ]; then
        best "$file" whole_import "$file"
    fi
    if has_python pandas; then
        best "$file" "$python" "$here/intake_compare_pandas.py" "$file"
    fi
    if [ "$file" = "$csv" ] && has_r data.table; then
        best "$file" Rscript "$here/intake_compare.R" "$file" 1
        best "$file" Rscript "$here/intake_compare.R" "$file" "$(nproc)"
    elif [ "$file" = "$xlsx" ] && has_r readxl; then
        best "$file" Rscript "$here/intake_compare.R" "$file" 1
    fi
done
echo "load after:  $(uptime | sed 's/.*average: //')"
# MB/s by CPU time; the ratio is to taking in the same file.
awk -F '\t' '
    { file[NR] = $1; mb[NR] = $2 / 1e6; name[NR] = $3; wall[NR] = $4; cpu[NR] = $5; peak[NR] = $6; more[NR] = $7
      if ($3 ~ /taking in/) taking[$1] = $5 }
    END {
        printf "%-18s %-36s %8s %8s %8s %8s %9s  %s\n", "file", "what", "s", "CPU s", "MB/CPU s", "peak MB", "x taking", "note"
        for (i = 1; i <= NR; ++i)
            printf "%-18s %-36s %8.2f %8.2f %8.0f %8.0f %9s  %s\n", file[i], name[i], wall[i], cpu[i], mb[i] / cpu[i], peak[i],
                taking[file[i]] > 0 ? sprintf("%.2f", cpu[i] / taking[file[i]]) : "-", more[i]
    }' "$results/table"
for line in "${missing[@]}"; do
    echo "missing: $line"
done
