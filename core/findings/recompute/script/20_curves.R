
# ---- Curves and their measures ------------------------------------------------------------------------------------

# Sums in the order of the values and in doubles: a value that equals the mean of others must do so here too.
plainSum <- function(x) {
    total <- 0
    for (value in x) {
        total <- total + value
    }
    total
}

finite <- function(x) {
    x[!is.finite(x)] <- NA_real_
    x
}

# The samples of every curve: with the exclusions ("applied") or without them ("ignored").
seriesOf <- function(state) {
    rows <- samples[samples$exclusions %in% c("either", state), c("curve_no", "time", "scheduled", "number")]
    rows <- rows[order(rows$curve_no, rows$time), ]
    of <- split(seq_len(nrow(rows)), factor(rows$curve_no, levels = seq_len(nrow(curves))))
    lapply(of, function(i) {
        given <- i[!is.na(rows$number[i])]
        list(time = rows$time[given], value = rows$number[given], scheduled = rows$scheduled[given],
             missing = rows$scheduled[i[is.na(rows$number[i])]])
    })
}

# Times that more than half of the curves have a draw at.
commonSchedule <- function(series) {
    times <- unlist(lapply(series, function(s) c(s$scheduled, s$missing)))
    if (length(times) == 0) {
        return(numeric(0))
    }
    each <- sort(unique(times))
    each[2 * tabulate(match(times, each), length(each)) > length(series)]
}

# Baseline and the points of the window [0, end]; NULL where the curve has none.
windowOf <- function(time, value, end, rule) {
    fasting <- if (rule == "time-zero") time == 0 else time <= 0
    if (!any(fasting) || max(time) < end) {
        return(NULL)
    }
    baseline <- plainSum(value[fasting]) / sum(fasting)
    inside <- time > 0 & time < end
    t <- c(0, time[inside])
    v <- c(baseline, value[inside])
    at <- which(time >= end)[1]
    last <- value[at]
    if (time[at] > end) {
        share <- (end - t[length(t)]) / (time[at] - t[length(t)])
        last <- v[length(v)] * (1 - share) + value[at] * share
    }
    list(t = c(t, end), v = c(v, last), baseline = baseline)
}

measureNames <- c("area_positive_incremental", "area_net_incremental", "area_total", "area_until_return",
                  "area_above_minimum", "peak", "peak_rise", "time_to_peak_min", "time_to_return_min",
                  "mean_increment", "time_weighted_mean", "time_above_baseline_min", "time_above_limit_min",
                  "late_dip", "time_of_late_dip_min", "rate_of_rise", "steepest_rise", "rate_of_fall",
                  "half_height_width_min")
areaNames <- measureNames[1:5]

trapezoids <- function(t, v) {
    sum(diff(t) * (0.5 * v[-1] + 0.5 * v[-length(v)]))
}

# Values as near a level as this share of the largest are at it.
levelShare <- 1e-12

# Time above a level, by linear crossings.
timeAbove <- function(t, v, level) {
    d <- v - level
    d[abs(d) <= levelShare * max(abs(v))] <- 0
    n <- length(d)
    left <- d[-n]
    right <- d[-1]
    crosses <- (left > 0 & right < 0) | (left < 0 & right > 0)
    share <- ifelse(crosses, pmax(left, right) / abs(left - right), ifelse(left > 0 | right > 0, 1, 0))
    sum(diff(t) * share)
}

# Width around the peak at or above half its rise; NA where the curve does not come down under it.
halfHeightWidth <- function(t, v, baseline, top) {
    half <- (v[top] - baseline) / 2
    near <- levelShare * max(abs(v))
    if (!(half > near)) {
        return(NA_real_)
    }
    over <- (v - baseline) - half
    under <- which(over < -near)
    before <- under[under < top]
    after <- under[under > top]
    if (length(before) == 0 || length(after) == 0) {
        return(NA_real_)
    }
    crossing <- function(inside, outside) {
        above <- max(over[inside], 0)
        t[inside] + (t[outside] - t[inside]) * above / (above - over[outside])
    }
    crossing(after[1] - 1, after[1]) - crossing(max(before) + 1, max(before))
}

# What the curve does about its peak: dip and its time, slopes.
shapeOf <- function(t, v, baseline, top, back) {
    n <- length(t)
    dip <- c(NA_real_, NA_real_)
    if (top < n) {
        later <- (top + 1):n
        low <- later[which.min(v[later])]
        if (baseline - v[low] > levelShare * max(abs(v))) {
            dip <- c(baseline - v[low], t[low])
        }
    }
    slopes <- diff(v) / diff(t)
    steepest <- if (max(slopes) > 0) max(slopes) else NA_real_
    rising <- if (top > 1) (v[top] - baseline) / t[top] else NA_real_
    falling <- NA_real_
    if (v[top] > baseline && top < n) {
        falling <- if (is.na(back)) (v[top] - v[n]) / (t[n] - t[top]) else (v[top] - baseline) / (back - t[top])
    }
    c(dip, rising, steepest, falling)
}

