# Rscript sensor_smoothing.R OUTPUT_FOLDER
# 20 invented series of glucose readings, smoothed by running medians (runmed, ends by windows that shrink evenly)
# and by a straight line with tricube weights (lm of the weighted readings). One row a reading.
arguments <- commandArgs(TRUE)
out <- if (length(arguments)) arguments[1] else "."
set.seed(20261125, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
max_gap_s <- 1200

# The stretches between gaps, numbered.
stretches <- function(second) cumsum(c(TRUE, diff(second) > max_gap_s))

median_of <- function(y, k) {
    n <- length(y)
    h <- (k - 1) / 2
    inner <- if (n >= k) as.numeric(runmed(y, k, endrule = "keep")) else y
    for (i in seq_len(n)) {
        half <- min(h, i - 1, n - i)
        if (half < h) inner[i] <- median(y[(i - half):(i + half)])
    }
    inner
}

line_of <- function(second, y, bandwidth_s) {
    vapply(seq_along(y), function(i) {
        d <- (second - second[i]) / bandwidth_s
        near <- abs(d) < 1
        if (sum(near) < 2) return(y[i])
        w <- (1 - abs(d[near])^3)^3
        unname(coef(lm.wfit(cbind(1, d[near]), y[near], w))[1])
    }, numeric(1))
}

by_stretch <- function(second, y, smooth) {
    part <- stretches(second)
    unlist(lapply(unique(part), function(p) smooth(second[part == p], y[part == p])))
}

all <- NULL
for (series in 1:20) {
    n <- 40 + 3 * series
    # Every 5 min in the first half of the series, at uneven times in the rest; some readings are lost.
    second <- if (series <= 10) 300 * (0:(n - 1)) else cumsum(60 * sample(1:12, n, replace = TRUE))
    lost <- sort(sample(5:(n - 5), 6))
    lost <- c(lost, 20:24)
    second <- second[-lost]
    hours <- second / 3600
    y <- round(5.5 + 2 * sin(hours) + rnorm(length(second), 0, 0.4), 2)
    k <- c(3, 5, 7, 9)[1 + series %% 4]
    bandwidth <- c(10, 15, 22.5, 40, 60)[1 + series %% 5]
    median <- by_stretch(second, y, function(s, v) median_of(v, k))
    line <- by_stretch(second, y, function(s, v) line_of(s, v, 60 * bandwidth))
    all <- rbind(all, data.frame(series, second = sprintf("%.0f", second), value = y, readings = k, bandwidth_min = bandwidth,
                                 median = sprintf("%.17g", median), line = sprintf("%.12g", line)))
}
write.csv(all, file.path(out, "sensor_smoothing.csv"), row.names = FALSE, quote = FALSE)
