# The definitions of curve measures, paired comparisons and the index, in base R only, written from the method
# handbook and not from the program. Areas are found another way than a formula by segment: the zero crossings are
# put into the curve first, so that every piece lies on one side of the baseline, and plain trapezoids do the rest.

# --- curves ---

# rule: "fasting-mean" or "time-zero"; NA where there is no such sample
baseline_of <- function(time, value, rule) {
  before <- if (rule == "fasting-mean") value[time <= 0] else value[time == 0]
  if (length(before) == 0) NA_real_ else sum(before) / length(before)
}

# Points of the window [0, end]: baseline at 0, samples inside, value at the end (linear between neighbours).
# NULL where the window is not estimable. `time` and `value` without missing ones, in any order.
window_points <- function(time, value, end, rule) {
  o <- order(time)
  time <- time[o]
  value <- value[o]
  b <- baseline_of(time, value, rule)
  if (is.na(b) || !any(time > 0) || max(time) < end) return(NULL)
  t <- c(0, time[time > 0])
  v <- c(b, value[time > 0])
  at_end <- approx(t, v, xout = end)$y
  keep <- t < end
  list(time = c(t[keep], end), value = c(v[keep], at_end), baseline = b)
}

trapezoids <- function(t, v) sum(diff(t) * (head(v, -1) + tail(v, -1)) / 2)

# rise over baseline with a point of rise 0 wherever the line crosses the baseline between two points
with_crossings <- function(w) {
  r <- w$value - w$baseline
  t <- w$time
  time <- t[1]
  rise <- r[1]
  for (i in seq_along(t)[-1]) {
    if (r[i - 1] * r[i] < 0) {
      time <- c(time, t[i - 1] + (t[i] - t[i - 1]) * r[i - 1] / (r[i - 1] - r[i]))
      rise <- c(rise, 0)
    }
    time <- c(time, t[i])
    rise <- c(rise, r[i])
  }
  list(time = time, rise = rise)
}

measure_names <- c("area_positive_incremental", "area_net_incremental", "area_total", "area_until_return",
                   "area_above_minimum", "peak", "peak_rise", "time_to_peak_min", "time_to_return_min",
                   "mean_increment", "time_weighted_mean", "time_above_baseline_min", "time_above_limit_min",
                   "late_dip", "time_of_late_dip_min", "rate_of_rise", "steepest_rise", "rate_of_fall",
                   "half_height_width_min")

# Times at which the line through the points crosses `level`, put into the curve; heights over it beside them.
# Values within 1e-12 of the largest are at the level.
cut_at <- function(w, level) {
  d <- w$value - level
  d[abs(d) <= 1e-12 * max(abs(w$value))] <- 0
  with_crossings(list(time = w$time, value = d, baseline = 0))
}

# Length of the pieces of a cut curve whose middle lies above 0.
time_above <- function(x) {
  middle <- (head(x$rise, -1) + tail(x$rise, -1)) / 2
  sum(diff(x$time)[middle > 0])
}

measures_of <- function(w, limit = NA_real_) {
  out <- setNames(rep(NA_real_, length(measure_names)), measure_names)
  if (is.null(w)) return(out)
  x <- with_crossings(w)
  out["area_positive_incremental"] <- trapezoids(x$time, pmax(x$rise, 0))
  out["area_net_incremental"] <- trapezoids(w$time, w$value - w$baseline)
  out["area_total"] <- trapezoids(w$time, w$value)
  out["area_above_minimum"] <- trapezoids(w$time, w$value - min(w$value))
  first <- which(x$rise > 0)
  if (length(first) == 0) {
    out["area_until_return"] <- 0
  } else {
    back <- which(x$rise <= 0 & seq_along(x$rise) > first[1])
    last <- if (length(back) == 0) length(x$rise) else back[1]
    out["area_until_return"] <- trapezoids(x$time[1:last], pmax(x$rise[1:last], 0))
  }
  peak <- which(w$value == max(w$value))[1]
  out["peak"] <- w$value[peak]
  out["peak_rise"] <- w$value[peak] - w$baseline
  out["time_to_peak_min"] <- w$time[peak]
  if (w$value[peak] > w$baseline) {
    back <- which(x$rise <= 0 & x$time > w$time[peak])
    if (length(back) > 0) out["time_to_return_min"] <- x$time[back[1]]
  }
  n <- length(w$value)
  end <- w$time[n]
  out["mean_increment"] <- out["area_net_incremental"] / end
  out["time_weighted_mean"] <- out["area_total"] / end
  out["time_above_baseline_min"] <- time_above(cut_at(w, w$baseline))
  if (!is.na(limit)) out["time_above_limit_min"] <- time_above(cut_at(w, limit))
  later <- seq_len(n) > peak
  if (any(later)) {
    low <- min(w$value[later])
    if (w$baseline - low > 1e-12 * max(abs(w$value))) {
      out["late_dip"] <- w$baseline - low
      out["time_of_late_dip_min"] <- min(w$time[later & w$value == low])
    }
  }
  if (peak > 1) out["rate_of_rise"] <- unname(out["peak_rise"]) / w$time[peak]
  slopes <- diff(w$value) / diff(w$time)
  if (any(slopes > 0)) out["steepest_rise"] <- max(slopes)
  if (w$value[peak] > w$baseline && peak < n) {
    back <- unname(out["time_to_return_min"])
    out["rate_of_fall"] <- if (is.na(back)) (w$value[peak] - w$value[n]) / (end - w$time[peak]) else
      unname(out["peak_rise"]) / (back - w$time[peak])
  }
  if (out["peak_rise"] > 0) {
    # the piece of the curve at or above half height that holds the peak
    h <- cut_at(w, w$baseline + unname(out["peak_rise"]) / 2)
    under <- h$time[which(h$rise < 0)]
    if (any(under > w$time[peak])) {
      on <- h$time[h$rise >= 0]
      from <- max(under[under < w$time[peak]])
      to <- min(under[under > w$time[peak]])
      out["half_height_width_min"] <- max(on[on < to]) - min(on[on > from])
    }
  }
  out
}

