# Limits of agreement (Bland & Altman 1986, Lancet i:307) of three invented sets of paired differences, with the t
# intervals of the mean and of the limits: limit +- t * sqrt(3 s^2 / n); for tests/core/compare/agreement_test.cpp.
#   Rscript tests/reference/agreement.R OUTDIR
# writes agreement.csv. Base R only. Same script, same bytes.
arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript agreement.R OUTDIR")
sets <- list(
    peak_flow = c(-18, -35, -4, 6, -24, -43, 49, 62, -8, -12, -15, 30, 7, 1, -81, 73, -24),  # from memory: table of the paper
    areas = c(-37.5, -105, 12.25, -60.125, 3.5, -81, 40.75, -22),
    two = c(1.5, -0.25))
out <- do.call(rbind, lapply(names(sets), function(name) {
    d <- sets[[name]]
    n <- length(d)
    s <- sd(d)
    t <- qt(0.975, n - 1)
    limits <- mean(d) + c(-1.96, 1.96) * s
    half <- t * sqrt(3 * s^2 / n)
    ci <- mean(d) + c(-1, 1) * t * s / sqrt(n)
    data.frame(set = name, quantity = c("mean", "sd", "mean_low", "mean_high", "lower", "lower_low", "lower_high", "upper",
                                        "upper_low", "upper_high"),
               value = sprintf("%.15g", c(mean(d), s, ci, limits[1], limits[1] - half, limits[1] + half, limits[2],
                                          limits[2] - half, limits[2] + half)))
}))
write.csv(out, file.path(arguments[1], "agreement.csv"), row.names = FALSE, quote = FALSE)
