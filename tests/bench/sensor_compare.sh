#!/bin/sh
# sensor_compare.sh PROGRAM: reading, smoothing and cutting of 10^6 invented sensor readings by PROGRAM
# (build/release/tests/bench/aftercurve_bench) beside R, which reads the file and takes running medians.
set -eu
program=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cat > "$folder/compare.R" <<'R'
file <- commandArgs(TRUE)[1]
n <- 33333
at <- as.POSIXct("2026-01-01", tz = "UTC") + 300 * (0:(n - 1))
i <- 0:(n - 1)
d <- data.frame(subject = sprintf("%02d", rep(1:30, each = n)), timestamp = rep(format(at, "%Y-%m-%d %H:%M"), 30),
                glucose = unlist(lapply(1:30, function(s) round(5.5 + sin(0.05 * i) + 0.3 * sin(1.7 * i + s), 1))))
write.csv(d, file, row.names = FALSE, quote = FALSE)
time <- function(what, expression) cat(sprintf("R %s: %.0f ms\n", what, 1000 * system.time(expression)[["user.self"]]))
time("read.csv and times", {
    d <- read.csv(file, colClasses = c("character", "character", "numeric"))
    d$second <- as.numeric(as.POSIXct(d$timestamp, tz = "UTC", format = "%Y-%m-%d %H:%M"))
})
time("runmed of 5 readings", ave(d$glucose, d$subject, FUN = function(y) runmed(y, 5)))
R
Rscript "$folder/compare.R" "$folder/sensor.csv"
"$program" --benchmark_filter=sensor
