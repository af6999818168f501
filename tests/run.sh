#!/usr/bin/env bash
# Installs what is missing, builds the development preset and runs every test.
# Usage: bash tests/run.sh [--sanitizers]
#   --sanitizers  installs the developer's packages too and runs the address and undefined-behaviour preset with its fuzz targets
# The closing line is 'N passed, N failed'.
set -euo pipefail
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
. "$root/app/packages.sh"

preset=dev
kinds=(build test)
if [ "${1:-}" = "--sanitizers" ]; then
    preset=asan-ubsan
    kinds+=(develop)
elif [ $# -gt 0 ]; then
    echo "usage: bash tests/run.sh [--sanitizers]" >&2
    exit 2
fi

echo "1/3 Packages"
install_packages "${kinds[@]}"
cd "$root"
mkdir -p build
echo "2/3 Build (preset $preset; the first time takes several minutes)"
cmake --preset "$preset"
cmake --build --preset "$preset"
echo "3/3 Tests"
status=0
ctest --preset "$preset" --no-tests=error -j 2 2>&1 | tee build/tests.log || status=$?
summary="$(grep -E 'tests? passed, .* tests? failed out of' build/tests.log || true)"
total="$(sed -nE 's/.*failed out of ([0-9]+).*/\1/p' <<<"$summary")"
failed="$(sed -nE 's/.*passed, ([0-9]+) tests? failed.*/\1/p' <<<"$summary")"
if [ -z "$total" ] || [ -z "$failed" ]; then
    echo "The tests did not run to their end." >&2
    exit 1
fi
echo "$((total - failed)) passed, $failed failed"
exit "$status"
