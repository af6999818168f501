
# ---- Statistics of paired differences -----------------------------------------------------------------------------

# A power of two near the largest value: squares and sums of x / scale neither overflow nor vanish.
scaleOf <- function(x) {
    largest <- max(abs(x), 0)
    if (largest == 0) 1 else 2^floor(log2(largest))
}
meanOf <- function(x) {
    if (length(x) == 0 || !all(is.finite(x))) {
        return(NA_real_)
    }
    s <- scaleOf(x)
    finite(s * mean(x / s))
}
sdOf <- function(x) {
    if (length(x) < 2 || !all(is.finite(x))) {
        return(NA_real_)
    }
    s <- scaleOf(x)
    finite(s * sd(x / s))
}
largestOf <- function(...) max(abs(c(...)), 0)

twoSided <- function(t, df) 2 * pt(-abs(t), df)
upperT <- function(df) qt(alpha / 2, df, lower.tail = FALSE)

# Paired t of differences whose two sides are at most `size`.
pairedT <- function(d, size) {
    n <- length(d)
    result <- c(n = n, mean_difference = NA, sd_difference = NA, sem_difference = NA, ci_low = NA, ci_high = NA,
                t = NA, df = NA, p = NA)
    if (n == 0 || !all(is.finite(d))) {
        return(result)
    }
    result["mean_difference"] <- meanOf(d)
    if (n == 1) {
        return(result)
    }
    s <- scaleOf(d)
    spread <- sd(d / s)
    if (max(d) - min(d) <= resolution * size || spread == 0) {
        result[c("sd_difference", "sem_difference")] <- 0
        return(result)
    }
    centre <- mean(d / s)
    sem <- spread / sqrt(n)
    t <- centre / sem
    ci <- finite(s * (centre + c(-1, 1) * upperT(n - 1) * sem))
    if (anyNA(ci)) {
        ci <- c(NA, NA)
    }
    result[] <- c(n, meanOf(d), finite(s * spread), finite(s * sem), ci, t, n - 1, twoSided(t, n - 1))
    result
}

# What rounding of values as large as `size` can do to the results of pairedT.
noiseOfT <- function(result, size) {
    n <- result[["n"]]
    values <- 1e-13 * size
    sem <- result[["sem_difference"]]
    ofT <- if (is.na(sem) || sem == 0) 0 else 1e-14 * (size / sem) * (1 + abs(result[["t"]]) / sqrt(n))
    ofP <- if (ofT == 0) 0 else 2 * dt(result[["t"]], n - 1) * ofT
    c(mean_difference = values, sd_difference = values, sem_difference = values, ci_low = 20 * values,
      ci_high = 20 * values, t = ofT, p = ofP, p_adjusted = 100 * ofP, effect_dz = ofT, effect_gz = ofT,
      hodges_lehmann = values, hodges_lehmann_ci_low = values, hodges_lehmann_ci_high = values,
      food = values, comparator = values, difference = values, standardised = ofT, standardised_low = 20 * ofT,
      standardised_high = 20 * ofT)
}

# Number of sign patterns for each sum of the positive ranks, from 0 on; ranks are whole numbers.
patternCounts <- function(ranks) {
    count <- numeric(sum(ranks) + 1)
    count[1] <- 1
    for (r in ranks) {
        count <- count + c(numeric(r), count[seq_len(length(count) - r)])
    }
    count
}
mostCounted <- 50

signedRank <- function(d, size) {
    none <- list(v = NA_real_, p = NA_real_, zeros = 0L, ties = "no", method = "")
    if (!all(is.finite(d))) {
        return(none)
    }
    limit <- resolution * size
    nonZero <- d[abs(d) > limit]
    none$zeros <- length(d) - length(nonZero)
    n <- length(nonZero)
    if (n == 0) {
        return(none)
    }
    nonZero <- nonZero[order(abs(nonZero))]
    group <- cumsum(c(TRUE, diff(abs(nonZero)) > limit))
    rank <- ave(seq_len(n), group, FUN = mean)
    v <- sum(rank[nonZero > 0])
    tied <- tabulate(group)
    tieTerm <- sum(tied^3 - tied)
    if (n <= mostCounted) {
        count <- patternCounts(as.integer(round(2 * rank)))
        place <- round(2 * v) + 1
        tail <- min(sum(count[seq_len(place)]), sum(count[place:length(count)])) / 2^n
        p <- min(1, 2 * tail)
    } else {
        sigma <- sqrt(n * (n + 1) * (2 * n + 1) / 24 - tieTerm / 48)
        distance <- max(0, abs(v - n * (n + 1) / 4) - 0.5)
        p <- min(1, 2 * pnorm(distance / sigma, lower.tail = FALSE))
    }
    list(v = v, p = p, zeros = none$zeros, ties = if (tieTerm > 0) "yes" else "no",
         method = if (n <= mostCounted) "exact" else "normal-continuity")
}

