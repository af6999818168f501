# Rscript tests/reference/time_course.R OUTDIR
# Mixed models of curves by REML: residuals within a curve independent, of a continuous-time AR(1), unstructured. The
# program does the same; this script shares no code with it. Each fit is made twice: by an R package (lmerTest; nlme's lme and gls)
# and from whole matrices here (-2 log L as written in any textbook, minimised with numerical derivatives), which must
# agree. Needs lme4, lmerTest, nlme and numDeriv. Studies are invented (seed below), except "clock-time", the data set
# Glucose of the R package nlme. Run it from the root of the sources.

suppressPackageStartupMessages({
    library(nlme)
    library(lmerTest)
    library(numDeriv)
})
arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript time_course.R OUTDIR")
outDir <- arguments[1]
set.seed(20261125, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")

# ---- studies ----------------------------------------------------------------------------------------------

makeStudy <- function(i, covariance) {
    kind <- c("balanced", "missing", "period", "repeated", "parallel")[(i - 1) %% 5 + 1]
    if (covariance == "unstructured" && kind == "repeated") kind <- "missing"
    schedule <- list(c(15, 30, 60, 120), c(30, 60, 90, 120), c(20, 45, 100))[[i %% 3 + 1]]
    foods <- if (kind == "repeated") 2 else sample(2:3, 1)
    n <- if (kind == "parallel") foods * 6 else sample(6:9, 1)
    curves <- expand.grid(visit = 1, food = seq_len(foods), subject = seq_len(n))
    curves$period <- (curves$subject + curves$food) %% foods + 1
    if (kind == "parallel") curves <- curves[curves$food == (curves$subject - 1) %% foods + 1, ]
    if (kind == "repeated") {
        again <- curves[curves$food == 1 & curves$subject > 1, ]
        again$visit <- 2
        curves <- rbind(curves, again)
    }
    sd <- sample(c(0.3, 1, 25), 1)
    spread <- sample(c(0, 0.6, 1.5), 3, replace = TRUE)
    curves <- curves[order(curves$subject, curves$food, curves$visit), ]
    subject <- rnorm(n, 0, spread[1])[curves$subject]
    inFood <- rnorm(n * foods, 0, spread[2])[(curves$subject - 1) * foods + curves$food]
    inCurve <- if (kind == "repeated") rnorm(nrow(curves), 0, spread[3]) else 0
    rho <- sample(c(0, 0.3, 0.6), 1)
    unit <- min(diff(schedule))
    noise <- t(chol(rho^(abs(outer(schedule, schedule, "-")) / unit)))
    growth <- if (covariance == "unstructured") runif(length(schedule), 0.6, 2) else rep(1, length(schedule))
    rows <- do.call(rbind, lapply(seq_len(nrow(curves)), function(c) {
        curve <- curves[c, ]
        mean <- 6 + sin(schedule / 40) * (1 + 0.3 * curve$food) + 0.2 * curve$period
        e <- growth * (noise %*% rnorm(length(schedule)))
        data.frame(subject = curve$subject, food = curve$food, visit = curve$visit, period = curve$period,
                   time = schedule, value = sd * (mean + (subject + inFood + inCurve)[c] + e))
    }))
    if (kind %in% c("missing", "repeated")) rows <- rows[sort(sample(nrow(rows), round(0.9 * nrow(rows)))), ]
    rows$value <- as.numeric(sprintf("%.6g", rows$value))
    list(name = sprintf("%s-%02d-%s", covariance, i, kind), covariance = covariance, rows = rows, period = kind == "period")
}

studies <- list()
for (covariance in c("independent", "ar1", "unstructured")) {
    for (i in 1:16) studies <- c(studies, list(makeStudy(i, covariance)))
}
clock <- read.csv("tests/reference/meals_by_clock_time/samples.csv")
clock <- clock[clock$time_min > 0 & clock$time_min <= 180 & !is.na(clock$glucose), ]
foods <- unique(clock$food)
for (covariance in c("independent", "ar1", "unstructured")) {
    studies <- c(studies, list(list(
        name = paste0(covariance, "-clock-time"), covariance = covariance, period = FALSE,
        rows = data.frame(subject = as.integer(clock$subject), food = match(clock$food, foods), visit = 1, period = 1,
                          time = clock$time_min, value = clock$glucose))))
}

# ---- whole matrices ---------------------------------------------------------------------------------------

prepare <- function(study) {
    d <- study$rows
    d <- d[order(d$subject, d$food, d$visit, d$time), ]
    d$ti <- match(d$time, sort(unique(d$time)))
    d$cell <- factor((d$food - 1) * max(d$ti) + d$ti)
    d$periodF <- factor(d$period)
    d$inFood <- factor(paste(d$subject, d$food))
    d$inCurve <- factor(paste(d$subject, d$food, d$visit))
    d$unit <- min(diff(sort(unique(d$time))))
    d
}

same <- function(x) outer(x, x, "==") + 0

makeModel <- function(study) {
    d <- prepare(study)
    X <- if (study$period) model.matrix(~ 0 + cell + periodF, d) else model.matrix(~ 0 + cell, d)
    parallel <- all(rowSums(table(d$subject, d$food) > 0) == 1)
    repeated <- any(d$visit > 1)
    parts <- list(subject = same(d$subject), subject_food = same(d$inFood), curve = same(d$inCurve))
    keep <- if (study$covariance == "unstructured") {
        if (parallel) character(0) else "subject"
    } else c("subject", if (!parallel) "subject_food", if (repeated) "curve")
    list(d = d, X = X, y = d$value, parts = parts[keep], curve = same(d$inCurve),
         gap = abs(outer(d$time, d$time, "-")) / d$unit[1], covariance = study$covariance, times = max(d$ti))
}

# Parameters: log variances of the parts, then log variance of the residual (and logit of rho), or log diagonal and rest of
# a Cholesky factor.
within <- function(model, par) {
    if (model$covariance == "independent") return(diag(exp(par[1]), nrow(model$d)))
    if (model$covariance == "ar1") {
        rho <- if (length(par) > 1) plogis(par[2]) else 0
        return(exp(par[1]) * ifelse(model$gap == 0, 1, rho^model$gap) * model$curve)
    }
    unstructured(model, par)[model$d$ti, model$d$ti] * model$curve
}
unstructured <- function(model, par) {
    L <- matrix(0, model$times, model$times)
    L[lower.tri(L, diag = TRUE)] <- par
    diag(L) <- exp(diag(L))
    L %*% t(L)
}
pieces <- function(model, par) {
    k <- length(model$parts)
    V <- within(model, par[seq_along(par) > k])
    for (j in seq_len(k)) V <- V + exp(par[j]) * model$parts[[j]]
    R <- chol(V)
    W <- backsolve(R, model$X, transpose = TRUE)
    z <- backsolve(R, model$y, transpose = TRUE)
    information <- crossprod(W)
    beta <- solve(information, crossprod(W, z))
    list(R = R, information = information, beta = beta, rest = z - W %*% beta)
}
criterion <- function(model, par) {
    q <- tryCatch(pieces(model, par), error = function(e) NULL)
    if (is.null(q)) return(1e10)
    2 * sum(log(diag(q$R))) + as.numeric(determinant(q$information)$modulus) + sum(q$rest^2) +
        (length(model$y) - ncol(model$X)) * log(2 * pi)
}

minimise <- function(model, start) {
    f <- function(par) criterion(model, par)
    par <- optim(start, f, method = "BFGS", control = list(maxit = 200, reltol = 1e-10))$par
    for (step in 1:4) {
        H <- hessian(f, par)
        g <- grad(f, par)
        move <- tryCatch(solve(H, g), error = function(e) NULL)
        if (is.null(move) || max(abs(move)) > 1) break
        par <- par - move
        if (sum(g * move) < 1e-9) break
    }
    list(par = par, value = f(par))
}

# The parts in `set` (and rho) above 0; those that run towards 0 are tried at 0, which counts where it is no worse.
fitParts <- function(model, set, rho) {
    s <- var(residuals(lm.fit(model$X, model$y)))
    m <- model
    m$parts <- model$parts[set]
    start <- c(rep(log(s / 3), length(set)),
               if (model$covariance == "unstructured") {
                   S <- t(chol(s * (0.2 + diag(0.5, m$times))))
                   diag(S) <- log(diag(S))
                   S[lower.tri(S, diag = TRUE)]
               } else log(s / 2), if (rho) 0)
    found <- c(minimise(m, start), list(model = m, set = set, rho = rho))
    k <- length(set)
    small <- set[found$par[seq_len(k)] < log(s) - 5]
    if (rho && tail(found$par, 1) < -3) small <- c(small, "rho")
    for (part in small) {
        other <- fitParts(model, setdiff(set, part), rho && part != "rho")
        if (other$value < found$value + 1e-6) found <- other
    }
    found
}
fitWhole <- function(model) fitParts(model, names(model$parts), model$covariance == "ar1")

# Functions of the cells' means: rows of L, by column of X.
functionsOf <- function(model, study) {
    d <- unique(model$d[c("food", "ti", "cell")])
    d <- d[order(d$food, d$ti), ]
    stopifnot(nrow(d) == max(d$food) * max(d$ti))
    cells <- nrow(d)
    extra <- ncol(model$X) - cells
    means <- cbind(diag(cells), matrix(if (extra) 1 / (extra + 1) else 0, cells, extra))
    pick <- function(f, t) means[d$food == f & d$ti == t, ]
    F <- max(d$food)
    T <- max(d$ti)
    food <- do.call(rbind, lapply(2:F, function(f) colMeans(means[d$food == f, ]) - colMeans(means[d$food == 1, ])))
    time <- do.call(rbind, lapply(2:T, function(t) colMeans(means[d$ti == t, ]) - colMeans(means[d$ti == 1, ])))
    both <- do.call(rbind, lapply(2:F, function(f) do.call(rbind, lapply(2:T, function(t) {
        pick(f, t) - pick(1, t) - pick(f, 1) + pick(1, 1)
    }))))
    differences <- do.call(rbind, lapply(2:F, function(f) means[d$food == f, ] - means[d$food == 1, ]))
    list(d = d, means = means, differences = differences,
         terms = list(food = food, time = time, `food x time` = both,
                      period = if (extra) cbind(matrix(0, extra, cells), diag(extra))))
}

combine <- function(nu) {
    if (length(nu) == 1 || max(nu) - min(nu) < 1e-8) return(mean(nu))
    if (any(nu <= 2)) return(2)
    E <- sum(nu / (nu - 2))
    2 * E / (E - length(nu))
}

# ---- packages ---------------------------------------------------------------------------------------------

byPackage <- function(model, whole) {
    d <- model$d
    fixed <- if (ncol(model$X) > nlevels(d$cell)) value ~ 0 + cell + periodF else value ~ 0 + cell
    d$visitF <- factor(d$visit)
    d$foodF <- factor(d$food)
    d$t <- d$time / d$unit
    names <- names(model$parts)
    control <- lmeControl(tolerance = 1e-11, msTol = 1e-13, msMaxIter = 1000, maxIter = 500, niterEM = 50, opt = "nlminb",
                          returnObject = TRUE)
    fit <- tryCatch(if (model$covariance == "ar1") {
        random <- if ("curve" %in% names) ~ 1 | subject/foodF/visitF else if ("subject_food" %in% names) ~ 1 | subject/foodF else ~ 1 | subject
        corr <- if ("curve" %in% names) corCAR1(0.3, form = ~ t | subject/foodF/visitF) else
            if ("subject_food" %in% names) corCAR1(0.3, form = ~ t | subject/foodF) else corCAR1(0.3, form = ~ t | subject)
        lme(fixed, d, random = random, correlation = corr, method = "REML", control = control)
    } else if (length(names) == 0 && model$covariance == "unstructured") {
        gls(fixed, d, correlation = corSymm(form = ~ ti | subject), weights = varIdent(form = ~ 1 | ti), method = "REML",
            control = glsControl(tolerance = 1e-11, msTol = 1e-13, msMaxIter = 1000, maxIter = 500))
    } else {
        lme(fixed, d, random = ~ 1 | subject, correlation = corSymm(form = ~ ti | subject/foodF),
            weights = varIdent(form = ~ 1 | ti), method = "REML", control = control)
    }, error = function(e) NULL)
    if (is.null(fit)) return(NULL)
    list(beta = if (inherits(fit, "gls")) coef(fit) else fixef(fit), V = vcov(fit), logLik = as.numeric(logLik(fit)),
         AIC = AIC(fit), BIC = BIC(fit))
}

# lmerTest at the optimum of the whole matrices (lme4's own stopping rule leaves 4 to 6 digits).
stay <- function(fn, par, lower, upper, control) list(par = par, fval = fn(par), conv = 0, convergence = 0, message = "given")
byLmer <- function(model, whole, study) {
    d <- model$d
    d$foodF <- factor(d$food)
    d$timeF <- factor(d$ti)
    parts <- c(subject = "(1 | subject)", subject_food = "(1 | inFood)", curve = "(1 | inCurve)")[names(model$parts)]
    formula <- as.formula(paste("value ~ foodF * timeF", if (study$period) "+ periodF", "+", paste(parts, collapse = " + ")))
    residual <- exp(whole$par[length(whole$set) + 1])
    ratio <- setNames(rep(0, length(model$parts)), names(model$parts))
    ratio[whole$set] <- sqrt(exp(whole$par[seq_along(whole$set)]) / residual)
    groups <- c(subject = "subject", subject_food = "inFood", curve = "inCurve")[names(model$parts)]
    quiet <- list(check.conv.singular = "ignore", check.conv.grad = "ignore", check.conv.hess = "ignore")
    deviance <- lme4::lmer(formula, d, devFunOnly = TRUE, control = do.call(lmerControl, quiet))
    order <- names(environment(deviance)$pp$theta)
    flist <- names(lme4::lFormula(formula, d)$reTrms$cnms)
    theta <- ratio[match(flist, groups)]
    control <- do.call(lmerControl, c(quiet, list(optimizer = stay, restart_edge = FALSE, boundary.tol = 0)))
    # lme4's own search from there finds nothing lower.
    own <- suppressMessages(suppressWarnings(lme4::lmer(formula, d, control = do.call(lmerControl, quiet))))
    stopifnot(lme4::REMLcrit(own) > deviance(theta) - 1e-6)
    suppressMessages(lmerTest::lmer(formula, d, start = unname(theta), control = control))
}

# ---- all of it --------------------------------------------------------------------------------------------

text <- function(x) ifelse(is.na(x), "NA", if (is.numeric(x)) sprintf("%.17g", x) else as.character(x))
rowsOf <- function(...) do.call(paste, c(lapply(list(...), text), sep = ","))
rows <- fits <- terms <- means <- differences <- character(0)

for (study in studies) {
    model <- makeModel(study)
    whole <- fitWhole(model)
    f <- function(par) criterion(whole$model, par)
    A <- 2 * solve(hessian(f, whole$par))
    q <- pieces(whole$model, whole$par)
    C <- solve(q$information)
    varianceOf <- function(L, par) rowSums((L %*% solve(pieces(whole$model, par)$information)) * L)
    dfOf <- function(L) {
        J <- jacobian(function(par) varianceOf(L, par), whole$par)
        2 * varianceOf(L, whole$par)^2 / rowSums((J %*% A) * J)
    }
    outside <- if (study$covariance == "independent") NULL else byPackage(model, whole)
    agrees <- FALSE
    if (!is.null(outside)) {
        # nlme keeps variances and correlations off their boundary, and may stop early: said in the file.
        agrees <- abs(outside$logLik + whole$value / 2) < 1e-6
        if (outside$logLik > -whole$value / 2 + 1e-6) stop(study$name, ": nlme found a higher likelihood")
    }
    lmer <- if (study$covariance == "independent") byLmer(model, whole, study)
    if (!is.null(lmer)) stopifnot(abs(as.numeric(logLik(lmer)) + whole$value / 2) < 1e-7)
    k <- length(whole$set)
    variances <- setNames(rep(NA_real_, 3), c("subject", "subject_food", "curve"))
    variances[names(model$parts)] <- 0
    variances[whole$set] <- exp(whole$par[seq_len(k)])
    free <- study$covariance == "unstructured"
    residual <- if (free) NA else exp(whole$par[k + 1])
    rho <- if (study$covariance == "ar1") (if (whole$rho) plogis(whole$par[k + 2]) else 0) else NA
    number <- c(independent = 1, ar1 = 2, unstructured = model$times * (model$times + 1) / 2)[[study$covariance]] +
        length(model$parts) + ncol(model$X)
    aic <- whole$value + 2 * number
    bic <- whole$value + log(length(model$y) - ncol(model$X)) * number
    if (agrees) stopifnot(abs(outside$AIC - aic) < 1e-5, abs(outside$BIC - bic) < 1e-5)
    first <- if (free) unstructured(whole$model, whole$par[seq_along(whole$par) > k]) else matrix(NA, 2, 2)
    fits <- c(fits, rowsOf(study$name, study$covariance, length(model$y), variances[1], variances[2], variances[3], residual,
                           rho, first[1, 1], first[2, 1], first[2, 2], -whole$value / 2, aic, bic,
                           if (is.null(outside)) NA else outside$logLik, as.integer(agrees)))
    d <- model$d
    rows <- c(rows, rowsOf(study$name, d$subject, d$food, d$visit, if (study$period) d$period else NA, d$time, d$value))
    L <- functionsOf(model, study)
    estimate <- function(m) as.numeric(m %*% q$beta)
    see <- function(m) if (!agrees) list(rep(NA_real_, nrow(m)), rep(NA_real_, nrow(m))) else
        list(as.numeric(m %*% outside$beta), sqrt(rowSums((m %*% outside$V) * m)))
    theirs <- if (!is.null(lmer)) anova(lmer, type = 3, ddf = "Satterthwaite")
    called <- c(food = "foodF", time = "timeF", `food x time` = "foodF:timeF", period = "periodF")
    for (term in names(L$terms)) {
        m <- L$terms[[term]]
        if (is.null(m)) next
        e <- eigen(m %*% C %*% t(m), symmetric = TRUE)
        turned <- t(e$vectors) %*% m
        wald <- sum(estimate(turned)^2 / e$values) / nrow(m)
        df <- combine(dfOf(turned))
        otherF <- if (!is.null(lmer)) theirs[called[[term]], "F value"] else if (agrees) {
            b <- m %*% outside$beta
            sum(b * solve(m %*% outside$V %*% t(m), b)) / nrow(m)
        } else NA
        otherDf <- if (!is.null(lmer)) theirs[called[[term]], "DenDF"] else NA
        terms <- c(terms, rowsOf(study$name, term, nrow(m), df, wald, pf(wald, nrow(m), df, lower.tail = FALSE), otherF, otherDf))
    }
    df <- dfOf(L$means)
    o <- see(L$means)
    means <- c(means, rowsOf(study$name, L$d$food, sort(unique(d$time))[L$d$ti], estimate(L$means), sqrt(varianceOf(L$means, whole$par)),
                             df, o[[1]], o[[2]]))
    df <- dfOf(L$differences)
    est <- estimate(L$differences)
    se <- sqrt(varianceOf(L$differences, whole$par))
    p <- 2 * pt(-abs(est / se), df)
    o <- see(L$differences)
    which <- L$d[L$d$food > 1, ]
    otherDf <- rep(NA_real_, length(est))
    if (!is.null(lmer)) {
        # Of the differences by lmerTest's own function, in its coding.
        grid <- L$d
        coding <- model.matrix(~ foodF * timeF, data.frame(foodF = factor(grid$food), timeF = factor(grid$ti)))
        own <- do.call(rbind, lapply(2:max(grid$food), function(f) coding[grid$food == f, ] - coding[grid$food == 1, ]))
        all <- names(lme4::fixef(lmer))
        padded <- matrix(0, nrow(own), length(all), dimnames = list(NULL, all))
        padded[, colnames(own)] <- own
        tests <- lmerTest::contest(lmer, padded, joint = FALSE)
        stopifnot(max(abs(tests$Estimate - est) / se) < 1e-6)
        o <- list(tests$Estimate, tests$`Std. Error`)
        otherDf <- tests$df
    }
    differences <- c(differences, rowsOf(
        study$name, which$food, sort(unique(d$time))[which$ti], est, se, df, est / se, p,
        ave(p, which$food, FUN = function(x) p.adjust(x, "holm")), p.adjust(p, "holm"),
        est - qt(0.975, df) * se, est + qt(0.975, df) * se, o[[1]], o[[2]], otherDf))
    cat(study$name, whole$set, if (whole$rho) "rho", "agrees", agrees, "\n")
}

write <- function(lines, name) {
    file <- file(file.path(outDir, name), open = "wb")
    writeLines(lines, file, sep = "\n")
    close(file)
}
write(c("study,subject,food,visit,period,time_min,value", rows), "time_course_rows.csv")
write(c(paste0("study,covariance,rows,variance_subject,variance_subject_food,variance_curve,variance_residual,rho,within_11,",
               "within_21,within_22,log_likelihood,aic,bic,package_log_likelihood,package_agrees"), fits), "time_course_fits.csv")
write(c("study,term,num_df,den_df,f,p,package_f,package_den_df", terms), "time_course_terms.csv")
write(c("study,food,time_min,estimate,se,df,package_estimate,package_se", means), "time_course_means.csv")
write(c(paste0("study,food,time_min,estimate,se,df,t,p,p_holm_food,p_holm_all,ci_low,ci_high,package_estimate,package_se,",
               "package_df"), differences), "time_course_differences.csv")
