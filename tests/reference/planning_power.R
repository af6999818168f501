# Power and sample size on a grid of questions, for tests/core/planning/power_test.cpp.
#   Rscript tests/reference/planning_power.R OUTDIR
# writes planning_power.csv. Base R only. Two foods: power.t.test(strict = TRUE) where it applies, pt(ncp =);
# k foods: noncentral F as a Poisson mixture of pbeta, checked here against pf(ncp =), which ends its series at
# 1e-9; equivalence: integrate() over the chi-square variable; half-widths: qt, pchisq. The number of subjects
# is found by counting up from the smallest, the detectable effect by uniroot.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript planning_power.R OUTDIR")

errorOf <- function(design, n) {
    if (design == "paired") list(se = 1 / sqrt(n), df = n - 1)
    else list(se = sqrt(1 / floor(n / 2) + 1 / ceiling(n / 2)) / 2, df = n - 2)
}
least <- function(design) if (design == "paired") 2 else 3

difference <- function(n, d, design, alpha, m) {
    e <- errorOf(design, n)
    c <- qt(alpha / m / 2, e$df, lower.tail = FALSE)
    power <- pt(c, e$df, ncp = d / e$se, lower.tail = FALSE) + pt(-c, e$df, ncp = d / e$se)
    if (design == "paired") {
        own <- power.t.test(n, d, sd = 1, sig.level = alpha / m, type = "paired", strict = TRUE)$power
        stopifnot(abs(own - power) < 1e-10)
    }
    power
}
foods <- function(n, means, sd, period, alpha) {
    k <- length(means)
    lambda <- n * sum((means - mean(means))^2) / sd^2
    df2 <- (k - 1) * (n - 1 - period)
    f <- qf(alpha, k - 1, df2, lower.tail = FALSE)
    j <- 0:(ceiling(lambda / 2 + 20 * sqrt(lambda / 2 + 1)) + 40)
    x <- (k - 1) * f / ((k - 1) * f + df2)
    power <- sum(dpois(j, lambda / 2) * pbeta(x, (k - 1) / 2 + j, df2 / 2, lower.tail = FALSE))
    stopifnot(abs(power - pf(f, k - 1, df2, ncp = lambda, lower.tail = FALSE)) < 1e-7)
    power
}
# All in units of the SD of differences.
equivalence <- function(n, low, high, expected, design, alpha) {
    e <- errorOf(design, n)
    c <- qt(alpha, e$df, lower.tail = FALSE)
    above <- (high - expected) / e$se
    below <- (expected - low) / e$se
    end <- (above + below) / (2 * c)
    g <- function(s) {
        (pnorm(above - c * s) - pnorm(c * s - below)) * 2 * s * e$df * dchisq(s * s * e$df, e$df)
    }
    body <- sqrt(qchisq(c(1e-30, 1e-4, 0.1, 0.5, 0.9, 1 - 1e-4), e$df) / e$df)
    body <- c(body, sqrt(qchisq(1e-18, e$df, lower.tail = FALSE) / e$df))
    edges <- sort(unique(pmin(end, c(body, above / c + c(-6, -2, 0, 2, 6) / c, below / c + c(-6, -2, 0, 2, 6) / c))))
    edges <- c(0, edges[edges > 0])
    total <- 0
    for (i in seq_len(length(edges) - 1))
        total <- total + integrate(g, edges[i], edges[i + 1], rel.tol = 1e-11, abs.tol = 1e-14, subdivisions = 500)$value
    total
}
nonInferiority <- function(n, margin, design, alpha) {
    e <- errorOf(design, n)
    pt(qt(alpha, e$df, lower.tail = FALSE), e$df, ncp = margin / e$se, lower.tail = FALSE)
}
halfWidth <- function(n, design, alpha) {
    e <- errorOf(design, n)
    qt(alpha / 2, e$df, lower.tail = FALSE) * e$se
}
assured <- function(n, width, design, alpha) {
    e <- errorOf(design, n)
    pchisq(e$df * (width / halfWidth(n, design, alpha))^2, e$df)
}
countUp <- function(enough, from) {
    n <- from
    while (!enough(n)) n <- n + 1
    n
}

