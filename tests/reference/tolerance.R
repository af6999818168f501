# Tests of symptom diaries and of digestion beside response, in base R, for tests/core/compare/ and
# tests/core/findings/. All values are invented.
#   Rscript tests/reference/tolerance.R OUTDIR
# writes tolerance.csv (name,value; 13 significant digits). Needs base R and stats only.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript tolerance.R OUTDIR")

results <- character(0)
give <- function(name, value) results <<- c(results, sprintf("%s,%.13g", name, unname(value)))

# Exact shares.
for (case in list(c(0, 10), c(3, 12), c(7, 12), c(10, 10), c(1, 1), c(40, 250))) {
    ci <- binom.test(case[1], case[2])$conf.int
    give(sprintf("share_%d_%d_low", case[1], case[2]), ci[1])
    give(sprintf("share_%d_%d_high", case[1], case[2]), ci[2])
}

# McNemar: both, food only, comparator only, neither.
z <- qnorm(0.975)
for (case in list(c(2, 6, 1, 3), c(0, 5, 0, 7), c(4, 3, 3, 2), c(1, 0, 1, 0), c(30, 25, 10, 35))) {
    name <- paste(case, collapse = "_")
    b <- case[2]
    c <- case[3]
    n <- sum(case)
    give(paste0("mcnemar_p_", name), binom.test(b, b + c)$p.value)
    m <- min(b, c)
    give(paste0("mcnemar_midp_", name), min(1, 2 * (pbinom(m, b + c, 0.5) - dbinom(m, b + c, 0.5) / 2)))
    p12 <- (b + 1) / (n + 2)
    p21 <- (c + 1) / (n + 2)
    half <- z * sqrt((p12 + p21 - (p12 - p21)^2) / (n + 2))
    give(paste0("mcnemar_low_", name), max(-1, p12 - p21 - half))
    give(paste0("mcnemar_high_", name), min(1, p12 - p21 + half))
}

# Paired superiority by its formula.
food <- c(2, 1, 3, 0, 2, 1, 2, 3, 0, 1)
comparator <- c(1, 1, 1, 0, 0, 2, 1, 1, 0, 1)
count <- (sign(food - comparator) + 1) / 2
share <- mean(count)
se <- sd(count) / sqrt(length(count))
logit <- qlogis(share) + c(-1, 1) * z * se / (share * (1 - share))
give("superiority", share)
give("superiority_low", plogis(logit[1]))
give("superiority_high", plogis(logit[2]))
give("win_odds", share / (1 - share))
give("win_odds_low", exp(logit[1]))
give("win_odds_high", exp(logit[2]))

# Correlations.
x <- c(62.1, 48.3, 55.0, 39.7, 71.2, 44.4)
y <- c(231, 188, 179, 150, 240, 165)
test <- cor.test(x, y)
give("pearson_r", test$estimate)
give("pearson_p", test$p.value)
give("pearson_low", test$conf.int[1])
give("pearson_high", test$conf.int[2])
test <- cor.test(x, y, method = "spearman", exact = TRUE)
give("spearman_rho", test$estimate)
give("spearman_p", test$p.value)
# Four foods.
test <- cor.test(x[1:4], y[1:4])
give("four_r", test$estimate)
give("four_p", test$p.value)
give("four_low", test$conf.int[1])
give("four_high", test$conf.int[2])
give("four_rho_p", cor.test(x[1:4], y[1:4], method = "spearman", exact = TRUE)$p.value)

# Ties: every order of y, given the ranks.
orders <- function(v) {
    if (length(v) <= 1) return(list(v))
    out <- list()
    for (i in seq_along(v)) for (rest in orders(v[-i])) out[[length(out) + 1]] <- c(v[i], rest)
    out
}
tx <- c(1, 2, 2, 4, 5, 7)
ty <- c(3, 1, 3, 5, 4, 9)
seen <- cor(rank(tx), rank(ty))
all <- vapply(orders(rank(ty)), function(o) cor(rank(tx), o), 0)
give("tied_rho", seen)
give("tied_p", mean(abs(all) >= abs(seen) - 1e-12))

# Beyond nine pairs, the t approximation.
lx <- c(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)
ly <- c(2, 1, 4, 3, 7, 5, 6, 9, 12, 8, 11, 10)
rho <- cor(rank(lx), rank(ly))
give("large_rho", rho)
give("large_p", 2 * pt(abs(rho) * sqrt(10 / (1 - rho^2)), 10, lower.tail = FALSE))

