
# ---- Resampling, with the program's own random numbers ------------------------------------------------------------
# Philox4x32-10 (Salmon et al. 2011). 32-bit words are doubles; products are formed from 16-bit halves, so that nothing
# is rounded. The numbers of a replicate depend on seed, purpose and replicate alone.

word32 <- 4294967296
xor32 <- function(a, b) {
    bitwXor(as.integer(a %/% 65536), as.integer(b %/% 65536)) * 65536 +
        bitwXor(as.integer(a %% 65536), as.integer(b %% 65536))
}
multiply32 <- function(a, b) {
    a1 <- a %/% 65536
    a0 <- a %% 65536
    b1 <- b %/% 65536
    b0 <- b %% 65536
    middle <- a1 * b0 + (a0 * b0) %/% 65536
    carried <- a0 * b1 + middle %% 65536
    list(high = a1 * b1 + middle %/% 65536 + carried %/% 65536, low = (carried %% 65536) * 65536 + (a0 * b0) %% 65536)
}
philox <- function(counter, key) {
    n <- nrow(counter)
    for (round in 1:10) {
        first <- multiply32(rep(3528531795, n), counter[, 1])   # 0xD2511F53
        second <- multiply32(rep(3449720151, n), counter[, 3])  # 0xCD9E8D57
        counter <- cbind(xor32(xor32(second$high, counter[, 2]), rep(key[1], n)), second$low,
                         xor32(xor32(first$high, counter[, 4]), rep(key[2], n)), first$low)
        key <- (key + c(2654435769, 3144134277)) %% word32      # 0x9E3779B9, 0xBB67AE85
    }
    counter
}

replicates <- plannedNumber("resamples")
seedKey <- c(plannedNumber("seed_low"), plannedNumber("seed_high"))
mostWords <- 2e7
tooMany <- "more random numbers than this script draws"
wordCache <- new.env()

# Words of every replicate, one row each: the first `words` of it.
replicateWords <- function(words, purpose) {
    name <- paste(purpose)
    have <- wordCache[[name]]
    blocks <- ceiling(words / 4)
    done <- if (is.null(have)) 0 else ncol(have) / 4
    if (blocks > done) {
        new <- lapply(seq(done, blocks - 1), function(block) {
            philox(cbind(block, purpose, seq_len(replicates) - 1, 0), seedKey)
        })
        wordCache[[name]] <- do.call(cbind, c(if (is.null(have)) list() else list(have), new))
    }
    wordCache[[name]][, seq_len(words), drop = FALSE]
}

# Which of n pairs each replicate draws, one row a replicate. A word that would favour some pair is drawn again.
resampleIndex <- function(n) {
    words <- replicateWords(n + 8, 2)
    product <- words * n
    accepted <- product %% word32 >= word32 %% n
    index <- product[, seq_len(n), drop = FALSE] %/% word32 + 1
    for (row in which(rowSums(!accepted[, seq_len(n), drop = FALSE]) > 0)) {
        index[row, ] <- (product[row, accepted[row, ]] %/% word32 + 1)[seq_len(n)]
    }
    index
}

# A level between two order statistics: Davison & Hinkley 1997, eq. 5.6.
atLevel <- function(sorted, level) {
    position <- (length(sorted) + 1) * level
    k <- floor(position)
    if (is.na(position) || position < 1 || position > length(sorted)) {
        return(NA_real_)
    }
    if (k == position) {
        return(sorted[k])
    }
    z <- qnorm(c(level, k / (length(sorted) + 1), (k + 1) / (length(sorted) + 1)))
    sorted[k] + (z[1] - z[2]) / (z[3] - z[2]) * (sorted[k + 1] - sorted[k])
}

noBootstrap <- c(se = NA_real_, bias = NA, percentile_low = NA, percentile_high = NA, bca_low = NA, bca_high = NA,
                 replicates = 0)

