
# ---- Parts of the window, and spread within a subject ---------------------------------------------------------------

partEnds <- numbers(planned("part_end_min"))

# Area above baseline, signed area, and means of one part [from, to] of the points of a window.
partOf <- function(points, from, to) {
    inside <- points$t > from & points$t < to
    t <- c(from, points$t[inside], to)
    v <- c(approx(points$t, points$v, from)$y, points$v[inside], approx(points$t, points$v, to)$y)
    d <- v - points$baseline
    n <- length(t)
    left <- d[-n]
    right <- d[-1]
    width <- diff(t)
    positive <- ifelse(left >= 0 & right >= 0, width * (0.5 * left + 0.5 * right),
                ifelse(left <= 0 & right <= 0, 0,
                       0.5 * width * pmax(left, right) * (pmax(left, right) / abs(left - right))))
    net <- trapezoids(t, d)
    finite(c(area = sum(positive), net_area = net, mean_increment = net / (to - from),
             mean_concentration = trapezoids(t, v) / (to - from)))
}

# Mean over the visits of each subject that has a value.
meansBySubject <- function(value, subject) {
    given <- !is.na(value)
    of <- split(value[given], factor(subject[given], levels = seq_len(nrow(subjects))))
    vapply(of, function(x) if (length(x) == 0) NA_real_ else finite(plainSum(x) / length(x)), 0)
}

putParts <- function(a) {
    of <- which(mainCounts & curves$analyte_no == a)
    partCount <- length(partEnds) - 1
    tests <- list()
    for (p in seq_len(partCount)) {
        from <- partEnds[p]
        to <- partEnds[p + 1]
        values <- t(vapply(of, function(i) {
            s <- mainSeries[[i]]
            partOf(windowOf(s$time, s$value, windowEnd, baselineRule), from, to)
        }, c(area = 0, net_area = 0, mean_increment = 0, mean_concentration = 0)))
        for (k in seq_along(of)) {
            i <- of[k]
            areaNoise <- 1e-13 * mainTable$size[i] * windowEnd
            put("sub_windows_curves", c(from_min = from, to_min = to, values[k, ]), analyte = a,
                food = curves$food_no[i], subject = curves$subject_no[i], visit = curves$visit_no[i], item = p,
                noise = c(area = areaNoise, net_area = areaNoise, mean_increment = areaNoise / (to - from),
                          mean_concentration = areaNoise / (to - from)))
        }
        largest <- largestOf(mainTable$size[of])
        byFood <- lapply(seq_len(nrow(foods)), function(f) {
            here <- curves$food_no[of] == f
            list(area = meansBySubject(values[here, "area"], curves$subject_no[of][here]),
                 increment = meansBySubject(values[here, "mean_increment"], curves$subject_no[of][here]))
        })
        for (f in seq_len(nrow(foods))) {
            x <- byFood[[f]]
            area <- x$area[!is.na(x$area)]
            increment <- x$increment[!is.na(x$increment)]
            areaT <- pairedT(area, largestOf(area))
            incrementT <- pairedT(increment, largestOf(increment))
            own <- c(from_min = from, to_min = to, n = length(area), mean_area = areaT[["mean_difference"]],
                     sd_area = areaT[["sd_difference"]], mean_increment = incrementT[["mean_difference"]],
                     sd_increment = incrementT[["sd_difference"]], increment_ci_low = incrementT[["ci_low"]],
                     increment_ci_high = incrementT[["ci_high"]])
            ownNoise <- c(mean_area = 1e-12 * largest * windowEnd, sd_area = 1e-12 * largest * windowEnd,
                          mean_increment = 1e-12 * largest, sd_increment = 1e-12 * largest,
                          increment_ci_low = 1e-11 * largest, increment_ci_high = 1e-11 * largest)
            against <- comparator > 0 && f != comparator
            result <- list(part = p, food = f, own = own, noise = ownNoise, p = NA_real_, t = NULL)
            if (against) {
                y <- byFood[[comparator]]$area
                both <- !is.na(x$area) & !is.na(y)
                size <- largestOf(x$area[both], y[both])
                result$t <- pairedT(x$area[both] - y[both], size)
                result$p <- result$t[["p"]]
                # The areas themselves are rounded as the concentrations are.
                result$noise <- c(ownNoise, noiseOfT(result$t, max(size, largest * windowEnd))[
                    c("mean_difference", "sd_difference", "ci_low", "ci_high", "t", "p", "p_adjusted")])
            }
            tests[[length(tests) + 1]] <- result
        }
    }
    adjusted <- adjustedP(vapply(tests, function(x) x$p, 0), planned("multiplicity"))
    for (k in seq_along(tests)) {
        x <- tests[[k]]
        values <- x$own
        if (!is.null(x$t)) {
            values <- c(values, n_pairs = x$t[["n"]],
                        x$t[c("mean_difference", "sd_difference", "ci_low", "ci_high", "t", "df", "p")],
                        p_adjusted = adjusted[k])
        }
        put("sub_windows", values, analyte = a, food = x$food,
            comparator = if (is.null(x$t)) 0L else comparator, item = x$part, noise = x$noise)
    }
}

