#!/usr/bin/env bash
# The mixed model beside R's lme4 in one run: `bash tests/bench/models_against_r.sh`. Needs the release preset built
# and R with lme4, lmerTest, pbkrtest and emmeans. Compare the ratio; times of one machine and hour go together.
set -euo pipefail
cd "$(dirname "$0")/../.."
bench=build/release/tests/bench/aftercurve_bench
[ -x "$bench" ] || { echo "build the release preset first: $bench is missing" >&2; exit 1; }
own=$(mktemp)
trap 'rm -f "$own"' EXIT
"$bench" --benchmark_filter='^fit' --benchmark_format=csv --benchmark_min_time=0.3 2>/dev/null >"$own"
Rscript - "$own" <<'R'
suppressPackageStartupMessages({ library(lme4); library(lmerTest); library(pbkrtest); library(emmeans) })
emm_options(pbkrtest.limit = 5000, lmerTest.limit = 5000)
lines <- readLines(commandArgs(trailingOnly = TRUE)[1])
own <- read.csv(text = lines[grep("^name,", lines):length(lines)])
ownMs <- function(name, n) own$real_time[own$name == sprintf("%s/subjects:%d/missing:0", name, n)]
best <- function(f, times) min(replicate(times, system.time(f())[["elapsed"]])) * 1000
set.seed(7)
cat(sprintf("%8s %12s %12s %8s %16s %16s %8s\n", "subjects", "own fit ms", "lmer ms", "ratio", "own families ms",
            "R families ms", "ratio"))
for (n in c(12, 24, 100)) {
    d <- expand.grid(period = 0:3, subject = seq_len(n))
    d$food <- factor((d$subject + d$period) %% 4)
    d$y <- 200 + rnorm(n, 0, 40)[d$subject] + rnorm(nrow(d), 0, 30)
    d$period <- factor(d$period)
    d$subject <- factor(d$subject)
    formula <- y ~ food + period + (1 | subject)
    lmerMs <- best(function() for (i in 1:10) lme4::lmer(formula, d), 3) / 10
    families <- function() {
        fit <- lmerTest::lmer(formula, d)
        for (method in c("satterthwaite", "kenward-roger")) {
            grid <- emmeans(fit, "food", lmer.df = method)
            summary(contrast(grid, "pairwise"), infer = TRUE, adjust = "tukey")
            summary(contrast(grid, "trt.vs.ctrl"), infer = TRUE, adjust = "mvt")
        }
    }
    rMs <- best(families, 2)
    cat(sprintf("%8d %12.3f %12.1f %8.0f %16.2f %16.0f %8.0f\n", n, ownMs("fit", n), lmerMs, lmerMs / ownMs("fit", n),
                ownMs("fitAndFamilies", n), rMs, rMs / ownMs("fitAndFamilies", n)))
}
R
