
# ---- Mean curves, summaries, comparisons --------------------------------------------------------------------------

semOf <- function(x) sdOf(x) / sqrt(length(x))

for (a in seq_len(nrow(analytes))) {
    for (f in seq_len(nrow(foods))) {
        of <- which(mainCounts & curves$analyte_no == a & curves$food_no == f)
        if (length(of) == 0) {
            next
        }
        points <- do.call(rbind, lapply(of, function(i) {
            s <- mainSeries[[i]]
            cbind(curves$subject_no[i], s$scheduled, s$value, s$value - mainTable$baseline[i])
        }))
        times <- sort(unique(points[, 2]))
        for (k in seq_along(times)) {
            here <- points[points[, 2] == times[k], , drop = FALSE]
            values <- tapply(here[, 3], here[, 1], mean)
            rises <- tapply(here[, 4], here[, 1], mean)
            half <- if (length(values) < 2 || max(values) == min(values)) NA else upperT(length(values) - 1) * semOf(values)
            put("mean_curves", c(time_min = times[k], n = length(values), mean = meanOf(values), sem = semOf(values),
                                 sd = sdOf(values), ci_low = meanOf(values) - half, ci_high = meanOf(values) + half,
                                 increment = meanOf(rises), increment_sem = semOf(rises)),
                analyte = a, food = f, item = k, noise = 1e-13 * largestOf(here[, 3]))
        }
    }
}

for (a in seq_len(nrow(analytes))) {
    for (f in seq_len(nrow(foods))) {
        for (measure in measureNames) {
            x <- subjectMeans(mainTable, mainCounts, a, f, measure)
            x <- x[!is.na(x)]
            q <- if (length(x) == 0) rep(NA_real_, 5) else quantile(x, c(0.5, 0.25, 0.75, 0, 1), names = FALSE, type = 7)
            put("summary", c(n = length(x), mean = meanOf(x), sd = sdOf(x), sem = semOf(x), median = q[1],
                             lower_quartile = q[2], upper_quartile = q[3], minimum = q[4], maximum = q[5]),
                analyte = a, measure = measure, food = f, noise = 1e-13 * largestOf(x))
        }
    }
}

# The pairs of food and comparator: subjects that have both.
pairsOf <- function(table, counted, analyte, food, measure) {
    a <- subjectMeans(table, counted, analyte, food, measure)
    b <- subjectMeans(table, counted, analyte, comparator, measure)
    both <- which(!is.na(a) & !is.na(b))
    list(subject = both, food = a[both], comparator = b[both], d = a[both] - b[both], size = largestOf(a[both], b[both]))
}

putComparisons <- function(table, counted, suffix) {
    others <- setdiff(seq_len(nrow(foods)), comparator)
    for (a in seq_len(nrow(analytes))) {
        for (measure in comparedMeasures) {
            pairs <- lapply(others, function(f) pairsOf(table, counted, a, f, measure))
            tests <- lapply(pairs, function(x) pairedT(x$d, x$size))
            adjusted <- adjustedP(vapply(tests, function(t) t[["p"]], 0), planned("multiplicity"))
            for (k in seq_along(others)) {
                putComparison(pairs[[k]], tests[[k]], adjusted[k], suffix, a, measure, others[k])
                if (suffix == "") {
                    putAgreement(pairs[[k]], tests[[k]], a, measure, others[k])
                    putCompanions(pairs[[k]], tests[[k]], a, measure, others[k])
                }
            }
        }
    }
}

# Limits of agreement (Bland & Altman 1986), and each subject's mean of its two values.
putAgreement <- function(pairs, t, a, measure, f) {
    n <- length(pairs$d)
    spread <- t[["sd_difference"]]
    limits <- t[["mean_difference"]] + c(-1.96, 1.96) * spread
    half <- if (n < 2 || is.na(spread) || spread == 0) NA else upperT(n - 1) * sqrt(3 / n) * spread
    put("agreement",
        c(lower_limit = limits[1], lower_limit_low = limits[1] - half, lower_limit_high = limits[1] + half,
          upper_limit = limits[2], upper_limit_low = limits[2] - half, upper_limit_high = limits[2] + half),
        analyte = a, measure = measure, food = f, comparator = comparator, noise = 2e-12 * pairs$size)
    for (i in seq_len(n)) {
        put("agreement_subjects", c(mean = pairs$food[i] / 2 + pairs$comparator[i] / 2), analyte = a, measure = measure,
            food = f, comparator = comparator, subject = pairs$subject[i], noise = 1e-13 * pairs$size)
    }
}

putComparison <- function(pairs, t, adjusted, suffix, a, measure, f) {
    noise <- noiseOfT(t, pairs$size)
    rank <- signedRank(pairs$d, pairs$size)
    hl <- hodgesLehmann(pairs$d)
    values <- c(food_mean = meanOf(pairs$food), comparator_mean = meanOf(pairs$comparator), t, p_adjusted = adjusted,
                wilcoxon_v = rank$v, wilcoxon_p = rank$p, wilcoxon_zeros = rank$zeros,
                effectSize(pairs$d, pairs$size), shapiroWilk(pairs$d, pairs$size))
    words <- c(wilcoxon_ties = rank$ties, wilcoxon_method = rank$method)
    # 1 - W near 0 keeps fewer digits than W.
    spread <- if (length(pairs$d) > 2 && all(is.finite(pairs$d))) diff(range(pairs$d)) else 0
    noise[c("shapiro_w", "shapiro_p")] <- if (spread > 0) c(1e-14, 1e-13) * (1 + pairs$size / spread) else 0
    put(paste0("comparisons", suffix), values, words, a, measure, f, comparator, noise = noise)
    if (is.null(hl)) {
        put(paste0("comparisons", suffix),
            c(hodges_lehmann = NA, hodges_lehmann_ci_low = NA, hodges_lehmann_ci_high = NA,
              hodges_lehmann_confidence = NA),
            c(hodges_lehmann_method = NA), a, measure, f, comparator,
            because = paste("more than", mostWalsh, "pairs: all pairwise means do not fit into memory"))
    } else {
        put(paste0("comparisons", suffix),
            c(hodges_lehmann = hl$estimate, hodges_lehmann_ci_low = hl$low, hodges_lehmann_ci_high = hl$high,
              hodges_lehmann_confidence = hl$confidence),
            c(hodges_lehmann_method = hl$method), a, measure, f, comparator, noise = noise)
    }
    for (i in seq_along(pairs$subject)) {
        put(paste0("pairs", suffix),
            c(food = pairs$food[i], comparator = pairs$comparator[i], difference = pairs$d[i]),
            analyte = a, measure = measure, food = f, comparator = comparator, subject = pairs$subject[i],
            noise = noise)
    }
}

if (comparator > 0) {
    putComparisons(mainTable, mainCounts, "")
}
withExclusions <- plannedNumber("exclusions") > 0
if (withExclusions) {
    ignoredSeries <- seriesOf("ignored")
    ignoredTable <- curveTable(ignoredSeries, windowEnd, baselineRule, curves$unusable_ignoring_exclusions,
                               schedulesOf(ignoredSeries))
    ignoredCounts <- counting(ignoredTable, "ignored")
    if (comparator > 0) {
        putComparisons(ignoredTable, ignoredCounts, "_ignoring_exclusions")
    }
}
