
# ---- Digestion in vitro: curves -----------------------------------------------------------------------------------

digestModels <- c("one-phase", "one-phase-with-start", "two-phases")
risen <- function(t, rates) -expm1(-outer(t, rates))

# Amplitudes and logarithms of rates; times and values near 1. Levenberg-Marquardt from the best of a grid of rates,
# then Gauss-Newton steps as long as the residuals become more orthogonal to the derivatives.
curveSearch <- function(t, y, start, phases) {
    basis <- function(rates) if (start) cbind(1, risen(t, rates)) else risen(t, rates)
    linear <- phases + start
    residuals <- function(x) as.vector(basis(exp(x[-seq_len(linear)])) %*% x[seq_len(linear)]) - y
    derivatives <- function(x) {
        rates <- exp(x[-seq_len(linear)])
        kt <- outer(t, rates)
        ofRate <- kt * exp(-kt)
        ofRate[!is.finite(ofRate)] <- 0
        cbind(basis(rates), sweep(ofRate, 2, x[start + seq_len(phases)], "*"))
    }
    solved <- function(rates) {
        b <- basis(rates)
        amplitudes <- qr.coef(qr(b), y)
        amplitudes[is.na(amplitudes)] <- 0
        list(x = c(amplitudes, log(rates)), rss = sum((b %*% amplitudes - y)^2))
    }
    grid <- exp(seq(log(0.03), log(300), length.out = if (phases == 1) 61 else 25))
    if (phases == 1) {
        tried <- lapply(grid, solved)
        best <- tried[[which.min(vapply(tried, function(s) s$rss, 0))]]
    } else {
        # Both amplitudes of every pair of rates from the normal equations.
        E <- risen(t, grid)
        G <- crossprod(E)
        h <- as.vector(crossprod(E, y))
        pairs <- combn(25, 2)
        slow <- pairs[1, ]
        fast <- pairs[2, ]
        det <- G[cbind(fast, fast)] * G[cbind(slow, slow)] - G[cbind(fast, slow)]^2
        a <- (h[fast] * G[cbind(slow, slow)] - h[slow] * G[cbind(fast, slow)]) / det
        b <- (h[slow] * G[cbind(fast, fast)] - h[fast] * G[cbind(fast, slow)]) / det
        gain <- ifelse(det > 0 & a > 0 & b > 0, a * h[fast] + b * h[slow], -Inf)
        if (all(gain == -Inf)) {
            return(NULL)
        }
        best <- solved(grid[c(fast[which.max(gain)], slow[which.max(gain)])])
    }
    x <- best$x
    rss <- best$rss
    damping <- 1e-3
    for (step in 1:2000) {
        J <- derivatives(x)
        r <- residuals(x)
        lengths <- sqrt(colSums(J^2))
        lengths[lengths == 0] <- 1
        move <- qr.coef(qr(rbind(J, diag(sqrt(damping) * lengths))), c(-r, numeric(length(x))))
        move[is.na(move)] <- 0
        tried <- x + pmax(pmin(move, 3), -3)
        now <- sum(residuals(tried)^2)
        if (is.finite(now) && now < rss && all(is.finite(derivatives(tried)))) {
            small <- rss - now <= 1e-16 * rss && max(abs(move)) < 1e-9
            x <- tried
            rss <- now
            damping <- max(damping / 10, 1e-15)
            if (small) break
        } else {
            damping <- damping * 10
            if (damping > 1e12) break
        }
    }
    steepness <- function(x) {
        J <- derivatives(x)
        r <- residuals(x)
        of <- abs(colSums(J * r)) / (sqrt(colSums(J^2)) * sqrt(sum(r^2)))
        max(of[is.finite(of)], 0)
    }
    steep <- steepness(x)
    for (step in 1:30) {
        move <- qr.coef(qr(derivatives(x)), residuals(x))
        now <- if (anyNA(move) || !all(is.finite(derivatives(x - move)))) NA else steepness(x - move)
        if (is.na(now) || now >= steep) break
        x <- x - move
        steep <- now
    }
    list(x = x, rss = sum(residuals(x)^2), J = derivatives(x), steep = steep, linear = linear)
}

