# Reference values of Dunnett's comparison between samples of digestion, runs as blocks.
# Usage: Rscript tests/reference/digestion_dunnett.R OUTDIR, after digestion.R. Package mvtnorm 1.1-3.
# The rows are those of digestion_rows.csv; group 0 is the control. The multivariate t is the multivariate normal
# (mvtnorm's recursion of Miwa, Hayter & Kuriki, which draws nothing at random) averaged over the residual SD.
library(mvtnorm)
out <- commandArgs(trailingOnly = TRUE)[1]
num <- function(x) formatC(x, digits = 8, format = "g", width = 1)
rows <- read.csv(file.path(out, "digestion_rows.csv"))
recursion <- Miwa(steps = 256)
# P(largest |T| >= q)
tail <- function(q, df, correlation) {
    m <- nrow(correlation)
    if (m == 1) return(2 * pt(-q, df))
    given <- function(s) {
        inside <- vapply(s, function(one) {
            as.vector(pmvnorm(rep(-q * one, m), rep(q * one, m), corr = correlation, algorithm = recursion))
        }, 0)
        (1 - inside) * 2 * df * s * dchisq(df * s^2, df)
    }
    ends <- sqrt(c(qchisq(1e-13, df), qchisq(1e-13, df, lower.tail = FALSE)) / df)
    integrate(given, ends[1], ends[2], rel.tol = 1e-8, abs.tol = 1e-10)$value
}
table <- NULL
for (case in unique(rows$case)) {
    d <- rows[rows$case == case, ]
    d$g <- factor(d$group)
    d$b <- factor(d$run)
    fit <- if (nlevels(d$b) > 1) lm(value ~ b + g, d) else lm(value ~ g, d)
    df <- df.residual(fit)
    of <- paste0("g", seq_len(nlevels(d$g) - 1))
    e <- coef(fit)[of]
    V <- vcov(fit)[of, of, drop = FALSE]
    se <- sqrt(diag(V))
    correlation <- cov2cor(V)
    t <- e / se
    p <- vapply(abs(t), tail, 0, df = df, correlation = correlation)
    q <- uniroot(function(q) tail(q, df, correlation) - 0.05, c(2, 6), tol = 1e-7)$root
    if (length(e) > 1) {
        # The same by randomised lattices.
        set.seed(20261130)
        again <- pmvt(rep(-q, length(e)), rep(q, length(e)), df = df, corr = correlation,
                      algorithm = GenzBretz(maxpts = 1e6, abseps = 1e-5, releps = 0))
        stopifnot(abs(1 - again - 0.05) < 2e-5)
    }
    table <- rbind(table, data.frame(case = case, group = seq_along(e), minus = 0, estimate = num(e), p_dunnett = num(p),
                                     low = num(e - q * se), high = num(e + q * se)))
}
write.csv(table, file.path(out, "digestion_dunnett.csv"), row.names = FALSE, quote = FALSE)
