
# ---- Families of model differences --------------------------------------------------------------------------------

# P(max|T| >= t) for T with correlations l_i l_j and df degrees of freedom.
maxAbsTail <- function(t, l, df) {
    z <- seq(-9, 9, length.out = 361)
    phi <- dnorm(z) * (z[2] - z[1])
    # s = sqrt(chi-square/df) by its logarithm.
    ends <- 0.5 * log(c(qchisq(1e-17, df), qchisq(1e-17, df, lower.tail = FALSE)) / df)
    x <- seq(max(ends[1], -40), ends[2], length.out = 801)
    s <- exp(x)
    weight <- 2 * s^2 * df * dchisq(df * s^2, df) * (x[2] - x[1])
    inside <- vapply(s, function(one) {
        prod <- phi
        for (li in l) {
            rest <- sqrt(1 - li^2)
            prod <- prod * (pnorm((li * z + t * one) / rest) - pnorm((li * z - t * one) / rest))
        }
        sum(prod)
    }, 0)
    max(0, sum(weight * (1 - inside)))
}

# l with l_i l_j the correlations; NULL where there is none.
oneFactor <- function(r) {
    m <- nrow(r)
    if (m == 1) {
        return(0)
    }
    if (any(r <= 0)) {
        return(NULL)
    }
    l <- if (m == 2) rep(sqrt(r[1, 2]), 2) else vapply(seq_len(m), function(i) {
        o <- setdiff(seq_len(m), i)[1:2]
        sqrt(r[i, o[1]] * r[i, o[2]] / r[o[1], o[2]])
    }, 0)
    fits <- all(l < 1 - 1e-9) && max(abs((tcrossprod(l) - r)[upper.tri(r)])) < 1e-7
    if (fits) l else NULL
}

solveTail <- function(tail, start) {
    uniroot(function(q) log(tail(q) / alpha), c(0.01, start), extendInt = "downX", tol = 1e-10)$root
}

# Adjusted p and simultaneous intervals of the family that the plan names.
familyOf <- function(m, factors, differences, levels) {
    pairs <- attr(differences, "pairs")
    n <- length(differences)
    result <- list(p = rep(NA_real_, n), low = rep(NA_real_, n), high = rep(NA_real_, n), noise = 0, because = "")
    rule <- planned("model_multiplicity")
    if (rule == "as-comparisons") {
        rule <- planned("multiplicity")
    }
    all <- rule == "tukey" || (rule != "dunnett" && planned("model_family") == "all-pairs")
    result$inFamily <- all | vapply(pairs, function(p) p[2] == comparator, TRUE)
    if (n == 0 || (!all && !comparator %in% levels)) {
        return(result)
    }
    of <- which(result$inFamily)
    p <- vapply(differences[of], function(e) e[["p"]], 0)
    if (rule %in% c("holm", "hochberg", "benjamini-hochberg")) {
        result$p[of] <- adjustedP(p, rule)
        return(result)
    }
    of <- of[!is.na(p)]
    part <- function(name) vapply(differences[of], function(e) e[[name]], 0)
    t <- abs(part("t"))
    df <- part("df")
    tails <- quantiles <- NULL
    if (rule == "none") {
        tails <- part("p")
        quantiles <- vapply(df, upperT, 0)
    } else if (rule == "tukey") {
        k <- length(levels)
        if (k > 100) {
            return(result)
        }
        result$noise <- 1e-8
        tails <- ptukey(sqrt(2) * t, k, df, lower.tail = FALSE)
        quantiles <- vapply(df, function(v) solveTail(function(q) ptukey(q, k, v, lower.tail = FALSE), 10), 0) / sqrt(2)
    } else if (length(of) > 0) {
        L <- do.call(rbind, lapply(pairs[of], function(pair) {
            estimable(m$design, meanFunction(m$design, factors, pair[1]) - meanFunction(m$design, factors, pair[2]))
        }))
        l <- oneFactor(cov2cor(L %*% m$inference$cov %*% t(L)))
        if (is.null(l)) {
            result$because <- "Dunnett's probability for correlations without a common factor needs another program"
            return(result)
        }
        result$noise <- 1e-8
        tails <- vapply(seq_along(of), function(i) maxAbsTail(t[i], l, df[i]), 0)
        distinct <- unique(signif(df, 12))
        each <- vapply(distinct, function(v) solveTail(function(q) maxAbsTail(q, l, v), 5), 0)
        quantiles <- each[match(signif(df, 12), distinct)]
    }
    result$p[of] <- pmin(1, pmax(tails, part("p")))
    ends <- cbind(finite(part("estimate") - quantiles * part("se")), finite(part("estimate") + quantiles * part("se")))
    ends[is.na(ends[, 1]) | is.na(ends[, 2]), ] <- NA
    result$low[of] <- ends[, 1]
    result$high[of] <- ends[, 2]
    result
}
