# A fit of lme4 whose variance ratio is refined, for models.R and model_families.R. A study has `data`, `factors`
# and, where there are numeric columns beside them, `columns`.

# lme4's own stopping rule leaves 4 to 6 digits, and any rule on the height of a flat top leaves 8. So the
# best point of a grid is refined as the root of the derivative, from whole matrices, and lme4 is told to stay there.
stay <- function(fn, par, lower, upper, control) {
    list(par = par, fval = fn(par), conv = 0, convergence = 0, message = "given")
}

# d(-2 log L)/d(lambda), up to a positive factor, sigma^2 at its best for that lambda.
slope <- function(lambda, y, X, ZZ) {
    W <- solve(diag(length(y)) + lambda * ZZ)
    P <- W - W %*% X %*% solve(t(X) %*% W %*% X, t(X) %*% W)
    Py <- P %*% y
    sum(P * ZZ) - (length(y) - ncol(X)) * sum(Py * (ZZ %*% Py)) / sum(y * Py)
}

tightFit <- function(study) {
    formula <- as.formula(paste("value ~", paste(c(study$factors, study$columns), collapse = " + "), "+ (1 | subject)"))
    data <- study$data
    quiet <- list(check.conv.singular = .makeCC("ignore", tol = 1e-4),
                  check.conv.grad = .makeCC("ignore", tol = 1e-4),
                  check.conv.hess = .makeCC("ignore", tol = 1e-6), check.rankX = "silent.drop.cols")
    deviance <- lme4::lmer(formula, data, devFunOnly = TRUE, control = do.call(lmerControl, quiet))
    grid <- c(0, 10^seq(-3, 3, by = 0.1))
    height <- vapply(grid, deviance, numeric(1))
    best <- which.min(height)
    X <- environment(deviance)$pp$X
    y <- data$value - mean(data$value)
    ZZ <- outer(data$subject, data$subject, "==") + 0
    bracket <- grid[c(max(1, best - 1), min(length(grid), best + 1))]^2
    slopeAt <- function(lambda) slope(lambda, y, X, ZZ)
    ends <- vapply(bracket, slopeAt, numeric(1))
    start <- 0
    if (ends[1] < 0) {
        stopifnot(ends[2] > 0)
        start <- sqrt(uniroot(slopeAt, bracket, tol = 1e-14 * bracket[2])$root)
    } else {
        stopifnot(best <= 2, deviance(0) <= min(height))
    }
    control <- do.call(lmerControl, c(quiet, list(optimizer = stay, restart_edge = FALSE, boundary.tol = 0)))
    fit <- suppressMessages(lmerTest::lmer(formula, data, start = start, control = control))
    stopifnot(abs(getME(fit, "theta") - start) <= 1e-15 * start, REMLcrit(fit) <= min(height) + 1e-9)
    fit
}
