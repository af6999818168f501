
# ---- Digestion in vitro: samples compared -------------------------------------------------------------------------

# Value = group + run + residual, by least squares; pairs by the family that is asked for.
putOneWay <- function(key, value, group, run) {
    n <- length(value)
    all <- c(n = n, runs = length(unique(run)), f = NA, num_df = NA, den_df = NA, residual_sd = NA, difference = NA,
             se = NA, t = NA, p = NA, p_adjusted = NA, ci_low = NA, ci_high = NA)
    if (n > 5000 || length(unique(points$run_no)) > 200) {
        all["runs"] <- 0
        put("digestion_comparisons", all, item = key)
        return(invisible())
    }
    levels <- sort(unique(group))
    family <- assaySetting("comparison")
    pairs <- list()
    if (family == "dunnett") {
        if (length(digestReference) == 1 && digestReference %in% levels) {
            pairs <- lapply(setdiff(levels, digestReference), function(g) c(g, digestReference))
        }
    } else if (length(levels) > 1) {
        pairs <- combn(levels, 2, function(two) rev(two), simplify = FALSE)
    }
    runs <- sort(unique(run))
    columns <- length(levels) + length(runs) - 1
    X <- cbind(rep(1, n), outer(run, runs[-1], "==") * 1)
    B <- X
    X <- cbind(X, outer(group, levels[-1], "==") * 1)
    each <- lapply(pairs, function(p) all)
    noise <- 0
    enough <- length(levels) > 1 && n > columns && (family != "dunnett" || length(pairs) > 0)
    if (enough && qr(X, tol = 1e-9)$rank == ncol(X)) {
        fit <- qr(X, tol = 1e-9)
        y <- value - mean(value)
        b <- qr.coef(fit, y)
        rss <- sum(qr.resid(fit, y)^2)
        none <- rss <= max(1e-24 * sum(y^2), 1e-28 * sum(value^2))
        df <- n - columns
        sd <- if (none) 0 else sqrt(rss / df)
        V <- chol2inv(qr.R(fit))[order(fit$pivot), order(fit$pivot), drop = FALSE]
        L <- do.call(rbind, lapply(pairs, function(p) {
            c(numeric(length(runs)), (levels[-1] == p[1]) - (levels[-1] == p[2]))
        }))
        estimates <- as.vector(L %*% b)
        all[c("num_df", "den_df", "residual_sd")] <- c(length(levels) - 1, df, sd)
        size <- max(abs(value))
        noise <- c(difference = 1e-13 * size, residual_sd = 1e-13 * size, se = 1e-13 * size, ci_low = 1e-11 * size,
                   ci_high = 1e-11 * size)
        if (!none) {
            between <- max(0, sum(qr.resid(qr(B, tol = 1e-9), y)^2) - rss)
            all["f"] <- between / all["num_df"] / (rss / df)
            all["p"] <- pf(all[["f"]], all[["num_df"]], df, lower.tail = FALSE)
            noise <- c(noise, f = 1e-9 * size / sd, t = 1e-12 * size / sd, p = 1e-9)
        }
        judged <- if (none) NULL else judgePairs(estimates, L %*% V %*% t(L), sd, df, length(levels), family)
        for (i in seq_along(pairs)) {
            each[[i]][c("den_df", "residual_sd", "difference")] <- c(df, sd, estimates[i])
            if (!none) {
                each[[i]][names(judged$values)] <- vapply(judged$values, function(v) v[i], 0)
            }
        }
        if (!none) {
            # The studentized range of R is off by up to about 1e-7 far out.
            noise[c("p_adjusted")] <- if (family == "tukey") 3e-7 else 1e-8
        }
    }
    tolerance <- if (key == "k" || key == "area") 10 * iterative else iterative
    put("digestion_comparisons", all, item = key, tolerance = tolerance, noise = noise)
    for (i in seq_along(pairs)) {
        unknown <- c("p_adjusted", "ci_low", "ci_high")
        because <- if (enough && exists("judged", inherits = FALSE) && !is.null(judged)) judged$because else ""
        item <- paste(key, pairs[[i]][1], pairs[[i]][2], sep = "/")
        put("digestion_comparisons", each[[i]][setdiff(names(all), unknown)], item = item, tolerance = tolerance, noise = noise)
        put("digestion_comparisons", each[[i]][unknown], item = item, tolerance = tolerance, noise = noise, because = because)
    }
}

judgePairs <- function(estimates, covariance, sd, df, groups, family) {
    spread <- sqrt(diag(covariance))
    se <- spread * sd
    t <- estimates / se
    p <- twoSided(t, df)
    q <- NA_real_
    adjusted <- rep(NA_real_, length(t))
    because <- ""
    if (family == "none") {
        q <- upperT(df)
        adjusted <- p
    } else if (family == "tukey") {
        adjusted <- ptukey(sqrt(2) * abs(t), groups, df, lower.tail = FALSE)
        q <- solveTail(function(x) ptukey(x, groups, df, lower.tail = FALSE), 10) / sqrt(2)
    } else {
        l <- oneFactor(covariance / outer(spread, spread))
        if (is.null(l)) {
            because <- "Dunnett's probability for correlations without a common factor needs another program"
        } else {
            adjusted <- vapply(abs(t), function(x) maxAbsTail(x, l, df), 0)
            q <- solveTail(function(x) maxAbsTail(x, l, df), 5)
        }
    }
    list(values = list(se = se, t = t, p = p, p_adjusted = pmin(1, pmax(adjusted, p)), ci_low = estimates - q * se,
                       ci_high = estimates + q * se), because = because)
}

if (nrow(assaySamples) > 1 && length(digestions) > 0) {
    basis <- assaySetting("basis")
    compared <- c(lapply(1:3, function(f) vapply(fractionTables, function(t) t[basis, f], 0)),
                  list(digestionRates, digestionAreas))
    names(compared) <- c(assayFractions[1:3], "k", "area")
    runsOf <- vapply(digestions, function(d) d$run_no[1], 0L)
    for (key in names(compared)) {
        has <- !is.na(compared[[key]])
        putOneWay(key, compared[[key]][has], ofDigestions[has], runsOf[has])
    }
}
