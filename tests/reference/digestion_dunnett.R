# Reference values of Dunnett's comparison between samples of digestion, runs as blocks.
# Usage: Rscript tests/reference/digestion_dunnett.R OUTDIR, after digestion.R. Package mvtnorm 1.1-3.
# The rows are those of digestion_rows.csv; group 0 is the control. The multivariate t is the multivariate normal
# averaged over the residual SD: where all correlations are equal by the factor that the t share, else by mvtnorm's
# recursion of Miwa, Hayter & Kuriki, which draws nothing at random.
library(mvtnorm)
out <- commandArgs(trailingOnly = TRUE)[1]
num <- function(x) formatC(x, digits = 8, format = "g", width = 1)
rows <- read.csv(file.path(out, "digestion_rows.csv"))
recursion <- Miwa(steps = 128)
z <- seq(-9, 9, by = 0.05)
# P(all |Z| <= a); the sum over a fine grid of a smooth function that ends at 0 is its integral.
normalInside <- function(a, correlation) {
    m <- nrow(correlation)
    r <- correlation[1, 2]
    if (max(abs(correlation[upper.tri(correlation)] - r)) < 1e-10) {
        each <- pnorm((a + sqrt(r) * z) / sqrt(1 - r)) - pnorm((-a + sqrt(r) * z) / sqrt(1 - r))
        return(sum(dnorm(z) * each^m) * 0.05)
    }
    as.vector(pmvnorm(rep(-a, m), rep(a, m), corr = correlation, algorithm = recursion))
}
# P(largest |T| >= q)
tail <- function(q, df, correlation) {
    m <- nrow(correlation)
    if (m == 1) return(2 * pt(-q, df))
    given <- function(s) {
        inside <- vapply(q * s, normalInside, 0, correlation = correlation)
        (1 - inside) * 2 * df * s * dchisq(df * s^2, df)
    }
    ends <- sqrt(c(qchisq(1e-13, df), qchisq(1e-13, df, lower.tail = FALSE)) / df)
    integrate(given, ends[1], ends[2], rel.tol = 1e-7, abs.tol = 1e-9)$value
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
    # Not below that of the pair alone, where the recursion leaves nothing but rounding.
    p <- pmax(vapply(abs(t), tail, 0, df = df, correlation = correlation), 2 * pt(-abs(t), df))
    q <- uniroot(function(q) tail(q, df, correlation) - 0.05, c(2, 6), tol = 1e-6)$root
    if (length(e) > 1) {
        # The same by randomised lattices.
        set.seed(20261130)
        again <- pmvt(rep(-q, length(e)), rep(q, length(e)), df = df, corr = correlation,
                      algorithm = GenzBretz(maxpts = 1e6, abseps = 2e-5, releps = 0))
        stopifnot(abs(1 - again - 0.05) < 4e-5)
    }
    table <- rbind(table, data.frame(case = case, group = seq_along(e), minus = 0, estimate = num(e), p_dunnett = num(p),
                                     low = num(e - q * se), high = num(e + q * se)))
}
write.csv(table, file.path(out, "digestion_dunnett.csv"), row.names = FALSE, quote = FALSE)
