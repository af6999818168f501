# Robust companions of the paired t test, equivalence and influence, for tests/core/compare/robust_companions_test.cpp and
# friedman_reference_test.cpp.
#   Rscript tests/reference/robust_companions.R OUTDIR        (from the root of the sources)
# Base R only. Of the 220 sets of robust_cases.csv: robust_companions.csv (one row a set), robust_influence.csv (one row a pair
# of the first 120 sets). Invented here: ratio_cases.csv (60 sets with a comparator that may lie near 0) with ratio_expected.csv;
# friedman_cases.csv (220 sets of blocks) with friedman_expected.csv and friedman_pairs.csv. Same script, same bytes.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript robust_companions.R OUTDIR")
set.seed(20261127, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
alpha <- 0.05

number <- function(x) ifelse(is.na(x), "NA", sprintf("%.13g", x))
write <- function(name, header, rows) {
    file <- file(file.path(arguments[1], name), open = "wb")
    writeLines(c(header, rows), file, sep = "\n")
    close(file)
}
flat <- function(d, resolution) length(d) < 2 || max(d) - min(d) <= resolution
# t.test, without its own rule for nearly constant data.
student <- function(d, resolution, ...) {
    if (flat(d, resolution)) return(NULL)
    t.test(d, ...)
}
field <- function(test, get) if (is.null(test)) NA else unname(get(test))

trimmed <- function(d, trim, resolution) {
    n <- length(d)
    g <- floor(trim * n)
    h <- n - 2 * g
    s <- sort(d)
    estimate <- mean(d, trim = trim)
    stays <- s[(g + 1):(n - g)]
    if (h < 2 || max(stays) - min(stays) <= resolution) return(c(g, estimate, rep(NA, 5)))
    w <- pmin(pmax(d, stays[1]), stays[h])
    se <- sqrt(sum((w - mean(w))^2) / (h * (h - 1)))
    t <- estimate / se
    q <- qt(1 - alpha / 2, h - 1)
    c(g, estimate, se, t, 2 * pt(-abs(t), h - 1), estimate - q * se, estimate + q * se)
}
marginal <- function(f, c, trim) {
    n <- length(f)
    g <- floor(trim * n)
    h <- n - 2 * g
    estimate <- mean(f, trim = trim) - mean(c, trim = trim)
    if (h < 2) return(c(estimate, rep(NA, 3)))
    w <- function(x) { s <- sort(x); pmin(pmax(x, s[g + 1]), s[n - g]) }
    wf <- w(f); wc <- w(c)
    if (flat(wf - wc, 1e-11 * max(abs(wf), abs(wc)))) return(c(estimate, rep(NA, 3)))
    # Sums of squares and products, subject by subject.
    se <- sqrt((n - 1) * (var(wf) + var(wc) - 2 * cov(wf, wc)) / (h * (h - 1)))
    t <- estimate / se
    c(estimate, se, t, 2 * pt(-abs(t), h - 1))
}
fieller <- function(f, c) {
    n <- length(f)
    a <- mean(f); b <- mean(c)
    va <- var(f) / n; vb <- var(c) / n; w <- cov(f, c) / n
    q2 <- qt(1 - alpha / 2, n - 1)^2
    r <- a / b
    se <- sqrt(va - 2 * r * w + r^2 * vb) / abs(b)
    A <- b^2 - q2 * vb; B <- a * b - q2 * w; C <- a^2 - q2 * va
    D <- B^2 - A * C
    set <- if (A > 0) "bounded" else if (D > 0) "outside" else "wholeLine"
    ends <- if (set == "wholeLine") c(NA, NA) else sort((B + c(-1, 1) * sqrt(D)) / A)
    # At either end the paired t test of f - end * c has p = alpha.
    for (end in ends) {
        if (!is.na(end)) stopifnot(abs(t.test(f - end * c)$p.value - alpha) < 1e-7)
    }
    list(values = c(r, se, q2 * vb / b^2, ends), set = set)
}
margins <- function(d, low, high, resolution) {
    if (flat(d, resolution)) return(rep(NA, 3))
    c(t.test(d, mu = low, alternative = "greater")$p.value, t.test(d, mu = high, alternative = "less")$p.value,
      t.test(d, conf.level = 1 - 2 * alpha)$conf.int[1])
}

cases <- read.csv("tests/reference/robust_cases.csv")
rows <- character(0)
influence <- character(0)
for (i in unique(cases$case)) {
    one <- cases[cases$case == i, ]
    f <- one$food; c0 <- one$comparator
    d <- f - c0
    n <- length(d)
    resolution <- 1e-11 * max(abs(f), abs(c0))
    kept <- d[abs(d) > resolution]
    sign_p <- if (length(kept) == 0) NA else binom.test(sum(kept > 0), length(kept))$p.value
    k <- qbinom(alpha / 2, n, 0.5)
    while (k > 0 && 2 * pbinom(k - 1, n, 0.5) > alpha) k <- k - 1
    ends <- if (k < 1) c(NA, NA, NA) else c(sort(d)[c(k, n + 1 - k)], 1 - 2 * pbinom(k - 1, n, 0.5))
    logs <- student(log(f) - log(c0), 1e-11)
    fie <- if (flat(f / c0, 1e-11 * max(f / c0))) list(values = c(mean(f) / mean(c0), rep(NA, 4)), set = "none") else fieller(f, c0)
    margin <- signif(0.15 * mean(c0), 6)
    eq_d <- margins(d, -margin, margin, resolution)
    eq_g <- margins(log(f) - log(c0), log(0.8), log(1.25), 1e-11)
    eq_r <- if (fie$set == "none") c(NA, NA) else c(t.test(f - 0.8 * c0, alternative = "greater")$p.value,
                                                    t.test(f - 1.25 * c0, alternative = "less")$p.value)
    z <- if (n > 1) qqnorm(d, plot.it = FALSE) else NULL
    quartiles <- quantile(d, c(0.25, 0.75), names = FALSE)
    slope <- diff(quartiles) / diff(qnorm(c(0.25, 0.75)))
    values <- c(sum(kept > 0), sum(kept < 0), n - length(kept), sign_p, median(d), ends,
                trimmed(d, 0.2, resolution), trimmed(d, 0.1, resolution)[2:5], marginal(f, c0, 0.2),
                exp(mean(log(f) - log(c0))),
                field(logs, function(x) exp(x$conf.int[1])), field(logs, function(x) exp(x$conf.int[2])),
                field(logs, function(x) x$statistic), field(logs, function(x) x$p.value),
                fie$values, margin, eq_d, eq_g, eq_r, quartiles[1] - slope * qnorm(0.25), slope)
    rows <- c(rows, paste(i, paste(number(values), collapse = ","), fie$set, sep = ","))
    if (i > 120 || n < 3 || flat(d, resolution)) next
    residual <- suppressWarnings(rstudent(lm(d ~ 1)))
    blom <- qnorm(ppoints(n, a = 3 / 8))
    for (j in seq_len(n)) {
        without <- student(d[-j], resolution)
        values <- c(mean(d[-j]), field(without, function(x) x$conf.int[1]), field(without, function(x) x$conf.int[2]),
                    field(without, function(x) x$p.value), if (is.null(without)) NA else residual[j], blom[j])
        influence <- c(influence, paste(c(i, j, number(values)), collapse = ","))
    }
}
write("robust_companions.csv", paste0(
    "case,positive,negative,zeros,sign_p,median,median_low,median_high,median_confidence,",
    "g20,trim20,trim20_se,trim20_t,trim20_p,trim20_low,trim20_high,trim10,trim10_se,trim10_t,trim10_p,",
    "marginal,marginal_se,marginal_t,marginal_p,log_ratio,log_low,log_high,log_t,log_p,",
    "ratio,delta_se,g,ratio_low,ratio_high,margin,difference_p_low,difference_p_high,difference_ci_low,",
    "geometric_p_low,geometric_p_high,geometric_log_ci_low,means_p_low,means_p_high,line_intercept,line_slope,set"), rows)
write("robust_influence.csv", "case,pair,mean,low,high,p,studentised,z", influence)

# Ratios with a comparator near 0 (changes from a baseline).
rows <- character(0)
expected <- character(0)
for (i in 1:60) {
    n <- sample(3:12, 1)
    centre <- sample(c(0.4, 1, 2, 5, -4), 1)
    comparator <- signif(rnorm(n, centre, 2), 7)
    food <- signif(1.2 * comparator * sample(0:1, 1) + rnorm(n, sample(c(0, 2, 6), 1), 1.5), 7)
    rows <- c(rows, paste(i, sprintf("%.10g", food), sprintf("%.10g", comparator), sep = ","))
    found <- fieller(food, comparator)
    expected <- c(expected, paste(i, paste(number(found$values), collapse = ","), found$set, sep = ","))
}
write("ratio_cases.csv", "case,food,comparator", rows)
write("ratio_expected.csv", "case,ratio,delta_se,g,low,high,set", expected)

# Friedman. F and the pairs come from the analysis of variance of the ranks, which gives the same numbers as Iman & Davenport's
# F and Conover's rank sums; exact p from all orders, written out one by one.
permutations <- function(x) {
    if (length(x) < 2) return(matrix(x, 1))
    do.call(rbind, lapply(seq_along(x), function(j) cbind(x[j], permutations(x[-j]))))
}
exactP <- function(ranks) {
    b <- nrow(ranks); k <- ncol(ranks)
    if (factorial(k)^(b - 1) > 20000) return(NA)
    sums <- matrix(ranks[1, ], 1)
    for (row in seq_len(b)[-1]) {
        orders <- permutations(ranks[row, ])
        sums <- do.call(rbind, lapply(seq_len(nrow(orders)), function(o) sweep(sums, 2, orders[o, ], `+`)))
    }
    spread <- function(s) rowSums((s - b * (k + 1) / 2)^2)
    mean(spread(sums) >= spread(matrix(colSums(ranks), 1)) - 1e-9)
}
rows <- character(0)
expected <- character(0)
pairs <- character(0)
for (i in 1:220) {
    k <- sample(2:6, 1)
    b <- if (i <= 80) sample(2:4, 1) else sample(2:20, 1)
    tied <- i %% 2 == 0
    value <- matrix(rnorm(b * k, 100, 10) + rep(sample(c(0, 4, 9), k, TRUE), each = b), b)
    value <- if (tied) round(value / 10) / 10 else signif(value, 8)
    if (i %% 7 == 0) value[sample(b * k, 1)] <- NA
    for (row in seq_len(b)) {
        rows <- c(rows, paste(i, row, seq_len(k), ifelse(is.na(value[row, ]), "NA", sprintf("%.10g", value[row, ])), sep = ","))
    }
    complete <- value[rowSums(is.na(value)) == 0, , drop = FALSE]
    ranks <- t(apply(complete, 1, rank))
    b <- nrow(complete)
    values <- rep(NA, 5)
    if (b > 0 && any(apply(ranks, 1, function(r) diff(range(r)) > 0))) {
        test <- if (b > 1) friedman.test(complete) else NULL
        A <- sum(ranks^2); C <- b * k * (k + 1)^2 / 4
        chi <- (k - 1) * sum((colSums(ranks) - b * (k + 1) / 2)^2) / (A - C)
        if (!is.null(test)) stopifnot(abs(chi - test$statistic) < 1e-9 * max(1, chi))
        values[1:2] <- c(chi, if (is.null(test)) pchisq(chi, k - 1, lower.tail = FALSE) else test$p.value)
        values[5] <- exactP(ranks)
        residual <- A - sum(colSums(ranks)^2) / b
        if (b > 1 && residual > 1e-9) {
            long <- data.frame(rank = c(ranks), subject = factor(rep(seq_len(b), k)), food = factor(rep(seq_len(k), each = b)))
            table <- suppressWarnings(anova(lm(rank ~ subject + food, long)))
            values[3:4] <- c(table["food", "F value"], table["food", "Pr(>F)"])
            of <- function(reference) {
                long$food <- relevel(long$food, reference)
                coefficients <- summary(lm(rank ~ food + subject, long))$coefficients
                coefficients[paste0("food", setdiff(seq_len(k), reference)), c(1, 3, 4), drop = FALSE]
            }
            found <- do.call(rbind, lapply(seq_len(k - 1), function(reference) {
                one <- of(reference)
                keep <- paste0("food", (reference + 1):k)
                # first - second, as the program has it
                data.frame(a = reference, b = (reference + 1):k, difference = -one[keep, 1], t = -one[keep, 2], p = one[keep, 3])
            }))
            found$holm <- p.adjust(found$p, "holm")
            found$first <- NA
            found$first[found$a == 1] <- p.adjust(found$p[found$a == 1], "hochberg")
            pairs <- c(pairs, paste(i, found$a, found$b, number(found$difference), number(found$t), number(found$p),
                                    number(found$holm), number(found$first), sep = ","))
        }
    }
    expected <- c(expected, paste(c(i, k, b, number(values)), collapse = ","))
}
write("friedman_cases.csv", "case,subject,food,value", rows)
write("friedman_expected.csv", "case,foods,subjects,chi_square,chi_square_p,f,f_p,exact_p", expected)
write("friedman_pairs.csv", "case,a,b,difference,t,p,p_holm,p_hochberg_first", pairs)
