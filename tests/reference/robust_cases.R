# Invented sets of pairs for the tests of the permutation test, the bootstrap, the sign test, trimmed means, ratios and
# equivalence.
#   Rscript tests/reference/robust_cases.R OUTDIR
# writes robust_cases.csv. Base R only. Same script, same bytes. Values are positive decimals of at most 10
# significant digits. Kinds: normal, skewed, rounded (ties), zeros (some pairs equal), outlier.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript robust_cases.R OUTDIR")
set.seed(20261126, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")

kinds <- c("normal", "skewed", "rounded", "zeros", "outlier")
rows <- character(0)
for (i in 1:220) {
    kind <- kinds[(i - 1) %% length(kinds) + 1]
    n <- if (i <= 95) 2 + (i - 1) %/% 5 else if (i <= 180) sample(2:20, 1) else sample(21:45, 1)
    subject <- 120 + 60 * runif(n)
    effect <- sample(c(-25, -10, 0, 10, 25), 1)
    comparator <- subject
    food <- subject + effect + rnorm(n, 0, 18)
    if (kind == "skewed") food <- subject * exp(effect / 100 + rnorm(n, 0, 0.35))
    if (kind == "outlier") food[1] <- food[1] * 4
    food <- pmax(food, 5)
    power <- if (kind %in% c("normal", "skewed")) sample(c(-6, -2, 0, 0, 2, 6), 1) else 0
    if (kind %in% c("rounded", "zeros")) {
        food <- round(food / 20, 1)
        comparator <- round(comparator / 20, 1)
    }
    if (kind == "zeros") {
        same <- sample(n, max(1, floor(n / 4)))
        food[same] <- comparator[same]
    }
    food <- signif(food * 10^power, 10)
    comparator <- signif(comparator * 10^power, 10)
    rows <- c(rows, paste(i, kind, sprintf("%.10g", food), sprintf("%.10g", comparator), sep = ","))
}
file <- file(file.path(arguments[1], "robust_cases.csv"), open = "wb")
writeLines(c("case,kind,food,comparator", rows), file, sep = "\n")
close(file)
