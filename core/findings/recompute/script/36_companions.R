
# ---- Other tests of the same pairs --------------------------------------------------------------------------------

signTest <- function(d, size) {
    result <- c(positive = 0, negative = 0, zeros = 0, p = NA, estimate = NA, ci_low = NA, ci_high = NA, confidence = NA)
    n <- length(d)
    if (n == 0 || !all(is.finite(d))) {
        return(result)
    }
    limit <- resolution * size
    result[1:3] <- c(sum(d > limit), sum(d < -limit), sum(abs(d) <= limit))
    m <- result[[1]] + result[[2]]
    if (m > 0) {
        result["p"] <- min(1, 2 * pbinom(min(result[1:2]), m, 0.5))
    }
    sorted <- sort(d)
    result["estimate"] <- sorted[(n + 1) %/% 2] / 2 + sorted[n %/% 2 + 1] / 2
    # Up to 50 the tails are sums of counts and exact.
    tails <- if (n <= mostCounted) cumsum(choose(n, 0:n)) / 2^n else pbinom(0:n, n, 0.5)
    k <- sum(2 * tails[seq_len(n %/% 2 + 1)] <= alpha)
    k <- min(k, n %/% 2)
    if (k > 0) {
        result[c("ci_low", "ci_high", "confidence")] <- c(sorted[k], sorted[n + 1 - k], 1 - 2 * tails[k])
    }
    result
}

trimmedMean <- function(d, size, trim) {
    n <- length(d)
    result <- c(cut = 0, estimate = NA_real_, se = NA, ci_low = NA, ci_high = NA, t = NA, df = NA, p = NA)
    if (n == 0) {
        return(result)
    }
    g <- floor(trim * n + 1e-9)
    result["cut"] <- g
    h <- n - 2 * g
    if (h < 1 || !all(is.finite(d))) {
        return(result)
    }
    s <- scaleOf(d)
    x <- sort(d / s)
    kept <- x[(g + 1):(n - g)]
    result["estimate"] <- finite(s * mean(kept))
    if (h < 2) {
        return(result)
    }
    if (kept[h] - kept[1] <= resolution * size / s) {
        result["se"] <- 0
        return(result)
    }
    w <- pmin(pmax(x, kept[1]), kept[h])
    se <- sqrt(sum((w - mean(w))^2) / (h * (h - 1)))
    if (!(se > 0)) {
        result["se"] <- 0
        return(result)
    }
    t <- mean(kept) / se
    ci <- finite(s * (mean(kept) + c(-1, 1) * upperT(h - 1) * se))
    if (anyNA(ci)) {
        ci <- c(NA, NA)
    }
    result[-(1:2)] <- c(finite(s * se), ci, t, h - 1, twoSided(t, h - 1))
    result
}

backFromLog <- function(x) {
    ratio <- exp(x)
    if (is.finite(ratio) && ratio >= .Machine$double.xmin) ratio else NA_real_
}

# The logarithms' paired t, taken back. `level`: of the interval.
logRatio <- function(f, c, level = alpha) {
    n <- length(f)
    result <- c(n = n, estimate = NA_real_, ci_low = NA, ci_high = NA, sd_log = NA, t = NA, df = NA, p = NA)
    if (n == 0 || !all(is.finite(c(f, c))) || any(f <= 0) || any(c <= 0)) {
        return(result)
    }
    d <- log(f) - log(c)
    test <- pairedT(d, 1)
    result["estimate"] <- backFromLog(test[["mean_difference"]])
    result[c("sd_log", "t", "df", "p")] <- test[c("sd_difference", "t", "df", "p")]
    if (!is.na(test[["p"]])) {
        ci <- mean(d) + c(-1, 1) * qt(level / 2, n - 1, lower.tail = FALSE) * test[["sem_difference"]]
        ends <- c(backFromLog(ci[1]), backFromLog(ci[2]))
        if (!anyNA(ends)) {
            result[c("ci_low", "ci_high")] <- ends
        }
    }
    result
}