rows <- character(0)
add <- function(what, question, design, a, b, c, alpha, m, n, value, digits = 12) {
    rows[length(rows) + 1] <<- paste(length(rows) + 1, what, question, design, sprintf("%.12g", a), sprintf("%.12g", b),
        sprintf("%.12g", c), sprintf("%.12g", alpha), m, n, sprintf(paste0("%.", digits, "g"), value), sep = ",")
}
designs <- c("paired", "crossover")
for (design in designs) for (alpha in c(0.05, 0.01)) {
    for (d in c(0.3, 0.5, 0.8, 1.2)) for (n in c(3, 8, 13, 30))
        add("power", "difference", design, d, 0, 0, alpha, 1, n, difference(n, d, design, alpha, 1))
    for (m in c(3, 6)) for (n in c(5, 12, 21))
        add("power", "difference", design, 0.9, 0, 0, alpha, m, n, difference(n, 0.9, design, alpha, m))
    for (margin in c(0.4, 1, 1.6)) for (n in c(4, 11, 26))
        add("power", "non-inferiority", design, margin, 0, 0, alpha, 1, n, nonInferiority(n, margin, design, alpha))
    for (limits in list(c(-0.5, 0.5, 0), c(-1, 1, 0.2), c(-0.8, 1.5, -0.3), c(-2, 2, 1)))
        for (n in c(3, 6, 12, 25, 60))
            add("power", "equivalence", design, limits[1], limits[2], limits[3], alpha, 1, n,
                equivalence(n, limits[1], limits[2], limits[3], design, alpha), 9)
    # On ratios: 80 to 125 %, CV within 25 %, true ratio 0.95 and 1.1.
    sd <- sqrt(2 * log(1 + 0.25^2))
    for (ratio in c(0.95, 1.1)) for (n in c(12, 26, 40))
        add("power", "ratio", design, 0.8, 1.25, ratio, alpha, 1, n,
            equivalence(n, log(0.8) / sd, log(1.25) / sd, log(ratio) / sd, design, alpha), 9)
    for (n in c(5, 10, 40)) {
        add("power", "interval", design, 0.5, 0, 0, alpha, 1, n, halfWidth(n, design, alpha))
        add("power", "assured", design, 0.5, 0, 0, alpha, 1, n, assured(n, 0.5, design, alpha))
    }
    for (power in c(0.8, 0.9)) {
        for (d in c(0.4, 0.7, 1.1)) {
            n <- countUp(function(n) difference(n, d, design, alpha, 1) >= power, least(design))
            add("n", "difference", design, d, 0, 0, alpha, 1, n, power)
            n <- countUp(function(n) nonInferiority(n, d, design, alpha) >= power, least(design))
            add("n", "non-inferiority", design, d, 0, 0, alpha, 1, n, power)
            n <- countUp(function(n) equivalence(n, -d, d, 0.1, design, alpha) >= power, least(design))
            add("n", "equivalence", design, -d, d, 0.1, alpha, 1, n, power)
            n <- countUp(function(n) assured(n, d, design, alpha) >= power, least(design))
            add("n", "assured", design, d, 0, 0, alpha, 1, n, power)
        }
        for (n in c(6, 20)) {
            d <- uniroot(function(d) difference(n, d, design, alpha, 1) - power, c(0.1, 20), tol = 1e-13)$root
            add("effect", "difference", design, power, 0, 0, alpha, 1, n, d, 9)
            d <- uniroot(function(d) equivalence(n, -d, d, 0, design, alpha) - power, c(0.1, 20), tol = 1e-13)$root
            add("effect", "equivalence", design, power, 0, 0, alpha, 1, n, d, 8)
        }
    }
    n <- countUp(function(n) halfWidth(n, design, alpha) <= 0.5, least(design))
    add("n", "interval", design, 0.5, 0, 0, alpha, 1, n, halfWidth(n, design, alpha))
}
# k foods: a is the range of the least favourable means, m their number, design "crossover": period in the model.
pattern <- function(k, range) { means <- rep(0, k); means[1] <- -range / 2; means[k] <- range / 2; means }
for (period in 0:1) for (alpha in c(0.05, 0.01)) for (k in c(2, 3, 5, 8)) for (range in c(0.6, 1.3)) {
    design <- designs[period + 1]
    for (n in c(4, 9, 24))
        add("power", "foods", design, range, 0, 0, alpha, k, n, foods(n, pattern(k, range), 1, period, alpha))
    n <- countUp(function(n) foods(n, pattern(k, range), 1, period, alpha) >= 0.85, 2 + period)
    add("n", "foods", design, range, 0, 0, alpha, k, n, 0.85)
}
file <- file(file.path(arguments[1], "planning_power.csv"), open = "wb")
writeLines(c("case,what,question,design,a,b,c,alpha,m,n,value", rows), file, sep = "\n")
close(file)