measuresOf <- function(points) {
    t <- points$t
    v <- points$v
    d <- v - points$baseline
    n <- length(t)
    left <- d[-n]
    right <- d[-1]
    width <- diff(t)
    # Above baseline by segment: the trapezoid, or the triangle on the side that is above.
    positive <- ifelse(left >= 0 & right >= 0, width * (0.5 * left + 0.5 * right),
                ifelse(left <= 0 & right <= 0, 0,
                ifelse(left > 0, 0.5 * width * left * (left / (left - right)),
                       0.5 * width * right * (right / (right - left)))))
    ends <- which(left > 0 & right <= 0)
    upTo <- if (length(ends) == 0) n - 1 else ends[1]
    top <- which.max(v)
    back <- NA_real_
    if (v[top] > points$baseline && top < n) {
        crossing <- which(v <= points$baseline & seq_len(n) > top)
        if (length(crossing) > 0) {
            k <- crossing[1]
            back <- t[k - 1] + (t[k] - t[k - 1]) * (d[k - 1] / (d[k - 1] - d[k]))
        }
    }
    finite(c(sum(positive), trapezoids(t, d), trapezoids(t, v), sum(positive[seq_len(upTo)]),
             trapezoids(t, v - min(v)), v[top], d[top], t[top], back, trapezoids(t, d) / t[n], trapezoids(t, v) / t[n],
             timeAbove(t, v, points$baseline), if (is.na(points$limit)) NA else timeAbove(t, v, points$limit),
             shapeOf(t, v, points$baseline, top, back), halfHeightWidth(t, v, points$baseline, top)))
}

levelLimits <- numbers(analytes$limit)

# Every curve with its measures. `schedules`: by analyte, what counts as a missed draw beside the empty cells.
curveTable <- function(series, end, rule, unusable, schedules = NULL) {
    n <- length(series)
    values <- matrix(NA_real_, n, length(measureNames), dimnames = list(NULL, measureNames))
    baseline <- rep(NA_real_, n)
    estimable <- rep(FALSE, n)
    size <- rep(0, n)
    for (i in seq_len(n)) {
        s <- series[[i]]
        if (nzchar(unusable[i])) {
            next
        }
        points <- windowOf(s$time, s$value, end, rule)
        if (is.null(points)) {
            next
        }
        # The baseline is told also where the plan leaves the curve out for a missing sample.
        baseline[i] <- points$baseline
        if (planned("missing_interior") == "exclude") {
            schedule <- if (is.null(schedules)) numeric(0) else schedules[[curves$analyte_no[i]]]
            missed <- c(s$missing, setdiff(schedule, s$scheduled))
            if (any(missed > 0 & missed < end)) {
                next
            }
        }
        estimable[i] <- TRUE
        points$limit <- levelLimits[curves$analyte_no[i]]
        values[i, ] <- measuresOf(points)
        size[i] <- max(abs(points$v))
    }
    list(values = values, baseline = baseline, size = size, estimable = estimable)
}

# Which curves count: not excluded (unless exclusions are ignored) and estimable.
counting <- function(table, state) {
    table$estimable & (state == "ignored" | curves$excluded == "no")
}

# Mean over the visits of each subject; NA where there is none.
subjectMeans <- function(table, counted, analyte, food, measure) {
    of <- subjectVisits(table, counted, analyte, food, measure)
    vapply(of, function(x) if (length(x) == 0) NA_real_ else finite(plainSum(x) / length(x)), 0)
}

subjectVisits <- function(table, counted, analyte, food, measure) {
    i <- which(counted & curves$analyte_no == analyte & curves$food_no == food & !is.na(table$values[, measure]))
    unname(split(table$values[i, measure], factor(curves$subject_no[i], levels = seq_len(nrow(subjects)))))
}

windowEnd <- plannedNumber("window_end_min")
baselineRule <- planned("baseline")
schedulesOf <- function(series) {
    lapply(seq_len(nrow(analytes)), function(a) commonSchedule(series[curves$analyte_no == a]))
}
mainSeries <- seriesOf("applied")
mainTable <- curveTable(mainSeries, windowEnd, baselineRule, curves$unusable, schedulesOf(mainSeries))
mainCounts <- counting(mainTable, "applied")

for (i in seq_len(nrow(curves))) {
    areaNoise <- 1e-13 * mainTable$size[i] * windowEnd
    put("curves", c(samples = length(mainSeries[[i]]$value), baseline = mainTable$baseline[i], mainTable$values[i, ]),
        analyte = curves$analyte_no[i], food = curves$food_no[i], subject = curves$subject_no[i],
        visit = curves$visit_no[i],
        noise = c(area_positive_incremental = areaNoise, area_net_incremental = areaNoise,
                  area_until_return = areaNoise, area_above_minimum = areaNoise,
                  peak_rise = 1e-14 * mainTable$size[i], mean_increment = 1e-13 * mainTable$size[i],
                  late_dip = 1e-14 * mainTable$size[i], rate_of_rise = 1e-13 * mainTable$size[i],
                  steepest_rise = 1e-13 * mainTable$size[i], rate_of_fall = 1e-13 * mainTable$size[i],
                  time_above_baseline_min = 1e-12 * windowEnd, time_above_limit_min = 1e-12 * windowEnd,
                  half_height_width_min = 1e-12 * windowEnd))
}