# One curve; `estimate` is absent where it cannot be used.
fitCurve <- function(t, y, model) {
    start <- model == "one-phase-with-start"
    phases <- if (model == "two-phases") 2 else 1
    parameters <- 2 * phases + start
    keys <- switch(model, "one-phase" = c("cinf", "k"), "one-phase-with-start" = c("c0", "cinf", "k"),
                   c("cinf_1", "cinf_2", "k_1", "k_2"))
    fit <- list(model = model, n = length(t), estimate = NULL, aicc = NA_real_, exact = FALSE, because = "")
    after <- unique(t[t > 0])
    if (length(t) <= parameters || length(after) < parameters || max(y) - min(y) <= 1e-12 * max(abs(y))) {
        return(fit)
    }
    last <- max(t)
    size <- max(abs(y))
    found <- curveSearch(t / last, y / size, start, phases)
    if (phases == 2) {
        fit$because <- "the search of this script finds no two phases; where it ends depends on where it begins"
    }
    if (is.null(found)) {
        return(fit)
    }
    x <- found$x
    if (phases == 2 && x[3] < x[4]) {
        x <- x[c(2, 1, 4, 3)]
        found$J <- found$J[, c(2, 1, 4, 3)]
    }
    linear <- found$linear
    rates <- exp(x[-seq_len(linear)])
    fit$exact <- found$rss <= 1e-22 * sum((y / size)^2)
    bounded <- any(rates < 0.02) || any(rates * min(after) / last > 20)
    apart <- phases == 1 || x[3] - x[4] >= log(1.2)
    if (bounded || !all(x[start + seq_len(phases)] > 0) || !apart || (!fit$exact && found$steep > 1e-6)) {
        return(fit)
    }
    lengths <- sqrt(colSums(found$J^2))
    singular <- svd(sweep(found$J, 2, lengths, "/"))
    if (min(singular$d) <= 1e-6 * max(singular$d)) {
        fit$because <- "the readings hardly tell the parameters of the curve apart"
        return(fit)
    }
    fit$because <- ""
    fit$last <- last
    fit$df <- length(t) - parameters
    fit$rss <- found$rss * size^2
    fit$size <- size
    spread <- sqrt(rowSums(sweep(singular$v, 2, singular$d, "/")^2)) / lengths * sqrt(found$rss / fit$df)
    fit$estimate <- c(x[seq_len(linear)] * size, rates / last)
    fit$se <- spread * c(rep(size, linear), rates / last)
    if (fit$exact) {
        fit$se[] <- NA
    }
    names(fit$estimate) <- names(fit$se) <- keys
    k <- parameters + 1
    if (length(t) > k + 1 && !fit$exact) {
        fit$aicc <- length(t) * log(fit$rss / length(t)) + 2 * k + 2 * k * (k + 1) / (length(t) - k - 1)
    }
    fit
}

# All models, and the place of the chosen one (0: none).
fitsOf <- function(t, y) {
    fits <- lapply(digestModels, function(m) fitCurve(t, y, m))
    chosen <- 0
    for (i in seq_along(fits)) {
        one <- fits[[i]]
        if (is.null(one$estimate)) next
        before <- if (chosen > 0) fits[[chosen]] else NULL
        better <- is.null(before) || (one$exact && !before$exact) ||
            (one$exact == before$exact && !one$exact && !is.na(one$aicc) && !is.na(before$aicc) && one$aicc < before$aicc)
        if (better) chosen <- i
    }
    list(fits = fits, chosen = chosen)
}

