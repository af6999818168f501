
# ---- Index --------------------------------------------------------------------------------------------------------

subjectIndex <- function(test, ref) {
    if (length(test) == 0 || length(ref) == 0) {
        return(NA_real_)
    }
    below <- meanOf(ref)
    above <- meanOf(test)
    if (is.na(below) || is.na(above) || below <= 0) NA_real_ else finite(100 * (above / below))
}

classOf <- function(index, standard) {
    if (standard == "fao-1998") {
        return("")
    }
    value <- if (standard == "wst-652") index else floor(index + 0.5)
    if (value <= 55) "low" else if (value <= if (standard == "as-4694") 69 else 70) "medium" else "high"
}

# Values outside mean +/- 2 SD: of all in one pass, or of those still kept until a pass finds none.
applyOutlierRule <- function(value, rule) {
    outlier <- rep(FALSE, length(value))
    leftOut <- outlier
    passes <- 0
    repeat {
        given <- value[!is.na(value) & !leftOut]
        if (length(given) < 2 || max(given) - min(given) <= resolution * largestOf(given)) {
            break
        }
        outside <- !is.na(value) & !leftOut & abs(value - meanOf(given)) > 2 * sdOf(given)
        outlier <- outlier | outside
        if (rule == "none" || !any(outside)) {
            break
        }
        leftOut <- leftOut | outside
        passes <- passes + 1
        if (rule == "2sd-once") {
            break
        }
    }
    list(outlier = outlier, leftOut = leftOut, passes = passes)
}

putIndex <- function(table, counted, suffix) {
    for (a in seq_len(nrow(analytes))) {
        ref <- subjectVisits(table, counted, a, reference, mainMeasure)
        cv <- vapply(ref, function(x) {
            m <- meanOf(x)
            if (length(x) < 2 || is.na(m) || m <= 0) NA_real_ else finite(100 * (sdOf(x) / m))
        }, 0)
        for (f in setdiff(seq_len(nrow(foods)), reference)) {
            test <- subjectVisits(table, counted, a, f, mainMeasure)
            value <- vapply(seq_along(test), function(s) subjectIndex(test[[s]], ref[[s]]), 0)
            given <- value[!is.na(value)]
            rule <- applyOutlierRule(value, planned("index_outlier_rule"))
            outlier <- rule$outlier
            leftOut <- rule$leftOut
            kept <- value[!is.na(value) & !leftOut]
            t <- pairedT(kept, largestOf(kept))
            hasClass <- a == counts(planned("glucose_no")) && mainMeasure == areaNames[1] && length(kept) > 0
            put(paste0("index", suffix),
                c(n = length(kept), mean = t[["mean_difference"]], sd = t[["sd_difference"]],
                  sem = t[["sem_difference"]], ci_low = t[["ci_low"]], ci_high = t[["ci_high"]],
                  reference_cv_percent = meanOf(cv[!is.na(cv)])),
                c(class = if (hasClass) classOf(t[["mean_difference"]], planned("index_standard")) else ""),
                a, mainMeasure, f, reference, noise = 1e-12 * largestOf(kept))
            for (s in seq_along(value)) {
                put(paste0("index_subjects", suffix), c(value = value[s]),
                    c(outlier = if (outlier[s]) "yes" else "no", left_out = if (leftOut[s]) "yes" else "no"),
                    a, mainMeasure, f, reference, s, noise = 1e-12 * largestOf(given))
            }
        }
    }
}

if (planned("index") == "yes" && reference > 0) {
    putIndex(mainTable, mainCounts, "")
    if (withExclusions) {
        putIndex(ignoredTable, ignoredCounts, "_ignoring_exclusions")
    }
}

# ---- Crossover of two foods in two periods ------------------------------------------------------------------------

# "food-first", "comparator-first"; NA where a subject had neither order. From all curves, counted or not.
orderOf <- function(first, second, food) {
    isOnly <- function(x, f) length(x) > 0 && all(x == f)
    if ((isOnly(first, food) && (isOnly(second, comparator) || length(second) == 0)) ||
        (length(first) == 0 && isOnly(second, comparator))) {
        return("food-first")
    }
    if ((isOnly(first, comparator) && (isOnly(second, food) || length(second) == 0)) ||
        (length(first) == 0 && isOnly(second, food))) {
        return("comparator-first")
    }
    NA_character_
}

