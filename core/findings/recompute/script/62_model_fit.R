
# A model of the rows (subject, food, period, sequence, y): its numbers, or why there are none.
fitModel <- function(rows, factors) {
    subject <- match(rows$subject, unique(rows$subject))
    counts <- c(rows = nrow(rows), subjects = max(subject))
    nothing <- function(why) list(counts = counts, why = why)
    if (counts[["subjects"]] < 2) {
        return(nothing("one subject"))
    }
    if (!all(is.finite(rows$y))) {
        return(nothing("a value is not finite"))
    }
    # Values below 1: the resolution is a share of the largest.
    scale <- 2 * scaleOf(rows$y)
    y <- rows$y / scale
    design <- designOf(factors)
    basis <- turned(design, subject)
    design$turn <- basis$turn
    x <- basis$parts
    withinRank <- basis$withinRank
    n <- nrow(rows)
    rank <- ncol(design$x)
    if (n == max(subject) || n == max(subject) + withinRank || max(subject) + withinRank == rank) {
        return(nothing("no degree of freedom within or between subjects"))
    }
    start <- crossprod(basis$basis, y)
    rest <- y - basis$basis %*% start
    again <- crossprod(basis$basis, rest)
    start <- drop(start + again)
    rest <- drop(rest - basis$basis %*% again)
    if (max(abs(rest)) <= resolution) {
        return(nothing("the factors reproduce every value"))
    }
    r <- inSubjects(rest, subject)
    lambda <- bestLambda(x, r)
    fit <- if (is.na(lambda)) NULL else remlAt(lambda, x, r)
    if (is.null(fit) || sqrt(fit$squares / fit$freedom) <= resolution) {
        return(nothing("the residual variance cannot be told from 0"))
    }
    sigma2 <- fit$squares / fit$freedom
    d <- derivativesOf(fit, x, sigma2)
    inference <- inferenceOf(fit, d, lambda, planned("model_df"))
    if (is.null(inference)) {
        return(nothing("too little information about the variances"))
    }
    list(counts = counts, why = "", fit = fit, lambda = lambda, sigma2 = sigma2, d = d, inference = inference,
         beta = start + drop(fit$coefficients), design = design, scale = scale, size = largestOf(rows$y),
         y = y, rows = rows)
}

positive <- function(x) if (isTRUE(is.finite(x) && x > 0)) x else NA_real_

estimateOf <- function(m, f) {
    result <- c(estimate = NA_real_, se = NA, df = NA, t = NA, p = NA, ci_low = NA, ci_high = NA)
    L <- estimable(m$design, f)
    if (is.null(L)) {
        return(result)
    }
    estimate <- sum(L * m$beta)
    se <- sqrt(m$sigma2 * drop(L %*% m$inference$cov %*% L))
    df <- positive(m$inference$df(L))
    result[c("estimate", "se", "df")] <- c(finite(m$scale * estimate), finite(m$scale * se), df)
    if (!is.na(df)) {
        ci <- finite(m$scale * (estimate + c(-1, 1) * upperT(df) * se))
        result[c("t", "p")] <- c(estimate / se, twoSided(estimate / se, df))
        result[c("ci_low", "ci_high")] <- if (anyNA(ci)) NA else ci
    }
    result
}

# What rounding can do to an estimate and its test.
modelNoise <- function(m, e) {
    values <- 1e-11 * m$size
    ofT <- if (is.na(e[["t"]])) 0 else values / e[["se"]] * (1 + abs(e[["t"]]))
    ofP <- if (ofT == 0) 0 else 2 * dt(e[["t"]], e[["df"]]) * ofT
    c(estimate = values, se = values, ci_low = 10 * values, ci_high = 10 * values, t = ofT, p = ofP,
      p_adjusted = 100 * ofP)
}

variancesOf <- function(m) {
    residual <- finite(m$scale * m$sigma2 * m$scale)
    subject <- finite(m$scale * (m$lambda * m$sigma2) * m$scale)
    if (!is.na(residual) && residual < .Machine$double.xmin) {
        residual <- NA_real_
    }
    c(variance_subject = if (is.na(residual)) NA_real_ else subject, variance_residual = residual,
      log_likelihood = -0.5 * (m$fit$profile + 2 * as.numeric(determinant(m$design$turn)$modulus) + m$fit$freedom * (1 + log(2 * pi))) - m$fit$freedom * log(m$scale))
}