putFits <- function(item, choice) {
    for (i in seq_along(choice$fits)) {
        fit <- choice$fits[[i]]
        values <- c(n = fit$n)
        noise <- c(n = 0)
        for (key in c("c0", "cinf", "k", "cinf_1", "k_1", "cinf_2", "k_2")) {
            has <- key %in% names(fit$estimate)
            e <- if (has) fit$estimate[[key]] else NA_real_
            se <- if (has) fit$se[[key]] else NA_real_
            half <- if (is.na(se)) NA_real_ else upperT(fit$df) * se
            some <- if (!is.na(se)) 1e-6 * se else if (has) 1e-9 * fit$size else 0
            values[paste0(key, c("", "_se", "_ci_low", "_ci_high"))] <- c(e, se, e - half, e + half)
            noise[paste0(key, c("", "_se", "_ci_low", "_ci_high"))] <- some
        }
        used <- !is.null(fit$estimate)
        values[c("rss", "residual_sd", "df", "aicc")] <- if (used) c(fit$rss, sqrt(fit$rss / fit$df), fit$df, fit$aicc) else NA
        if (used && fit$exact) {
            noise[c("rss", "residual_sd")] <- c(1e-20, 1e-10) * fit$n * fit$size^c(2, 1)
        }
        place <- paste(item, fit$model, sep = "/")
        put("digestion_fits", values["n"], c(chosen = if (choice$chosen == i) "yes" else ""), item = place)
        put("digestion_fits", values[-1], item = place, tolerance = iterative, noise = noise, because = fit$because)
    }
}

fittedAreaOf <- function(fit, end) {
    e <- fit$estimate
    part <- function(c, k) c * (end + expm1(-k * end) / k)
    switch(fit$model, "one-phase" = part(e[["cinf"]], e[["k"]]),
           "one-phase-with-start" = e[["c0"]] * end + part(e[["cinf"]], e[["k"]]),
           part(e[["cinf_1"]], e[["k_1"]]) + part(e[["cinf_2"]], e[["k_2"]]))
}

# From 0, where nothing is digested unless a reading says otherwise, to `end`.
digestedArea <- function(t, y, end) {
    if (length(t) == 0 || is.na(end)) {
        return(NA_real_)
    }
    if (t[1] > 0) {
        t <- c(0, t)
        y <- c(0, y)
    }
    if (!end %in% t) {
        if (!assayInterpolates || end > max(t)) {
            return(NA_real_)
        }
        y <- c(y[t < end], approx(t, y, end)$y)
        t <- c(t[t < end], end)
    }
    keep <- t <= end
    sum(diff(t[keep]) * (head(y[keep], -1) + tail(y[keep], -1)) / 2)
}

# SD of the readings about the curve whose slope the lines are, through the first reading.
slopeCurveSd <- function(t, y, phases, bend) {
    cinf <- vapply(phases, function(phase) phase[["cinf"]], 0)
    k <- vapply(phases, function(phase) phase[["k"]], 0)
    df <- length(t) - (if (length(phases) == 2) 6 else 3)
    if (anyNA(cinf) || df < 1) {
        return(NA_real_)
    }
    gained <- function(phase, from, to) cinf[phase] * (exp(-k[phase] * from) - exp(-k[phase] * to))
    if (length(phases) == 1) {
        curve <- y[1] + gained(1, t[1], t)
    } else {
        at <- bend
        if (is.na(at) || at < phases[[1]][["from_min"]] || at > phases[[2]][["to_min"]]) {
            at <- (phases[[1]][["to_min"]] + phases[[2]][["from_min"]]) / 2
        }
        curve <- y[1] + gained(1, t[1], pmin(t, at)) + gained(2, at, pmax(t, at))
    }
    finite(sqrt(sum((y - curve)^2) / df))
}