# t: statistic of each resample; estimate: of the set; left: with one pair left out.
bootstrapIntervals <- function(t, estimate, left, limit) {
    result <- noBootstrap
    if (!all(is.finite(t)) || max(t) == min(t)) {
        return(result)
    }
    sorted <- sort(t)
    ends <- c(atLevel(sorted, alpha / 2), atLevel(sorted, 1 - alpha / 2))
    result[c("se", "bias", "replicates")] <- c(sd(sorted), mean(sorted) - estimate, length(t))
    if (!anyNA(ends)) {
        result[c("percentile_low", "percentile_high")] <- ends
    }
    tied <- abs(t - estimate) <= limit
    z0 <- qnorm((sum(t < estimate & !tied) + sum(tied) / 2) / length(t))
    l <- mean(left) - left
    if (is.finite(z0) && all(is.finite(left)) && any(l != 0)) {
        a <- sum(l^3) / (6 * sum(l^2)^1.5)
        z <- qnorm(c(alpha / 2, 1 - alpha / 2))
        divisor <- 1 - a * (z0 + z)
        if (all(divisor > 0)) {
            levels <- pnorm(z0 + (z0 + z) / divisor)
            ends <- c(atLevel(sorted, levels[1]), atLevel(sorted, levels[2]))
            if (!anyNA(ends)) {
                result[c("bca_low", "bca_high")] <- ends
            }
        }
    }
    result
}

canResample <- function(n) replicates >= 199 && replicates <= 1e6 && n <= 1e6

# NULL: not done here.
bootstrapMean <- function(d, size) {
    n <- length(d)
    if (n < 2 || !all(is.finite(d)) || max(d) - min(d) <= resolution * size || !canResample(n)) {
        return(noBootstrap)
    }
    if (n * replicates > mostWords) {
        return(NULL)
    }
    s <- scaleOf(d)
    x <- d / s
    t <- rowSums(matrix(x[resampleIndex(n)], nrow = replicates)) / n
    left <- vapply(seq_len(n), function(i) mean(x[-i]), 0)
    result <- bootstrapIntervals(t, mean(x), left, resolution * size / s)
    own <- names(result) != "replicates"
    result[own] <- finite(s * result[own])
    result
}

bootstrapRatio <- function(f, c, proportional) {
    n <- length(f)
    if (n < 2 || proportional || !canResample(n)) {
        return(noBootstrap)
    }
    if (n * replicates > mostWords) {
        return(NULL)
    }
    sf <- scaleOf(f)
    sc <- scaleOf(c)
    f <- f / sf
    c <- c / sc
    index <- resampleIndex(n)
    ratioOf <- function(above, below, absolute) ifelse(abs(below) <= 1e-11 * absolute, NA, above / below)
    sums <- function(x) rowSums(matrix(x[index], nrow = replicates))
    t <- ratioOf(sums(f), sums(c), sums(abs(c)))
    left <- vapply(seq_len(n), function(i) ratioOf(sum(f[-i]), sum(c[-i]), sum(abs(c[-i]))), 0)
    estimate <- mean(f) / mean(c)
    result <- bootstrapIntervals(t, estimate, left, resolution * abs(estimate))
    own <- names(result) != "replicates"
    result[own] <- finite(result[own] * (sf / sc))
    result
}

mostExactSigns <- 20

# Sign flips: all of them, or the program's own random ones. NULL: not done here.
permutationTest <- function(d, size) {
    result <- list(p = NA_real_, patterns = 0, error = NA_real_)
    if (length(d) == 0 || !all(is.finite(d))) {
        return(result)
    }
    nonZero <- d[abs(d) > resolution * size]
    n <- length(nonZero)
    exact <- n <= mostExactSigns
    if (n == 0 || (!exact && replicates == 0) || (replicates > 0 && (replicates < 99 || replicates > 1e8))) {
        return(result)
    }
    s <- scaleOf(nonZero)
    x <- nonZero / s
    limit <- abs(sum(x)) - max(resolution * size / s, 1e-12 * sum(abs(x)))
    if (exact) {
        sums <- x[n]
        for (value in x[-n]) {
            sums <- c(sums + value, sums - value)
        }
        result$patterns <- 2^n
        result$p <- 2 * sum(abs(sums) >= limit) / 2^n
        return(result)
    }
    if (ceiling(n / 32) * replicates > mostWords || n * replicates > 10 * mostWords) {
        return(NULL)
    }
    words <- replicateWords(ceiling(n / 32), 1)
    sums <- numeric(replicates)
    for (i in seq_len(n)) {
        bit <- (words[, (i - 1) %/% 32 + 1] %/% 2^((i - 1) %% 32)) %% 2
        sums <- sums + ifelse(bit == 1, -x[i], x[i])
    }
    p <- (sum(abs(sums) >= limit) + 1) / (replicates + 1)
    list(p = p, patterns = replicates, error = sqrt(p * (1 - p) / replicates))
}
