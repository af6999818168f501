# Families of comparisons of linear mixed models in R, for tests/core/compare/model_families_reference_test.cpp.
#   Rscript tests/reference/model_families.R OUTDIR [COUNT]
# writes family_rows.csv (the data, invented), family_fits.csv, family_terms.csv, family_means.csv,
# family_pairs.csv (all pairs) and family_control.csv (against the first food). Needs lme4, lmerTest, pbkrtest,
# emmeans, numDeriv and mvtnorm; the versions stand in README.md. Run it from the root of the sources; all 210
# studies (what is kept) take some ten minutes. Results are written to 12 digits; those that come through lmerTest's numerical derivatives
# (Satterthwaite's df) hold to about 7.

suppressPackageStartupMessages({
    library(lme4)
    library(lmerTest)
    library(pbkrtest)
    library(emmeans)
    library(mvtnorm)
})

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) < 1) stop("usage: Rscript model_families.R OUTDIR [COUNT]")
outDir <- arguments[1]
studyCount <- if (length(arguments) > 1) as.integer(arguments[2]) else 210

set.seed(20261127, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
options(contrasts = c("contr.treatment", "contr.poly"))
source("tests/reference/tight_fit.R")

# ---- studies ----------------------------------------------------------------------------------------------

kinds <- c("balanced", "missing", "carry-over", "replicates", "boundary", "carry-over-missing", "sequence",
           "sparse", "no-period", "carry-over-no-period")

# Columns of carry-over: one a food after the first, 1 after that food, -1 after the first, 0 after none.
carryColumns <- function(previous, k) {
    columns <- sapply(2:k, function(l) (previous == l) - (previous == 1))
    colnames(columns) <- paste0("c", 2:k)
    as.data.frame(columns)
}

tryStudy <- function(i) {
    kind <- kinds[(i - 1) %% length(kinds) + 1]
    carry <- grepl("carry-over", kind)
    k <- 2 + ((i - 1) %/% length(kinds)) %% 5
    if (carry) k <- max(k, 3)
    n <- if (kind == "balanced") k * sample(2:3, 1) else sample(max(5, k + 2):14, 1)
    rows <- expand.grid(period = seq_len(k), subject = seq_len(n))
    rows$sequence <- (rows$subject - 1) %% k + 1
    rows$food <- if (carry || kind == "sparse") {
        as.vector(replicate(n, sample(k)))
    } else {
        (rows$sequence + rows$period - 2) %% k + 1
    }
    # The food of the period before, of the same subject; 0: none.
    rows$previous <- ifelse(rows$period == 1, 0, c(0, head(rows$food, -1)))
    if (kind == "replicates") {
        rows <- rbind(rows, rows[sample(nrow(rows), max(2, nrow(rows) %/% 4)), ])
    }
    keep <- c(missing = 0.85, boundary = 0.9, `carry-over-missing` = 0.9, `no-period` = 0.85, sparse = 0.7,
              sequence = 0.95)[kind]
    if (!is.na(keep)) rows <- rows[sample(nrow(rows), ceiling(keep * nrow(rows))), ]
    rows <- rows[order(rows$subject, rows$period), ]
    sdResidual <- sample(c(0.5, 20, 40, 3000), 1)
    sdSubject <- sdResidual * (if (kind == "boundary") 0 else sample(c(0.3, 1, 2, 8), 1))
    u <- rnorm(n, 0, sdSubject)
    foods <- rnorm(k, 0, sample(c(0.5, 1, 2), 1) * sdResidual)
    periods <- rnorm(k, 0, 0.5 * sdResidual)
    carried <- c(0, rnorm(k, 0, 0.3 * sdResidual))
    value <- 5 * sdResidual + u[rows$subject] + foods[rows$food] + periods[rows$period] +
        (if (carry) carried[rows$previous + 1] else 0) + rnorm(nrow(rows), 0, sdResidual)
    data <- data.frame(
        subject = sprintf("s%02d", rows$subject), food = paste0("f", rows$food),
        period = paste0("p", rows$period), sequence = paste0("q", rows$sequence), previous = rows$previous,
        value = as.numeric(sprintf("%.5g", value)), stringsAsFactors = TRUE)
    if (carry) data <- cbind(data, carryColumns(rows$previous, k))
    factors <- c("food", if (!grepl("no-period", kind)) "period", if (kind == "sequence") "sequence")
    list(name = sprintf("%03d-%s", i, kind), data = data, factors = factors, carry = carry,
         columns = if (carry) paste0("c", 2:k))
}

# Drawn again where the design leaves a food out, cannot tell the effects apart or has nothing to estimate a variance from.
makeStudy <- function(i) {
    repeat {
        study <- tryStudy(i)
        k <- max(2, nlevels(study$data$food))
        terms <- as.formula(paste("~", paste(c(study$factors, study$columns), collapse = " + ")))
        X <- tryCatch(model.matrix(terms, study$data), error = function(e) NULL)
        if (is.null(X)) next
        within <- apply(X, 2, function(x) x - ave(x, study$data$subject))
        people <- nlevels(droplevels(study$data$subject))
        enough <- nrow(X) - people - qr(within)$rank >= 3 && people + qr(within)$rank - ncol(X) >= 2
        if (qr(X)$rank == ncol(X) && all(table(study$data$food) > 1) && enough &&
            (!study$carry || all(sapply(1:k, function(l) any(study$data$previous == l))))) return(study)
    }
}

# ---- the largest of several |t| ---------------------------------------------------------------------------

# rho[i, j] = l[i] l[j] where that holds; NULL where it does not.
productForm <- function(R) {
    d <- nrow(R)
    if (d == 1) return(0)
    if (d == 2) return(sqrt(abs(R[1, 2])) * c(1, sign(R[1, 2])))
    l1 <- sqrt(R[1, 2] * R[1, 3] / R[2, 3])
    if (!is.finite(l1) || l1 == 0 || l1 >= 1) return(NULL)
    l <- c(l1, R[1, -1] / l1)
    if (any(abs(l) >= 1)) return(NULL)
    off <- outer(l, l) - R
    diag(off) <- 0
    if (max(abs(off)) > 1e-9) NULL else l
}

normalTail <- function(w, l) {
    r <- sqrt(1 - l^2)
    f <- function(z) {
        outside <- 0
        for (i in seq_along(l)) {
            c <- pnorm((l[i] * z - w) / r[i]) + pnorm((-l[i] * z - w) / r[i])
            outside <- outside + log1p(-pmin(c, 1))
        }
        -expm1(outside) * dnorm(z)
    }
    2 * integrate(f, 0, max(10, max(abs(l)) * w + 10), rel.tol = 1e-11, subdivisions = 2000)$value
}

maxAbsTail <- function(t, R, df) {
    # Over the logarithm of s = sqrt(chi^2/df).
    density <- function(x) 2 * exp(df / 2 * log(df / 2) - lgamma(df / 2) + df * x - df * exp(2 * x) / 2)
    l <- productForm(R)
    middle <- 0.5 * log(df / (df + t^2))
    low <- 0.5 * log(qchisq(1e-14, df) / df) - 2
    high <- 0.5 * log(qchisq(1e-15, df, lower.tail = FALSE) / df) + 0.1
    if (is.null(l)) {
        # Miwa's recursion for each s, to about 1e-6 of p; the trapezoidal rule over s.
        steps <- if (nrow(R) > 4) 128 else 256
        tail <- function(w) {
            if (w > 9) return(0)
            1 - as.numeric(pmvnorm(rep(-w, nrow(R)), rep(w, nrow(R)), corr = R, algorithm = Miwa(steps = steps)))
        }
        h <- min(0.7 / sqrt(2 * df), 0.2)
        x <- middle + h * seq(floor((low - middle) / h), ceiling((high - middle) / h))
        x <- x[density(x) > 1e-9]
        return(list(p = h * sum(density(x) * vapply(t * exp(x), tail, 0)), how = "general"))
    }
    f <- function(x) vapply(x, function(one) density(one) * normalTail(t * exp(one), l), numeric(1))
    p <- integrate(f, low, middle, rel.tol = 1e-10, subdivisions = 500)$value +
        integrate(f, middle, high, rel.tol = 1e-10, subdivisions = 500)$value
    list(p = p, how = "product")
}

# ---- fits -------------------------------------------------------------------------------------------------

text <- function(x) ifelse(is.na(x), "NA", if (is.numeric(x)) sprintf("%.12g", x) else as.character(x))
rowsOf <- function(...) do.call(paste, c(lapply(list(...), text), sep = ","))
columnOf <- function(table, names) table[[intersect(names, colnames(table))[1]]]

data <- fits <- terms <- means <- pairs <- control <- character(0)
for (number in seq_len(studyCount)) {
    study <- makeStudy(number)
    d <- study$data
    levels <- levels(d$food)
    k <- length(levels)
    shown <- function(name) if (name %in% study$factors) substring(as.character(d[[name]]), 2) else NA
    data <- c(data, rowsOf(study$name, substring(as.character(d$subject), 2), substring(as.character(d$food), 2),
                           shown("period"), shown("sequence"), if (study$carry) d$previous else NA, d$value))
    fit <- tightFit(study)
    variances <- as.data.frame(VarCorr(fit))$vcov
    fits <- c(fits, rowsOf(study$name, nobs(fit), variances[1], variances[2], as.numeric(logLik(fit))))
    columns <- names(fixef(fit))
    for (method in c("satterthwaite", "kenward-roger")) {
        ddf <- if (method == "satterthwaite") "Satterthwaite" else "Kenward-Roger"
        for (term in c(study$factors, if (study$carry) "carry-over")) {
            own <- if (term == "carry-over") study$columns else paste0(term, levels(droplevels(d[[term]]))[-1])
            L <- diag(length(columns))[match(own, columns), , drop = FALSE]
            test <- suppressWarnings(contestMD(fit, L, ddf = ddf))
            terms <- c(terms, rowsOf(study$name, method, term, test$NumDF, test$DenDF, test$`F value`,
                                     test$`Pr(>F)`))
        }
        # Means where nothing is carried over: the columns at 0.
        zero <- if (study$carry) setNames(as.list(rep(0, k - 1)), study$columns) else list()
        grid <- emmeans(fit, "food", lmer.df = method, at = zero)
        m <- as.data.frame(summary(grid, infer = c(FALSE, FALSE)))
        means <- c(means, rowsOf(study$name, method, substring(as.character(m$food), 2), m$emmean, m$SE, m$df))

        all <- contrast(grid, "revpairwise", adjust = "none")
        index <- do.call(rbind, lapply(seq_along(levels)[-1], function(a) cbind(a, seq_len(a - 1))))
        plain <- as.data.frame(summary(all, infer = c(FALSE, TRUE), adjust = "none"))
        tukey <- as.data.frame(suppressMessages(summary(all, infer = c(TRUE, TRUE), adjust = "tukey")))
        bonferroni <- as.data.frame(summary(all, infer = c(TRUE, TRUE), adjust = "bonferroni"))
        adjusted <- lapply(c("holm", "hochberg", "fdr"), function(a) {
            as.data.frame(summary(all, infer = c(FALSE, TRUE), adjust = a))$p.value
        })
        pairs <- c(pairs, rowsOf(study$name, method, index[, 1], index[, 2], plain$estimate, plain$SE, plain$df,
                                 plain$p.value, tukey$p.value, columnOf(tukey, c("lower.CL", "asymp.LCL")),
                                 columnOf(bonferroni, c("lower.CL", "asymp.LCL")), adjusted[[1]], adjusted[[2]],
                                 adjusted[[3]]))

        against <- contrast(grid, "trt.vs.ctrl", ref = 1, adjust = "none")
        plain <- as.data.frame(summary(against, infer = c(FALSE, TRUE), adjust = "none"))
        adjusted <- lapply(c("holm", "hochberg", "fdr"), function(a) {
            as.data.frame(summary(against, infer = c(FALSE, TRUE), adjust = a))$p.value
        })
        set.seed(number)
        emm <- as.data.frame(summary(against, infer = c(FALSE, TRUE), adjust = "mvt"))$p.value
        R <- cov2cor(as.matrix(vcov(against)))
        exact <- lapply(seq_len(k - 1), function(j) maxAbsTail(abs(plain$t.ratio[j]), R, plain$df[j]))
        control <- c(control, rowsOf(study$name, method, 2:k, plain$t.ratio, plain$df, plain$p.value,
                                     vapply(exact, `[[`, 0, "p"), vapply(exact, `[[`, "", "how"), emm,
                                     adjusted[[1]], adjusted[[2]], adjusted[[3]]))
        set.seed(20261127 + number)
    }
    if (number %% 10 == 0) message(number)
}

write <- function(lines, name) {
    file <- file(file.path(outDir, name), open = "wb")
    writeLines(lines, file, sep = "\n")
    close(file)
}
write(c("study,subject,food,period,sequence,previous,value", data), "family_rows.csv")
write(c("study,rows,variance_subject,variance_residual,log_likelihood", fits), "family_fits.csv")
write(c("study,method,term,num_df,den_df,f,p", terms), "family_terms.csv")
write(c("study,method,food,estimate,se,df", means), "family_means.csv")
write(c("study,method,food,minus,estimate,se,df,p,tukey,tukey_low,bonferroni_low,holm,hochberg,fdr", pairs),
      "family_pairs.csv")
write(c("study,method,food,t,df,p,max_t,how,emmeans_mvt,holm,hochberg,fdr", control), "family_control.csv")
