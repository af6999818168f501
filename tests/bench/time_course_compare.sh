#!/bin/sh
# time_course_compare.sh PROGRAM [SUBJECTS]: models of curves by PROGRAM (build/release/tests/bench/aftercurve_time_course_time)
# and by R's nlme on one invented file (4 foods, 8 times, a tenth of the samples missing), one after the other.
set -eu
program=$1
subjects=${2:-24}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cat > "$folder/compare.R" <<'R'
suppressPackageStartupMessages(library(nlme))
arguments <- commandArgs(TRUE)
set.seed(20261127, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
n <- as.integer(arguments[2])
d <- expand.grid(time_min = seq(15, 120, by = 15), food = 1:4, subject = seq_len(n))
e <- ave(rnorm(nrow(d)), d$subject, d$food, FUN = function(x) as.numeric(stats::filter(x, 0.5, method = "recursive")))
d$value <- 6 + rnorm(n)[d$subject] + 0.7 * rnorm(4 * n)[(d$subject - 1) * 4 + d$food] + e + 0.01 * d$food * d$time_min
d <- d[runif(nrow(d)) > 0.1, c("subject", "food", "time_min", "value")]
write.csv(d, arguments[1], row.names = FALSE)
d$foodF <- factor(d$food)
d$timeF <- factor(d$time_min)
d$ti <- as.integer(d$timeF)
d$t <- d$time_min / 15
control <- lmeControl(maxIter = 200, msMaxIter = 500, returnObject = TRUE)
fits <- list(
    independent = function() lme(value ~ foodF * timeF, d, ~ 1 | subject/foodF, control = control),
    ar1 = function() lme(value ~ foodF * timeF, d, ~ 1 | subject/foodF, correlation = corCAR1(0.3, ~ t | subject/foodF), control = control),
    unstructured = function() lme(value ~ foodF * timeF, d, ~ 1 | subject, correlation = corSymm(form = ~ ti | subject/foodF),
                                  weights = varIdent(form = ~ 1 | timeF), control = control))
for (name in names(fits)) {
    taken <- system.time(fit <- fits[[name]]())[["elapsed"]]
    cat(sprintf("nlme %s: %.1f ms, log likelihood %.6f\n", name, 1000 * taken, as.numeric(logLik(fit))))
}
R
Rscript "$folder/compare.R" "$folder/curves.csv" "$subjects"
for covariance in independent ar1 unstructured; do
    "$program" "$folder/curves.csv" "$covariance" 5
done