# ln of the slope over the middle times, as one line or as two.
slopesOf <- function(t, y) {
    none <- list(phases = list(NULL), bend = NA_real_, one = NA_real_, two = NA_real_, rounding = FALSE, curveSd = NA_real_)
    readings <- list(t = t, y = y)
    slope <- diff(y) / diff(t)
    x <- (head(t, -1) + diff(t) / 2)[slope > 0]
    y <- log(slope[slope > 0])
    n <- length(x)
    if (n < 3) {
        return(none)
    }
    line <- function(of) {
        xc <- x[of] - mean(x[of])
        b <- sum(xc * (y[of] - mean(y[of]))) / sum(xc^2)
        a <- mean(y[of]) - b * mean(x[of])
        rss <- sum((y[of] - a - b * x[of])^2)
        spread <- sum((y[of] - mean(y[of]))^2)
        k <- -b
        c(from_min = x[of[1]], to_min = x[of[length(of)]], n = length(of), k = k,
          k_se = if (length(of) > 2 && rss > 1e-24 * spread) sqrt(rss / (length(of) - 2) / sum(xc^2)) else NA,
          intercept = a, cinf = if (k > 0) finite(exp(a) / k) else NA, rss = rss)
    }
    ofAicc <- function(rss, k) {
        if (n <= k + 1 || rss <= 0) NA_real_ else n * log(rss / n) + 2 * k + 2 * k * (k + 1) / (n - k - 1)
    }
    straight <- function(rss) rss <= 1e-22 * n * max(abs(y), 1)^2
    all <- line(seq_len(n))
    result <- none
    result$phases <- list(all)
    result$one <- ofAicc(all[["rss"]], 3)
    result$rounding <- straight(all[["rss"]])
    result$curveSd <- slopeCurveSd(readings$t, readings$y, result$phases, NA_real_)
    if (n < 6 || result$rounding) {
        return(result)
    }
    splits <- 3:(n - 3)
    halves <- lapply(splits, function(s) list(line(1:s), line((s + 1):n)))
    sums <- vapply(halves, function(h) h[[1]][["rss"]] + h[[2]][["rss"]], 0)
    best <- halves[[which.min(sums)]]
    result$two <- ofAicc(min(sums), 6)
    exact <- straight(min(sums))
    if (exact) {
        result$twoRounding <- TRUE
    }
    better <- exact || (!is.na(result$one) && !is.na(result$two) && result$two < result$one)
    if (better && !is.na(best[[1]][["cinf"]]) && !is.na(best[[2]][["cinf"]])) {
        result$phases <- best
        meet <- (best[[1]][["intercept"]] - best[[2]][["intercept"]]) / (best[[1]][["k"]] - best[[2]][["k"]])
        result$bend <- if (is.finite(meet) && meet > 0) meet else NA_real_
        result$curveSd <- slopeCurveSd(readings$t, readings$y, best, result$bend)
    }
    result
}

putSlopes <- function(s, slopes, fit, size) {
    fitSd <- if (is.null(fit)) NA_real_ else sqrt(fit$rss / fit$df)
    fitNoise <- if (!is.null(fit) && fit$exact) 1e-10 * fit$n * fit$size else 0
    for (i in seq_along(slopes$phases)) {
        phase <- slopes$phases[[i]]
        has <- !is.null(phase)
        keys <- c("from_min", "to_min", "n", "k", "k_se", "intercept", "cinf")
        values <- if (has) phase[keys] else setNames(rep(NA_real_, length(keys)), keys)
        put("digestion_slopes", c(phase = if (has) i else NA, values, bend_min = slopes$bend), item = paste(s, i, sep = "/"),
            noise = if (has) c(k = 1e-13, k_se = 1e-12, intercept = 1e-12, cinf = 1e-10, bend_min = 1e-9) else 0)
        put("digestion_slopes", c(curve_residual_sd = slopes$curveSd), item = paste(s, i, sep = "/"), noise = 1e-10 * size)
        put("digestion_slopes", c(fit_residual_sd = fitSd), item = paste(s, i, sep = "/"), tolerance = iterative, noise = fitNoise)
        # The logarithm of a sum of squares that is rounding says nothing that another program could repeat.
        of <- c(aicc_one = slopes$one, aicc_two = slopes$two)
        rounding <- c(slopes$rounding, isTRUE(slopes$twoRounding))
        for (k in 1:2) {
            value <- of[k]
            if (rounding[k]) value[] <- NA
            put("digestion_slopes", value, item = paste(s, i, sep = "/"), noise = 1e-9,
                because = if (rounding[k]) "the logarithm of a sum of squares that is rounding alone" else "")
        }
    }
}

