# Reference values of Dunnett's comparison between samples of digestion, runs as blocks.
# Usage: Rscript tests/reference/digestion_dunnett.R OUTDIR, after digestion.R. Packages multcomp 1.4-20 and mvtnorm 1.1-3.
# The rows are those of digestion_rows.csv; group 0 is the control. mvtnorm integrates by randomised lattices: its seed
# is set before each call and its error asked to be below 1e-6.
suppressPackageStartupMessages({
    library(multcomp)
    library(mvtnorm)
})
out <- commandArgs(trailingOnly = TRUE)[1]
num <- function(x) formatC(x, digits = 8, format = "g", width = 1)
rows <- read.csv(file.path(out, "digestion_rows.csv"))
lattice <- GenzBretz(maxpts = 4e6, abseps = 2e-7, releps = 0)
tail <- function(q, df, correlation) {
    set.seed(20261130)
    m <- nrow(correlation)
    if (m == 1) return(2 * pt(-q, df))
    p <- pmvt(lower = rep(-q, m), upper = rep(q, m), df = df, corr = correlation, algorithm = lattice)
    stopifnot(attr(p, "error") < 1e-6)
    1 - as.vector(p)
}
table <- NULL
for (case in unique(rows$case)) {
    d <- rows[rows$case == case, ]
    d$g <- factor(d$group)
    d$b <- factor(d$run)
    fit <- if (nlevels(d$b) > 1) aov(value ~ b + g, d) else aov(value ~ g, d)
    pairs <- glht(fit, linfct = mcp(g = "Dunnett"))
    df <- df.residual(fit)
    e <- coef(pairs)
    V <- vcov(pairs)
    se <- sqrt(diag(V))
    correlation <- cov2cor(V)
    t <- e / se
    p <- vapply(abs(t), tail, 0, df = df, correlation = correlation)
    q <- uniroot(function(q) tail(q, df, correlation) - 0.05, c(1, 20), tol = 1e-8)$root
    # multcomp's own adjustment, at its looser settings.
    stopifnot(abs(summary(pairs)$test$pvalues - p) < 2e-3)
    table <- rbind(table, data.frame(case = case, group = seq_along(e), minus = 0, estimate = num(e), p_dunnett = num(p),
                                     low = num(e - q * se), high = num(e + q * se)))
}
write.csv(table, file.path(out, "digestion_dunnett.csv"), row.names = FALSE, quote = FALSE)
