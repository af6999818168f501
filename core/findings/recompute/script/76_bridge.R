
# ---- Digestion in vitro beside the response -----------------------------------------------------------------------

sumsOf <- function(x, y) c(xx = sum((x - mean(x))^2), yy = sum((y - mean(y))^2), xy = sum((x - mean(x)) * (y - mean(y))))
varies <- function(x) max(x) - min(x) > 1e-12 * max(abs(x))

# Every order of 1 to n, one row each.
everyOrderOf <- function(n) {
    all <- matrix(1L, 1, 1)
    for (k in seq_len(n)[-1]) {
        all <- do.call(rbind, lapply(seq_len(k), function(place) {
            cbind(all[, seq_len(place - 1), drop = FALSE], k, all[, seq_len(k - place) + place - 1, drop = FALSE])
        }))
    }
    unname(all)
}

everyOrder <- list()
# Doubled ranks; neighbours as near as rounding are tied.
nearRanks <- function(x) {
    o <- order(x)
    group <- cumsum(c(TRUE, diff(x[o]) > 1e-12 * max(abs(x))))
    ranks <- numeric(length(x))
    ranks[o] <- 2 * ave(as.numeric(seq_along(x)), group)
    ranks
}
# Without the digits that rounding leaves of 1.
productMoment <- function(x, y) {
    s <- sumsOf(x, y)
    r <- s[["xy"]] / sqrt(s[["xx"]] * s[["yy"]])
    if (1 - abs(r) <= 1e-14) sign(r) else r
}

correlations <- function(x, y) {
    n <- length(x)
    out <- c(n = n, r = NA, r_ci_low = NA, r_ci_high = NA, p = NA, rho = NA, rho_p = NA)
    method <- ""
    if (n < 3) {
        return(list(values = out, method = method))
    }
    ofT <- function(r) twoSided(r * sqrt((n - 2) / (1 - r^2)), n - 2)
    if (!varies(x) || !varies(y)) {
        return(list(values = out, method = method))
    }
    r <- productMoment(x, y)
    out["r"] <- r
    if (abs(r) < 1) {
        out["p"] <- ofT(r)
        if (n > 3) out[c("r_ci_low", "r_ci_high")] <- tanh(atanh(r) + c(-1, 1) * qnorm(1 - alpha / 2) / sqrt(n - 3))
    }
    a <- nearRanks(x)
    b <- nearRanks(y)
    if (varies(a) && varies(b)) {
        rho <- productMoment(a, b)
        out["rho"] <- rho
        if (n <= 9) {
            # Doubled ranks are whole numbers: sums of their products are exact.
            if (length(everyOrder) < n || is.null(everyOrder[[n]])) everyOrder[[n]] <<- everyOrderOf(n)
            orders <- everyOrder[[n]]
            products <- as.vector(matrix(b[orders], nrow(orders)) %*% a)
            expected <- sum(a) * sum(b)
            out["rho_p"] <- mean(abs(n * products - expected) >= abs(n * sum(a * b) - expected))
            method <- "exact"
        } else if (abs(rho) < 1) {
            out["rho_p"] <- ofT(rho)
            method <- "t"
        }
    }
    list(values = out, method = method)
}

lineOf <- function(x, y, lambda) {
    if (!varies(x) || !varies(y)) {
        return(c(NA_real_, NA_real_))
    }
    s <- sumsOf(x, y)
    if (abs(s[["xy"]]) <= 1e-12 * sqrt(s[["xx"]] * s[["yy"]])) {
        return(c(NA_real_, NA_real_))
    }
    d <- s[["yy"]] - lambda * s[["xx"]]
    root <- sqrt(d^2 + 4 * lambda * s[["xy"]]^2)
    # The form without cancellation.
    slope <- if (d >= 0) (d + root) / (2 * s[["xy"]]) else 2 * lambda * s[["xy"]] / (root - d)
    c(slope, mean(y) - slope * mean(x))
}

