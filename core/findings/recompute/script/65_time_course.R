
# ---- Time course --------------------------------------------------------------------------------------------------

# The values of one analyte at the times of the schedule; NULL where there is nothing to model.
timeCourseData <- function(a) {
    of <- which(mainCounts & curves$analyte_no == a)
    increment <- planned("time_course_value") == "increment"
    times <- unlist(lapply(of, function(i) mainSeries[[i]]$scheduled))
    if (length(times) == 0 || length(unique(curves$food_no[of])) < 2) {
        return(NULL)
    }
    inWindow <- function(t) t <= windowEnd & (if (increment) t > 0 else t >= 0)
    each <- sort(unique(times))
    each <- each[2 * tabulate(match(times, each), length(each)) > length(of) & inWindow(each)]
    if (length(each) < 2) {
        return(NULL)
    }
    rows <- do.call(rbind, lapply(of, function(i) {
        s <- mainSeries[[i]]
        n <- length(s$scheduled)
        data.frame(subject = rep(curves$subject_no[i], n), food = rep(curves$food_no[i], n), visit = rep(curves$visit_no[i], n),
                   period = rep(curves$period_no[i], n), minutes = s$scheduled,
                   y = s$value - (if (increment) mainTable$baseline[i] else 0))
    }))
    rows <- rows[inWindow(rows$minutes), ]
    rows$time <- match(rows$minutes, each)
    off <- sum(is.na(rows$time))
    rows <- rows[!is.na(rows$time), ]
    rows <- rows[order(rows$subject, rows$food, rows$visit, rows$time), ]
    list(rows = rows, times = each, off = off, size = largestOf(unlist(lapply(of, function(i) mainSeries[[i]]$value))))
}

# Classical table of food by time within subjects: each effect against its own interaction with subject.
putRepeatedMeasures <- function(a, data) {
    rows <- data$rows
    foodsUsed <- sort(unique(rows$food))
    timesUsed <- sort(unique(rows$time))
    cell <- tapply(rows$y, list(rows$subject, factor(paste(rows$food, rows$time),
                   levels = paste(rep(foodsUsed, each = length(timesUsed)), rep(timesUsed, length(foodsUsed))))), mean)
    cell <- cell[rowSums(is.na(cell)) == 0, , drop = FALSE]
    n <- nrow(cell)
    put("repeated_measures", c(subjects = n), analyte = a, item = "all")
    if (n < 2) {
        return(invisible())
    }
    contrasts <- function(levels) if (levels < 2) matrix(0, levels, 0) else {
        C <- contr.helmert(levels)
        C %*% diag(1 / sqrt(colSums(C^2)), levels - 1)
    }
    flat <- function(levels) matrix(1 / sqrt(levels), levels, 1)
    f <- length(foodsUsed)
    t <- length(timesUsed)
    terms <- list(food = kronecker(contrasts(f), flat(t)), time = kronecker(flat(f), contrasts(t)),
                  "food x time" = kronecker(contrasts(f), contrasts(t)))
    scale <- 2 * scaleOf(rows$y)
    for (name in names(terms)) {
        putTerm(a, name, cell / scale, terms[[name]], scale, data$size)
    }
}

putTerm <- function(a, name, values, C, scale, size) {
    n <- nrow(values)
    k <- ncol(C)
    e <- c(df = 0, error_df = 0, sum_of_squares = NA, error_sum_of_squares = NA, f = NA, p = NA,
           epsilon_greenhouse_geisser = NA, df_greenhouse_geisser = NA, error_df_greenhouse_geisser = NA,
           p_greenhouse_geisser = NA, epsilon_huynh_feldt = NA, df_huynh_feldt = NA, error_df_huynh_feldt = NA,
           p_huynh_feldt = NA, mauchly_w = NA, mauchly_chi_square = NA, mauchly_df = 0, mauchly_p = NA)
    if (k == 0 || k > 2000) {
        return(put("repeated_measures", e, analyte = a, item = name))
    }
    e[c("df", "error_df")] <- c(k, k * (n - 1))
    z <- values %*% C
    centre <- colMeans(z)
    rest <- sweep(z, 2, centre)
    S <- crossprod(rest)
    error <- sum(diag(S))
    if (!(sqrt(error / (k * (n - 1))) > resolution)) {
        return(put("repeated_measures", e, analyte = a, item = name))
    }
    effect <- n * sum(centre^2)
    back <- finite(c(effect, error) * scale * scale)
    if (!is.na(back[2]) && back[2] >= .Machine$double.xmin) {
        e[c("sum_of_squares", "error_sum_of_squares")] <- back
    }
    f <- effect / (error / (n - 1))
    e[c("f", "p")] <- c(f, pf(f, k, k * (n - 1), lower.tail = FALSE))
    corrected <- function(epsilon) {
        used <- min(epsilon, 1)
        c(epsilon, used * k, used * k * (n - 1), pf(f, used * k, used * k * (n - 1), lower.tail = FALSE))
    }
    greenhouse <- if (k == 1) 1 else error^2 / (k * sum(S^2))
    e[c("epsilon_greenhouse_geisser", "df_greenhouse_geisser", "error_df_greenhouse_geisser", "p_greenhouse_geisser")] <-
        corrected(greenhouse)
    divisor <- k * (n - 1 - k * greenhouse)
    huynh <- if (k == 1) 1 else if (divisor > 1e-9 * k * n) (n * k * greenhouse - 2) / divisor else NA
    if (isTRUE(huynh > 0)) {
        e[c("epsilon_huynh_feldt", "df_huynh_feldt", "error_df_huynh_feldt", "p_huynh_feldt")] <- corrected(huynh)
    }
    freedom <- n - 1
    if (k > 1 && freedom >= k) {
        values <- eigen(S / (error / k), symmetric = TRUE, only.values = TRUE)$values
        shrink <- 1 - (2 * k^2 + k + 2) / (6 * k * freedom)
        if (min(values) > 1e-13 * max(values) && shrink > 0) {
            logW <- sum(log(values))
            chi <- max(0, -freedom * shrink * logW)
            df <- k * (k + 1) / 2 - 1
            weight <- (k + 2) * (k - 1) * (k - 2) * (2 * k^3 + 6 * k^2 + 3 * k + 2) / (288 * (freedom * k * shrink)^2)
            first <- pchisq(chi, df, lower.tail = FALSE)
            second <- pchisq(chi, df + 4, lower.tail = FALSE)
            e[c("mauchly_w", "mauchly_chi_square", "mauchly_df", "mauchly_p")] <-
                c(exp(logW), chi, df, min(1, max(.Machine$double.xmin, first + weight * (second - first))))
        }
    }
    # Rounding of a value, as a share of what varies; a small p magnifies it.
    share <- 1e-16 * size / (scale * sqrt(error / (k * (n - 1))))
    noise <- abs(e) * share * (1 + ifelse(grepl("^(p|mauchly_p)", names(e)) & !is.na(e) & e > 0, abs(log(e)), 0))
    noise["sum_of_squares"] <- noise["sum_of_squares"] + 1e-13 * error * scale^2
    put("repeated_measures", e, analyte = a, item = name, noise = noise)
}
