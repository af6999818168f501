
curveFunctionOf <- function(design, f) {
    left <- setdiff(seq_along(f), design$kept)
    if (length(left) > 0) {
        implied <- f[design$kept] %*% qr.coef(qr(design$x), design$all[, left, drop = FALSE])
        if (any(abs(implied - f[left]) > 1e-7)) {
            return(NULL)
        }
    }
    f[design$kept]
}

curveDf <- function(fit, A, L) {
    v <- drop(L %*% fit$at$C %*% L)
    CL <- fit$at$C %*% L
    g <- vapply(fit$active, function(name) drop(crossprod(CL, fit$at$dInformation[[name]] %*% CL)), 0)
    positive(2 * v^2 / drop(g %*% A %*% g))
}

curveEstimateOf <- function(m, f) {
    result <- c(estimate = NA_real_, se = NA, df = NA, t = NA, p = NA, ci_low = NA, ci_high = NA)
    L <- if (is.null(f)) NULL else curveFunctionOf(m$design, f)
    if (is.null(L)) {
        return(result)
    }
    estimate <- sum(L * m$fit$at$beta)
    se <- sqrt(drop(L %*% m$fit$at$C %*% L))
    df <- curveDf(m$fit, m$A, L)
    result[c("estimate", "se", "df")] <- c(m$scale * estimate, m$scale * se, df)
    if (!is.na(df)) {
        result[c("t", "p", "ci_low", "ci_high")] <-
            c(estimate / se, twoSided(estimate / se, df), m$scale * (estimate + c(-1, 1) * upperT(df) * se))
    }
    result
}

putCurveTerm <- function(m, a, item, functions) {
    put4 <- function(q, df = NA, f = NA, p = NA) {
        put("time_course_terms", c(numerator_df = q, denominator_df = df, f = f, p = p), analyte = a, item = item,
            tolerance = 10 * iterative, noise = c(f = 1e-9, p = 1e-9))
    }
    if (is.null(functions)) {
        return(put4(0))
    }
    L <- lapply(functions, function(f) curveFunctionOf(m$design, f))
    if (any(vapply(L, is.null, TRUE))) {
        return(put4(length(functions)))
    }
    L <- do.call(rbind, L)
    turn <- eigen(L %*% m$fit$at$C %*% t(L), symmetric = TRUE)
    along <- crossprod(turn$vectors, L)
    q <- nrow(L)
    df <- apply(along, 1, function(one) curveDf(m$fit, m$A, one))
    if (anyNA(df)) {
        return(put4(q))
    }
    joint <- if (q == 1 || max(df) - min(df) < 1e-8) mean(df) else if (min(df) <= 2) 2 else {
        e <- sum(df / (df - 2))
        2 * e / (e - q)
    }
    f <- sum(drop(along %*% m$fit$at$beta)^2 / turn$values) / q
    put4(q, joint, f, pf(f, q, joint, lower.tail = FALSE))
}

putCurveTerms <- function(m, a) {
    design <- m$design
    cells <- design$cells
    foodsUsed <- sort(unique(cells$food))
    timesUsed <- sort(unique(cells$time))
    at <- function(f, t) cellFunction(design, f, t)
    full <- nrow(cells) == length(foodsUsed) * length(timesUsed)
    meanOfFood <- function(f) Reduce(`+`, lapply(timesUsed, function(t) at(f, t))) / length(timesUsed)
    meanOfTime <- function(t) Reduce(`+`, lapply(foodsUsed, function(f) at(f, t))) / length(foodsUsed)
    lines <- function(levels, mean) if (!full || length(levels) < 2) NULL else
        lapply(levels[-1], function(l) mean(l) - mean(levels[1]))
    putCurveTerm(m, a, "food", lines(foodsUsed, meanOfFood))
    putCurveTerm(m, a, "time", lines(timesUsed, meanOfTime))
    both <- NULL
    if (length(foodsUsed) > 1 && length(timesUsed) > 1) {
        if (full) {
            both <- list()
            for (f in foodsUsed[-1]) {
                for (t in timesUsed[-1]) {
                    both[[length(both) + 1]] <- at(f, t) - at(foodsUsed[1], t) - at(f, timesUsed[1]) + at(foodsUsed[1], timesUsed[1])
                }
            }
        } else {
            additive <- cbind(outer(cells$food, foodsUsed, "=="), outer(cells$time, timesUsed, "==")) * 1
            q <- qr(additive, LAPACK = FALSE)
            space <- qr.Q(q, complete = TRUE)
            if (q$rank < nrow(cells)) {
                both <- lapply((q$rank + 1):nrow(cells), function(k) c(space[, k], rep(0, ncol(design$all) - nrow(cells))))
            }
        }
    }
    putCurveTerm(m, a, "food x time", both)
    if (design$periods > 1) {
        n <- nrow(cells)
        lost <- length(design$kept) < ncol(design$all)
        putCurveTerm(m, a, "period", if (lost) NULL else lapply(n + seq_len(design$periods - 1), function(k) {
            as.numeric(seq_len(ncol(design$all)) == k)
        }))
    }
}