# One effect from a number for each subject: (mean of group 1 + sign * mean of group 2) / divisor.
crossoverEffect <- function(x, isFirst, sign, divisor, size) {
    result <- c(estimate = NA_real_, se = NA, t = NA, df = NA, p = NA, ci_low = NA, ci_high = NA)
    n <- sum(isFirst)
    m <- sum(!isFirst)
    if (n == 0 || m == 0) {
        return(result)
    }
    s <- scaleOf(size)
    one <- x[isFirst]
    two <- x[!isFirst]
    estimate <- (mean(one) + sign * mean(two)) / divisor
    result["estimate"] <- finite(s * estimate)
    df <- n + m - 2
    if (df == 0) {
        return(result)
    }
    # As the program has it: of the values brought below 1 by a power of two.
    if (max(diff(range(one)), diff(range(two))) <= 2 * resolution) {
        result["se"] <- 0
        return(result)
    }
    squares <- sum((one - mean(one))^2) + sum((two - mean(two))^2)
    se <- sqrt(squares / df * (1 / n + 1 / m)) / divisor
    t <- estimate / se
    ci <- finite(s * (estimate + c(-1, 1) * upperT(df) * se))
    if (anyNA(ci)) {
        ci <- c(NA, NA)
    }
    result[] <- c(finite(s * estimate), finite(s * se), t, df, twoSided(t, df), ci)
    result
}

putCrossover <- function(a, measure) {
    food <- setdiff(seq_len(nrow(foods)), comparator)
    of <- curves$analyte_no == a
    y <- mainTable$values[, measure]
    rows <- lapply(seq_len(nrow(subjects)), function(s) {
        own <- of & curves$subject_no == s
        if (!any(own)) {
            return(NULL)
        }
        order <- orderOf(curves$food_no[own & curves$period_no == 1], curves$food_no[own & curves$period_no == 2], food)
        value <- vapply(1:2, function(p) {
            x <- y[own & curves$period_no == p & mainCounts & !is.na(y)]
            if (length(x) == 0) NA_real_ else sum(x / length(x))
        }, 0)
        if (is.na(order) || anyNA(value) || !all(is.finite(value))) NULL else list(s = s, order = order, value = value)
    })
    rows <- rows[!vapply(rows, is.null, TRUE)]
    isFirst <- vapply(rows, function(r) r$order == "food-first", TRUE)
    first <- vapply(rows, function(r) r$value[1], 0)
    second <- vapply(rows, function(r) r$value[2], 0)
    size <- largestOf(first, second)
    put("crossover", c(n_food_first = sum(isFirst), n_comparator_first = sum(!isFirst)), analyte = a,
        measure = measure, food = food, comparator = comparator)
    s <- scaleOf(size)
    d <- first / s - second / s
    effects <- list(food_effect = crossoverEffect(d, isFirst, -1, 2, size),
                    period_effect = crossoverEffect(d, isFirst, 1, 2, size),
                    carry_over = crossoverEffect(first / s + second / s, isFirst, -1, 1, size))
    for (name in names(effects)) {
        e <- effects[[name]]
        ofT <- if (is.na(e[["t"]])) 0 else 1e-14 * (size / e[["se"]]) * (1 + abs(e[["t"]]))
        put("crossover", e, analyte = a, measure = measure, food = food, comparator = comparator, item = name,
            noise = c(estimate = 1e-13 * size, se = 1e-13 * size, ci_low = 1e-12 * size, ci_high = 1e-12 * size,
                      t = ofT, p = if (ofT == 0) 0 else 2 * dt(e[["t"]], e[["df"]]) * ofT))
    }
    for (k in seq_along(rows)) {
        put("crossover_subjects",
            c(period_1 = first[k], period_2 = second[k], sum = finite(first[k] + second[k]),
              difference = finite(first[k] - second[k])),
            c(sequence = rows[[k]]$order), a, measure, food, comparator, rows[[k]]$s, noise = 1e-13 * size)
    }
}

if (nrow(foods) == 2 && comparator > 0 && setequal(unique(curves$period_no), c(1, 2))) {
    for (a in seq_len(nrow(analytes))) {
        for (measure in comparedMeasures) {
            putCrossover(a, measure)
        }
    }
}