pairsOfFoods <- function(levels) {
    others <- setdiff(levels, comparator)
    pairs <- if (comparator %in% levels) lapply(others, function(f) c(f, comparator)) else list()
    for (i in seq_along(others)) {
        for (j in seq_len(i - 1)) {
            pairs[[length(pairs) + 1]] <- c(others[i], others[j])
        }
    }
    pairs
}

# The food whose effect each row may carry over: that of the same subject in the period before. 0: none, as in the first
# period; NA: not known.
carriedOver <- function(rows, a) {
    of <- curves$analyte_no == a & curves$period_no > 0
    subject <- c(rows$subject, curves$subject_no[of])
    period <- c(rows$period, curves$period_no[of])
    food <- c(rows$food, curves$food_no[of])
    first <- min(period)
    vapply(seq_len(nrow(rows)), function(i) {
        foodsIn <- function(p) unique(food[subject == rows$subject[i] & period == p])
        before <- foodsIn(rows$period[i] - 1)
        if (length(foodsIn(rows$period[i])) > 1) NA_integer_
        else if (rows$period[i] == first) 0L
        else if (length(before) == 1) before
        else NA_integer_
    }, 0L)
}

factorsOf <- function(rows) {
    factors <- list(food = rows$food)
    if (length(unique(rows$period)) > 1 && !any(rows$period == 0)) {
        factors$period <- rows$period
    }
    sequences <- length(unique(rows$sequence))
    if (sequences > 1 && !any(rows$sequence == 0) && sequences < length(unique(rows$subject))) {
        factors$sequence <- rows$sequence
    }
    factors
}

# Fits what the plan asks for; leaves out what the design cannot tell from the foods: carry-over first, then period.
fitPlanned <- function(rows, a) {
    unknown <- 0
    reduced <- rows
    carried <- NULL
    if (planned("carry_over") == "yes" && !any(rows$period < 1)) {
        carried <- carriedOver(rows, a)
        if (all(carried[!is.na(carried)] == 0)) {
            carried <- NULL
        } else {
            unknown <- sum(is.na(carried))
            reduced <- rows[!is.na(carried), ]
            carried <- carried[!is.na(carried)]
        }
    }
    factors <- factorsOf(reduced)
    factors[["carry-over"]] <- carried
    m <- fitModel(reduced, factors)
    differences <- differencesOf(m, factors, sort(unique(reduced$food)))
    lost <- function() any(vapply(differences, function(e) is.na(e[["estimate"]]), TRUE))
    if (!is.null(carried) && lost()) {
        unknown <- 0
        reduced <- rows
        factors <- factorsOf(rows)
        m <- fitModel(rows, factors)
        differences <- differencesOf(m, factors, sort(unique(rows$food)))
    }
    if (!is.null(factors$period) && lost()) {
        factors$period <- NULL
        m <- fitModel(reduced, factors)
        differences <- differencesOf(m, factors, sort(unique(reduced$food)))
    }
    list(m = m, factors = factors, differences = differences, unknown = unknown, levels = sort(unique(reduced$food)))
}

# Conditional residuals and predicted effects of the subjects.
putResiduals <- function(m, a, measure) {
    e <- m$fit$e
    subject <- e$subject
    effect <- unname(m$lambda / (1 + m$lambda * e$n) * drop(e$total))
    residual <- unname(drop(e$within) + (drop(e$total) / e$n)[subject]) - effect[subject]
    noise <- 1e-9 * m$size
    z <- normalQuantiles(m$scale * residual, noise)
    for (i in seq_along(residual)) {
        put("model_residuals", c(fitted = m$scale * (m$y[i] - residual[i]), residual = m$scale * residual[i],
                                 scaled = residual[i] / sqrt(m$sigma2), normal_quantile = z$z[i]),
            analyte = a, measure = measure, food = m$rows$food[i], subject = m$rows$subject[i], item = i, tolerance = iterative,
            noise = c(fitted = noise, residual = noise, scaled = 1e-6 + noise / (m$scale * sqrt(m$sigma2)),
                      normal_quantile = z$noise[i] + 1e-12))
    }
    z <- normalQuantiles(m$scale * effect, noise + 1e-6 * m$scale * sqrt(m$sigma2))
    ids <- unique(m$rows$subject)
    for (s in seq_along(effect)) {
        place <- match(sort(ids), ids)[s]
        put("model_subjects", c(effect = m$scale * effect[place], normal_quantile = z$z[place]), analyte = a, measure = measure,
            subject = ids[place], tolerance = iterative,
            noise = c(effect = noise + 1e-6 * m$scale * sqrt(m$sigma2), normal_quantile = z$noise[place] + 1e-12))
    }
}

