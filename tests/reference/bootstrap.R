# Bootstrap intervals of the mean of the 220 sets of robust_cases.csv, for tests/core/compare/bootstrap_test.cpp.
#   Rscript tests/reference/bootstrap.R OUTDIR        (from the root of the sources)
# writes bootstrap.csv. Base R only: the formulas of Davison & Hinkley 1997, ch. 5, written out. The resamples are
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
rows <- character(0)
for (i in unique(cases$case)) {
    one <- cases[cases$case == i, ]
    d <- one$food - one$comparator
    n <- length(d)
    resolution <- 1e-11 * max(abs(one$food), abs(one$comparator))
    values <- rep(NA, 8)
    if (n >= 2 && max(d) - min(d) > resolution) {
        index <- resampleIndex(n)
        t <- rowMeans(matrix(d[index], nrow = replicates))
        t0 <- mean(d)
        sorted <- sort(t)
        tied <- abs(t - t0) <= resolution
        z0 <- qnorm((sum(t < t0 & !tied) + sum(tied) / 2) / replicates)
        left <- sapply(seq_len(n), function(j) mean(d[-j]))
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
        values <- c(sd(t), mean(t) - t0, atLevel(sorted, alpha / 2), atLevel(sorted, 1 - alpha / 2), bca, z0, a)
    }
    rows <- c(rows, paste(c(i, ifelse(is.na(values), "NA", sprintf("%.13g", values))), collapse = ","))
}
file <- file(file.path(arguments[1], "bootstrap.csv"), open = "wb")
writeLines(c("case,se,bias,percentile_low,percentile_high,bca_low,bca_high,z0,a", rows), file, sep = "\n")
close(file)