putTimeCourse <- function(a) {
    data <- timeCourseData(a)
    if (is.null(data)) {
        return(invisible())
    }
    putRepeatedMeasures(a, data)
    rows <- data$rows
    design <- curveDesignOf(a, data)
    own <- reported[reported$table == "time_course" & counts(reported$analyte_no) == a & reported$item == "fit", ]
    has <- function(quantity) any(nzchar(own$value[own$quantity == quantity]))
    put("time_course", c(rows = nrow(rows), subjects = length(unique(rows$subject)),
                         curves = nrow(unique(rows[c("subject", "food", "visit")])), off_schedule = data$off),
        analyte = a, item = "fit")
    because <- ""
    if (!has("log_likelihood")) {
        because <- "the report has no fit of the time course; its reason stands beside each number"
    } else if (planned("time_course") == "unstructured") {
        because <- "the unstructured covariance of a time course has too many parameters for this script"
    } else if (nrow(rows) > mostCurveRows) {
        because <- "too many values for this script's model of the time course"
    }
    if (because != "") {
        later <- reported$table %in% c("time_course", "time_course_terms", "time_course_means", "time_course_differences") &
            counts(reported$analyte_no) == a & !reported$quantity %in% c("rows", "subjects", "curves", "off_schedule")
        for (i in which(later)) {
            put(reported$table[i], setNames(NA_real_, reported$quantity[i]), analyte = a, food = counts(reported$food_no[i]),
                comparator = counts(reported$comparator_no[i]), item = reported$item[i],
                because = if (nzchar(reported$value[i])) because else "")
        }
        return(invisible())
    }
    ols <- qr(design$x)
    scale <- sqrt(sum(qr.resid(ols, rows$y)^2) / (nrow(rows) - ncol(design$x)))
    parts <- c(subject = "variance_subject", food = "variance_subject_food", curve = "variance_curve", residual = "variance_residual",
               rho = "rho")
    names <- names(parts)[vapply(parts, has, TRUE)]
    unit <- min(diff(data$times[sort(unique(rows$time))]))
    blocks <- curveBlocks(rows, qr.resid(ols, rows$y) / scale, design$x, data$times)
    fit <- fitCurves(blocks, names, unit)
    fit$at$beta <- fit$at$beta + qr.coef(ols, rows$y) / scale
    m <- list(design = design, fit = fit, A = 2 * solve(fit$H), scale = scale)
    freedom <- nrow(rows) - ncol(design$x)
    minusTwo <- fit$at$value + 2 * freedom * log(scale)
    k <- ncol(design$x) + length(names)
    value <- function(name) if (name %in% names) fit$theta[[name]] * scale^2 else NA
    tolerance <- 10 * iterative
    put("time_course", c(variance_subject = value("subject"), variance_subject_food = value("food"), variance_curve = value("curve"),
                         variance_residual = value("residual"), rho = if ("rho" %in% names) fit$theta[["rho"]] else NA,
                         rho_unit_min = if ("rho" %in% names) unit else NA, log_likelihood = -minusTwo / 2,
                         aic = minusTwo + 2 * k, bic = minusTwo + log(freedom) * k),
        analyte = a, item = "fit", tolerance = tolerance,
        noise = c(variance_subject = 1e-6 * scale^2, variance_subject_food = 1e-6 * scale^2, variance_curve = 1e-6 * scale^2,
                  rho = 1e-6, log_likelihood = 1e-5, aic = 1e-5, bic = 1e-5))
    putCurveTerms(m, a)
    noise <- c(estimate = 1e-7 * scale, ci_low = 1e-6 * scale, ci_high = 1e-6 * scale, t = 1e-5, p = 1e-6, p_adjusted = 1e-5)
    has2 <- function(f, t) any(design$cells$food == f & design$cells$time == t)
    foodsUsed <- sort(unique(rows$food))
    timesUsed <- sort(unique(rows$time))
    for (f in foodsUsed) {
        e <- lapply(timesUsed, function(t) curveEstimateOf(m, if (has2(f, t)) cellFunction(design, f, t)))
        for (i in seq_along(timesUsed)) {
            t <- timesUsed[i]
            n <- design$values[design$cells$food == f & design$cells$time == t]
            put("time_course_means", c(time_min = data$times[t], n = if (length(n) == 0) 0 else n,
                                       e[[i]][c("estimate", "se", "df", "ci_low", "ci_high")]),
                analyte = a, food = f, item = t, tolerance = tolerance, noise = noise)
        }
        if (f == comparator || !comparator %in% foodsUsed) {
            next
        }
        d <- lapply(timesUsed, function(t) curveEstimateOf(m, if (has2(f, t) && has2(comparator, t)) {
            cellFunction(design, f, t) - cellFunction(design, comparator, t)
        }))
        adjusted <- adjustedP(vapply(d, function(e) e[["p"]], 0), planned("multiplicity"))
        for (i in seq_along(timesUsed)) {
            put("time_course_differences", c(d[[i]], p_adjusted = adjusted[i]), analyte = a, food = f, comparator = comparator,
                item = timesUsed[i], tolerance = tolerance, noise = noise)
        }
    }
}

if (planned("time_course") != "none") {
    for (a in seq_len(nrow(analytes))) {
        putTimeCourse(a)
    }
}
