# Sign-flip tests of the 220 sets of robust_cases.csv, for tests/core/compare/permutation_test_test.cpp.
#   Rscript tests/reference/permutation.R OUTDIR        (from the root of the sources)
# writes permutation.csv. Base R only. Up to 20 non-zero differences: all sums, from the outer sum of two
# halves. Beyond: the program's own random signs drawn anew by philox.R, 999 replicates, seed 4294967299.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript permutation.R OUTDIR")
source("tests/reference/philox.R")
cases <- read.csv("tests/reference/robust_cases.csv")

allSums <- function(d) {
    sums <- 0
    for (x in d) sums <- c(sums + x, sums - x)
    sums
}
rows <- character(0)
for (i in unique(cases$case)) {
    one <- cases[cases$case == i, ]
    d <- one$food - one$comparator
    resolution <- 1e-11 * max(abs(one$food), abs(one$comparator))
    kept <- d[abs(d) > resolution]
    n <- length(kept)
    if (n == 0) {
        rows <- c(rows, paste(i, 0, length(d), "NA", "NA", "NA", sep = ","))
        next
    }
    limit <- abs(sum(kept)) - max(resolution, 1e-12 * sum(abs(kept)))
    if (n <= 20) {
        half <- n %/% 2
        sums <- if (half == 0) allSums(kept) else
            outer(allSums(kept[seq_len(half)]), allSums(kept[(half + 1):n]), `+`)
        extreme <- sum(abs(sums) >= limit)
        p <- extreme / 2^n
        method <- "exact"
    } else {
        words <- replicateWords(ceiling(n / 32), 999, 1, 4294967299)
        sums <- 0
        for (j in seq_len(n)) {
            bit <- (words[, (j - 1) %/% 32 + 1] %/% 2^((j - 1) %% 32)) %% 2
            sums <- sums + ifelse(bit == 1, -kept[j], kept[j])
        }
        extreme <- sum(abs(sums) >= limit)
        p <- (extreme + 1) / 1000
        method <- "monte-carlo"
    }
    rows <- c(rows, paste(i, n, length(d) - n, extreme, sprintf("%.13g", p), method, sep = ","))
}
file <- file(file.path(arguments[1], "permutation.csv"), open = "wb")
writeLines(c("case,nonzero,zeros,extreme,p,method", rows), file, sep = "\n")
close(file)