mostWalsh <- 6000

hodgesLehmann <- function(d) {
    n <- length(d)
    result <- list(estimate = NA_real_, low = NA_real_, high = NA_real_, confidence = NA_real_, method = "")
    if (n == 0 || !all(is.finite(d))) {
        return(result)
    }
    if (n > mostWalsh) {
        return(NULL)
    }
    half <- d / 2
    walsh <- outer(half, half, "+")
    walsh <- sort(walsh[lower.tri(walsh, diag = TRUE)])
    m <- length(walsh)
    result$estimate <- if (m %% 2 == 1) walsh[(m + 1) / 2] else walsh[m / 2] / 2 + walsh[m / 2 + 1] / 2
    if (n <= mostCounted) {
        bothTails <- 2 * cumsum(patternCounts(seq_len(n))) / 2^n
        c <- sum(bothTails <= alpha)
        confidence <- if (c > 0) 1 - bothTails[c] else NA
    } else {
        centre <- n * (n + 1) / 4
        sigma <- sqrt(n * (n + 1) * (2 * n + 1) / 24)
        c <- floor(centre + 0.5 - qnorm(alpha / 2, lower.tail = FALSE) * sigma)
        confidence <- 1 - 2 * pnorm((centre + 0.5 - c) / sigma, lower.tail = FALSE)
    }
    if (c < 1) {
        return(result)
    }
    result$low <- walsh[c]
    result$high <- walsh[m + 1 - c]
    result$confidence <- confidence
    result$method <- if (n <= mostCounted) "exact" else "normal"
    result
}

effectSize <- function(d, size) {
    n <- length(d)
    none <- c(effect_dz = NA_real_, effect_gz = NA_real_)
    if (n < 2 || !all(is.finite(d)) || max(d) - min(d) <= resolution * size) {
        return(none)
    }
    s <- scaleOf(d)
    spread <- sd(d / s)
    if (spread == 0) {
        return(none)
    }
    dz <- mean(d / s) / spread
    m <- n - 1
    correction <- if (n == 2) NA_real_ else exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)
    c(effect_dz = dz, effect_gz = dz * correction)
}

shapiroWilk <- function(d, size) {
    n <- length(d)
    if (n < 3 || n > 5000 || !all(is.finite(d)) || max(d) - min(d) <= resolution * size) {
        return(c(shapiro_w = NA_real_, shapiro_p = NA_real_))
    }
    s <- scaleOf(d)
    x <- sort(d / s)
    x <- (x - x[n %/% 2 + 1]) / (x[n] - x[1])
    test <- shapiro.test(x)
    c(shapiro_w = unname(test$statistic), shapiro_p = test$p.value)
}

# Blom's normal quantiles of values. Values closer than `near` may stand in either order: `noise`.
normalQuantiles <- function(x, near) {
    n <- length(x)
    o <- rank(x, ties.method = "first")
    z <- qnorm((o - 3 / 8) / (n + 1 / 4))
    sorted <- sort(x)
    first <- findInterval(x - near, sorted, left.open = TRUE) + 1
    last <- findInterval(x + near, sorted)
    at <- qnorm((seq_len(n) - 3 / 8) / (n + 1 / 4))
    list(z = z, noise = pmax(abs(at[pmin(last, n)] - z), abs(at[pmax(first, 1)] - z)))
}

adjustedP <- function(p, rule) {
    given <- which(!is.na(p))
    method <- c(none = "none", holm = "holm", hochberg = "hochberg", "benjamini-hochberg" = "BH")[[rule]]
    p[given] <- p.adjust(p[given], method)
    p
}
