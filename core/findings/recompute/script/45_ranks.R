
# ---- All foods at once by ranks within subjects (Friedman) --------------------------------------------------------

exactStepsAllowed <- 200000

# Every different order of some ranks, one row each.
ordersOf <- function(x) {
    if (length(x) == 1) {
        return(matrix(x, 1))
    }
    do.call(rbind, lapply(unique(sort(x)), function(first) {
        cbind(first, ordersOf(x[-match(first, x)]), deparse.level = 0)
    }))
}

sortRows <- function(m) {
    matrix(m[order(row(m), m)], nrow(m), byrow = TRUE)
}

# P of a spread of the rank sums at least as large when every order within a subject is equally likely. Doubled ranks.
exactRankP <- function(ranks) {
    k <- ncol(ranks)
    b <- nrow(ranks)
    if (k > 6 || b > 1023 %/% (2 * k)) {
        return(NA_real_)
    }
    states <- matrix(sort(ranks[1, ]), 1)
    probability <- 1
    used <- 0
    for (i in seq_len(b)[-1]) {
        orders <- ordersOf(ranks[i, ])
        used <- used + nrow(states) * nrow(orders)
        if (used > exactStepsAllowed) {
            return(NA_real_)
        }
        each <- rep(seq_len(nrow(states)), nrow(orders))
        sums <- sortRows(states[each, , drop = FALSE] + orders[rep(seq_len(nrow(orders)), each = nrow(states)), , drop = FALSE])
        key <- do.call(paste, as.data.frame(sums))
        group <- match(key, unique(key))
        states <- sums[!duplicated(key), , drop = FALSE]
        probability <- as.vector(rowsum(probability[each] / nrow(orders), group))
    }
    spread <- function(sums) rowSums((sums - b * (k + 1))^2)
    min(1, sum(probability[spread(states) >= spread(matrix(colSums(ranks), 1))]))
}

doubledRanks <- function(x) {
    limit <- resolution * max(abs(x))
    o <- order(x)
    group <- cumsum(c(TRUE, diff(x[o]) > limit))
    result <- numeric(length(x))
    result[o] <- 2 * ave(as.numeric(seq_along(x)), group)
    result
}

putRanks <- function(a, measure) {
    values <- vapply(seq_len(nrow(foods)), function(f) subjectMeans(mainTable, mainCounts, a, f, measure),
                     numeric(nrow(subjects)))
    values <- matrix(values, nrow(subjects))
    values <- values[rowSums(is.na(values)) == 0, , drop = FALSE]
    b <- nrow(values)
    k <- nrow(foods)
    tests <- c(subjects = b, chi_square = NA, df = NA, chi_square_p = NA, f = NA, denominator_df = NA, f_p = NA,
               exact_p = NA, kendall_w = NA)
    here <- function(values, item, f = 0L, g = 0L) {
        put("ranks", values, analyte = a, measure = measure, food = f, comparator = g, item = item)
    }
    if (b == 0 || k > 100 || b * k > 1e6) {
        return(here(tests, "tests"))
    }
    ranks <- t(apply(values, 1, doubledRanks))
    sums <- colSums(ranks)
    within <- sum(ranks^2) - b * k * (k + 1)^2
    if (within == 0) {
        return(here(tests, "tests"))
    }
    centred <- sum((sums - b * (k + 1))^2)
    chi <- (k - 1) * centred / within
    tests[c("chi_square", "df", "chi_square_p", "kendall_w")] <-
        c(chi, k - 1, pchisq(chi, k - 1, lower.tail = FALSE), chi / (b * (k - 1)))
    if (b > 1 && b * within - centred > 0) {
        f <- (b - 1) * centred / (b * within - centred)
        df <- (b - 1) * (k - 1)
        tests[c("f", "denominator_df", "f_p")] <- c(f, df, pf(f, k - 1, df, lower.tail = FALSE))
    }
    tests["exact_p"] <- exactRankP(ranks)
    here(tests, "tests")
    left <- b * sum(ranks^2) - sum(sums^2)
    df <- (b - 1) * (k - 1)
    pairOf <- function(i, j) {
        d <- sums[i] - sums[j]
        e <- c(mean_rank_difference = d / (2 * b), ci_low = NA, ci_high = NA, t = NA, p = NA)
        if (b > 1 && left > 0) {
            se <- sqrt(2 * left / df)
            e[-1] <- c((d + c(-1, 1) * upperT(df) * se) / (2 * b), d / se, twoSided(d / se, df))
        }
        e
    }
    families <- list(all_pairs = t(combn(k, 2)))
    if (comparator > 0) {
        families$against_comparator <- cbind(setdiff(seq_len(k), comparator), comparator)
    }
    for (name in names(families)) {
        pairs <- families[[name]]
        e <- lapply(seq_len(nrow(pairs)), function(i) pairOf(pairs[i, 1], pairs[i, 2]))
        adjusted <- adjustedP(vapply(e, function(x) x[["p"]], 0), planned("multiplicity"))
        for (i in seq_along(e)) {
            here(c(e[[i]], p_adjusted = adjusted[i]), name, pairs[i, 1], pairs[i, 2])
        }
    }
}

if (nrow(foods) > 2 && comparator > 0) {
    for (a in seq_len(nrow(analytes))) {
        for (measure in comparedMeasures) {
            putRanks(a, measure)
        }
    }
}