hasPeriod <- rep(FALSE, nrow(analytes))

putModel <- function(a, measure) {
    y <- mainTable$values[, measure]
    of <- which(mainCounts & curves$analyte_no == a & !is.na(y))
    rows <- data.frame(subject = curves$subject_no[of], food = curves$food_no[of], period = curves$period_no[of],
                       sequence = subjects$sequence_no[curves$subject_no[of]], y = y[of])
    if (length(unique(rows$food)) < 2) {
        return(invisible())
    }
    found <- fitPlanned(rows, a)
    m <- found$m
    factors <- found$factors
    differences <- found$differences
    if (measure == mainMeasure) {
        hasPeriod[a] <<- !is.null(factors$period)
    }
    formula <- paste0(paste(names(factors), collapse = " + "), " + (1 | subject)")
    boundary <- if (nzchar(m$why) || m$lambda > 0) "no" else "yes"
    variances <- if (nzchar(m$why)) c(variance_subject = NA, variance_residual = NA, log_likelihood = NA) else variancesOf(m)
    put("model", c(m$counts, variances, carry_over_unknown = found$unknown), c(formula = formula, boundary = boundary), a,
        measure, tolerance = iterative,
        noise = if (nzchar(m$why)) 0 else c(variance_subject = 1e-6 * variances[["variance_residual"]],
                                            log_likelihood = 1e-6))
    if (nzchar(m$why)) {
        return(invisible())
    }
    for (k in seq_along(factors)) {
        L <- lastContrasts(m$design, k)
        test <- if (is.null(L)) c(f = NA, df = NA) else testOf(L, m$beta, m$inference, m$d, m$sigma2)
        if (is.na(positive(test[["df"]])) || !is.finite(test[["f"]]) || test[["f"]] < 0) {
            test[] <- NA
        }
        q <- if (is.null(L)) 0 else nrow(L)
        put("model_terms", c(numerator_df = q, denominator_df = test[["df"]], f = test[["f"]],
                             p = if (is.na(test[["f"]])) NA else pf(test[["f"]], q, test[["df"]], lower.tail = FALSE)),
            analyte = a, measure = measure, item = names(factors)[k], tolerance = iterative,
            noise = c(f = 1e-12, p = 1e-12))
    }
    for (f in found$levels) {
        e <- estimateOf(m, meanFunction(m$design, factors, f))
        put("model_means", e[c("estimate", "se", "df", "ci_low", "ci_high")], analyte = a, measure = measure, food = f,
            tolerance = iterative, noise = modelNoise(m, e))
    }
    putResiduals(m, a, measure)
    family <- familyOf(m, factors, differences, found$levels)
    for (i in seq_along(differences)) {
        pair <- attr(differences, "pairs")[[i]]
        e <- c(differences[[i]], p_adjusted = family$p[i])
        noise <- modelNoise(m, e)
        noise["p_adjusted"] <- noise[["p_adjusted"]] + family$noise
        place <- function(values, because = "") {
            put("model_differences", values, analyte = a, measure = measure, food = pair[1], comparator = pair[2],
                tolerance = iterative, noise = c(noise, simultaneous_ci_low = noise[["ci_low"]],
                                                 simultaneous_ci_high = noise[["ci_high"]]), because = because)
        }
        place(differences[[i]])
        place(c(p_adjusted = family$p[i], simultaneous_ci_low = family$low[i], simultaneous_ci_high = family$high[i]),
              if (family$inFamily[i]) family$because else "")
    }
}

differencesOf <- function(m, factors, levels) {
    if (nzchar(m$why)) {
        return(list())
    }
    pairs <- pairsOfFoods(levels)
    result <- lapply(pairs, function(p) {
        estimateOf(m, meanFunction(m$design, factors, p[1]) - meanFunction(m$design, factors, p[2]))
    })
    attr(result, "pairs") <- pairs
    result
}

for (a in seq_len(nrow(analytes))) {
    for (measure in comparedMeasures) {
        putModel(a, measure)
    }
}