if (length(partEnds) > 2) {
    for (a in seq_len(nrow(analytes))) {
        putParts(a)
    }
}

# One-way random model of the visits of each subject; values are brought near 1 first.
withinOf <- function(bySubject) {
    bySubject <- bySubject[lengths(bySubject) > 0]
    k <- lengths(bySubject)
    result <- c(subjects = length(k), repeated = sum(k > 1), visits = sum(k[k > 1]), within_sd = NA, df = NA,
                cv_rms_percent = NA, cv_mean_percent = NA, between_sd = NA, intraclass = NA, repeatability_limit = NA)
    if (!any(k > 1)) {
        return(result)
    }
    all <- unlist(bySubject)
    s <- scaleOf(all)
    near <- resolution * largestOf(all) / s
    y <- lapply(bySubject, function(x) x / s)
    m <- vapply(y, mean, 0)
    squares <- vapply(y, function(x) if (diff(range(x)) <= near) 0 else sum((x - mean(x))^2), 0)
    total <- sum(k)
    df <- total - length(k)
    within <- sum(squares) / df
    result[c("within_sd", "df")] <- c(finite(s * sqrt(within)), df)
    result["repeatability_limit"] <- finite(s * (1.96 * sqrt(2) * sqrt(within)))
    again <- k > 1
    if (all(m[again] > 0)) {
        cv <- 100 * sqrt(squares[again] / (k[again] - 1)) / m[again]
        if (is.finite(sum(cv^2))) {
            result[c("cv_rms_percent", "cv_mean_percent")] <- c(sqrt(mean(cv^2)), mean(cv))
        }
    }
    if (length(k) > 1) {
        between <- if (diff(range(m)) <= near) 0 else sum(k * (m - mean(unlist(y)))^2)
        effective <- (total - sum(k^2) / total) / (length(k) - 1)
        variance <- max(0, (between / (length(k) - 1) - within) / effective)
        result["between_sd"] <- finite(s * sqrt(variance))
        if (variance + within > 0) {
            result["intraclass"] <- variance / (variance + within)
        }
    }
    result
}

for (a in seq_len(nrow(analytes))) {
    for (f in seq_len(nrow(foods))) {
        for (measure in comparedMeasures) {
            i <- which(mainCounts & curves$analyte_no == a & curves$food_no == f & !is.na(mainTable$values[, measure]))
            if (length(i) == 0) {
                next
            }
            value <- mainTable$values[i, measure]
            who <- curves$subject_no[i]
            result <- withinOf(unname(split(value, factor(who, levels = seq_len(nrow(subjects))))))
            largest <- largestOf(value) + (measure %in% areaNames) * largestOf(mainTable$size[i]) * windowEnd
            rounding <- 1e-13 * largest
            # A variance near 0 is a difference of two: its root keeps half of the digits.
            sb <- result[["between_sd"]]
            ofBetween <- if (is.na(sb) || sb == 0) 3e-7 * largest else min(rounding * (largest / sb), 3e-7 * largest)
            put("within_subject", result, analyte = a, measure = measure, food = f,
                noise = c(within_sd = rounding, repeatability_limit = 3 * rounding, between_sd = ofBetween,
                          intraclass = 1e-12, cv_rms_percent = 1e-10, cv_mean_percent = 1e-10))
            if (result[["repeated"]] > 0) {
                m <- ave(value, who)
                for (j in seq_along(i)) {
                    put("within_subject_visits",
                        c(value = unname(value[j]), subject_mean = unname(m[j]), deviation = unname(value[j] - m[j])),
                        analyte = a, measure = measure, food = f, subject = who[j], visit = curves$visit_no[i[j]],
                        noise = rounding)
                }
            }
        }
    }
}