# Ratio of means by Fieller. Both sides near 1 by a power of two each.
ratioOfMeans <- function(f, c, test, level = alpha) {
    n <- length(f)
    numbers <- c(mean_food = meanOf(f), mean_comparator = meanOf(c), estimate = NA, delta_se = NA, low = NA, high = NA,
                 g = NA, t = NA, df = NA, p = NA)
    result <- list(numbers = numbers, set = "none", proportional = TRUE, usable = FALSE)
    if (n == 0 || !all(is.finite(c(f, c)))) {
        return(result)
    }
    sf <- scaleOf(f)
    sc <- scaleOf(c)
    x <- f / sf
    y <- c / sc
    a <- mean(x)
    b <- mean(y)
    if (abs(b) <= resolution * max(abs(y))) {
        return(result)
    }
    result$usable <- TRUE
    result$numbers["estimate"] <- finite(a / b * (sf / sc))
    contrast <- b * (x - a) - a * (y - b)
    result$proportional <- all(abs(contrast) <= resolution * (abs(b) * max(abs(x)) + abs(a) * max(abs(y))))
    if (n == 1 || is.na(result$numbers["estimate"])) {
        return(result)
    }
    result$numbers[c("t", "df", "p")] <- test[c("t", "df", "p")]
    divisor <- n * (n - 1)
    vContrast <- sum(contrast^2) / divisor
    if (result$proportional || vContrast == 0) {
        result$numbers["delta_se"] <- 0
        return(result)
    }
    va <- sum((x - a)^2) / divisor
    vb <- sum((y - b)^2) / divisor
    w <- sum((x - a) * (y - b)) / divisor
    t2 <- qt(level / 2, n - 1, lower.tail = FALSE)^2
    result$numbers["delta_se"] <- finite(sqrt(vContrast) / b^2 * (sf / sc))
    result$numbers["g"] <- t2 * vb / b^2
    q <- b^2 - t2 * vb
    h <- a * b - t2 * w
    z <- a^2 - t2 * va
    slope <- if (vb > 0) w / vb else 0
    given <- sum((x - a - slope * (y - b))^2) / divisor
    discriminant <- t2 * (vContrast - t2 * vb * given)
    ends <- c(NA_real_, NA_real_)
    if (q == 0) {
        result$set <- if (h == 0) "wholeLine" else "halfLine"
        if (h != 0) {
            ends[if (h > 0) 1 else 2] <- z / (2 * h)
        }
    } else if (q < 0 && discriminant <= 0) {
        result$set <- "wholeLine"
    } else {
        root <- sqrt(max(0, discriminant))
        far <- if (h >= 0) h + root else h - root
        ends <- sort(c(far / q, if (far == 0) 0 else z / far))
        result$set <- if (q > 0) "bounded" else "outside"
    }
    back <- finite(ends * (sf / sc))
    if (!identical(is.na(back), is.na(ends))) {
        result$set <- "none"
        back <- c(NA, NA)
    }
    result$numbers[c("low", "high")] <- back
    # What a test against another ratio needs.
    result$at <- function(ratio) {
        theta <- ratio * (sc / sf)
        e <- x - theta * y
        v <- sum((contrast / b - (theta - a / b) * (y - b))^2) / divisor
        if (v > 0) finite(mean(e) / sqrt(v)) else NA_real_
    }
    result$positive <- b > 0
    result
}

