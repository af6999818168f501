# Classical data sets and single values in base R, for tests/core/compare/.
#   Rscript tests/reference/compare_classic.R OUTDIR
# writes compare_classic.csv (name,value; 13 significant digits). Needs base R, stats and datasets only.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript compare_classic.R OUTDIR")

results <- character(0)
give <- function(name, value) results <<- c(results, sprintf("%s,%.13g", name, unname(value)))

# Every sign pattern in turn: two-sided conditional p of the signed rank test, zeros dropped.
enumeratedP <- function(d) {
    d <- d[d != 0]
    r <- rank(abs(d))
    v <- sum(r[d > 0])
    signs <- as.matrix(expand.grid(rep(list(0:1), length(d))))
    sums <- as.vector(signs %*% r)
    min(1, 2 * min(mean(sums <= v), mean(sums >= v)))
}

# Student 1908, in R as `sleep`. The hours have one decimal; rounding removes what the subtraction adds.
d <- round(with(sleep, extra[group == 1] - extra[group == 2]), 1)
test <- t.test(d)
give("sleep_t", test$statistic)
give("sleep_p", test$p.value)
give("sleep_ci_low", test$conf.int[1])
give("sleep_ci_high", test$conf.int[2])
give("sleep_exact_p", enumeratedP(d))
give("sleep_normal_p", suppressWarnings(wilcox.test(d, exact = FALSE)$p.value))

# Hollander & Wolfe 1973, p. 29, as in the help page of wilcox.test.
x <- c(1.83, 0.50, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.30)
y <- c(0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29)
test <- wilcox.test(x - y, conf.int = TRUE)
give("depression_v", test$statistic)
give("depression_p", test$p.value)
give("depression_enumerated_p", enumeratedP(x - y))
give("depression_hl", test$estimate)
give("depression_hl_low", test$conf.int[1])
give("depression_hl_high", test$conf.int[2])

# Shapiro & Wilk 1965, weights of 11 men in pounds.
test <- shapiro.test(c(148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236))
give("weights_w", test$statistic)
give("weights_p", test$p.value)

# The squares 1, 4, 9, ... at the sizes where the algorithm changes.
for (n in c(3, 4, 5, 6, 7, 11, 12, 20, 50, 500, 5000)) {
    test <- shapiro.test(as.numeric(seq_len(n))^2)
    give(paste0("squares_w_", n), test$statistic)
    give(paste0("squares_p_", n), test$p.value)
}

for (df in c(1, 2, 3, 9, 30, 1000)) {
    for (t in c(0.001, 0.5, 2, 10, 40)) {
        give(sprintf("t_p_%g_%g", t, df), 2 * pt(t, df, lower.tail = FALSE))
    }
    for (tail in c(0.05, 0.025, 0.005, 1e-6)) {
        give(sprintf("t_q_%g_%g", tail, df), qt(tail, df, lower.tail = FALSE))
    }
}
for (z in c(-2, 0, 1, 5, 20, 37)) give(sprintf("normal_p_%g", z), pnorm(z, lower.tail = FALSE))
for (tail in c(0.5, 0.025, 1e-6, 1e-100)) give(sprintf("normal_q_%g", tail), qnorm(tail, lower.tail = FALSE))

file <- file(file.path(arguments[1], "compare_classic.csv"), open = "wb")
writeLines(c("name,value", results), file, sep = "\n")
close(file)
