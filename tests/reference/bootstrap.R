# Bootstrap intervals of the mean difference and of the ratio of means of the 220 sets of robust_cases.csv, for
# tests/core/compare/bootstrap_test.cpp and ratio_of_means_test.cpp.
#   Rscript tests/reference/bootstrap.R OUTDIR        (from the root of the sources)
# writes bootstrap.csv and bootstrap_ratio.csv. Base R only: the formulas of Davison & Hinkley 1997, ch. 5, written out. The resamples are
# the program's own, drawn anew by philox.R: 999 replicates, seed 12345678901, purpose 2, confidence 95 %.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript bootstrap.R OUTDIR")
source("tests/reference/philox.R")
cases <- read.csv("tests/reference/robust_cases.csv")
replicates <- 999
alpha <- 0.05

words <- replicateWords(45, replicates, 2, 12345678901)
resampleIndex <- function(n) {
    product <- words[, seq_len(n), drop = FALSE] * n    # below 2^53: exact
    # A word that the program would draw again does not come up here.
    stopifnot(product %% word32 >= word32 %% n)
    product %/% word32 + 1
}
atLevel <- function(sorted, level) {
    position <- (replicates + 1) * level
    k <- trunc(position)
    if (position < 1 || position > replicates) return(NA)
    if (k == position) return(sorted[k])
    z <- qnorm(c(level, k / (replicates + 1), (k + 1) / (replicates + 1)))
    sorted[k] + (z[1] - z[2]) / (z[3] - z[2]) * (sorted[k + 1] - sorted[k])
}
# t: the statistic of the resamples, t0: of the set, left: with one pair left out.
intervals <- function(t, t0, left, resolution) {
    sorted <- sort(t)
    tied <- abs(t - t0) <= resolution
    z0 <- qnorm((sum(t < t0 & !tied) + sum(tied) / 2) / replicates)
    l <- mean(left) - left
    a <- sum(l^3) / (6 * sum(l^2)^1.5)
    z <- qnorm(c(alpha / 2, 1 - alpha / 2))
    bca <- c(NA, NA)
    if (is.finite(z0)) {
        levels <- pnorm(z0 + (z0 + z) / (1 - a * (z0 + z)))
        bca <- sapply(levels, function(level) atLevel(sorted, level))
        if (anyNA(bca)) bca <- c(NA, NA)
    } else {
        z0 <- NA
    }
    c(sd(t), mean(t) - t0, atLevel(sorted, alpha / 2), atLevel(sorted, 1 - alpha / 2), bca, z0, a)
}
rows <- character(0)
ratios <- character(0)
line <- function(i, values) paste(c(i, ifelse(is.na(values), "NA", sprintf("%.13g", values))), collapse = ",")
for (i in unique(cases$case)) {
    one <- cases[cases$case == i, ]
    f <- one$food
    c0 <- one$comparator
    d <- f - c0
    n <- length(d)
    resolution <- 1e-11 * max(abs(f), abs(c0))
    values <- rep(NA, 8)
    ratio <- rep(NA, 8)
    if (n >= 2) {
        index <- resampleIndex(n)
        drawn <- function(x) rowMeans(matrix(x[index], nrow = replicates))
        without <- function(x) sapply(seq_len(n), function(j) mean(x[-j]))
        if (max(d) - min(d) > resolution) values <- intervals(drawn(d), mean(d), without(d), resolution)
        r <- mean(f) / mean(c0)
        if (max(abs(f / c0 - r)) > 1e-11 * r) {
            ratio <- intervals(drawn(f) / drawn(c0), r, without(f) / without(c0), 1e-11 * r)
        }
    }
    rows <- c(rows, line(i, values))
    ratios <- c(ratios, line(i, ratio))
}
header <- "case,se,bias,percentile_low,percentile_high,bca_low,bca_high,z0,a"
for (name in c("bootstrap.csv", "bootstrap_ratio.csv")) {
    file <- file(file.path(arguments[1], name), open = "wb")
    writeLines(c(header, if (name == "bootstrap.csv") rows else ratios), file, sep = "\n")
    close(file)
}
