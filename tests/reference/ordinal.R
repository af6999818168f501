# Rscript tests/reference/ordinal.R OUTDIR
# Proportional odds with a random intercept of the subject, by maximum likelihood. Each fit is made twice: by an R
# package (ordinal's clmm, nAGQ = 21; lme4's glmer with two categories; MASS's polr where the greatest likelihood
# is at a spread of 0), and here from a trapezoid sum over 181 fixed points of the subject's shift with Newton
# steps, which must agree. The program uses adaptive Gauss-Hermite quadrature; this script shares no code with
# it. Studies are invented (seed below). Needs ordinal, lme4, MASS and numDeriv.

suppressPackageStartupMessages({
    library(ordinal)
    library(numDeriv)
})
arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript ordinal.R OUTDIR")
outDir <- arguments[1]
set.seed(20261129, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")

makeStudy <- function(i) {
    groups <- c(2, 3, 5, 4)[(i - 1) %% 4 + 1]
    categories <- c(4, 2, 6, 3, 4)[(i - 1) %% 5 + 1]
    n <- c(14, 24, 40, 60)[(i - 1) %/% 6 %% 4 + 1]
    sigma <- c(0, 0.7, 1.5, 3)[(i - 1) %/% 3 %% 4 + 1]
    d <- expand.grid(group = seq_len(groups) - 1, subject = seq_len(n))
    effect <- c(0, rnorm(groups - 1, 0.5, 0.8))
    threshold <- if (categories == 2) 0.3 else seq(-1, 2, length.out = categories - 1)
    u <- rnorm(n, 0, sigma)
    latent <- effect[d$group + 1] + u[d$subject] + rlogis(nrow(d))
    d$category <- findInterval(latent, threshold)
    if (i %% 3 == 0) d <- d[sort(sample(nrow(d), round(0.85 * nrow(d)))), ]
    d$category <- match(d$category, sort(unique(d$category))) - 1
    list(name = sprintf("study-%02d", i), rows = d[, c("subject", "group", "category")])
}

# ---- the likelihood on fixed points -----------------------------------------------------------------------

v <- seq(-9, 9, by = 0.1)
logWeight <- dnorm(v, log = TRUE) + log(v[2] - v[1])

# x: thresholds, effects (none where `groups` is 1), sigma where `mixed`. Value and gradient of log L.
likelihood <- function(d, groups, mixed) {
    if (groups == 1) d$group <- 0
    k <- max(d$category) + 1
    s <- match(d$subject, unique(d$subject))
    function(x, gradient = FALSE) {
        theta <- c(-Inf, x[seq_len(k - 1)], Inf)
        beta <- c(0, x[k - 1 + seq_len(groups - 1)])
        sigma <- if (mixed) x[length(x)] else 0
        eta <- outer(beta[d$group + 1], sigma * v, "+")
        a <- theta[d$category + 2] - eta
        b <- theta[d$category + 1] - eta
        # The difference of two upper tails where both are near 1.
        flip <- b > 0
        p <- plogis(a) - plogis(b)
        p[flip] <- plogis(-b[flip]) - plogis(-a[flip])
        bySubject <- rowsum(log(p), s) + rep(logWeight, each = max(s))
        top <- apply(bySubject, 1, max)
        total <- top + log(rowSums(exp(bySubject - top)))
        if (!gradient) return(sum(total))
        posterior <- exp(bySubject - total)[s, ]
        byA <- posterior * dlogis(a) / p
        byB <- posterior * dlogis(b) / p
        g <- numeric(length(x))
        for (j in seq_len(k - 1)) g[j] <- sum(byA[d$category + 1 == j, ]) - sum(byB[d$category == j, ])
        for (h in seq_len(groups - 1)) g[k - 1 + h] <- -sum((byA - byB)[d$group == h, ])
        if (mixed) g[length(x)] <- -sum(rowSums((byA - byB) * rep(v, each = nrow(d))))
        g
    }
}

maximum <- function(f, x) {
    for (i in 1:30) {
        g <- f(x, TRUE)
        h <- jacobian(function(y) f(y, TRUE), x, method = "simple")
        step <- solve((h + t(h)) / 2, g)
        x <- x - step
        if (max(abs(step)) < 1e-9) break
    }
    stopifnot(i < 30)
    h <- jacobian(function(y) f(y, TRUE), x)
    list(at = x, value = f(x), se = sqrt(diag(solve(-(h + t(h)) / 2))))
}

# The package's second derivatives are coarse, so its standard errors agree to fewer digits.
close <- function(a, b, what, tolerance = 5e-4) {
    if (max(abs(a - b) / pmax(1, abs(b))) > tolerance) stop(what, ": ", paste(a, collapse = " "), " against ", paste(b, collapse = " "))
}

# ---- the fit of one study ---------------------------------------------------------------------------------

fitted <- function(d, grouped) {
    k <- max(d$category) + 1
    groups <- if (grouped) max(d$group) + 1 else 1
    d$y <- factor(d$category)
    d$g <- factor(d$group)
    d$s <- factor(d$subject)
    laplace <- NA
    if (k == 2) {
        m <- lme4::glmer(if (grouped) y ~ g + (1 | s) else y ~ 1 + (1 | s), d, family = binomial, nAGQ = 21,
                         control = lme4::glmerControl(tolPwrss = 1e-12, optCtrl = list(xtol_rel = 1e-10)))
        b <- lme4::fixef(m)
        x <- c(-b[1], b[-1], sqrt(lme4::VarCorr(m)$s[1]))
        l <- NA
    } else {
        control <- clmm.control(gradTol = 1e-7, maxIter = 500)
        form <- if (grouped) y ~ g + (1 | s) else y ~ 1 + (1 | s)
        m <- clmm(form, data = d, nAGQ = 21, control = control)
        x <- c(m$Theta, m$beta, m$ST[[1]][1])
        l <- as.numeric(m$logLik)
        laplace <- as.numeric(clmm(form, data = d, nAGQ = 1, control = control)$logLik)
    }
    f <- likelihood(d, groups, TRUE)
    f0 <- likelihood(d, groups, FALSE)
    start0 <- c(qlogis(cumsum(table(d$category))[seq_len(k - 1)] / nrow(d)), rep(0, groups - 1))
    at0 <- maximum(f0, start0)
    atBound <- x[length(x)] < 1e-2 || f(x) < at0$value + 1e-6
    if (atBound) {
        stopifnot(f(c(at0$at, 0.05)) < at0$value)
        if (k > 2) {
            fixed <- if (grouped) MASS::polr(y ~ g, d, Hess = TRUE) else MASS::polr(y ~ 1, d, Hess = TRUE)
            close(c(fixed$zeta, coef(fixed)), at0$at, "polr")
            close(as.numeric(logLik(fixed)), at0$value, "polr log L")
            if (length(coef(fixed)) > 0) close(sqrt(diag(vcov(fixed)))[seq_len(groups - 1)], at0$se[k - 1 + seq_len(groups - 1)], "polr SE")
        }
        return(list(at = c(at0$at, 0), se = c(at0$se, NA), value = at0$value, package = l, laplace = NA, k = k, groups = groups))
    }
    best <- maximum(f, x)
    close(best$at, x, "package")
    if (!is.na(l)) {
        close(l, best$value, "package log L")
        if (grouped) close(sqrt(diag(vcov(m)))[k - 1 + seq_len(groups - 1)], best$se[k - 1 + seq_len(groups - 1)], "package SE", 5e-3)
    }
    c(best, list(package = l, laplace = laplace, k = k, groups = groups))
}

number <- function(x) ifelse(is.na(x), "NA", sprintf("%.10g", x))
rows <- fits <- effects <- character()
for (i in 1:24) {
    study <- makeStudy(i)
    d <- study$rows
    full <- fitted(d, TRUE)
    null <- fitted(d, FALSE)
    rows <- c(rows, paste(study$name, d$subject, d$group, d$category, sep = ","))
    ratio <- 2 * (full$value - null$value)
    thresholds <- paste(number(full$at[seq_len(full$k - 1)]), collapse = " ")
    fits <- c(fits, paste(study$name, nrow(d), length(unique(d$subject)), full$k, full$groups, thresholds,
                          number(full$at[length(full$at)]), number(full$value), number(full$package),
                          number(full$laplace), number(ratio), number(pchisq(ratio, full$groups - 1, lower.tail = FALSE)), sep = ","))
    for (h in seq_len(full$groups - 1)) {
        b <- full$at[full$k - 1 + h]
        se <- full$se[full$k - 1 + h]
        effects <- c(effects, paste(study$name, h, number(b), number(se), number(b - qnorm(0.975) * se),
                                    number(b + qnorm(0.975) * se), number(2 * pnorm(-abs(b / se))), sep = ","))
    }
}
writeLines(c("study,subject,group,category", rows), file.path(outDir, "ordinal_rows.csv"))
writeLines(c("study,scores,subjects,categories,groups,thresholds,sigma,log_likelihood,package_log_likelihood,laplace_log_likelihood,ratio,p", fits),
           file.path(outDir, "ordinal_fits.csv"))
writeLines(c("study,group,log_odds,se,ci_low,ci_high,p", effects), file.path(outDir, "ordinal_effects.csv"))