putCompanions <- function(pairs, t, a, measure, f) {
    size <- pairs$size
    noise <- noiseOfT(t, size)
    here <- function(item, values, words = character(0), noise = 0, because = "") {
        put("companions", values, words, a, measure, f, comparator, item = item, noise = noise, because = because)
    }
    d <- pairs$d
    n <- length(d)
    here("sign", signTest(d, size), noise = c(estimate = 1e-13 * size))
    perm <- permutationTest(d, size)
    if (is.null(perm)) {
        here("permutation", c(p = NA, patterns = NA, monte_carlo_error = NA), because = tooMany)
    } else {
        here("permutation", c(p = perm$p, patterns = perm$patterns, monte_carlo_error = perm$error))
    }
    # Without resamples a test that would be random is not begun, and a bootstrap has no number at all.
    notBegun <- replicates == 0
    random <- sum(abs(d) > resolution * size) > mostExactSigns
    here("permutation", c(estimate = if (notBegun && random) NA else meanOf(d)), noise = 1e-13 * size)
    putBootstrap <- function(item, result, size) {
        if (is.null(result)) {
            here(item, replace(noBootstrap, TRUE, NA), because = tooMany)
        } else {
            here(item, result, noise = c(se = 1e-12 * size, bias = 1e-12 * size, percentile_low = 1e-12 * size,
                                         percentile_high = 1e-12 * size, bca_low = 1e-12 * size, bca_high = 1e-12 * size))
        }
    }
    putBootstrap("bootstrap", bootstrapMean(d, size), size)
    here("bootstrap", c(n = if (notBegun) 0 else n, estimate = if (notBegun) NA else meanOf(d)), noise = 1e-13 * size)
    trimmed <- trimmedMean(d, size, plannedNumber("trim"))
    ofT <- if (is.na(trimmed[["t"]])) 0 else 1e-14 * size / trimmed[["se"]] * (1 + abs(trimmed[["t"]]))
    ofP <- if (ofT == 0) 0 else 2 * dt(trimmed[["t"]], trimmed[["df"]]) * ofT
    here("trimmed_mean", c(n = n, trimmed),
         noise = c(estimate = 1e-13 * size, se = 1e-13 * size, ci_low = 1e-12 * size, ci_high = 1e-12 * size, t = ofT, p = ofP))
    logs <- logRatio(pairs$food, pairs$comparator)
    ofT <- if (is.na(logs[["t"]])) 0 else 1e-13 / logs[["sd_log"]] * (1 + abs(logs[["t"]]))
    here("log_ratio", logs, noise = c(t = ofT, p = ofT, sd_log = 1e-13))
    ratio <- ratioOfMeans(pairs$food, pairs$comparator, t)
    here("ratio_of_means", c(n = n, ratio$numbers), c(set = ratio$set),
         noise = c(t = noise[["t"]], p = noise[["p"]], mean_food = 1e-13 * size, mean_comparator = 1e-13 * size))
    putBootstrap("ratio_bootstrap", if (ratio$usable) bootstrapRatio(pairs$food, pairs$comparator, ratio$proportional) else noBootstrap,
                 if (is.na(ratio$numbers["estimate"])) 0 else max(1, abs(ratio$numbers[["estimate"]])))
    here("ratio_bootstrap", c(n = if (notBegun) 0 else n, estimate = if (notBegun) NA else ratio$numbers[["estimate"]]),
         noise = 1e-13)
    putInfluence(pairs, t, a, measure, f)
    putMargins(pairs, t, a, measure, f)
}

putInfluence <- function(pairs, t, a, measure, f) {
    d <- pairs$d
    n <- length(d)
    if (n < 3 || n > 5000 || !all(is.finite(d)) || max(d) - min(d) <= resolution * pairs$size) {
        return(invisible())
    }
    limit <- resolution * pairs$size
    signOf <- function(x) if (abs(x) <= limit) 0 else sign(x)
    sideOf <- function(low, high) if (low > 0) 1 else if (high < 0) -1 else 0
    yes <- function(x) if (isTRUE(x)) "yes" else "no"
    quantiles <- normalQuantiles(d, 1e-13 * pairs$size)
    for (i in seq_len(n)) {
        rest <- d[-i]
        without <- pairedT(rest, pairs$size)
        out <- noiseOfT(without, pairs$size)
        flat <- max(rest) - min(rest) <= limit
        studentised <- if (flat) NA else (d[i] - mean(rest)) * sqrt((n - 1) / n) / sd(rest)
        residualP <- if (flat) NA else twoSided(studentised, n - 2)
        adjusted <- min(1, n * residualP)
        put("influence",
            c(without[c("mean_difference", "ci_low", "ci_high", "p")],
              change = finite(without[["mean_difference"]] - t[["mean_difference"]]), studentised = studentised,
              residual_p = residualP, residual_p_adjusted = adjusted, normal_quantile = quantiles$z[i], difference = d[i]),
            c(crosses_alpha = yes((without[["p"]] < alpha) != (t[["p"]] < alpha)),
              turns_sign = yes(signOf(without[["mean_difference"]]) != signOf(t[["mean_difference"]])),
              moves_interval = yes(!anyNA(c(without[["ci_low"]], t[["ci_low"]])) &&
                                   sideOf(without[["ci_low"]], without[["ci_high"]]) != sideOf(t[["ci_low"]], t[["ci_high"]])),
              flagged = yes(adjusted < alpha)),
            a, measure, f, comparator, pairs$subject[i],
            noise = c(out, change = 1e-13 * pairs$size, difference = 1e-13 * pairs$size, normal_quantile = quantiles$noise[i] + 1e-14,
                      studentised = 10 * n * max(out[["t"]], 1e-14), residual_p = 10 * n * out[["t"]],
                      residual_p_adjusted = 10 * n^2 * out[["t"]]))
    }
}