curveOf <- function(d) {
    of <- !is.na(d$percent)
    list(t = d$time[of], y = d$percent[of])
}
digestionCurves <- lapply(digestions, curveOf)
digestionFits <- lapply(digestionCurves, function(curve) fitsOf(curve$t, curve$y))
digestionAreas <- vapply(digestionCurves, function(curve) digestedArea(curve$t, curve$y, sharedEnd), 0)
digestionRates <- vapply(digestionFits, function(choice) {
    e <- choice$fits[[1]]$estimate
    if (is.null(e)) NA_real_ else e[["k"]]
}, 0)
for (k in seq_along(digestions)) {
    putFits(paste("digestion", k, sep = "/"), digestionFits[[k]])
}

sampleAreas <- lapply(seq_len(nrow(assaySamples)), function(s) {
    own <- digestionCurves[ofDigestions == s]
    t <- unlist(lapply(own, function(curve) curve$t))
    y <- unlist(lapply(own, function(curve) curve$y))
    times <- sort(unique(t))
    shared <- times[vapply(times, function(at) sum(t == at) == length(own), TRUE)]
    means <- vapply(shared, function(at) mean(y[t == at]), 0)
    choice <- fitsOf(shared, means)
    putFits(paste("sample", s, sep = "/"), choice)
    chosen <- if (choice$chosen > 0) choice$fits[[choice$chosen]] else NULL
    putSlopes(s, slopesOf(shared, means), chosen, max(0, abs(means)))
    areas <- digestionAreas[ofDigestions == s]
    areas <- areas[!is.na(areas)]
    list(area = digestedArea(shared, means, sharedEnd),
         fitted = if (is.null(chosen) || is.na(sharedEnd) || chosen$last < sharedEnd) NA_real_ else fittedAreaOf(chosen, sharedEnd),
         mean = meanOf(areas), se = sdOf(areas) / sqrt(length(areas)),
         curve = if (length(times) == 0) NULL else list(t = times, y = vapply(times, function(at) mean(y[t == at]), 0)))
})
digestReference <- which(assaySamples$reference == "yes")
hydrolysis <- rep(NA_real_, nrow(assaySamples))
hydrolysisSe <- rep(NA_real_, nrow(assaySamples))
for (s in seq_along(sampleAreas)) {
    own <- sampleAreas[[s]]
    from <- ""
    if (length(digestReference) == 1) {
        other <- sampleAreas[[digestReference]]
        fitted <- !is.na(own$fitted) && !is.na(other$fitted)
        a <- if (fitted) own$fitted else own$area
        b <- if (fitted) other$fitted else other$area
        if (!is.na(a) && !is.na(b) && b > 0) {
            hydrolysis[s] <- 100 * a / b
            from <- if (fitted) "fitted curves" else "trapezoids"
            se <- 100 * own$mean / other$mean * sqrt((own$se / own$mean)^2 + (other$se / other$mean)^2)
            if (s != digestReference && !is.na(se) && own$mean > 0 && other$mean > 0) {
                hydrolysisSe[s] <- se
            }
        }
    }
    put("digestion_index",
        c(until_min = sharedEnd, fitted_area = own$fitted, area = own$area, hydrolysis_index = hydrolysis[s],
          hydrolysis_se = hydrolysisSe[s], estimated_index_goni_1997 = 39.71 + 0.549 * hydrolysis[s],
          estimated_index_granfeldt_1992 = 8.198 + 0.862 * hydrolysis[s]),
        c(hydrolysis_from = from), item = s, tolerance = iterative, noise = 1e-10)
}
