# Paired comparisons in base R, for tests/core/compare/reference_test.cpp.
#   Rscript tests/reference/compare.R OUTDIR
# writes compare_cases.csv (invented data, seed below) and compare_expected.csv. Needs base R and stats only.
# Same script, same bytes. Inputs are decimals of at most 12 significant digits, so that the last bit of a
# random number does not matter; results are given to 13 significant digits.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript compare.R OUTDIR")
outDir <- arguments[1]

set.seed(20260302, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")

cases <- 200
level <- 0.95

# ---- data -------------------------------------------------------------------------------------------------

kinds <- c("normal", "skewed", "rounded", "zeros", "shifted")

makeCase <- function(i) {
    kind <- kinds[(i - 1) %% length(kinds) + 1]
    # Every n from 3 to 60 comes up; small ones more often, as in feeding trials.
    n <- if (i <= 58) i + 2 else sample(3:40, 1)
    power <- sample(c(-6, -3, 0, 0, 0, 3, 6), 1)
    subject <- rnorm(n, 180, 50)
    effect <- sample(c(-40, -15, 0, 15, 40), 1)
    noise <- if (kind == "skewed") 25 * (exp(rnorm(n)) - 1.6) else rnorm(n, 0, 30)
    comparator <- subject
    food <- subject + effect + noise
    if (kind == "rounded") {
        # A grid of 0.1 with a common part that is no binary fraction: ties that are not equal bits.
        comparator <- round(subject / 50, 1)
        food <- comparator + round((effect + noise) / 50, 1)
        food <- round(food, 1)
    } else if (kind == "zeros") {
        comparator <- round(subject / 50, 1)
        food <- round(food / 50, 1)
        same <- sample(n, max(1, floor(n / 4)))
        food[same] <- comparator[same]
    } else if (kind == "shifted") {
        comparator <- comparator + 1e5
        food <- food + 1e5
    }
    if (kind %in% c("normal", "skewed")) {
        comparator <- comparator * 10^power
        food <- food * 10^power
    }
    comparator <- signif(comparator, 12)
    food <- signif(food, 12)
    list(kind = kind, food = food, comparator = comparator)
}

# The shortest decimal that reads back as the same double.
exactText <- function(x) {
    text <- sprintf("%.15g", x)
    long <- as.numeric(text) != x
    text[long] <- sprintf("%.17g", x[long])
    text
}

# ---- methods that base R lacks or that its functions leave to a normal approximation ------------------------

# Group numbers of sorted |d|: a new group where the gap exceeds the resolution.
midRanks <- function(magnitude, resolution) {
    o <- order(magnitude)
    group <- cumsum(c(TRUE, diff(magnitude[o]) > resolution))
    r <- numeric(length(magnitude))
    r[o] <- ave(seq_along(o), group)
    r
}

# P(V <= v), P(V >= v) over all sign patterns, by convolution of the two-point distributions of the ranks.
conditionalP <- function(r, v) {
    doubled <- as.integer(round(2 * r))
    density <- 1
    for (w in doubled) {
        density <- (c(density, numeric(w)) + c(numeric(w), density)) / 2
    }
    sums <- seq_along(density) - 1
    v2 <- round(2 * v)
    min(1, 2 * min(sum(density[sums <= v2]), sum(density[sums >= v2])))
}

signedRank <- function(d, resolution) {
    kept <- d[abs(d) > resolution]
    n <- length(kept)
    if (n == 0) {
        return(list(nonzero = 0, zeros = length(d), v = NA, p = NA, method = NA))
    }
    r <- midRanks(abs(kept), resolution)
    v <- sum(r[kept > 0])
    if (n <= 50) {
        p <- conditionalP(r, v)
        method <- "exact"
        if (length(unique(r)) == n) {
            # Without ties R's own exact test must agree.
            own <- wilcox.test(kept, exact = TRUE)
            stopifnot(own$statistic == v, abs(own$p.value - p) <= 1e-12)
        }
    } else {
        # One value per group of ties, so that R sees the ties.
        own <- suppressWarnings(wilcox.test(sign(kept) * r, exact = FALSE, correct = TRUE))
        stopifnot(own$statistic == v)
        p <- own$p.value
        method <- "normal-continuity"
    }
    list(nonzero = n, zeros = length(d) - n, v = v, p = p, method = method)
}

# Interval from the Walsh averages, all of them written out.
hodgesLehmann <- function(d, resolution) {
    n <- length(d)
    sums <- outer(d, d, `+`)
    walsh <- sort(sums[!lower.tri(sums)]) / 2
    size <- length(walsh)
    alpha <- 1 - level
    if (n <= 50) {
        count <- qsignrank(alpha / 2, n)
        achieved <- 1 - 2 * psignrank(count - 1, n)
    } else {
        sigma <- sqrt(n * (n + 1) * (2 * n + 1) / 24)
        count <- floor(n * (n + 1) / 4 + 0.5 - qnorm(alpha / 2, lower.tail = FALSE) * sigma)
        achieved <- 1 - 2 * pnorm((count - 0.5 - n * (n + 1) / 4) / sigma)
    }
    if (count < 1) {
        return(list(estimate = median(walsh), low = NA, high = NA, achieved = NA))
    }
    result <- list(estimate = median(walsh), low = walsh[count], high = walsh[size + 1 - count],
                   achieved = achieved)
    ranks <- midRanks(abs(d), resolution)
    if (n <= 50 && all(abs(d) > resolution) && length(unique(rank(abs(d)))) == n) {
        own <- wilcox.test(d, exact = TRUE, conf.int = TRUE, conf.level = level)
        stopifnot(own$conf.int[1] == result$low, own$conf.int[2] == result$high,
                  own$estimate == result$estimate)
    }
    result
}

hedgesCorrection <- function(m) exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)

