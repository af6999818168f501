# Reference values of digestion in vitro: analysis of variance with runs as blocks, and fitted curves.
# Usage: Rscript tests/reference/digestion.R OUTDIR. Base R only (packages base and stats).
out <- commandArgs(trailingOnly = TRUE)[1]
set.seed(20261130, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
num <- function(x) formatC(x, digits = 13, format = "g", width = 1)

# Invented sets of replicate values: samples 0, 1, ..., runs 0, 1, ...; the last ones with values missing.
rows <- NULL
add <- function(case, groups, runs, replicates, missing = 0) {
    d <- expand.grid(replicate = seq_len(replicates), run = seq_len(runs) - 1, group = seq_len(groups) - 1)
    d$value <- round(40 + 4 * d$group + 1.5 * d$run + rnorm(nrow(d), sd = 2), 3)
    if (missing > 0) d <- d[-sort(sample(nrow(d), missing)), ]
    rows <<- rbind(rows, data.frame(case = case, group = d$group, run = d$run, value = d$value))
}
add(1, 3, 1, 3); add(2, 4, 3, 1); add(3, 4, 2, 3); add(4, 2, 1, 4); add(5, 6, 3, 2)
add(6, 3, 1, 4, 3); add(7, 4, 3, 2, 5); add(8, 5, 2, 3, 7)
write.csv(transform(rows, value = num(value)), file.path(out, "digestion_rows.csv"), row.names = FALSE, quote = FALSE)

tests <- NULL
pairs <- NULL
for (case in unique(rows$case)) {
    d <- rows[rows$case == case, ]
    d$g <- factor(d$group); d$b <- factor(d$run)
    several <- nlevels(d$b) > 1
    full <- if (several) lm(value ~ b + g, d) else lm(value ~ g, d)
    dropped <- drop1(full, scope = ~ g, test = "F")
    df <- df.residual(full)
    f <- dropped["g", "F value"]
    if (!several) stopifnot(abs(f / summary(aov(value ~ g, d))[[1]][1, "F value"] - 1) < 1e-10)
    tests <- rbind(tests, data.frame(case = case, n = nrow(d), f = num(f), num_df = nlevels(d$g) - 1, den_df = df,
                                     p = num(dropped["g", "Pr(>F)"]), residual_sd = num(sqrt(deviance(full) / df))))
    X <- model.matrix(full)
    V <- vcov(full)
    k <- nlevels(d$g)
    contrast <- function(i) { v <- numeric(ncol(X)); if (i > 0) v[colnames(X) == paste0("g", i)] <- 1; v }
    balanced <- length(unique(table(d$g, d$b))) == 1
    tukey <- if (balanced) TukeyHSD(if (several) aov(value ~ b + g, d) else aov(value ~ g, d), "g")$g
    for (i in 0:(k - 2)) for (j in (i + 1):(k - 1)) {
        v <- contrast(j) - contrast(i)
        e <- sum(v * coef(full)); se <- sqrt(c(t(v) %*% V %*% v)); t <- e / se
        p <- ptukey(sqrt(2) * abs(t), k, df, lower.tail = FALSE)
        half <- qtukey(0.95, k, df) / sqrt(2) * se
        if (balanced) {
            row <- tukey[paste0(j, "-", i), ]
            stopifnot(abs(row["diff"] - e) < 1e-8, abs(row["p adj"] - p) < 1e-6, abs(row["lwr"] - (e - half)) < 1e-4)
        }
        pairs <- rbind(pairs, data.frame(case = case, group = j, minus = i, estimate = num(e), se = num(se), t = num(t),
                                         p = num(2 * pt(-abs(t), df)), p_tukey = num(p), low = num(e - half),
                                         high = num(e + half)))
    }
}
write.csv(tests, file.path(out, "digestion_tests.csv"), row.names = FALSE, quote = FALSE)
write.csv(pairs, file.path(out, "digestion_pairs.csv"), row.names = FALSE, quote = FALSE)

# Invented curves in percent of total starch; nls from the true values.
times <- c(0, 5, 10, 20, 30, 45, 60, 90, 120, 180, 240)
curves <- NULL
fits <- NULL
tight <- nls.control(maxiter = 500, tol = 1e-6)
# nls ends near the optimum; Gauss-Newton steps with exact derivatives lead to it.
curve1 <- deriv(~ b * (1 - exp(-r * t)), c("b", "r"), function(b, r, t) NULL)
curve1s <- deriv(~ a + b * (1 - exp(-r * t)), c("a", "b", "r"), function(a, b, r, t) NULL)
curve2 <- deriv(~ p * (1 - exp(-r * t)) + q * (1 - exp(-s * t)), c("p", "q", "r", "s"), function(p, q, r, s, t) NULL)
optimum <- function(fit, curve, y) {
    p <- coef(fit)
    for (i in 1:100) {
        m <- do.call(curve, c(as.list(unname(p)), list(times)))
        J <- attr(m, "gradient")
        p <- p + qr.solve(J, y - as.vector(m))
    }
    stopifnot(max(abs(p / coef(fit) - 1)) < 1e-3)
    rss <- sum((y - as.vector(do.call(curve, c(as.list(unname(p)), list(times)))))^2)
    se <- sqrt(diag(solve(crossprod(J))) * rss / (length(y) - length(p)))
    list(coefficients = cbind(p, se), rss = rss)
}
digits10 <- function(x) formatC(x, digits = 10, format = "g", width = 1)
one <- function(case, cinf, k, sd) {
    y <- round(cinf * (1 - exp(-k * times)) + rnorm(length(times), sd = sd), 3)
    curves <<- rbind(curves, data.frame(case = case, time_min = times, value = y))
    fit <- nls(y ~ b * (1 - exp(-r * times)), start = list(b = cinf, r = k), control = tight)
    o <- optimum(fit, curve1, y); s <- o$coefficients
    fits <<- rbind(fits, data.frame(case = case, model = "one-phase", key = c("cinf", "k"), estimate = digits10(s[, 1]),
                                    se = digits10(s[, 2]), rss = digits10(o$rss)))
    fit <- nls(y ~ a + b * (1 - exp(-r * times)), start = list(a = 0, b = cinf, r = k), control = tight)
    o <- optimum(fit, curve1s, y); s <- o$coefficients
    fits <<- rbind(fits, data.frame(case = case, model = "one-phase-with-start", key = c("c0", "cinf", "k"),
                                    estimate = digits10(s[, 1]), se = digits10(s[, 2]), rss = digits10(o$rss)))
}
one(1, 80, 0.03, 1); one(2, 62, 0.011, 0.8); one(3, 95, 0.06, 1.5); one(4, 40, 0.02, 2)
two <- function(case, b1, k1, b2, k2, sd) {
    y <- round(b1 * (1 - exp(-k1 * times)) + b2 * (1 - exp(-k2 * times)) + rnorm(length(times), sd = sd), 3)
    curves <<- rbind(curves, data.frame(case = case, time_min = times, value = y))
    fit <- nls(y ~ p * (1 - exp(-r * times)) + q * (1 - exp(-s * times)),
               start = list(p = b1, q = b2, r = k1, s = k2), control = tight)
    o <- optimum(fit, curve2, y); s <- o$coefficients
    fits <<- rbind(fits, data.frame(case = case, model = "two-phases", key = c("cinf_1", "cinf_2", "k_1", "k_2"),
                                    estimate = digits10(s[, 1]), se = digits10(s[, 2]), rss = digits10(o$rss)))
}
two(5, 40, 0.12, 45, 0.01, 0.3); two(6, 25, 0.2, 60, 0.015, 0.3)
write.csv(transform(curves, value = num(value)), file.path(out, "digestion_curves.csv"), row.names = FALSE, quote = FALSE)
write.csv(fits, file.path(out, "digestion_fits.csv"), row.names = FALSE, quote = FALSE)
