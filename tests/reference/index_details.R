# The index in several ways, its outlier rules and its pairs in base R, for
# tests/core/findings/index_details_test.cpp.
#   Rscript tests/reference/index_details.R OUTDIR
# writes index_details_cases.csv (invented rises of glucose over the baseline, seed 20261125: two visits with the
# reference and one with each of two foods; NA: no visit) and index_details.csv (name,value; 13 significant
# digits). Needs base R and stats only.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript index_details.R OUTDIR")

set.seed(20261125)
n <- 14
cases <- data.frame(subject = sprintf("%02d", 1:n),
                    reference_1 = round(runif(n, 2, 6), 2), reference_2 = round(runif(n, 2, 6), 2))
cases$barley <- round((cases$reference_1 + cases$reference_2) / 2 * runif(n, 0.4, 0.7), 2)
cases$wafer <- round((cases$reference_1 + cases$reference_2) / 2 * runif(n, 0.6, 1.0), 2)
# Two far ones: the second is outside only where the first is gone.
cases$barley[3] <- round(4 * (cases$reference_1 + cases$reference_2)[3] / 2, 2)
cases$barley[8] <- round(1.2 * (cases$reference_1 + cases$reference_2)[8] / 2, 2)
cases$wafer[5] <- NA
write.csv(cases, file.path(arguments, "index_details_cases.csv"), row.names = FALSE, quote = FALSE)

results <- character(0)
give <- function(name, value) results <<- c(results, sprintf("%s,%.13g", name, unname(value)))

# Values 5, 5 + rise, 5 at 0, 60, 120 min: an incremental area of 60 x rise.
y <- 60 * (cases$reference_1 + cases$reference_2) / 2
area <- list(barley = 60 * cases$barley, wafer = 60 * cases$wafer)

for (food in names(area)) {
    x <- area[[food]][!is.na(area[[food]])]
    r <- y[!is.na(area[[food]])]
    value <- 100 * x / r
    k <- length(value)
    name <- function(what) paste(food, what, sep = "_")
    test <- t.test(value)
    give(name("mean_of_ratios"), mean(value))
    give(name("mean_of_ratios_low"), test$conf.int[1])
    give(name("mean_of_ratios_high"), test$conf.int[2])
    give(name("ratio_of_means"), 100 * mean(x) / mean(r))
    # Fieller: roots of the quadratic in theta.
    t2 <- qt(0.975, k - 1)^2
    q <- mean(r)^2 - t2 * var(r) / k
    h <- mean(x) * mean(r) - t2 * cov(x, r) / k
    z <- mean(x)^2 - t2 * var(x) / k
    give(name("ratio_of_means_low"), 100 * (h - sqrt(h^2 - q * z)) / q)
    give(name("ratio_of_means_high"), 100 * (h + sqrt(h^2 - q * z)) / q)
    give(name("covariance_term"), cov(value, r) * (k - 1) / k / mean(r))
    logs <- t.test(log(x / r))
    give(name("geometric_mean"), 100 * exp(logs$estimate))
    give(name("geometric_mean_low"), 100 * exp(logs$conf.int[1]))
    give(name("geometric_mean_high"), 100 * exp(logs$conf.int[2]))
    give(name("median"), median(value))
    below <- max(which(2 * pbinom(0:k, k, 0.5) <= 0.05))  # as many order statistics lie outside
    give(name("median_low"), sort(value)[below])
    give(name("median_high"), sort(value)[k + 1 - below])
    for (rule in c("none", "once", "repeated")) {
        kept <- value
        passes <- 0
        while (rule != "none" && any(abs(kept - mean(kept)) > 2 * sd(kept)) && (passes == 0 || rule == "repeated")) {
            kept <- kept[abs(kept - mean(kept)) <= 2 * sd(kept)]
            passes <- passes + 1
        }
        give(name(paste0(rule, "_n")), length(kept))
        give(name(paste0(rule, "_passes")), passes)
        give(name(paste0(rule, "_mean")), mean(kept))
        give(name(paste0(rule, "_sd")), sd(kept))
        give(name(paste0(rule, "_low")), t.test(kept)$conf.int[1])
        give(name(paste0(rule, "_high")), t.test(kept)$conf.int[2])
    }
}

index <- lapply(area, function(x) 100 * x / y)
pairs <- list(barley_wafer = index$barley - index$wafer, barley_reference = index$barley - 100,
              wafer_reference = index$wafer - 100)
p <- vapply(pairs, function(d) t.test(d)$p.value, 0)
adjusted <- p.adjust(p, "holm")
for (name in names(pairs)) {
    d <- pairs[[name]][!is.na(pairs[[name]])]
    test <- t.test(d)
    give(paste0(name, "_n"), length(d))
    give(paste0(name, "_mean"), mean(d))
    give(paste0(name, "_low"), test$conf.int[1])
    give(paste0(name, "_high"), test$conf.int[2])
    give(paste0(name, "_t"), test$statistic)
    give(paste0(name, "_p"), test$p.value)
    give(paste0(name, "_p_adjusted"), adjusted[name])
    # Every sign pattern in turn, ties among them; rounding removes what the division adds.
    rounded <- round(d, 9)
    ranks <- rank(abs(rounded))
    v <- sum(ranks[rounded > 0])
    sums <- as.vector(as.matrix(expand.grid(rep(list(0:1), length(d)))) %*% ranks)
    stopifnot(all(rounded != 0))
    give(paste0(name, "_v"), v)
    give(paste0(name, "_signed_rank_p"), min(1, 2 * min(mean(sums <= v), mean(sums >= v))))
    walsh <- outer(d, d, "+") / 2
    give(paste0(name, "_hodges_lehmann"), median(walsh[lower.tri(walsh, diag = TRUE)]))
    give(paste0(name, "_dz"), mean(d) / sd(d))
}
writeLines(c("name,value", results), file.path(arguments, "index_details.csv"))
