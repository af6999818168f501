
# ---- Equivalence and non-inferiority ------------------------------------------------------------------------------

# An estimate that can be tested against a limit: its interval (confidence 1 - 2 alpha), df, and t at the limit.
marginEstimate <- function(scale, pairs, t) {
    none <- list(numbers = c(n = length(pairs$d), estimate = NA_real_, ci_low = NA, ci_high = NA, df = NA), at = NULL)
    n <- length(pairs$d)
    if (scale == "difference") {
        none$numbers[c("estimate", "df")] <- t[c("mean_difference", "df")]
        if (!is.na(t[["p"]]) && isTRUE(t[["sem_difference"]] > 0)) {
            ends <- finite(t[["mean_difference"]] + c(-1, 1) * qt(alpha, n - 1, lower.tail = FALSE) * t[["sem_difference"]])
            none$numbers[c("ci_low", "ci_high")] <- if (anyNA(ends)) NA else ends
            none$at <- function(limit) finite((t[["mean_difference"]] - limit) / t[["sem_difference"]])
        }
        return(none)
    }
    if (scale == "geometric_ratio") {
        logs <- logRatio(pairs$food, pairs$comparator, 2 * alpha)
        none$numbers[c("estimate", "ci_low", "ci_high", "df")] <- logs[c("estimate", "ci_low", "ci_high", "df")]
        if (!is.na(logs[["p"]]) && !is.na(logs[["ci_low"]])) {
            m <- mean(log(pairs$food) - log(pairs$comparator))
            none$at <- function(limit) finite((m - log(limit)) / (logs[["sd_log"]] / sqrt(n)))
        }
        return(none)
    }
    ratio <- ratioOfMeans(pairs$food, pairs$comparator, t, 2 * alpha)
    none$numbers["estimate"] <- ratio$numbers["estimate"]
    if (ratio$set == "none" || !isTRUE(ratio$positive)) {
        return(none)
    }
    none$numbers["df"] <- n - 1
    if (ratio$set == "bounded") {
        none$numbers[c("ci_low", "ci_high")] <- ratio$numbers[c("low", "high")]
    }
    none$at <- ratio$at
    none
}

above <- function(t, df) pt(t, df, lower.tail = FALSE)
below <- function(t, df) pt(t, df)

putMargins <- function(pairs, t, a, measure, f) {
    if (a != counts(planned("margin_analyte_no")) || measure != mainMeasure || alpha >= 0.5) {
        return(invisible())
    }
    noise <- noiseOfT(t, pairs$size)
    noise <- c(estimate = noise[["mean_difference"]], ci_low = noise[["ci_low"]], ci_high = noise[["ci_high"]],
               t_low = 10 * noise[["t"]], t_high = 10 * noise[["t"]], p_low = 10 * noise[["t"]], p_high = 10 * noise[["t"]],
               p = 10 * noise[["t"]], t = 10 * noise[["t"]])
    for (scale in c("difference", "geometric_ratio", "ratio")) {
        kind <- if (scale == "difference") "difference" else "ratio"
        limits <- c(plannedNumber(paste0("margin_", kind, "_low")), plannedNumber(paste0("margin_", kind, "_high")))
        if (anyNA(limits)) {
            next
        }
        e <- marginEstimate(scale, pairs, t)
        values <- c(margin_low = limits[1], margin_high = limits[2], e$numbers, t_low = NA, t_high = NA, p_low = NA,
                    p_high = NA, p = NA)
        verdict <- "not tested"
        if (!is.null(e$at)) {
            df <- e$numbers[["df"]]
            at <- c(e$at(limits[1]), e$at(limits[2]))
            values[c("t_low", "t_high")] <- at
            values[c("p_low", "p_high")] <- c(above(at[1], df), below(at[2], df))
            if (!anyNA(at)) {
                p <- max(values[["p_low"]], values[["p_high"]])
                values["p"] <- p
                verdict <- if (p < alpha) "equivalent within the margins"
                           else if (below(at[1], df) < alpha || above(at[2], df) < alpha) "outside the margins"
                           else "equivalence not shown"
            }
        }
        put("margins", values, c(verdict = verdict), a, measure, f, comparator, item = scale, noise = noise)
    }
    margin <- plannedNumber("margin_non_inferiority")
    if (!is.na(margin)) {
        lower <- planned("better") == "lower"
        limit <- if (lower) margin else -margin
        n <- length(pairs$d)
        values <- c(n = n, limit = limit, estimate = t[["mean_difference"]], ci_low = t[["ci_low"]], ci_high = t[["ci_high"]],
                    df = t[["df"]], t = NA, p = NA)
        verdict <- "not tested"
        if (!is.na(t[["p"]]) && isTRUE(t[["sem_difference"]] > 0)) {
            at <- finite((t[["mean_difference"]] - limit) / t[["sem_difference"]])
            p <- if (lower) below(at, n - 1) else above(at, n - 1)
            values[c("t", "p")] <- c(at, p)
            if (!is.na(p)) {
                verdict <- if (p < alpha / 2) "non-inferiority shown" else "non-inferiority not shown"
            }
        }
        put("margins", values, c(verdict = verdict), a, measure, f, comparator, item = "non_inferiority", noise = noise)
    }
}