putBridge <- function(xKey, yKey, x, y) {
    both <- intersect(x$food, y$food)
    a <- x[match(both, x$food), ]
    b <- y[match(both, y$food), ]
    n <- length(both)
    found <- correlations(a$value, b$value)
    keys <- c("slope", "slope_ci_low", "slope_ci_high", "intercept", "intercept_ci_low", "intercept_ci_high", "lambda")
    line <- setNames(rep(NA_real_, 7), keys)
    from <- ""
    if (n >= 3) {
        lambda <- sum(b$se^2) / sum(a$se^2)
        given <- is.finite(lambda) && lambda > 0
        if (!given) lambda <- var(b$value) / var(a$value)
        if (is.finite(lambda) && lambda > 0) {
            all <- lineOf(a$value, b$value, lambda)
            if (!anyNA(all)) {
                line[c("slope", "intercept", "lambda")] <- c(all, lambda)
                from <- if (given) "standard errors" else "spread of the foods"
                without <- vapply(seq_len(n), function(i) lineOf(a$value[-i], b$value[-i], lambda), c(0, 0))
                if (n > 3 && !anyNA(without)) {
                    pseudo <- n * all - (n - 1) * without
                    half <- upperT(n - 2) * apply(pseudo, 1, sd) / sqrt(n)
                    line[c("slope_ci_low", "slope_ci_high")] <- all[1] + c(-1, 1) * half[1]
                    line[c("intercept_ci_low", "intercept_ci_high")] <- all[2] + c(-1, 1) * half[2]
                }
            }
        }
    }
    put("bridge", c(found$values, line), c(rho_method = found$method, lambda_from = from), measure = yKey, item = xKey,
        tolerance = 10 * iterative, noise = 1e-9)
}

ofFoods <- function(food, value, se) {
    keep <- food > 0 & !is.na(value)
    data.frame(food = food[keep], value = value[keep], se = se[keep])
}
sampleFoods <- counts(assaySamples$food_no)
sampleFoods[sampleFoods %in% sampleFoods[duplicated(sampleFoods)]] <- 0L
percentOf <- function(f) {
    of <- vapply(seq_len(nrow(assaySamples)), function(s) {
        v <- vapply(fractionTables[ofDigestions == s], function(t) t["total-starch", f], 0)
        v <- v[!is.na(v)]
        se <- sdOf(v) / sqrt(length(v))
        c(meanOf(v), if (is.na(se)) NA else sqrt(se^2 + addedVariance(s, f, "total-starch", mean(v))))
    }, c(0, 0))
    ofFoods(sampleFoods, of[1, ], of[2, ])
}
if (nrow(assaySamples) > 0) {
    inVitro <- list(hydrolysis_index = ofFoods(sampleFoods, hydrolysis, hydrolysisSe), rapidly_digestible = percentOf(1),
                    resistant = percentOf(3))
    if (!is.na(sharedEnd)) {
        of <- vapply(seq_len(nrow(assaySamples)), function(s) {
            y <- unlist(lapply(digestionCurves[ofDigestions == s], function(curve) curve$y[curve$t == sharedEnd]))
            if (length(y) == 0) c(NA_real_, NA_real_) else c(mean(y), sdOf(y) / sqrt(length(y)))
        }, c(0, 0))
        inVitro$digested <- ofFoods(sampleFoods, of[1, ], of[2, ])
    }
    inVitro <- Filter(function(x) nrow(x) > 0, inVitro)
    responded <- plannedNumber("glucose_no")
    if (is.na(responded)) responded <- 1
    of <- vapply(seq_len(nrow(foods)), function(f) {
        x <- subjectMeans(mainTable, mainCounts, responded, f, mainMeasure)
        x <- x[!is.na(x)]
        c(meanOf(x), semOf(x))
    }, c(0, 0))
    inPeople <- list(ofFoods(seq_len(nrow(foods)), of[1, ], of[2, ]))
    names(inPeople) <- mainMeasure
    # The index as an earlier part put it.
    done <- Filter(function(part) any(grepl(paste0("^index\\|", responded, "\\|"), part$key)), recomputed$parts)
    of <- lapply(done, function(part) {
        ends <- sub(".*\\|", "", part$key)
        where <- strsplit(part$key[1], "|", fixed = TRUE)[[1]]
        if (all(c("mean", "sem") %in% ends)) {
            c(as.numeric(where[4]), part$value[match("mean", ends)], part$value[match("sem", ends)])
        }
    })
    of <- do.call(rbind, of)
    if (!is.null(of)) inPeople$index <- ofFoods(of[, 1], of[, 2], of[, 3])
    for (yKey in names(inPeople)) {
        if (nrow(inPeople[[yKey]]) > 0) {
            for (xKey in names(inVitro)) putBridge(xKey, yKey, inVitro[[xKey]], inPeople[[yKey]])
        }
    }
}