# --- paired comparison ---

# Differences closer than this are tied, those within it of 0 are zero: decimals carry binary rounding.
resolution_of <- function(food, comparator) 1e-11 * max(abs(c(food, comparator)))

mid_ranks <- function(a, resolution) {
  o <- order(a)
  group <- cumsum(c(TRUE, diff(a[o]) > resolution))
  ranks <- ave(seq_along(a), group)
  ranks[order(o)]
}

# V and its two-sided p over all 2^n sign patterns, by listing them
signed_rank <- function(d, resolution) {
  d <- d[abs(d) > resolution]
  if (length(d) == 0) return(c(v = NA_real_, p = NA_real_))
  r <- mid_ranks(abs(d), resolution)
  v <- sum(r[d > 0])
  all_v <- 0
  for (one in r) all_v <- c(all_v, all_v + one)
  c(v = v, p = min(1, 2 * min(mean(all_v <= v), mean(all_v >= v))))
}

walsh_averages <- function(d) {
  m <- outer(d, d, "+") / 2
  sort(m[upper.tri(m, diag = TRUE)])
}

paired_comparison <- function(food, comparator, alpha) {
  d <- food - comparator
  n <- length(d)
  resolution <- resolution_of(food, comparator)
  se <- sd(d) / sqrt(n)
  q <- qt(1 - alpha / 2, n - 1)
  rank_test <- signed_rank(d, resolution)
  w <- walsh_averages(d)
  count <- qsignrank(alpha / 2, n)
  normal <- shapiro.test(d)
  # R's own tests must agree; its signed rank test is exact only without ties and zeros
  theirs <- t.test(food, comparator, paired = TRUE, conf.level = 1 - alpha)
  stopifnot(all.equal(theirs$p.value, 2 * pt(-abs(mean(d) / se), n - 1)),
            all.equal(as.numeric(theirs$conf.int), c(mean(d) - q * se, mean(d) + q * se)))
  if (all(diff(sort(c(0, abs(d)))) > resolution)) {
    exact <- wilcox.test(d, exact = TRUE)
    stopifnot(exact$statistic == rank_test["v"], all.equal(exact$p.value, unname(rank_test["p"])))
  }
  c(n = n, mean_difference = mean(d), sd_difference = sd(d), ci_low = mean(d) - q * se, ci_high = mean(d) + q * se,
    t = mean(d) / se, df = n - 1, p = 2 * pt(-abs(mean(d) / se), n - 1), p_adjusted = NA,
    wilcoxon_v = unname(rank_test["v"]), wilcoxon_p = unname(rank_test["p"]), hodges_lehmann = median(w),
    hodges_lehmann_ci_low = if (count > 0) w[count] else NA,
    hodges_lehmann_ci_high = if (count > 0) w[length(w) + 1 - count] else NA,
    effect_dz = mean(d) / sd(d), shapiro_w = unname(normal$statistic), shapiro_p = normal$p.value)
}

# `curves`: one row a curve with columns subject, food, excluded and the measure. Visits are averaged at the measure.
subject_means <- function(curves, food, measure) {
  rows <- curves[curves$food == food & !curves$excluded & !is.na(curves[[measure]]), ]
  tapply(rows[[measure]], rows$subject, mean)
}