# ---- run --------------------------------------------------------------------------------------------------

rows <- character(0)
expected <- vector("list", cases)
for (i in seq_len(cases)) {
    case <- makeCase(i)
    rows <- c(rows, paste(i, exactText(case$food), exactText(case$comparator), sep = ","))
    d <- case$food - case$comparator
    resolution <- 1e-11 * max(abs(case$food), abs(case$comparator))
    n <- length(d)
    varies <- max(d) - min(d) > resolution
    test <- if (varies) t.test(d, conf.level = level) else NULL
    normality <- if (varies) shapiro.test(d) else NULL
    ranks <- signedRank(d, resolution)
    centre <- hodgesLehmann(d, resolution)
    dz <- if (varies) mean(d) / sd(d) else NA
    value <- function(x) if (is.null(x)) NA else unname(x)
    expected[[i]] <- data.frame(
        case = i, kind = case$kind, n = n,
        mean = mean(d), sd = if (varies) sd(d) else 0,
        t = value(test$statistic), df = value(test$parameter), p = value(test$p.value),
        ci_low = value(test$conf.int[1]), ci_high = value(test$conf.int[2]),
        nonzero = ranks$nonzero, zeros = ranks$zeros, v = ranks$v, v_p = ranks$p, v_method = ranks$method,
        hl = centre$estimate, hl_low = centre$low, hl_high = centre$high, hl_achieved = centre$achieved,
        w = value(normality$statistic), w_p = value(normality$p.value),
        dz = dz, gz = dz * hedgesCorrection(n - 1))
}
expected <- do.call(rbind, expected)

# Families of 1 to 9 tests in the order of the cases, each adjusted by itself.
sizes <- sample(1:9, cases, replace = TRUE)
expected$family <- rep(seq_len(cases), sizes)[seq_len(cases)]
expected$p_holm <- ave(expected$p, expected$family, FUN = function(p) p.adjust(p, "holm"))

write <- function(lines, name) {
    file <- file(file.path(outDir, name), open = "wb")
    writeLines(lines, file, sep = "\n")
    close(file)
}
write(c("case,food,comparator", rows), "compare_cases.csv")
text <- lapply(expected, function(column) {
    shown <- if (is.numeric(column)) sprintf("%.13g", column) else as.character(column)
    shown[is.na(column)] <- "NA"
    shown
})
write(c(paste(names(expected), collapse = ","), do.call(paste, c(text, sep = ","))), "compare_expected.csv")