# Deming line by its formula, with jackknife.
deming <- function(x, y, lambda) {
    sxx <- sum((x - mean(x))^2)
    syy <- sum((y - mean(y))^2)
    sxy <- sum((x - mean(x)) * (y - mean(y)))
    b <- (syy - lambda * sxx + sqrt((syy - lambda * sxx)^2 + 4 * lambda * sxy^2)) / (2 * sxy)
    c(b, mean(y) - b * mean(x))
}
for (lambda in c(1, 9, 0.25)) {
    whole <- deming(x, y, lambda)
    n <- length(x)
    pseudo <- sapply(seq_len(n), function(i) n * whole - (n - 1) * deming(x[-i], y[-i], lambda))
    se <- apply(pseudo, 1, sd) / sqrt(n)
    t <- qt(0.975, n - 2)
    give(sprintf("deming_slope_%g", lambda), whole[1])
    give(sprintf("deming_intercept_%g", lambda), whole[2])
    give(sprintf("deming_slope_se_%g", lambda), se[1])
    give(sprintf("deming_slope_low_%g", lambda), whole[1] - t * se[1])
    give(sprintf("deming_slope_high_%g", lambda), whole[1] + t * se[1])
    give(sprintf("deming_intercept_low_%g", lambda), whole[2] - t * se[2])
    give(sprintf("deming_intercept_high_%g", lambda), whole[2] + t * se[2])
}

# The small diary of tests/core/findings/tolerance_findings_test.cpp: bloating, three days, eight subjects; food at
# 5 g and 10 g, and a control.
control <- rbind(c(0, 0, 0), c(0, 1, 0), c(1, 1, 0), c(0, 0, 1), c(0, 0, 0), c(1, 0, 0), c(2, 1, 1), c(0, 0, 0))
five <- rbind(c(0, 1, 0), c(1, 1, 0), c(1, 2, 1), c(0, 1, 1), c(0, 0, 0), c(2, 1, 0), c(2, 2, 1), c(0, 1, 1))
ten <- rbind(c(1, 1, 1), c(2, 1, 1), c(3, 2, 1), c(1, 2, 1), c(0, 0, 1), c(2, 2, 2), c(3, 2, 2), c(1, 1, 0))
area <- function(m) rowSums((m[, -1] + m[, -ncol(m)]) / 2)
enumeratedP <- function(d) {
    d <- d[abs(d) > 1e-12]
    r <- rank(round(abs(d), 9))
    v <- sum(r[d > 0])
    signs <- as.matrix(expand.grid(rep(list(0:1), length(d))))
    sums <- as.vector(signs %*% r)
    c(v, min(1, 2 * min(mean(sums <= v), mean(sums >= v))))
}
measures <- list(worst = function(m) apply(m, 1, max), mean = rowMeans, area = area)
for (measure in names(measures)) {
    f <- measures[[measure]]
    ps <- numeric(0)
    for (dose in c("five", "ten")) {
        values <- f(get(dose))
        base <- f(control)
        vp <- enumeratedP(values - base)
        give(paste("diary", measure, dose, "v", sep = "_"), vp[1])
        give(paste("diary", measure, dose, "p", sep = "_"), vp[2])
        d <- round(values - base, 9)
        give(paste("diary", measure, dose, "sign_p", sep = "_"), binom.test(sum(d > 0), sum(d != 0))$p.value)
        ps <- c(ps, vp[2])
    }
    give(paste("diary", measure, "holm_five", sep = "_"), p.adjust(ps, "holm")[1])
    give(paste("diary", measure, "holm_ten", sep = "_"), p.adjust(ps, "holm")[2])
    test <- friedman.test(round(cbind(f(control), f(five), f(ten)), 9))
    give(paste("diary", measure, "friedman", sep = "_"), test$statistic)
}
marked <- function(m) apply(m, 1, max) >= 2
only <- function(a, b) c(sum(a & !b), sum(!a & b))
bc <- only(marked(ten), marked(control))
give("diary_marked_ten_p", binom.test(bc[1], sum(bc))$p.value)
# wilcox.test on untied differences, where R itself is exact.
u <- c(0.4, -0.1, 0.9, 1.3, 0.2, -0.3, 0.8)
give("untied_v", wilcox.test(u)$statistic)
give("untied_p", wilcox.test(u, exact = TRUE)$p.value)

writeLines(c("name,value", results), file.path(arguments[1], "tolerance.csv"))