comparisons_of <- function(curves, foods, comparator, measure, alpha) {
  base <- subject_means(curves, comparator, measure)
  rows <- lapply(foods, function(food) {
    x <- subject_means(curves, food, measure)
    both <- sort(intersect(names(x), names(base)))
    r <- paired_comparison(as.numeric(x[both]), as.numeric(base[both]), alpha)
    data.frame(measure = measure, food = food, comparator = comparator, t(r))
  })
  out <- do.call(rbind, rows)
  o <- order(out$p)
  m <- nrow(out)
  out$p_adjusted[o] <- cummax(pmin(1, (m - seq_len(m) + 1) * out$p[o]))
  stopifnot(all.equal(out$p_adjusted, p.adjust(out$p, "holm")))
  out
}

# --- index ---

index_of <- function(curves, food, reference, measure, alpha) {
  ref <- curves[curves$food == reference & !curves$excluded & !is.na(curves[[measure]]), ]
  by_subject <- split(ref[[measure]], ref$subject)
  base <- sapply(by_subject, mean)
  repeated <- by_subject[sapply(by_subject, length) >= 2]
  cv <- mean(sapply(repeated, function(x) 100 * sd(x) / mean(x)))
  x <- subject_means(curves, food, measure)
  both <- sort(intersect(names(x), names(base)))
  value <- 100 * as.numeric(x[both]) / as.numeric(base[both])
  n <- length(value)
  sem <- sd(value) / sqrt(n)
  q <- qt(1 - alpha / 2, n - 1)
  none <- rep(NA_real_, n)
  rbind(
    data.frame(food = food, reference = reference, subject = both, value = value,
               outlier = abs(value - mean(value)) > 2 * sd(value), n = none, mean = none, sd = none, sem = none,
               ci_low = none, ci_high = none, reference_cv_percent = none),
    data.frame(food = food, reference = reference, subject = "all", value = NA, outlier = NA, n = n,
               mean = mean(value), sd = sd(value), sem = sem, ci_low = mean(value) - q * sem,
               ci_high = mean(value) + q * sem, reference_cv_percent = cv))
}

# --- files ---

read_samples <- function(path) {
  read.csv(path, colClasses = c(subject = "character", food = "character"), na.strings = c("NA", ""))
}

# numbers with 17 significant digits, absent ones as NA
write_table <- function(table, path) {
  for (name in names(table)) {
    if (is.double(table[[name]])) {
      absent <- is.na(table[[name]])
      table[[name]] <- formatC(table[[name]], digits = 17, format = "g", width = 1)
      table[[name]][absent] <- "NA"
    }
  }
  con <- file(path, open = "wb")
  on.exit(close(con))
  write.table(table, con, sep = ",", row.names = FALSE, quote = FALSE, eol = "\n")
}

# The four curves of FAO Food and Nutrition Paper 66 (1998), Table 1, from memory. Printed areas: 114, 155, 179, 93
# (Figure 2, from memory); the other figures follow from the definitions by hand. Stops where these functions disagree.
check_against_fao_1998 <- function() {
  time <- c(0, 15, 30, 45, 60, 90, 120)
  curve <- rbind(c(4.3, 6.3, 7.9, 5.3, 4.1, 4.6, 4.9), c(4.0, 6.0, 6.7, 5.5, 5.3, 5.0, 4.2),
                 c(4.1, 5.8, 8.0, 6.5, 5.9, 4.8, 3.9), c(4.0, 5.0, 5.8, 5.4, 4.8, 4.2, 4.4))
  m <- t(apply(curve, 1, function(v) measures_of(window_points(time, v, 120, "time-zero"))))
  same <- function(a, b) isTRUE(all.equal(unname(a), b, tolerance = 1e-12))
  stopifnot(
    identical(unname(round(m[, "area_positive_incremental"])), c(114, 155, 179, 93)),
    same(m[, "area_positive_incremental"], c(113.95, 155.25, 179 + 1 / 6, 93)),
    same(m[, "area_net_incremental"], c(112.5, 155.25, 178.5, 93)),
    same(m[, "area_until_return"], c(97.75, 155.25, 179 + 1 / 6, 93)),
    same(m[, "area_above_minimum"], c(136.5, 155.25, 202.5, 93)),
    same(m[, "area_total"], c(628.5, 635.25, 670.5, 573)),
    same(m[, "peak"], c(7.9, 6.7, 8.0, 5.8)),
    same(m[, "time_to_peak_min"], rep(30, 4)),
    # by hand
    same(m[, "late_dip"], c(0.2, NA, 0.2, NA)),
    same(m[, "time_of_late_dip_min"], c(60, NA, 120, NA)),
    same(m[, "rate_of_rise"], c(3.6, 2.7, 3.9, 1.8) / 30),
    same(m[, "steepest_rise"], c(2 / 15, 2 / 15, 2.2 / 15, 1 / 15)),
    same(m[, "rate_of_fall"], c(3.6 / 27.5, 2.5 / 90, 3.9 / (60 + 70 / 3), 1.4 / 90)),
    same(m[, "time_above_baseline_min"], c(57.5 + 30 + 30 * 0.3 / 0.5, 120, 90 + 70 / 3, 120)))
}
