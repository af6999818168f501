# Times R's boot (mean difference, BCa and percentile) and a sign flip by one matrix product on the pairs of a file.
# Usage: Rscript resampling_against_r.R PAIRS.csv RESAMPLES FLIPS RUNS; prints what, n, CPU seconds: the best of RUNS.
arguments <- commandArgs(trailingOnly = TRUE)
pairs <- read.csv(arguments[1])
resamples <- as.integer(arguments[2])
flips <- as.integer(arguments[3])
runs <- as.integer(arguments[4])
d <- pairs$food - pairs$comparator
n <- length(d)
best <- function(work) min(sapply(seq_len(runs), function(i) sum(system.time(work())[c("user.self", "sys.self")])))
say <- function(what, seconds) cat(sprintf("%s\t%d\t%.6f\n", what, n, seconds))
set.seed(1)
if (requireNamespace("boot", quietly = TRUE)) {
    intervals <- function(data, statistic) {
        b <- boot::boot(data, statistic, resamples)
        # The acceleration by the jackknife, as in the program; boot.ci's own takes a regression.
        boot::boot.ci(b, type = "perc")
        z0 <- qnorm(mean(b$t < b$t0))
        left <- sapply(seq_len(n), function(i) statistic(data, seq_len(n)[-i]))
        l <- mean(left) - left
        a <- sum(l^3) / (6 * sum(l^2)^1.5)
        z <- qnorm(c(0.025, 0.975))
        quantile(b$t, pnorm(z0 + (z0 + z) / (1 - a * (z0 + z))))
    }
    say("bootstrap mean, boot", best(function() intervals(d, function(x, i) mean(x[i]))))
    say("bootstrap ratio, boot", best(function() intervals(pairs, function(x, i) mean(x$food[i]) / mean(x$comparator[i]))))
}
# All draws of one block at once; blocks so that a matrix stays below 80 MB.
flip <- function() {
    block <- max(1L, min(flips, as.integer(1e7 %/% n)))
    extreme <- 0
    done <- 0L
    limit <- abs(sum(d)) - 1e-12 * sum(abs(d))
    while (done < flips) {
        m <- min(block, flips - done)
        signs <- matrix(sample(c(-1, 1), m * n, replace = TRUE), m)
        extreme <- extreme + sum(abs(signs %*% d) >= limit)
        done <- done + m
    }
    (extreme + 1) / (flips + 1)
}
say("sign flips, R", best(flip))
resample <- function() rowMeans(matrix(d[sample.int(n, n * resamples, replace = TRUE)], resamples))
say("bootstrap mean, R vectorised", best(function() quantile(resample(), c(0.025, 0.975))))
